//! Whole frames from the adapter against `pixel::reference`, every scene in every view, and what
//! happens where there is no picture to compare.

use nightglass::gpu::compositor::{Compositor, OutputBuffer};
use nightglass::gpu::device::{Gpu, GpuError};
use nightglass::pixel::frame::Frame;
use nightglass::pixel::plan::Plan;
use nightglass::pixel::reference;
use nightglass::pixel::settings::BlendSpace;
use nightglass::pixel::views::View;
use wgpu::{DeviceDescriptor, Limits};

use crate::gpu_compare::{Allowed, Comparison, FromGpu, Truth, compare};
use crate::harness::{Check, Tally};
use crate::scenes::{NamedScene, scenes};

/// The checks of this file.
pub(crate) fn checks() -> Vec<Check> {
    let mut checks: Vec<Check> = scenes()
        .into_iter()
        .map(|scene| {
            Check::new(format!("parity: {}", scene.name), move |gpu| {
                every_view(gpu, &scene)
            })
        })
        .collect();
    checks.extend([
        Check::new(
            "parity: a frame does not depend on the one before",
            in_a_row,
        ),
        Check::new(
            "parity: the window's way makes the same picture",
            as_the_window,
        ),
        Check::new(
            "parity: one upload serves many pictures",
            one_upload_many_pictures,
        ),
        Check::new("parity: a grid of many rows", many_rows_of_workgroups),
        Check::new(
            "errors: a picture over the limits is refused first",
            over_the_limits,
        ),
        Check::new(
            "errors: a shader that does not parse is no panic",
            broken_shader,
        ),
        Check::new("errors: a lost device is no panic", lost_device),
        Check::new("errors: a frame that was not uploaded", not_uploaded),
    ]);
    checks
}

/// What a plan's picture may be off: nothing in software without `pow`, else by rounding; a code in
/// more pixels where the adapter may fuse.
pub(crate) fn allowed(gpu: &Gpu, plan: &Plan<'_>) -> Allowed {
    let pow = plan.view == View::Composite && plan.blend_space == BlendSpace::Linear;
    match (gpu.is_software(), pow) {
        (true, false) => Allowed::NOTHING,
        (true, true) => Allowed::POW,
        (false, _) => Allowed::FUSED,
    }
}

fn every_view(gpu: &Gpu, scene: &NamedScene) -> Result<Tally, String> {
    let mut compositor = Compositor::new(gpu).map_err(|error| error.to_string())?;
    let mut tally = Tally::default();
    for view in View::ALL {
        scene.with_plan(view, |plan| {
            let made = compositor
                .compose(plan)
                .map_err(|error| format!("{view:?}: {error}"))?;
            judge(gpu, scene.name, plan, made, &mut tally)
        })?;
    }
    Ok(tally)
}

/// Compares a frame with the truth and adds it to the tally.
fn judge(
    gpu: &Gpu,
    name: &str,
    plan: &Plan<'_>,
    made: Frame,
    tally: &mut Tally,
) -> Result<(), String> {
    let truth = Truth(reference::compose(plan));
    let name = format!("{name} {:?}", plan.view);
    let Comparison {
        pixels,
        off_by_one,
        off_by_more,
        largest: _,
    } = compare(&name, &truth, &FromGpu(made), allowed(gpu, plan))?;
    tally.compared += pixels;
    tally.off_by_one += off_by_one;
    tally.off_by_more += off_by_more;
    Ok(())
}

/// One compositor through all scenes, large and small, so that stale pixels and taps would show.
fn in_a_row(gpu: &Gpu) -> Result<Tally, String> {
    let mut compositor = Compositor::new(gpu).map_err(|error| error.to_string())?;
    let mut tally = Tally::default();
    for scene in scenes() {
        scene.with_plan(View::Composite, |plan| {
            let made = compositor
                .compose(plan)
                .map_err(|error| error.to_string())?;
            judge(gpu, scene.name, plan, made, &mut tally)
        })?;
    }
    Ok(tally)
}

