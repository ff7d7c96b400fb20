//! Where luma and counts lie in the histogram: pure geometry.

use egui::Rect;

use crate::measure::key::histogram::HISTOGRAM_END_PERCENT;
use crate::pixel::settings::Key;

/// Luma from one number of the axis to the next, percent of white. Source: chosen, a fifth of [`HISTOGRAM_END_PERCENT`].
const NUMBER_EVERY_PERCENT: f64 = 5.0;

/// The rectangle of the histogram; luma runs from its left edge to its right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HistogramAxis {
    /// In points.
    pub rect: Rect,
}

impl HistogramAxis {
    /// Where a luma lies; beyond the end it stays at the right edge.
    pub fn x_of_luma(&self, percent: f64) -> f32 {
        let share = (percent / HISTOGRAM_END_PERCENT).clamp(0.0, 1.0);
        self.rect.left() + narrowed(share) * self.rect.width()
    }

    /// The luma at a place, 0 to the end of the axis, to a twentieth of a percent.
    pub fn luma_at_x(&self, x: f32) -> f64 {
        let share = f64::from((x - self.rect.left()) / self.rect.width()).clamp(0.0, 1.0);
        (share * HISTOGRAM_END_PERCENT * 20.0).round() / 20.0
    }

    /// Height of a bar, as a part of the largest: `ln(1 + count) / ln(1 + largest)`.
    pub fn bar_share(count: u64, largest: u64) -> f32 {
        if largest == 0 {
            return 0.0;
        }
        narrowed((count as f64).ln_1p() / (largest as f64).ln_1p())
    }

    /// The luma at which the key is solid.
    pub fn solid_percent(key: &Key) -> f64 {
        key.threshold_percent() + key.softness_percent()
    }
}

/// The lumas that stand under the axis, percent of white: from 0 to its end in equal steps.
pub fn axis_numbers() -> impl Iterator<Item = f64> {
    let step = |number: u32| f64::from(number) * NUMBER_EVERY_PERCENT;
    (0..)
        .map(step)
        .take_while(|percent| *percent <= HISTOGRAM_END_PERCENT)
}

/// A number from 0 to 1 in single precision.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen positions need no more"
)]
fn narrowed(share: f64) -> f32 {
    share as f32
}
