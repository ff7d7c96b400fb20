//! What a key costs a deck, and the key that costs least where none is free.

use super::slide_levels::SlideLevels;
use crate::measure::statistics::level_counts::Level;
use crate::pixel::key::matte;
use crate::pixel::settings::{Alpha, Key, SettingsError};

/// Whole of a share, in the whole numbers that shares are added up in, so that order does not matter.
/// Source: chosen; a million slides add up to less than an `f64` holds exactly.
const WHOLE_SHARE: u64 = 1 << 32;
/// How far levels are taken to drift when a compromise is looked for, standard deviation in percent
/// of white. Source: chosen; about one 8-bit code, so that the key keeps away from levels where it can.
const DRIFT_PERCENT: f64 = 0.5;
/// Highest threshold of a compromise, percent of white. Source: chosen, where the near black ends.
const MOST_THRESHOLD_PERCENT: f64 = 25.0;
/// Thresholds are tried in tenths of a percent, as people turn knobs.
const THRESHOLDS_PER_PERCENT: u32 = 10;
/// Softnesses that are tried, in halves of a percent: 0.5 to 8. Source: chosen.
const HALF_PERCENT_SOFTNESSES: u32 = 16;
/// Cost at which a softer ramp is worth it. Source: chosen; a twentieth of a percent is not seen,
/// the jagged edges of a hard step are.
const COST_OF_SOFTNESS: f64 = 0.05;
/// Standard deviations after which a normal distribution counts as nothing. Source: Q(5) is 2.9e-7.
const TAIL_DEVIATIONS: f64 = 5.0;

/// What a key costs a deck, means over its slides.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct KeyCost {
    /// Visible content that is not kept, percent of it; half transparent content counts half.
    pub content_lost_percent: f64,
    /// Luma that backgrounds add over a black camera, percent of white.
    pub haze_percent: f64,
}

/// Shares of a deck at each level: the mean over its slides.
#[derive(Clone, Debug)]
pub(super) struct DeckShares {
    /// Share of the output that is background at the level.
    background: Vec<f64>,
    /// Share of a slide's visible content at the level.
    content: Vec<f64>,
}

impl DeckShares {
    /// Adds up the slides, each counting the same.
    pub(crate) fn of<'a>(slides: impl Iterator<Item = &'a SlideLevels>) -> Self {
        let mut background = vec![0_u64; Level::WHITE.index() + 1];
        let mut content = background.clone();
        let mut count = 0_u64;
        for slide in slides {
            count += 1;
            let share = |pixels: u64, all: u64| pixels * WHOLE_SHARE / all.max(1);
            for (level, pixels) in slide.background.iter() {
                background[level.index()] += share(pixels, slide.output_px);
            }
            let all = slide.content.total();
            for (level, pixels) in slide.content.iter() {
                content[level.index()] += share(pixels, all);
            }
        }
        let whole = (count.max(1) * WHOLE_SHARE) as f64;
        let means = |sums: Vec<u64>| sums.into_iter().map(|sum| sum as f64 / whole).collect();
        Self {
            background: means(background),
            content: means(content),
        }
    }

    /// The same with normal noise on background and content, percent of white.
    pub(crate) fn with_noise(&self, background_percent: f64, content_percent: f64) -> Self {
        Self {
            background: blurred(&self.background, background_percent),
            content: blurred(&self.content, content_percent),
        }
    }

    /// What a key costs.
    pub(crate) fn cost(&self, key: &Key) -> KeyCost {
        let (t, s) = (key.threshold_frac(), key.softness_frac());
        let kept = |luma: f32| f64::from(matte(luma, t, s, key.ramp));
        let lost = occupied(&self.content).map(|(luma, share)| share * (1.0 - kept(luma)));
        let haze = occupied(&self.background).map(|(luma, share)| {
            let added = match key.alpha {
                Alpha::Straight => kept(luma),
                // The colour is added whatever the matte.
                Alpha::Premultiplied => 1.0,
            };
            share * added * f64::from(luma)
        });
        // The sum of nothing is -0.
        KeyCost {
            content_lost_percent: 100.0 * lost.sum::<f64>() + 0.0,
            haze_percent: 100.0 * haze.sum::<f64>() + 0.0,
        }
    }

    /// The key that costs least, an added luma of `haze_percent` counting as much as one percent of
    /// the visible content. Of keys that cost nearly the same, the softest.
    pub(super) fn best_compromise(
        &self,
        current: Key,
        noise_percent: f64,
        haze_percent: f64,
    ) -> Result<Key, SettingsError> {
        let drifting = self.with_noise(noise_percent.hypot(DRIFT_PERCENT), DRIFT_PERCENT);
        let sums = SharesSums::of(&drifting);
        let mut tried = Vec::new();
        let thresholds = 0..=THRESHOLDS_PER_PERCENT * 25;
        for threshold in thresholds {
            for softness in 1..=HALF_PERCENT_SOFTNESSES {
                let threshold = f64::from(threshold) / f64::from(THRESHOLDS_PER_PERCENT);
                let key = current
                    .with_threshold(threshold.min(MOST_THRESHOLD_PERCENT))?
                    .with_softness(f64::from(softness) / 2.0)?;
                let cost = sums.cost(&key);
                tried.push((
                    key,
                    cost.content_lost_percent + cost.haze_percent / haze_percent,
                ));
            }
        }
        let least = tried
            .iter()
            .map(|(_, cost)| *cost)
            .fold(f64::INFINITY, f64::min);
        let near = tried
            .into_iter()
            .filter(|(_, cost)| *cost <= least + COST_OF_SOFTNESS);
        let softest = near.reduce(|a, b| {
            let softer = b.0.softness_percent().total_cmp(&a.0.softness_percent());
            if softer.then(a.1.total_cmp(&b.1)).is_gt() {
                b
            } else {
                a
            }
        });
        Ok(softest.map_or(current, |(key, _)| key))
    }
}