/// Upload once, encode often, and show a frame that the processor made through the same buffer.
fn as_the_window(gpu: &Gpu) -> Result<Tally, String> {
    let text = |error: GpuError| error.to_string();
    let mut compositor = Compositor::new(gpu).map_err(text)?;
    let mut tally = Tally::default();
    let scene = find("mirrored camera, odd");
    let mut output = None;
    for view in View::ALL {
        scene.with_plan(view, |plan| {
            let output = match &mut output {
                Some(output) => output,
                empty => {
                    let frame =
                        |layer: &nightglass::pixel::plan::Layer<'_>| layer.source.frame.clone();
                    let camera = plan.camera.as_ref().map(frame);
                    let slide = plan.slide.as_ref().map(frame);
                    compositor.upload_camera(camera.as_ref()).map_err(text)?;
                    compositor.upload_slide(slide.as_ref()).map_err(text)?;
                    empty.insert(OutputBuffer::new(gpu, plan.output).map_err(text)?)
                }
            };
            let mut encoder = gpu
                .device
                .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
            compositor
                .encode(&mut encoder, plan, output)
                .map_err(text)?;
            gpu.queue.submit([encoder.finish()]);
            let made = read(gpu, output)?;
            judge(gpu, "as the window", plan, made, &mut tally)?;
            output.write(&gpu.queue, &reference::compose(plan));
            let shown = read(gpu, output)?;
            judge(gpu, "shown from the processor", plan, shown, &mut tally)
        })?;
    }
    Ok(tally)
}

/// Upload both frames once, then every view and a change of the key without another upload.
fn one_upload_many_pictures(gpu: &Gpu) -> Result<Tally, String> {
    let text = |error: GpuError| error.to_string();
    let mut compositor = Compositor::new(gpu).map_err(text)?;
    let mut tally = Tally::default();
    let scene = find("enlarged slide, odd");
    scene.with_plan(View::Composite, |plan| {
        compositor.compose(plan).map_err(text)
    })?;
    for view in View::ALL {
        scene.with_plan(view, |plan| {
            for threshold in [plan.threshold, 0.3] {
                let plan = Plan {
                    threshold,
                    ..plan.clone()
                };
                let made = compositor.compose_uploaded(&plan).map_err(text)?;
                judge(gpu, "one upload", &plan, made, &mut tally)?;
            }
            Ok::<(), String>(())
        })?;
    }
    Ok(tally)
}

/// Reads an output buffer, which the window never does.
fn read(gpu: &Gpu, output: &OutputBuffer) -> Result<Frame, String> {
    let bytes = output.buffer().size();
    let staging = gpu.device.create_buffer(&wgpu::BufferDescriptor {
        label: None,
        size: bytes,
        usage: wgpu::BufferUsages::MAP_READ | wgpu::BufferUsages::COPY_DST,
        mapped_at_creation: false,
    });
    let mut encoder = gpu
        .device
        .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    encoder.copy_buffer_to_buffer(output.buffer(), 0, &staging, 0, bytes);
    gpu.queue.submit([encoder.finish()]);
    staging.map_async(wgpu::MapMode::Read, .., |result| result.unwrap());
    gpu.device
        .poll(wgpu::PollType::wait_indefinitely())
        .unwrap();
    let mapped = staging.get_mapped_range(..).unwrap();
    let words: &[[u8; 4]] = bytemuck::cast_slice(&mapped);
    let pixels = words[..output.size().area()].to_vec();
    let pixels = nightglass::pixel::frame::Pixels::Rgba8(pixels);
    Frame::new(output.size(), pixels).map_err(|error| error.to_string())
}

/// The scene with this name.
pub(crate) fn find(name: &str) -> NamedScene {
    scenes()
        .into_iter()
        .find(|scene| scene.name == name)
        .unwrap_or_else(|| panic!("no scene `{name}`"))
}

