//! How the slide's dark values are spread: what decides threshold and softness.

use rayon::prelude::*;

use crate::pixel::key::luma;
use crate::pixel::plan::Plan;
use crate::pixel::reference::{is_slide_inside, slide_signal};
use crate::pixel::views::is_content;

/// Luma at which the histogram ends, percent of white.
pub const HISTOGRAM_END_PERCENT: f64 = 25.0;
/// Bins over that range, 0.25 percent each.
pub const HISTOGRAM_BINS: usize = 100;

/// Pixels of the placed slide by luma, from 0 to [`HISTOGRAM_END_PERCENT`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NearBlackHistogram {
    /// Pixels in each bin that are the slide's background.
    pub background: Vec<u64>,
    /// Pixels in each bin that are content.
    pub content: Vec<u64>,
    /// Content brighter than the last bin.
    pub content_above: u64,
}

impl NearBlackHistogram {
    fn empty() -> Self {
        Self {
            background: vec![0; HISTOGRAM_BINS],
            content: vec![0; HISTOGRAM_BINS],
            content_above: 0,
        }
    }

    fn merged(mut self, other: &Self) -> Self {
        let add =
            |to: &mut Vec<u64>, from: &[u64]| to.iter_mut().zip(from).for_each(|(t, f)| *t += f);
        add(&mut self.background, &other.background);
        add(&mut self.content, &other.content);
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
                match (bin_of(y_percent), content) {
                    (Some(bin), true) => counts.content[bin] += 1,
                    (Some(bin), false) => counts.background[bin] += 1,
                    (None, true) => counts.content_above += 1,
                    (None, false) => {}
                }
            }
            counts
        })
        .reduce(NearBlackHistogram::empty, |a, b| a.merged(&b))
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