/// Shares added up from black, so that a key is judged by its ramp alone: what lies below is dropped, what
/// lies above is kept, whatever it is.
struct SharesSums<'a> {
    shares: &'a DeckShares,
    /// Content under each level.
    content_under: Vec<f64>,
    /// Share times luma of the background under each level.
    light_under: Vec<f64>,
}

impl<'a> SharesSums<'a> {
    fn of(shares: &'a DeckShares) -> Self {
        let light = Level::all().zip(&shares.background);
        Self {
            shares,
            content_under: sums_under(shares.content.iter().copied()),
            light_under: sums_under(light.map(|(level, share)| share * f64::from(level.luma()))),
        }
    }

    /// The same as [`DeckShares::cost`].
    fn cost(&self, key: &Key) -> KeyCost {
        let (t, s) = (key.threshold_frac(), key.softness_frac());
        let first = Level::at_or_under(t).index();
        let end = Level::at_or_over(t + s).index() + 1;
        let mut lost = self.content_under[first];
        let all_light = self.light_under[Level::WHITE.index() + 1];
        let mut haze = match key.alpha {
            Alpha::Straight => all_light - self.light_under[end],
            Alpha::Premultiplied => all_light,
        };
        for level in Level::all().take(end).skip(first) {
            let kept = f64::from(matte(level.luma(), t, s, key.ramp));
            lost += self.shares.content[level.index()] * (1.0 - kept);
            if key.alpha == Alpha::Straight {
                haze += self.shares.background[level.index()] * kept * f64::from(level.luma());
            }
        }
        KeyCost {
            content_lost_percent: 100.0 * lost,
            haze_percent: 100.0 * haze,
        }
    }
}

/// For each index the sum of all before it; one more than there are.
fn sums_under(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut sum = 0.0;
    let sums = values.map(|value| {
        sum += value;
        sum
    });
    std::iter::once(0.0).chain(sums).collect()
}

/// The luma and the share of every level that has any.
fn occupied(shares: &[f64]) -> impl Iterator<Item = (f32, f64)> {
    Level::all()
        .zip(shares)
        .filter(|(_, share)| **share > 0.0)
        .map(|(level, share)| (level.luma(), *share))
}

/// Shares spread by normal noise; what would leave the range stays at its end.
fn blurred(shares: &[f64], noise_percent: f64) -> Vec<f64> {
    let deviation = noise_percent / Level::all().nth(1).map_or(1.0, Level::percent);
    if deviation <= 0.0 {
        return shares.to_vec();
    }
    let last = shares.len() - 1;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive, and no more than the levels there are"
    )]
    let reach = (TAIL_DEVIATIONS * deviation).ceil().min(last as f64) as usize;
    let weights: Vec<f64> = (0..=reach)
        .map(|away| (-0.5 * (away as f64 / deviation).powi(2)).exp())
        .collect();
    let sum = weights[0] + 2.0 * weights[1..].iter().sum::<f64>();
    let mut spread = vec![0.0; shares.len()];
    for (at, share) in shares.iter().enumerate().filter(|(_, share)| **share > 0.0) {
        spread[at] += share * weights[0] / sum;
        for (away, weight) in weights.iter().enumerate().skip(1) {
            spread[at.saturating_sub(away)] += share * weight / sum;
            spread[(at + away).min(last)] += share * weight / sum;
        }
    }
    spread
}
