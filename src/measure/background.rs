//! What a slide's own background is.

use std::collections::BTreeMap;

use crate::pixel::frame::Frame;
use crate::pixel::sample::{Source, fetch};
use crate::pixel::settings::CodeRange;
use crate::pixel::views::Background;

/// Most pixels that are looked at along each axis. Source: chosen; a grid of 480 x 270 of an HD slide.
const MAX_SAMPLES_PER_AXIS: u32 = 480;
/// Bits of a channel that name a colour bin; 5 makes bins of 8 codes.
const BIN_BITS: u32 = 5;

/// The colour that covers most of the slide, border pixels counting tenfold.
///
/// The mean of the fullest bin of 8 codes a channel, its neighbours' pixels within the tolerance
/// included, so that dither and compression noise do not move it.
pub fn measure_background(slide: &Frame, range: CodeRange) -> Background {
    let source = Source {
        frame: slide,
        range,
        flattened: true,
    };
    let size = slide.size();
    let step = |side: u32| side.div_ceil(MAX_SAMPLES_PER_AXIS).max(1);
    let (step_x, step_y) = (step(size.width()), step(size.height()));
    let mut colors: Vec<([f32; 3], u32)> = Vec::new();
    let mut bins: BTreeMap<[u32; 3], u32> = BTreeMap::new();
    for y in (0..size.height()).step_by(step_y as usize) {
        for x in (0..size.width()).step_by(step_x as usize) {
            let on_border = x < step_x
                || y < step_y
                || x + step_x >= size.width()
                || y + step_y >= size.height();
            let weight = if on_border { 10 } else { 1 };
            let color = fetch(&source, y as usize * size.width() as usize + x as usize);
            *bins.entry(color.map(bin)).or_default() += weight;
            colors.push((color, weight));
        }
    }
    let fullest = bins
        .iter()
        .max_by_key(|(_, count)| **count)
        .map_or([0; 3], |(bin, _)| *bin);
    let first = weighted_mean(&colors, |color| color.map(bin) == fullest);
    let near =
        |color: [f32; 3]| (0..3).all(|c| (color[c] - first[c]).abs() <= Background::TOLERANCE);
    // The mean of a bin may lie where no pixel is, between two colours; the bin's mean stands then.
    let color = if colors.iter().any(|(color, _)| near(*color)) {
        weighted_mean(&colors, near)
    } else {
        first
    };
    Background {
        color,
        tolerance: Background::TOLERANCE,
    }
}

/// The bin of a channel.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is 0..=1"
)]
fn bin(v: f32) -> u32 {
    let codes = (v * 255.0 + 0.5) as u32;
    codes >> (8 - BIN_BITS)
}

/// Mean of the colours that `counts` accepts; black where there are none.
fn weighted_mean(colors: &[([f32; 3], u32)], counts: impl Fn([f32; 3]) -> bool) -> [f32; 3] {
    let mut sum = [0.0_f64; 3];
    let mut total = 0.0_f64;
    for (color, weight) in colors.iter().filter(|(color, _)| counts(*color)) {
        total += f64::from(*weight);
        for c in 0..3 {
            sum[c] += f64::from(color[c]) * f64::from(*weight);
        }
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a mean of values 0..=1, to their precision"
    )]
    sum.map(|s| if total > 0.0 { (s / total) as f32 } else { 0.0 })
}
