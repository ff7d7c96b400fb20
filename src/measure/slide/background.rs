//! What a slide's own background is.

use std::collections::BTreeMap;

use crate::pixel::frame::Frame;
use crate::pixel::sample::{Source, fetch};
use crate::pixel::settings::CodeRange;
use crate::pixel::views::Background;

/// Most pixels that are looked at along each axis. Source: chosen; a grid of 480 x 270 of an HD slide.
const MAX_SAMPLES_PER_AXIS: u32 = 480;
/// Width of the slide's border, one part in this many of its shorter side. Source: chosen; 21 px at 1080
/// lines, wider than a line drawn round a slide and narrower than what lies on it.
const BORDER_PART: u32 = 50;
/// What the border weighs, of what all the rest weighs. Source: chosen; a picture of one colour then
/// takes over the background from 7/8 of the slide on, and bars above and below it at no height.
const BORDER_WEIGHT: f64 = 0.75;
/// Bits of a channel that name a colour bin; 5 makes bins of 8 codes. Source: chosen.
const BIN_BITS: u32 = 5;

/// The colour that covers most of the slide, its border weighing as much as three quarters of all the
/// rest: a background reaches round what lies on it, however large that is.
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
    let border = (size.width().min(size.height()) / BORDER_PART).max(1);
    let mut samples: Vec<([f32; 3], bool)> = Vec::new();
    for y in (0..size.height()).step_by(step_y as usize) {
        for x in (0..size.width()).step_by(step_x as usize) {
            let on_border = x < border
                || y < border
                || x + border >= size.width()
                || y + border >= size.height();
            let color = fetch(&source, y as usize * size.width() as usize + x as usize);
            samples.push((color, on_border));
        }
    }
    let on_border = samples.iter().filter(|(_, on_border)| *on_border).count();
    let inside = samples.len() - on_border;
    let border_weight = (BORDER_WEIGHT * inside as f64 / on_border.max(1) as f64).max(1.0);
    let weighed = |(color, on_border)| (color, if on_border { border_weight } else { 1.0 });
    let colors: Vec<([f32; 3], f64)> = samples.into_iter().map(weighed).collect();
    let mut bins: BTreeMap<[u32; 3], f64> = BTreeMap::new();
    for (color, weight) in &colors {
        *bins.entry(color.map(bin)).or_default() += weight;
    }
    let fullest = bins
        .iter()
        .max_by(|a, b| a.1.total_cmp(b.1))
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
fn weighted_mean(colors: &[([f32; 3], f64)], counts: impl Fn([f32; 3]) -> bool) -> [f32; 3] {
    let mut sum = [0.0_f64; 3];
    let mut total = 0.0_f64;
    for (color, weight) in colors.iter().filter(|(color, _)| counts(*color)) {
        total += weight;
        for c in 0..3 {
            sum[c] += f64::from(color[c]) * weight;
        }
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a mean of values 0..=1, to their precision"
    )]
    sum.map(|s| if total > 0.0 { (s / total) as f32 } else { 0.0 })
}