/// The same adapter opened with other limits.
fn reopened(gpu: &Gpu, change: impl FnOnce(&mut Limits)) -> Gpu {
    let (required_features, mut required_limits) = Gpu::required(&gpu.adapter);
    change(&mut required_limits);
    let descriptor = DeviceDescriptor {
        required_features,
        required_limits,
        ..DeviceDescriptor::default()
    };
    let (device, queue) = pollster::block_on(gpu.adapter.request_device(&descriptor)).unwrap();
    Gpu::from_parts(gpu.adapter.clone(), device, queue)
}

/// Real frames need more than 65,535 workgroups only from 8192x4096 on; a lower limit needs no
/// large frame.
fn many_rows_of_workgroups(gpu: &Gpu) -> Result<Tally, String> {
    let narrow = reopened(gpu, |limits| {
        limits.max_compute_workgroups_per_dimension = 30;
    });
    every_view(&narrow, &find("641x359"))
}

fn over_the_limits(gpu: &Gpu) -> Result<Tally, String> {
    let small = reopened(gpu, |limits| {
        limits.max_storage_buffer_binding_size = 65_536;
    });
    let mut compositor = Compositor::new(&small).map_err(|error| error.to_string())?;
    let scene = find("641x359");
    let error = scene.with_plan(View::Composite, |plan| {
        assert!(compositor.fits(plan).is_err());
        compositor.compose(plan).unwrap_err()
    });
    match &error {
        GpuError::PictureTooLarge {
            limit,
            need,
            allowed,
            ..
        } => {
            assert_eq!(*limit, "maxStorageBufferBindingSize");
            assert_eq!((*need, *allowed), (641 * 359 * 4 + 4, 65_536));
        }
        other => return Err(format!("got {other}")),
    }
    assert!(error.hint().is_some());
    scene_still_works(&mut compositor, &error.to_string())
}

/// After an error the compositor goes on.
fn scene_still_works(compositor: &mut Compositor, note: &str) -> Result<Tally, String> {
    let frame = find("1x1").with_plan(View::Composite, |plan| compositor.compose(plan));
    frame.map_err(|error| error.to_string())?;
    Ok(Tally {
        compared: 1,
        note: note.to_owned(),
        ..Tally::default()
    })
}

fn broken_shader(gpu: &Gpu) -> Result<Tally, String> {
    match Compositor::with_shader(gpu, "fn nonsense(") {
        Err(GpuError::Refused { .. }) => {}
        Err(other) => return Err(format!("got {other}")),
        Ok(_) => return Err("was taken".to_owned()),
    }
    let mut compositor = Compositor::new(gpu).map_err(|error| error.to_string())?;
    scene_still_works(&mut compositor, "")
}

fn lost_device(gpu: &Gpu) -> Result<Tally, String> {
    let lost = reopened(gpu, |_| {});
    let mut compositor = Compositor::new(&lost).map_err(|error| error.to_string())?;
    scene_still_works(&mut compositor, "")?;
    lost.device.destroy();
    let frame = find("odd").with_plan(View::Composite, |plan| compositor.compose(plan));
    match frame {
        Err(GpuError::DeviceLost { .. }) => Ok(Tally {
            compared: 1,
            ..Tally::default()
        }),
        Err(other) => Err(format!("got {other}")),
        Ok(_) => Err("a picture came from a lost device".to_owned()),
    }
}

fn not_uploaded(gpu: &Gpu) -> Result<Tally, String> {
    let mut compositor = Compositor::new(gpu).map_err(|error| error.to_string())?;
    find("odd").with_plan(View::Composite, |plan| {
        let output = OutputBuffer::new(gpu, plan.output).unwrap();
        let mut encoder = gpu
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        match compositor.encode(&mut encoder, plan, &output) {
            Err(GpuError::NotUploaded { what: "camera" }) => Ok(()),
            other => Err(format!("got {other:?}")),
        }
    })?;
    scene_still_works(&mut compositor, "")
}
