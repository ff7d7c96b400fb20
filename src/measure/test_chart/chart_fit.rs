//! Which four markers of a capture are the chart's corners, and which corner each is: what lies between them says so.

use super::capture::Capture;
use super::chart::{Chart, ChartArea, Patch, PatchRole};
use super::chart_markers::FoundMarker;
use super::chart_reading_error::ChartReadingError;
use crate::measure::statistics::affine::Affine;

/// How well the known patches must agree with the picture, as a correlation. Source: chosen; a keyed
/// chart gives about 0.9, a wrong way round less than 0.5.
const MIN_AGREEMENT: f64 = 0.75;
/// How far markers may lie beside a straight map, of the picture's longer side. Source: chosen, ten
/// times what noise and compression were seen to do.
pub(super) const MAX_MISS: f64 = 0.004;

/// The map, of all choices of four markers and all ways round, under which the patches agree best.
pub(super) fn best_way_round(
    capture: Capture<'_>,
    found: &[FoundMarker],
    from_code: u8,
) -> Result<Affine, ChartReadingError> {
    let corners = Chart::NOMINAL.markers();
    let (mut best, mut best_agreement) = (None, MIN_AGREEMENT);
    for four in choices_of_four(found.len()) {
        for order in orders() {
            let pairs: Vec<([f64; 2], [f64; 2])> = corners
                .iter()
                .zip(order)
                .map(|(corner, place)| (corner.centre, found[four[place]].centre))
                .collect();
            let Some(map) = Affine::fit(&pairs) else {
                continue;
            };
            let long_px = f64::from(capture.width().max(capture.height()));
            if map.largest_miss_px(&pairs) > 3.0 * MAX_MISS * long_px {
                continue;
            }
            let agreement = agreement(capture, &map, from_code);
            if agreement > best_agreement {
                (best, best_agreement) = (Some(map), agreement);
            }
        }
    }
    best.ok_or(match found.len() {
        4 => ChartReadingError::Steps,
        _ => ChartReadingError::markers_missing(found),
    })
}

/// All ways to take four of `count`.
fn choices_of_four(count: usize) -> Vec<[usize; 4]> {
    let mut choices = Vec::new();
    for a in 0..count {
        for b in a + 1..count {
            for c in b + 1..count {
                choices.extend((c + 1..count).map(|d| [a, b, c, d]));
            }
        }
    }
    choices
}

/// All orders of four things.
fn orders() -> Vec<[usize; 4]> {
    let mut orders = Vec::new();
    for a in 0..4 {
        for b in (0..4).filter(|&b| b != a) {
            for c in (0..4).filter(|&c| c != a && c != b) {
                orders.push([a, b, c, 6 - a - b - c]);
            }
        }
    }
    orders
}

/// Correlation of the coarse steps and greys from a code on with what the capture has at their places.
fn agreement(capture: Capture<'_>, map: &Affine, from_code: u8) -> f64 {
    let mut pairs = Vec::new();
    let patches = Chart::NOMINAL.patches();
    let is_step = |patch: &&Patch| {
        matches!(patch.role, PatchRole::Coarse | PatchRole::Grey) && patch.rgb_u8[0] >= from_code
    };
    let steps: Vec<&Patch> = patches.iter().filter(is_step).collect();
    for patch in &steps {
        let Some(code) = mean_around(capture, map, patch.area) else {
            continue;
        };
        pairs.push((f64::from(patch.rgb_u8[0]), code));
    }
    if 4 * pairs.len() < 3 * steps.len() {
        return 0.0;
    }
    let count = pairs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
    let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
        pairs.iter().map(|&(x, y)| of(x - mx, y - my)).sum()
    };
    let spread = (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt();
    if spread > 0.0 {
        sum(&|x, y| x * y) / spread
    } else {
        0.0
    }
}

/// Mean luma of nine places in the middle of an area; none where one is outside of the capture.
pub(super) fn mean_around(capture: Capture<'_>, map: &Affine, area: ChartArea) -> Option<f64> {
    let (width, height) = (f64::from(area.x1 - area.x0), f64::from(area.y1 - area.y0));
    let mut sum = 0.0;
    for fy in [0.35, 0.5, 0.65] {
        for fx in [0.35, 0.5, 0.65] {
            let at = [
                f64::from(area.x0) + fx * width,
                f64::from(area.y0) + fy * height,
            ];
            sum += capture.luma_at(map.capture_from_chart(at))?;
        }
    }
    Some(sum / 9.0)
}
