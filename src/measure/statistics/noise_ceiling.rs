//! The level that a noisy background hardly ever exceeds.

use super::level_counts::{Level, LevelCounts};

/// Fewest pixels that count: what fewer reach is a speck that nobody sees.
/// Source: the same 16 that a piece of content needs.
pub const LEAST_PIXELS: u64 = 16;
/// Steps of halving an interval. Source: 60 halvings of 1000 percent leave less than an `f64` holds.
const HALVINGS: u32 = 60;

/// Share of a normal distribution that lies more than `k` standard deviations over its mean.
///
/// `Q(k) = erfc(k / sqrt 2) / 2`
pub fn upper_tail(k: f64) -> f64 {
    0.5 * libm::erfc(k / std::f64::consts::SQRT_2)
}

/// The luma, percent of white, that `expected_pixels` pixels of a frame exceed on average when
/// normal noise of `noise_percent` lies on the background: `sum n_i Q((L - y_i) / noise) = expected`.
///
/// Without noise the highest level of the background. Either way the brightest pixels count as the
/// [`LEAST_PIXELS`]th brightest, so that specks do not decide. None where there are fewer pixels.
pub fn noise_ceiling(
    background: &LevelCounts,
    noise_percent: f64,
    expected_pixels: f64,
) -> Option<f64> {
    let highest = background.reached_by(LEAST_PIXELS)?;
    if noise_percent <= 0.0 {
        return Some(highest.percent());
    }
    let exceeding = |ceiling: f64| -> f64 {
        let over = |level: Level| (ceiling - level.min(highest).percent()) / noise_percent;
        let expected = background
            .iter()
            .map(|(level, pixels)| pixels as f64 * upper_tail(over(level)));
        expected.sum()
    };
    // 40 standard deviations are beyond what any number of pixels reaches in `f64`.
    let (mut low, mut high) = (
        highest.percent() - 40.0 * noise_percent,
        highest.percent() + 40.0 * noise_percent,
    );
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if exceeding(middle) > expected_pixels {
            low = middle;
        } else {
            high = middle;
        }
    }
    // What noise would take under the background's own level is no reason to key lower.
    Some(high.max(highest.percent()))
}
