//! The compositor on the graphics adapter. Commands ask [`Compositor::compose`] for a frame; the
//! window uploads what changed and encodes one pass a frame, and nothing is read back.
//! The pass is `shaders/composite.wgsl`; `tests/gpu/parity.rs` holds it to `pixel::reference`.

use std::sync::mpsc;

use wgpu::{
    BindGroup, BindGroupDescriptor, BindGroupEntry, Buffer, BufferDescriptor, BufferUsages,
    CommandEncoder, CommandEncoderDescriptor, ComputePassDescriptor, ComputePassTimestampWrites,
    MapMode, PollType, Queue,
};

use super::device::{Gpu, GpuError};
use super::layout::{Job, Params, Reading, SourceVariant, TapWords, Variant, pixel_bytes};
use super::pipeline::{Pipelines, bindings};
use super::shaders;
use crate::pixel::frame::{Frame, PixelFormat, Pixels};
use crate::pixel::plan::{Layer, Plan};
use crate::pixel::settings::Size;

/// A picture on the adapter: packed 8-bit R'G'B' and alpha, row by row from the top left, a `u32`
/// word a pixel with R' in the lowest byte.
#[derive(Clone, Debug)]
pub struct OutputBuffer {
    buffer: Buffer,
    size: Size,
}

impl OutputBuffer {
    /// Room for a picture of this size, or the limit that it exceeds.
    pub fn new(gpu: &Gpu, size: Size) -> Result<Self, GpuError> {
        let bytes = pixel_bytes(size, PixelFormat::Rgba8);
        check_bytes(gpu, &picture_words("output", size), bytes)?;
        let buffer = gpu.device.create_buffer(&BufferDescriptor {
            label: Some("output"),
            size: bytes,
            usage: BufferUsages::STORAGE | BufferUsages::COPY_SRC | BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        gpu.check()?;
        Ok(Self { buffer, size })
    }

    /// Puts a frame in that was made elsewhere, row after row from the beginning on; ignored unless it is
    /// 8-bit and has room.
    pub fn write(&self, queue: &Queue, frame: &Frame) {
        if frame.size().area() <= self.size.area() && frame.format() == PixelFormat::Rgba8 {
            queue.write_buffer(&self.buffer, 0, frame.bytes());
        }
    }

    /// The words, for binding as read-only storage.
    pub fn buffer(&self) -> &Buffer {
        &self.buffer
    }

    /// Width and height.
    pub fn size(&self) -> Size {
        self.size
    }
}

/// A buffer that is kept between frames and only grown.
#[derive(Debug)]
struct GrowingBuffer {
    label: &'static str,
    usage: BufferUsages,
    buffer: Buffer,
}

impl GrowingBuffer {
    fn new(gpu: &Gpu, label: &'static str, usage: BufferUsages, bytes: u64) -> Self {
        Self {
            label,
            usage,
            buffer: create(gpu, label, usage, bytes),
        }
    }

    fn grow(&mut self, gpu: &Gpu, bytes: u64) {
        if self.buffer.size() < bytes {
            self.buffer = create(gpu, self.label, self.usage, bytes);
        }
    }
}

fn create(gpu: &Gpu, label: &'static str, usage: BufferUsages, bytes: u64) -> Buffer {
    gpu.device.create_buffer(&BufferDescriptor {
        label: Some(label),
        size: bytes,
        usage,
        mapped_at_creation: false,
    })
}

/// A source on the adapter.
#[derive(Debug)]
struct SourceBuffer {
    what: &'static str,
    pixels: GrowingBuffer,
    uploaded: Option<(Size, PixelFormat)>,
}

impl SourceBuffer {
    fn new(gpu: &Gpu, what: &'static str) -> Self {
        let usage = BufferUsages::STORAGE | BufferUsages::COPY_DST;
        Self {
            what,
            pixels: GrowingBuffer::new(gpu, what, usage, SMALLEST_BYTES),
            uploaded: None,
        }
    }

    fn upload(&mut self, gpu: &Gpu, frame: Option<&Frame>) -> Result<(), GpuError> {
        self.uploaded = None;
        if let Some(frame) = frame {
            let bytes = pixel_bytes(frame.size(), frame.format());
            check_bytes(gpu, &picture_words(self.what, frame.size()), bytes)?;
            self.pixels.grow(gpu, bytes);
            gpu.queue
                .write_buffer(&self.pixels.buffer, 0, frame.bytes());
            gpu.check()?;
            self.uploaded = Some((frame.size(), frame.format()));
        }
        Ok(())
    }

    /// Whether what a pass reads is here.
    fn check(&self, layer: Option<&Layer<'_>>, variant: SourceVariant) -> Result<(), GpuError> {
        let wanted = layer.map(|layer| (layer.source.frame.size(), layer.source.frame.format()));
        if variant.reading == Reading::None || wanted == self.uploaded {
            Ok(())
        } else {
            Err(GpuError::NotUploaded { what: self.what })
        }
    }
}

/// Size of a buffer that nothing was put in yet; a binding cannot be empty.
const SMALLEST_BYTES: u64 = 256;

/// Makes pictures on the graphics adapter.
#[derive(Debug)]
pub struct Compositor {
    gpu: Gpu,
    pipelines: Pipelines,
    params: Buffer,
    taps: GrowingBuffer,
    camera: SourceBuffer,
    slide: SourceBuffer,
    made: Option<OutputBuffer>,
    staging: GrowingBuffer,
}

impl Compositor {
    /// A compositor on an open adapter.
    pub fn new(gpu: &Gpu) -> Result<Self, GpuError> {
        Self::with_shader(gpu, &shaders::composite_source())
    }

    /// The same with another shader, which the tests spoil to see that they would notice.
    pub fn with_shader(gpu: &Gpu, shader: &str) -> Result<Self, GpuError> {
        let usage = BufferUsages::STORAGE | BufferUsages::COPY_DST;
        let staging = BufferUsages::MAP_READ | BufferUsages::COPY_DST;
        let uniform = BufferUsages::UNIFORM | BufferUsages::COPY_DST;
        let compositor = Self {
            pipelines: Pipelines::new(gpu, shader)?,
            params: create(gpu, "params", uniform, size_of::<Params>() as u64),
            taps: GrowingBuffer::new(gpu, "taps", usage, SMALLEST_BYTES),
            camera: SourceBuffer::new(gpu, "camera"),
            slide: SourceBuffer::new(gpu, "slide"),
            made: None,
            staging: GrowingBuffer::new(gpu, "staging", staging, SMALLEST_BYTES),
            gpu: gpu.clone(),
        };
        gpu.check()?;
        Ok(compositor)
    }

    /// Whether the adapter has room for a plan, before anything is allocated.
    pub fn fits(&self, plan: &Plan<'_>) -> Result<(), GpuError> {
        let output = pixel_bytes(plan.output, PixelFormat::Rgba8);
        check_bytes(&self.gpu, &picture_words("output", plan.output), output)?;
        for (what, layer) in [("camera", &plan.camera), ("slide", &plan.slide)] {
            if let Some(layer) = layer {
                let frame = layer.source.frame;
                let bytes = pixel_bytes(frame.size(), frame.format());
                check_bytes(&self.gpu, &picture_words(what, frame.size()), bytes)?;
            }
        }
        Ok(())
    }

    /// The picture that a plan describes: uploaded, made and read back.
    pub fn compose(&mut self, plan: &Plan<'_>) -> Result<Frame, GpuError> {
        self.fits(plan)?;
        let Variant { camera, slide, .. } = self.job(plan).variant;
        self.upload_camera(needed_frame(plan.camera.as_ref(), camera))?;
        self.upload_slide(needed_frame(plan.slide.as_ref(), slide))?;
        self.compose_uploaded(plan)
    }

    /// The same from frames that were uploaded before, so that one camera serves a whole deck.
    pub fn compose_uploaded(&mut self, plan: &Plan<'_>) -> Result<Frame, GpuError> {
        let output = match self.made.take() {
            Some(made) if made.size == plan.output => made,
            _ => OutputBuffer::new(&self.gpu, plan.output)?,
        };
        let bytes = pixel_bytes(output.size, PixelFormat::Rgba8);
        self.staging.grow(&self.gpu, bytes);
        let mut encoder = self
            .gpu
            .device
            .create_command_encoder(&CommandEncoderDescriptor {
                label: Some("compose"),
            });
        self.encode(&mut encoder, plan, &output)?;
        encoder.copy_buffer_to_buffer(&output.buffer, 0, &self.staging.buffer, 0, bytes);
        self.gpu.queue.submit([encoder.finish()]);
        self.made = Some(output);
        self.read_back(plan.output)
    }

    fn read_back(&self, size: Size) -> Result<Frame, GpuError> {
        let bytes = size.area() as u64 * 4;
        let (done, wait) = mpsc::channel();
        self.staging
            .buffer
            .map_async(MapMode::Read, 0..bytes, move |result| {
                // Nobody listens any more only if waiting has failed, and that is reported.
                let _ = done.send(result);
            });
        let refused = |error: &dyn std::error::Error| GpuError::Refused {
            message: error.to_string(),
        };
        let polled = self.gpu.device.poll(PollType::wait_indefinitely());
        self.gpu.check()?;
        polled.map_err(|error| refused(&error))?;
        wait.recv()
            .map_err(|error| refused(&error))?
            .map_err(|error| refused(&error))?;
        let mapped = self
            .staging
            .buffer
            .get_mapped_range(0..bytes)
            .map_err(|error| refused(&error))?;
        let pixels = bytemuck::cast_slice::<u8, [u8; 4]>(&mapped).to_vec();
        drop(mapped);
        self.staging.buffer.unmap();
        Ok(Frame::new(size, Pixels::Rgba8(pixels))?)
    }

    /// Puts the camera frame on the adapter, or forgets it.
    pub fn upload_camera(&mut self, frame: Option<&Frame>) -> Result<(), GpuError> {
        self.camera.upload(&self.gpu, frame)
    }

    /// Puts the slide on the adapter, or forgets it.
    pub fn upload_slide(&mut self, frame: Option<&Frame>) -> Result<(), GpuError> {
        self.slide.upload(&self.gpu, frame)
    }

    /// Encodes the pass that makes a plan's picture out of the uploaded frames.
    ///
    /// One pass a submission: settings are written when this is called and take effect when the
    /// encoder is submitted, so a second call before that would change the first one's picture.
    /// The output buffer must have the plan's size.
    pub fn encode(
        &mut self,
        encoder: &mut CommandEncoder,
        plan: &Plan<'_>,
        output: &OutputBuffer,
    ) -> Result<(), GpuError> {
        self.encode_pass(encoder, plan, output, None)
    }

    /// The same with the times of its beginning and end written to a query set.
    pub fn encode_timed(
        &mut self,
        encoder: &mut CommandEncoder,
        plan: &Plan<'_>,
        output: &OutputBuffer,
        timestamps: ComputePassTimestampWrites<'_>,
    ) -> Result<(), GpuError> {
        self.encode_pass(encoder, plan, output, Some(timestamps))
    }

    fn job(&self, plan: &Plan<'_>) -> Job {
        let limits = self.gpu.device.limits();
        Job::new(plan, limits.max_compute_workgroups_per_dimension)
    }

    fn encode_pass(
        &mut self,
        encoder: &mut CommandEncoder,
        plan: &Plan<'_>,
        output: &OutputBuffer,
        timestamp_writes: Option<ComputePassTimestampWrites<'_>>,
    ) -> Result<(), GpuError> {
        self.gpu.check()?;
        let job = self.job(plan);
        self.camera
            .check(plan.camera.as_ref(), job.variant.camera)?;
        self.slide.check(plan.slide.as_ref(), job.variant.slide)?;
        let bytes = job.taps.len() as u64 * size_of::<TapWords>() as u64;
        self.taps.grow(&self.gpu, bytes);
        let queue = &self.gpu.queue;
        queue.write_buffer(&self.taps.buffer, 0, bytemuck::cast_slice(&job.taps));
        queue.write_buffer(&self.params, 0, bytemuck::bytes_of(&job.params));
        let bind_group = self.bind_group(output);
        let pipeline = self.pipelines.get(&self.gpu, job.variant);
        let mut pass = encoder.begin_compute_pass(&ComputePassDescriptor {
            label: Some("composite"),
            timestamp_writes,
        });
        pass.set_pipeline(&pipeline);
        pass.set_bind_group(0, &bind_group, &[]);
        pass.dispatch_workgroups(job.grid.x, job.grid.y, 1);
        drop(pass);
        self.gpu.check()
    }

    fn bind_group(&self, output: &OutputBuffer) -> BindGroup {
        self.gpu.device.create_bind_group(&BindGroupDescriptor {
            label: Some("composite"),
            layout: self.pipelines.bindings(),
            entries: &[
                entry(bindings::PARAMS, &self.params),
                entry(bindings::CAMERA_WORDS, &self.camera.pixels.buffer),
                entry(bindings::SLIDE_WORDS, &self.slide.pixels.buffer),
                entry(bindings::TAPS, &self.taps.buffer),
                entry(bindings::OUTPUT_PIXELS, &output.buffer),
            ],
        })
    }
}

/// The frame of a layer that a pass reads.
fn needed_frame<'a>(layer: Option<&Layer<'a>>, variant: SourceVariant) -> Option<&'a Frame> {
    layer
        .filter(|_| variant.reading != Reading::None)
        .map(|layer| layer.source.frame)
}

fn entry(binding: u32, buffer: &Buffer) -> BindGroupEntry<'_> {
    BindGroupEntry {
        binding,
        resource: buffer.as_entire_binding(),
    }
}

/// `camera, 1920x1080 pixels`.
fn picture_words(what: &str, size: Size) -> String {
    format!("{what}, {}x{} pixels,", size.width(), size.height())
}

/// Whether the adapter takes a buffer of this many bytes.
fn check_bytes(gpu: &Gpu, what: &str, need: u64) -> Result<(), GpuError> {
    let limits = gpu.device.limits();
    let too_small = [
        (
            "maxStorageBufferBindingSize",
            limits.max_storage_buffer_binding_size,
        ),
        ("maxBufferSize", limits.max_buffer_size),
    ]
    .into_iter()
    .find(|(_, allowed)| need > *allowed);
    match too_small {
        Some((limit, allowed)) => Err(GpuError::PictureTooLarge {
            adapter: gpu.adapter_name(),
            what: what.to_owned(),
            limit,
            need,
            allowed,
        }),
        None => Ok(()),
    }
}
