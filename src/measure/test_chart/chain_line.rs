//! The straight line between what was sent and what came, and where it is crushed or clipped.

use super::chart::{PatchRole, WEDGE_STEPS};
use super::patch_reading::PatchReading;

/// Steps that must be neither crushed nor clipped. Source: chosen.
const MIN_USABLE: usize = 6;
/// Largest distance of a mean from the line that is no sign of a bend, codes. Source: chosen; rounding
/// to 8 bits in two devices gives up to 1, JPEG at quality 60 up to 1.6.
const MIN_OUTLIER_CODES: f64 = 1.8;
/// How far blackest and whitest must leave the line to count as crushed or clipped, codes.
const MIN_LEVELLED_CODES: f64 = 1.4;
/// `1.4826`: from a median absolute deviation to a standard deviation. Source: the normal distribution.
const DEVIATION_FROM_MEDIAN: f64 = 1.482_602;

/// `captured = gain sent + offset`, between two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChainLine {
    /// Factor.
    pub gain: f64,
    /// What black would become, codes; below 0 where black is crushed.
    pub offset_codes: f64,
    /// Sent code up to which everything comes as black; 0 where nothing is crushed.
    pub crushed_to_code: f64,
    /// Sent code from which on everything comes as white; 255 where nothing is clipped.
    pub clipped_from_code: f64,
    /// Largest distance of an unclipped step from the line, codes.
    pub bend_codes: f64,
    /// Steps that the line was fitted through.
    pub usable: usize,
}

impl ChainLine {
    /// The code that a sent code comes as, if nothing clips it.
    pub fn captured_code(&self, sent_code: f64) -> f64 {
        self.gain * sent_code + self.offset_codes
    }
}

/// Fits the line through the means that `value` takes from each neutral patch. `noise_codes` is the
/// standard deviation within patches, which blurs the ends. The error is how many steps are usable.
pub fn fit_chain_line(
    patches: &[PatchReading],
    value: impl Fn(&PatchReading) -> f64,
    noise_codes: f64,
) -> Result<ChainLine, usize> {
    let guard = 3.0 * noise_codes + 0.8;
    let inside = |code: f64| (guard..=255.0 - guard).contains(&code);
    let point = |patch: &PatchReading| (f64::from(patch.sent_u8[0]), value(patch));
    let greys = || patches.iter().filter(|patch| patch.is_grey());
    // The fine steps crowd the dark end, where a third of all could be crushed: not for the first guess.
    let spread: Vec<(f64, f64)> = greys()
        .filter(|patch| patch.role != PatchRole::Fine)
        .map(point)
        .filter(|&(_, code)| inside(code))
        .collect();
    let (mut gain, mut offset) = median_line(&spread).ok_or(spread.len())?;
    if gain.abs() < 1e-3 {
        return Err(0);
    }
    let all: Vec<(f64, f64)> = greys().map(point).collect();
    let blackest = mean_where(&all, |sent| sent <= 1.0);
    let whitest = mean_where(&all, |sent| sent >= 254.5);
    let mut line = ChainLine {
        gain,
        offset_codes: offset,
        crushed_to_code: 0.0,
        clipped_from_code: 255.0,
        bend_codes: 0.0,
        usable: 0,
    };
    let tolerance = MIN_LEVELLED_CODES + 0.6 * noise_codes;
    for _ in 0..3 {
        line.gain = gain;
        line.offset_codes = offset;
        line.crushed_to_code = blackest
            .filter(|black| black - offset > tolerance)
            .map_or(0.0, |black| (black - offset) / gain);
        line.clipped_from_code = whitest
            .filter(|white| line.captured_code(255.0) - white > tolerance)
            .map_or(255.0, |white| (white - offset) / gain);
        let margin = |is_levelled: bool| {
            if is_levelled {
                1.0 + 3.0 * noise_codes / gain
            } else {
                0.0
            }
        };
        let from = line.crushed_to_code + margin(line.crushed_to_code > 0.0);
        let to = line.clipped_from_code - margin(line.clipped_from_code < 255.0);
        let between: Vec<(f64, f64)> = all
            .iter()
            .copied()
            .filter(|&(sent, code)| (from..=to).contains(&sent) && inside(code))
            .collect();
        let misses: Vec<f64> = between
            .iter()
            .map(|&(sent, code)| (code - gain * sent - offset).abs())
            .collect();
        let limit = (4.0 * DEVIATION_FROM_MEDIAN * median(misses.clone())).max(MIN_OUTLIER_CODES);
        let kept: Vec<(f64, f64)> = between
            .iter()
            .zip(&misses)
            .filter(|&(_, &miss)| miss <= limit)
            .map(|(&point, _)| point)
            .collect();
        line.usable = kept.len();
        if kept.len() < MIN_USABLE {
            return Err(kept.len());
        }
        line.bend_codes = misses.into_iter().fold(0.0, f64::max);
        (gain, offset) = least_squares(&kept).ok_or(kept.len())?;
    }
    line.take_curves_for_bends(&all, tolerance);
    Ok(line)
}

