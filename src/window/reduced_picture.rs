//! The picture as the window shows it at less than its own size, made by the processor.
//! A software adapter takes many times as long for the averages of `shaders/present.wgsl`.

use super::picture::{PictureLayout, WindowRect};
use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::Frame;
use crate::pixel::placement::{Placed, Tap};
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::{Background, View};

/// What is seen of a frame in whole pixels of the window, each the mean over its area, and where that lies.
///
/// None where nothing is seen, and where the frame is shown at its own size or larger.
pub fn reduced(
    frame: &Frame,
    layout: &PictureLayout,
    area: WindowRect,
) -> Option<(Frame, PictureLayout)> {
    let seen = layout.visible(area).rounded();
    let [_, _, width, height] = seen.pixels().filter(|_| layout.zoom < 1.0)?;
    let size = Size::new(width, height).ok()?;
    let corner = [seen.left_px, seen.top_px];
    let [columns, rows] = [
        (0, width, frame.size().width()),
        (1, height, frame.size().height()),
    ]
    .map(|(axis, seen_px, frame_px)| {
        let before = corner[axis] - layout.corner_px[axis];
        taps(before, seen_px, layout.zoom, frame_px)
    });
    let settings = Settings {
        view: View::Camera,
        ..Settings::default()
    };
    let mut plan = Plan::new(&Scene {
        camera: Some(frame),
        slide: None,
        background: Background::BLACK,
        settings: &settings,
    });
    plan.output = size;
    plan.camera.as_mut()?.placed = Placed {
        columns,
        rows,
        column_stride: 1,
        row_stride: frame.size().width(),
        untouched: false,
    };
    let layout = PictureLayout {
        corner_px: corner,
        zoom: 1.0,
        output: size,
    };
    Some((compose(&plan), layout))
}

/// The taps along an axis of window pixels, of which the first is `before` pixels from the picture's edge.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places in the picture, and shares of a pixel"
)]
fn taps(before: f64, seen_px: u32, zoom: f64, frame_px: u32) -> Vec<Tap> {
    let place = |window_px: f64| ((before + window_px) / zoom).clamp(0.0, f64::from(frame_px));
    let tap = |window_px: u32| {
        let (from, to) = (place(window_px.into()), place(f64::from(window_px) + 1.0));
        let (first, end) = (from.floor(), to.ceil());
        let share = |from: f64, to: f64, whole: f64| ((to - from) / whole) as f32;
        Tap {
            first: first as u32,
            count: (end - first) as u32,
            first_weight: share(from, to.min(first + 1.0), to - from),
            middle_weight: share(0.0, 1.0, to - from),
            last_weight: share(end - 1.0, to, to - from),
        }
    };
    (0..seen_px).map(tap).collect()
}
