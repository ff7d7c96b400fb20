//! Draws finished pictures onto a surface, split at the dividing line, at the place that `picture` says.
//! The pictures stay in their buffers; nothing here changes a value except the dimming of the window.

use super::picture::{PictureLayout, WindowRect};

/// The shader's text.
const SHADER: &str = include_str!("../../shaders/present.wgsl");

/// Uniforms of `shaders/present.wgsl`, same order and names.
#[derive(Clone, Copy, Debug, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(C)]
pub struct PresentParams {
    /// Width of the picture.
    pub output_width: u32,
    /// Height of the picture.
    pub output_height: u32,
    /// Surface column of the picture's left edge.
    pub left_px: f32,
    /// Surface row of the picture's top edge.
    pub top_px: f32,
    /// Output pixels for each surface pixel.
    pub output_per_window: f32,
    /// 1 flips left and right.
    pub mirrored: u32,
    /// Factor on every value, 1 where nothing is dimmed.
    pub brightness_frac: f32,
    /// Fills the last vector.
    pub reserved: u32,
}

/// How a picture goes onto a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Presentation {
    /// Where it lies.
    pub layout: PictureLayout,
    /// The part of the surface that may be drawn on.
    pub area: WindowRect,
    /// Surface column from which the right view is shown.
    pub divider_px: f64,
    /// Whether left and right are flipped.
    pub mirrored: bool,
    /// Factor on every value, 1 where nothing is dimmed.
    pub brightness_frac: f32,
}

impl Presentation {
    /// In the numbers of the shader.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions on a surface stay far below 2^24, where f32 is exact"
    )]
    pub fn params(&self) -> PresentParams {
        let Self {
            layout,
            area: _,
            divider_px: _,
            mirrored,
            brightness_frac,
        } = *self;
        PresentParams {
            output_width: layout.output.width(),
            output_height: layout.output.height(),
            left_px: layout.corner_px[0] as f32,
            top_px: layout.corner_px[1] as f32,
            output_per_window: (1.0 / layout.zoom) as f32,
            mirrored: u32::from(mirrored),
            brightness_frac,
            reserved: 0,
        }
    }
}

/// The pipeline for one surface.
#[derive(Debug)]
pub struct Presenter {
    pipeline: wgpu::RenderPipeline,
    bindings: wgpu::BindGroupLayout,
    params: wgpu::Buffer,
}

impl Presenter {
    /// A presenter for surfaces of this format.
    pub fn new(device: &wgpu::Device, format: wgpu::TextureFormat) -> Self {
        let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
            label: Some("present"),
            source: wgpu::ShaderSource::Wgsl(SHADER.into()),
        });
        let bindings = device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("present"),
            entries: &[
                binding(0, wgpu::BufferBindingType::Uniform),
                binding(1, wgpu::BufferBindingType::Storage { read_only: true }),
            ],
        });
        let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
            label: Some("present"),
            bind_group_layouts: &[Some(&bindings)],
            immediate_size: 0,
        });
        let pipeline = device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
            label: Some("present"),
            layout: Some(&layout),
            vertex: wgpu::VertexState {
                module: &module,
                entry_point: Some("cover"),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                buffers: &[],
            },
            primitive: wgpu::PrimitiveState::default(),
            depth_stencil: None,
            multisample: wgpu::MultisampleState::default(),
            fragment: Some(wgpu::FragmentState {
                module: &module,
                entry_point: Some("present"),
                compilation_options: wgpu::PipelineCompilationOptions::default(),
                targets: &[Some(format.into())],
            }),
            multiview_mask: None,
            cache: None,
        });
        let params = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("present params"),
            size: size_of::<PresentParams>() as u64,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        Self {
            pipeline,
            bindings,
            params,
        }
    }

    /// Draws the left and the right picture, both of the size that the layout says, each on its side
    /// of the dividing line.
    ///
    /// The pass must be submitted before the next call, since both share one set of parameters.
    pub fn draw(
        &self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        pass: &mut wgpu::RenderPass<'_>,
        views: [&wgpu::Buffer; 2],
        presentation: &Presentation,
        surface_px: [u32; 2],
    ) {
        let params = presentation.params();
        queue.write_buffer(&self.params, 0, bytemuck::bytes_of(&params));
        pass.set_pipeline(&self.pipeline);
        for (view, part) in views.into_iter().zip(parts(presentation, surface_px)) {
            let Some([x, y, width, height]) = part else {
                continue;
            };
            let group = device.create_bind_group(&wgpu::BindGroupDescriptor {
                label: Some("present"),
                layout: &self.bindings,
                entries: &[
                    wgpu::BindGroupEntry {
                        binding: 0,
                        resource: self.params.as_entire_binding(),
                    },
                    wgpu::BindGroupEntry {
                        binding: 1,
                        resource: view.as_entire_binding(),
                    },
                ],
            });
            pass.set_bind_group(0, &group, &[]);
            pass.set_scissor_rect(x, y, width, height);
            pass.draw(0..3, 0..1);
        }
    }
}

/// The surface pixels that the picture covers left and right of the dividing line, as x, y, width,
/// height; `None` where there are none.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held inside the surface the line before"
)]
fn parts(presentation: &Presentation, surface_px: [u32; 2]) -> [Option<[u32; 4]>; 2] {
    let [width_px, height_px] = surface_px.map(f64::from);
    let divider_px = presentation.divider_px.round().clamp(0.0, width_px);
    let picture = presentation.layout.visible(presentation.area).rounded();
    [(0.0, divider_px), (divider_px, width_px)].map(|(left_px, right_px)| {
        let side = WindowRect {
            left_px,
            top_px: 0.0,
            width_px: right_px - left_px,
            height_px,
        };
        let part = picture.intersect(side);
        let numbers = [part.left_px, part.top_px, part.width_px, part.height_px];
        let [x, y, width, height] = numbers.map(|v| v as u32);
        (width > 0 && height > 0).then_some([x, y, width, height])
    })
}

/// A buffer that the fragment stage reads.
fn binding(binding: u32, ty: wgpu::BufferBindingType) -> wgpu::BindGroupLayoutEntry {
    wgpu::BindGroupLayoutEntry {
        binding,
        visibility: wgpu::ShaderStages::FRAGMENT,
        ty: wgpu::BindingType::Buffer {
            ty,
            has_dynamic_offset: false,
            min_binding_size: None,
        },
        count: None,
    }
}
