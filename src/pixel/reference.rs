//! The plain truth: every view of a plan, one pixel after the other, as the formulas are written.
//! Slow on purpose; the fast engines are judged by it.

use super::color::to_u8;
use super::composite::{apply_chain, blend};
use super::frame::Frame;
use super::key::{luma, matte};
use super::plan::{Layer, Plan};
use super::sample::sample;
use super::views::{View, exposure, is_content, kept};

/// Black, what lies outside a picture.
const BLACK: [f32; 3] = [0.0; 3];

/// The picture that a plan describes, 8-bit R'G'B'.
pub fn compose(plan: &Plan<'_>) -> Frame {
    Frame::from_fn(plan.output, |x, y| pixel(plan, x, y).map(to_u8))
}

/// One pixel of the picture, 0 to 1, unrounded.
pub fn pixel(plan: &Plan<'_>, x: u32, y: u32) -> [f32; 3] {
    let camera = camera_signal(plan, x, y);
    let slide = slide_signal(plan, x, y);
    let key_luma = luma(slide, plan.kr, plan.kb);
    let m = matte(key_luma, plan.threshold, plan.softness, plan.ramp);
    match plan.view {
        View::Composite => blend(m, slide, camera, plan.alpha, plan.blend_space),
        View::Matte => [m; 3],
        View::Camera => camera,
        View::Slide => slide,
        View::Kept => {
            let content =
                is_slide_inside(plan, x, y) && is_content(slide, plan.background, plan.tolerance);
            kept(x, y, slide, key_luma, m, content)
        }
        View::Exposure => exposure(x, y, camera, luma(camera, plan.kr, plan.kb)),
    }
}

/// The camera signal at an output pixel: placed, black beside it.
pub fn camera_signal(plan: &Plan<'_>, x: u32, y: u32) -> [f32; 3] {
    layer_at(plan.camera.as_ref(), x, y).unwrap_or(BLACK)
}

/// The slide signal at an output pixel: placed, black beside it, after the chain.
pub fn slide_signal(plan: &Plan<'_>, x: u32, y: u32) -> [f32; 3] {
    let slide = layer_at(plan.slide.as_ref(), x, y).unwrap_or(BLACK);
    match plan.chain {
        Some((gain, offset)) => apply_chain(slide, gain, offset),
        None => slide,
    }
}

/// Whether the slide's picture covers an output pixel.
pub fn is_slide_inside(plan: &Plan<'_>, x: u32, y: u32) -> bool {
    plan.slide.as_ref().is_some_and(|slide| {
        slide.placed.columns[x as usize].count > 0 && slide.placed.rows[y as usize].count > 0
    })
}

/// R'G'B' of a layer at an output pixel; `None` outside its picture.
fn layer_at(layer: Option<&Layer<'_>>, x: u32, y: u32) -> Option<[f32; 3]> {
    let layer = layer?;
    let column = layer.placed.columns[x as usize];
    let row = layer.placed.rows[y as usize];
    (column.count > 0 && row.count > 0).then(|| sample(&layer.source, &layer.placed, column, row))
}
