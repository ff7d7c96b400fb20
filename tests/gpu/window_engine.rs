//! The window's engine on an adapter that has no room for a slide.

use std::sync::Arc;

use nightglass::gpu::device::{Gpu, GpuError};
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::{Background, View};
use nightglass::window::engine::{Ingredients, WindowEngine};

use crate::harness::{Check, Tally};

/// Bytes of a buffer: 32 x 32 pixels have room, 64 x 64 have not.
const ROOM_BYTES: u64 = 8192;

pub(crate) fn checks() -> Vec<Check> {
    vec![Check::new("window engine: a slide without room", |gpu| {
        slide_without_room(gpu)
    })]
}

fn slide_without_room(gpu: &Gpu) -> Result<Tally, String> {
    let (required_features, limits) = Gpu::required(&gpu.adapter);
    let descriptor = wgpu::DeviceDescriptor {
        required_features,
        required_limits: wgpu::Limits {
            max_storage_buffer_binding_size: ROOM_BYTES,
            ..limits
        },
        ..wgpu::DeviceDescriptor::default()
    };
    let (device, queue) = pollster::block_on(gpu.adapter.request_device(&descriptor))
        .map_err(|error| error.to_string())?;
    let small = Gpu::from_parts(gpu.adapter.clone(), device, queue);
    let mut engine = WindowEngine::new(small, false).map_err(|error| error.to_string())?;
    let frame = |side| {
        Arc::new(Frame::from_fn(Size::new(side, side).unwrap(), |_, _| {
            [99; 3]
        }))
    };
    let camera = frame(32);
    let with_slide = |side| Ingredients {
        camera: Some(Arc::clone(&camera)),
        slide: Some(frame(side)),
        background: Background::BLACK,
        settings: Settings::default(),
    };
    let views = [View::Composite];
    let fitting = with_slide(32);
    engine
        .show(fitting.clone(), &views)
        .map_err(|error| error.to_string())?;
    let large = with_slide(64);
    // The same failure every time, not that nothing changed since the last.
    for _ in 0..2 {
        match engine.show(large.clone(), &views) {
            Err(GpuError::PictureTooLarge { .. }) => {}
            other => return Err(format!("expected `PictureTooLarge`, got {other:?}")),
        }
    }
    engine
        .show(fitting, &[View::Slide])
        .map_err(|error| format!("the slide before does not come back: {error}"))?;
    engine.move_to_processor();
    engine
        .show(large, &views)
        .map_err(|error| format!("the processor does not take over: {error}"))?;
    if engine.output(View::Composite).is_none() {
        return Err("the processor made no picture".to_owned());
    }
    Ok(Tally {
        compared: 5,
        ..Tally::default()
    })
}
