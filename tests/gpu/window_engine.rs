//! The window's engine: on an adapter that has no room for a slide, and on the processor, which fills the
//! buffers that the window shows.

use std::sync::Arc;

use nightglass::gpu::device::{Gpu, GpuError};
use nightglass::pixel::cpu_engine::compose;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::{Background, View};
use nightglass::window::engine::{Ingredients, WindowEngine};
use nightglass::window::picture::{WindowRect, layout};
use nightglass::window::reduced_picture::reduced;
use nightglass::window::zooming::Zoom;

use crate::gpu_frames::{camera, size, slide};
use crate::harness::{Check, Tally};
use crate::read_back::buffer_bytes;

/// Bytes of a buffer: 32 x 32 pixels have room, 64 x 64 have not.
const ROOM_BYTES: u64 = 8192;

pub(crate) fn checks() -> Vec<Check> {
    vec![
        Check::new("window engine: a slide without room", |gpu| {
            slide_without_room(gpu)
        }),
        Check::new("window engine: whole and reduced in turn", |gpu| {
            whole_and_reduced(gpu)
        }),
        Check::new("window engine: two views across a takeover", |gpu| {
            two_views_across_a_takeover(gpu)
        }),
    ]
}

/// What is in the buffer of the composite on the processor is what was asked for last.
fn whole_and_reduced(gpu: &Gpu) -> Result<Tally, String> {
    let area = WindowRect::of_surface([40, 30]);
    let mut engine = WindowEngine::new(gpu.clone(), true).map_err(|error| error.to_string())?;
    let mut ingredients = Ingredients {
        camera: Some(Arc::new(camera(size(64, 48)))),
        slide: Some(Arc::new(slide(size(64, 48)))),
        background: Background::BLACK,
        settings: Settings::default(),
    };
    let mut tally = Tally::default();
    for threshold in [6.0, 40.0] {
        let key = &mut ingredients.settings.key;
        *key = key
            .with_threshold(threshold)
            .map_err(|error| error.to_string())?;
        engine
            .show(ingredients.clone(), &[View::Composite])
            .map_err(|error| error.to_string())?;
        let composite = compose(&ingredients.plan(&ingredients.settings));
        let at = |zoom| layout(zoom, [0.5; 2], composite.size(), area);
        // Fitted, at its own size, enlarged, smaller, all of it for another window, as before that, and fitted again.
        let zooms = [
            Some(Zoom::Fit),
            Some(Zoom::Scale(1.0)),
            Some(Zoom::Scale(2.0)),
            Some(Zoom::Scale(0.3)),
            None,
            Some(Zoom::Scale(0.3)),
            Some(Zoom::Fit),
        ];
        for zoom in zooms {
            let expected = if let Some(zoom) = zoom {
                let laid = engine.lay_out(View::Composite, &at(zoom), area);
                let (frame, layout) = reduced(&composite, &at(zoom), area)
                    .unwrap_or_else(|| (composite.clone(), at(zoom)));
                if laid != Some(layout) {
                    return Err(format!("{zoom:?}: laid out as {laid:?}"));
                }
                frame
            } else {
                engine.whole(View::Composite).ok_or("no picture")?;
                composite.clone()
            };
            let output = engine.output(View::Composite).ok_or("no picture")?;
            let held = buffer_bytes(gpu, output.buffer(), expected.bytes().len())?;
            if held != expected.bytes() {
                return Err(format!(
                    "{zoom:?} at threshold {threshold}: another picture"
                ));
            }
            tally.compared += expected.size().area();
        }
    }
    Ok(tally)
}

/// Both sides of the dividing line are laid out as one, whichever of them the adapter had made before.
fn two_views_across_a_takeover(gpu: &Gpu) -> Result<Tally, String> {
    let area = WindowRect::of_surface([40, 30]);
    let mut engine = WindowEngine::new(gpu.clone(), false).map_err(|error| error.to_string())?;
    let ingredients = Ingredients {
        camera: Some(Arc::new(camera(size(64, 48)))),
        slide: Some(Arc::new(slide(size(64, 48)))),
        background: Background::BLACK,
        settings: Settings::default(),
    };
    let views = [View::Composite, View::Matte];
    // The adapter fails at the right one.
    engine
        .show(ingredients.clone(), &views[..1])
        .map_err(|error| error.to_string())?;
    engine.move_to_processor();
    engine
        .show(ingredients.clone(), &views)
        .map_err(|error| error.to_string())?;
    let at = layout(Zoom::Fit, [0.5; 2], engine.output_size(), area);
    let mut tally = Tally::default();
    for view in views {
        let settings = Settings {
            view,
            ..ingredients.settings
        };
        let whole = compose(&ingredients.plan(&settings));
        let (expected, expected_layout) = reduced(&whole, &at, area).ok_or("nothing is seen")?;
        let laid = engine.lay_out(view, &at, area);
        if laid != Some(expected_layout) {
            return Err(format!("{view:?}: laid out as {laid:?}"));
        }
        let output = engine.output(view).ok_or("no picture")?;
        if buffer_bytes(gpu, output.buffer(), expected.bytes().len())? != expected.bytes() {
            return Err(format!("{view:?}: another picture"));
        }
        tally.compared += expected.size().area();
    }
    Ok(tally)
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
    let mut engine = WindowEngine::new(small.clone(), false).map_err(|error| error.to_string())?;
    let frame = |side, code| {
        Arc::new(Frame::from_fn(Size::new(side, side).unwrap(), |_, _| {
            [code; 3]
        }))
    };
    let camera = frame(32, 99);
    let with_slide = |side, code| Ingredients {
        camera: Some(Arc::clone(&camera)),
        slide: Some(frame(side, code)),
        background: Background::BLACK,
        settings: Settings::default(),
    };
    let views = [View::Composite];
    let fitting = with_slide(32, 120);
    engine
        .show(fitting.clone(), &views)
        .map_err(|error| error.to_string())?;
    let large = with_slide(64, 200);
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
        .show(large.clone(), &views)
        .map_err(|error| format!("the processor does not take over: {error}"))?;
    let expected = compose(&large.plan(&large.settings));
    let whole = engine.whole(View::Composite).ok_or("no picture")?;
    if buffer_bytes(&small, whole.buffer(), expected.bytes().len())? != expected.bytes() {
        return Err("the processor made another picture".to_owned());
    }
    Ok(Tally {
        compared: 5,
        ..Tally::default()
    })
}