impl ChainLine {
    /// What leaves the line at an end without being one shade there is bent, not cut off.
    fn take_curves_for_bends(&mut self, points: &[(f64, f64)], tolerance: f64) {
        let spread = |wanted: &dyn Fn(f64) -> bool| {
            let codes = points.iter().filter(|point| wanted(point.0));
            let (low, high) = codes.fold((f64::MAX, f64::MIN), |(low, high), &(_, code)| {
                (low.min(code), high.max(code))
            });
            high - low
        };
        let (from, to) = (self.crushed_to_code, self.clipped_from_code);
        let bend = |sent: f64, end: f64| (self.gain * (sent - end)).abs();
        let mut bends = self.bend_codes;
        if from > 0.0 && spread(&|sent| sent <= from) > 2.0 * tolerance {
            bends = bends.max(bend(0.0, from));
            self.crushed_to_code = 0.0;
        }
        if to < 255.0 && spread(&|sent| sent >= to) > 2.0 * tolerance {
            bends = bends.max(bend(255.0, to));
            self.clipped_from_code = 255.0;
        }
        self.bend_codes = bends;
    }
}

/// How many of the darkest fine steps come as one, and how many of the brightest coarse steps.
pub fn levelled_steps(line: &ChainLine) -> (u32, u32) {
    let crushed = (0..WEDGE_STEPS)
        .filter(|&step| f64::from(super::chart::fine_code(step)) <= line.crushed_to_code + 0.3)
        .count();
    let clipped = (0..WEDGE_STEPS)
        .filter(|&step| f64::from(super::chart::coarse_code(step)) >= line.clipped_from_code - 0.3)
        .count();
    // A single step is black or white itself.
    let of = |count: usize| match u32::try_from(count).unwrap_or(0) {
        1 => 0,
        more => more,
    };
    (of(crushed), of(clipped))
}

/// Theil-Sen: the median of all slopes, and the median of what is left. Source: P. K. Sen, Journal of
/// the American Statistical Association 63, 1968; holds while under 29 % of the points are wrong.
pub(super) fn median_line(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    if points.len() < MIN_USABLE {
        return None;
    }
    let mut slopes = Vec::new();
    for (index, a) in points.iter().enumerate() {
        for b in &points[index + 1..] {
            if (b.0 - a.0).abs() > 0.5 {
                slopes.push((b.1 - a.1) / (b.0 - a.0));
            }
        }
    }
    let gain = median(slopes);
    let offset = median(points.iter().map(|&(x, y)| y - gain * x).collect());
    Some((gain, offset))
}

/// The line with the least sum of squares; none where all points are at one place.
pub(super) fn least_squares(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = points.len() as f64;
    let mx = points.iter().map(|p| p.0).sum::<f64>() / count;
    let my = points.iter().map(|p| p.1).sum::<f64>() / count;
    let xx: f64 = points.iter().map(|p| (p.0 - mx) * (p.0 - mx)).sum();
    let xy: f64 = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum();
    (xx > 1e-9).then(|| (xy / xx, my - xy / xx * mx))
}

/// The middle of all values; 0 where there are none.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    match values.len() {
        0 => 0.0,
        odd if odd % 2 == 1 => values[half],
        _ => f64::midpoint(values[half - 1], values[half]),
    }
}

fn mean_where(points: &[(f64, f64)], wanted: impl Fn(f64) -> bool) -> Option<f64> {
    let codes: Vec<f64> = points
        .iter()
        .filter(|point| wanted(point.0))
        .map(|point| point.1)
        .collect();
    (!codes.is_empty()).then(|| codes.iter().sum::<f64>() / codes.len() as f64)
}
