//! How the slide's dark values are spread: what decides threshold and softness.

use rayon::prelude::*;

use crate::pixel::key::{Ramp, luma, matte};
use crate::pixel::plan::Plan;
use crate::pixel::reference::{is_slide_inside, slide_signal};
use crate::pixel::views::{MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE, is_content};

/// Luma at which the histogram ends, percent of white. Source: chosen, well beyond what keys of dark slides reach.
pub const HISTOGRAM_END_PERCENT: f64 = 25.0;
/// Bins over that range, 0.25 percent each. Source: chosen.
pub const HISTOGRAM_BINS: usize = 100;

/// Pixels of the placed slide by luma, from 0 to [`HISTOGRAM_END_PERCENT`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NearBlackHistogram {
    /// Pixels in each bin that are the slide's background.
    pub background: Vec<u64>,
    /// Pixels in each bin that are content.
    pub content: Vec<u64>,
    /// Background brighter than the last bin.
    pub background_above: u64,
    /// Content brighter than the last bin.
    pub content_above: u64,
}

/// What a key leaves of a slide, in percent of the pixels of its content and of its background.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeptShares {
    /// Content with a matte under 0.02.
    pub content_dropped: f64,
    /// Content between.
    pub content_in_the_ramp: f64,
    /// Content with a matte over 0.98.
    pub content_solid: f64,
    /// Background that is not dropped, and so lies over the camera.
    pub background_kept: f64,
}

impl NearBlackHistogram {
    /// No pixels yet.
    pub(crate) fn empty() -> Self {
        Self {
            background: vec![0; HISTOGRAM_BINS],
            content: vec![0; HISTOGRAM_BINS],
            background_above: 0,
            content_above: 0,
        }
    }

    /// Counts pixels of this luma, percent of white.
    pub(crate) fn add(&mut self, luma_percent: f64, is_content: bool, pixels: u64) {
        let bin = match (bin_of(luma_percent), is_content) {
            (Some(bin), true) => &mut self.content[bin],
            (Some(bin), false) => &mut self.background[bin],
            (None, true) => &mut self.content_above,
            (None, false) => &mut self.background_above,
        };
        *bin += pixels;
    }

    /// What this key leaves of the slide; none where the slide has no content.
    ///
    /// Each bin counts with the luma of its middle, so shares are off by what one bin holds.
    pub fn kept_shares(&self, threshold: f32, softness: f32, ramp: Ramp) -> Option<KeptShares> {
        let fate_of = |luma: f32| {
            let m = matte(luma, threshold, softness, ramp);
            usize::from(m >= MATTE_DROPPED_BELOW) + usize::from(m > MATTE_SOLID_ABOVE)
        };
        let fates = |bins: &[u64], above: u64| {
            let mut fates = [0; 3];
            for (luma, &pixels) in bin_middles().zip(bins) {
                fates[fate_of(luma)] += pixels;
            }
            // Where in the rest of the range these lie is not known; white stands for them.
            fates[fate_of(1.0)] += above;
            fates
        };
        let content = fates(&self.content, self.content_above);
        let background = fates(&self.background, self.background_above);
        let share =
            |part: u64, [a, b, c]: [u64; 3]| 100.0 * part as f64 / (a + b + c).max(1) as f64;
        (content != [0; 3]).then(|| KeptShares {
            content_dropped: share(content[0], content),
            content_in_the_ramp: share(content[1], content),
            content_solid: share(content[2], content),
            background_kept: share(background[1] + background[2], background),
        })
    }

    fn merged(mut self, other: &Self) -> Self {
        let add =
            |to: &mut Vec<u64>, from: &[u64]| to.iter_mut().zip(from).for_each(|(t, f)| *t += f);
        add(&mut self.background, &other.background);
        add(&mut self.content, &other.content);
        self.background_above += other.background_above;
        self.content_above += other.content_above;
        self
    }
}

/// Counts the slide signal as it reaches the key: placed, after the chain, black beside the slide left out.
pub fn measure_near_black(plan: &Plan<'_>) -> NearBlackHistogram {
    (0..plan.output.height())
        .into_par_iter()
        .fold(NearBlackHistogram::empty, |mut counts, y| {
            for x in (0..plan.output.width()).filter(|&x| is_slide_inside(plan, x, y)) {
                let slide = slide_signal(plan, x, y);
                let y_percent = 100.0 * f64::from(luma(slide, plan.kr, plan.kb));
                let content = is_content(slide, plan.background, plan.tolerance);
                counts.add(y_percent, content, 1);
            }
            counts
        })
        .reduce(NearBlackHistogram::empty, |a, b| a.merged(&b))
}

/// Luma in the middle of each bin, 0 to 1.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
fn bin_middles() -> impl Iterator<Item = f32> {
    let width = HISTOGRAM_END_PERCENT / 100.0 / HISTOGRAM_BINS as f64;
    (0..HISTOGRAM_BINS).map(move |bin| ((bin as f64 + 0.5) * width) as f32)
}

/// The bin of a luma; none above the end.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "0..=25 percent"
)]
fn bin_of(luma_percent: f64) -> Option<usize> {
    let position = luma_percent / HISTOGRAM_END_PERCENT * HISTOGRAM_BINS as f64;
    (0.0..HISTOGRAM_BINS as f64)
        .contains(&position)
        .then_some(position as usize)
}
