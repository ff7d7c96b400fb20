//! The slow course of a backdrop over its cells, and what single cells are off it.

use super::least_squares::LeastSquares;
use super::middle::middle_of;

/// Share of cells that are taken for backdrop at first. Source: chosen; presenter and writing leave
/// this much of a frame dark.
const DARK_SHARE: f64 = 0.3;
/// How much brighter the rest of the backdrop may be than these, codes. Source: chosen.
const START_CODES: f32 = 2.0;
/// Rounds of fitting. Source: chosen; the set of cells settles in four or five.
const ROUNDS: usize = 8;
/// How many deviations off the fit a cell may be. Source: chosen.
pub(crate) const FIT_DEVIATIONS: f32 = 3.0;
/// Least deviation of cell means, codes. Source: chosen, what rounding to codes leaves of a slow course.
const LEAST_DEVIATION: f32 = 0.35;
/// Share of neighbouring cells that differ by less than a step of compression. Source: chosen.
const STEP_SHARE: f64 = 0.97;
/// Median of the absolute value of a normal distribution in deviations. Source: 0.6745.
const MEDIAN_DEVIATION: f64 = 0.6745;
/// Deviations that a step of compression is. Source: chosen.
const STEP_DEVIATIONS: f32 = 2.5;

/// The course and the deviations from it.
pub(crate) struct SlowCourse {
    /// What the backdrop is in each cell, codes.
    pub(crate) levels: Vec<[f32; 3]>,
    /// How far cell means are off it in brightness and both colour differences, standard deviations, codes.
    pub(crate) deviations: [f32; 3],
    /// What neighbouring cells differ by at most, but for a few, in the same three, codes.
    pub(crate) steps: [f32; 3],
}

/// Codes as they are kept.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
pub(crate) fn narrow(codes: f64) -> f32 {
    codes as f32
}

/// A share of a number of places, rounded down.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a length"
)]
pub(crate) fn place_of(len: usize, share: f64) -> usize {
    (len as f64 * share) as usize
}

/// Brightness, red less green and blue less green of a colour over those of another.
pub(crate) fn differences(color: [f32; 3], from: [f32; 3]) -> [f32; 3] {
    let [r, g, b]: [f32; 3] = std::array::from_fn(|c| color[c] - from[c]);
    [(r + g + b) / 3.0, r - g, b - g]
}

/// The slow course of the dark cells, a quadratic surface for each channel, and the deviations from it.
///
/// It begins with the darkest cells and takes in every one that is near enough, so that neither
/// presenter nor lamps bend it.
pub(crate) fn fit_slow_course(means: &[[f32; 3]], across: usize) -> SlowCourse {
    let brightness = |mean: &[f32; 3]| (mean[0] + mean[1] + mean[2]) / 3.0;
    let mut sorted: Vec<f32> = means.iter().map(brightness).collect();
    sorted.sort_by(f32::total_cmp);
    let start = sorted[place_of(sorted.len() - 1, DARK_SHARE)] + START_CODES;
    let mut is_dark: Vec<bool> = means.iter().map(|mean| brightness(mean) <= start).collect();
    let down = means.len() / across;
    let place = |cell: usize| {
        let x = 2.0 * (cell % across) as f64 / across.max(2) as f64 - 1.0;
        let y = 2.0 * (cell / across) as f64 / down.max(2) as f64 - 1.0;
        [1.0, x, y, x * x, x * y, y * y]
    };
    let mut levels = vec![[0.0_f32; 3]; means.len()];
    let steps = steps_between(means, across, &is_dark);
    let mut deviations = [LEAST_DEVIATION; 3];
    for _ in 0..ROUNDS {
        for c in 0..3 {
            let pairs = (0..means.len()).filter(|&cell| is_dark[cell]);
            let pairs = pairs.map(|cell| (place(cell), f64::from(means[cell][c])));
            let weights = weights_of(pairs);
            for (cell, level) in levels.iter_mut().enumerate() {
                let terms = place(cell);
                let sum: f64 = terms
                    .iter()
                    .zip(weights)
                    .map(|(term, weight)| term * weight)
                    .sum();
                level[c] = narrow(sum.max(0.0));
            }
        }
        let off = |cell: usize| differences(means[cell], levels[cell]);
        deviations = std::array::from_fn(|c| {
            let all = (0..means.len()).filter(|&cell| is_dark[cell]);
            deviation_of(all.map(|cell| off(cell)[c]), steps[c])
        });
        let next: Vec<bool> = (0..means.len())
            .map(|cell| {
                let off = off(cell);
                (0..3).all(|c| off[c].abs() < FIT_DEVIATIONS * deviations[c])
            })
            .collect();
        if next == is_dark {
            break;
        }
        is_dark = next;
    }
    SlowCourse {
        levels,
        deviations,
        steps,
    }
}

/// The deviation of values around 0, from the median of the absolute value: at least what a step of compression makes.
pub(crate) fn deviation_of(off: impl Iterator<Item = f32>, step: f32) -> f32 {
    let mut all: Vec<f64> = off.map(|off| f64::from(off.abs())).collect();
    let middle = middle_of(&mut all, f64::total_cmp).unwrap_or(0.0);
    let least = LEAST_DEVIATION.max(step / STEP_DEVIATIONS);
    narrow(middle / MEDIAN_DEVIATION).max(least)
}

/// What neighbouring dark cells differ by at most, but for a few: the steps that compression leaves of slow changes.
fn steps_between(means: &[[f32; 3]], across: usize, is_dark: &[bool]) -> [f32; 3] {
    let pairs: Vec<[f32; 3]> = (1..means.len())
        .filter(|&cell| cell % across > 0 && is_dark[cell] && is_dark[cell - 1])
        .map(|cell| differences(means[cell], means[cell - 1]))
        .collect();
    std::array::from_fn(|c| {
        let mut all: Vec<f32> = pairs.iter().map(|pair| pair[c].abs()).collect();
        let at = place_of(all.len(), STEP_SHARE);
        if at < all.len() {
            *all.select_nth_unstable_by(at, f32::total_cmp).1
        } else {
            0.0
        }
    })
}

/// Weights of six terms, slightly damped so that few cells give a constant.
fn weights_of(pairs: impl Iterator<Item = ([f64; 6], f64)>) -> [f64; 6] {
    let mut fit = LeastSquares::<6>::new();
    let mut cells = 0.0;
    for (terms, value) in pairs {
        fit.add(terms, value);
        cells += 1.0;
    }
    fit.damp(0, 1e-9);
    (1..6).for_each(|term| fit.damp(term, 1e-3 * (1.0 + cells)));
    fit.solve().unwrap_or_default()
}
