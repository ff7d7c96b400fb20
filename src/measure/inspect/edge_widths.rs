//! How wide edges are, from 10 to 90 % of what they rise by: of writing, and of the presenter.

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_parts::CameraParts;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;

/// Width of the writing's edges from which it is soft, px. Source: the definition of the finding.
pub const WRITING_WARN_PX: f64 = 3.0;
/// The same from which the take is spoilt, px. Source: the definition of the finding.
pub const WRITING_FAIL_PX: f64 = 5.0;
/// The same of the presenter's sharpest edges, px. Source: chosen; lashes, collars and glasses of a sharp frame have 2 to 4.
pub const PRESENTER_WARN_PX: f64 = 6.0;
/// An edge ends where it is less steep than this share of its steepest place: glow goes on beyond. Source: chosen.
const END_SLOPE: f64 = 0.1;
/// What 10 to 90 % of an edge cut there are of 10 to 90 % of the whole one. Source: computed for a Gaussian edge, cut at
/// 2.146 deviations, 2.424 deviations of 2.563.
const CUT_SHARE: f64 = 0.946;
/// What straight lines between pixels add to the square of a width, px². Source: computed; they are a triangle of variance
/// 1/6, and 10 to 90 % are 2.563 deviations.
const STEP_WIDENING: f64 = 2.563 * 2.563 / 6.0;
/// Least rise of an edge, codes and deviations of noise. Source: chosen; a rise of ten deviations moves its ends by a tenth.
const LEAST_RISE: f64 = 25.0;
const LEAST_RISE_DEVIATIONS: f64 = 10.0;
/// How far both ways an edge is followed, px. Source: chosen; the widest that is told is 40 px.
const REACH: usize = 24;
/// Fewest edges that give a width. Source: chosen.
const LEAST_EDGES: usize = 40;
/// How nearly across an edge a line has to run: the cosine. Source: chosen, 45 degrees.
const LEAST_COSINE: f64 = 0.7;
/// Which of the presenter's edges are the sharpest: the lowest tenth. Source: chosen; most are of folds and cheeks.
const SHARPEST_OF: usize = 10;

/// Widths of edges.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeWidths {
    /// Median over the writing, px; none where nothing is written.
    pub writing_px: Option<f64>,
    /// The sharpest tenth of the presenter's, px; none where nobody is there.
    pub presenter_px: Option<f64>,
}

/// The larger channels of a frame, along rows or columns.
struct Lines<'a> {
    camera: &'a CameraRaster,
    is_across: bool,
}

impl Lines<'_> {
    fn sides(&self) -> (usize, usize) {
        let size = self.camera.size();
        let (width, height) = (size.width() as usize, size.height() as usize);
        if self.is_across {
            (width, height)
        } else {
            (height, width)
        }
    }

    fn index(&self, along: usize, line: usize) -> usize {
        let width = self.camera.size().width() as usize;
        if self.is_across {
            line * width + along
        } else {
            along * width + line
        }
    }

    fn code(&self, along: usize, line: usize) -> f64 {
        let [r, g, b, _] = self.camera.codes()[self.index(along, line)];
        f64::from(r.max(g).max(b))
    }

    /// The width of the edge nearest to this place; none where there is none that counts.
    fn width_at(&self, along: usize, line: usize, least_rise: f64) -> Option<f64> {
        let (length, lines) = self.sides();
        let (start, end) = (along.checked_sub(REACH)?, along + REACH);
        if end >= length || line == 0 || line + 1 >= lines {
            return None;
        }
        let codes: Vec<f64> = (start..=end).map(|at| self.code(at, line)).collect();
        let near = REACH - 4..REACH + 4;
        let steepest = near.max_by(|&a, &b| {
            let slope = |i: usize| (codes[i + 1] - codes[i]).abs();
            slope(a).total_cmp(&slope(b))
        })?;
        let width = edge_width(&codes, steepest, least_rise)?;
        // Across the line, over the three pixels on both sides.
        let at = start + steepest;
        let sum = |along: usize, line: usize| self.code(along, line) + self.code(along + 1, line);
        let gx: f64 = (line - 1..=line + 1)
            .map(|line| self.code(at + 1, line) - self.code(at, line))
            .sum::<f64>()
            / 3.0;
        let gy = (sum(at, line + 1) - sum(at, line - 1)) / 4.0;
        let cosine = gx.abs() / gx.hypot(gy);
        (cosine > LEAST_COSINE).then_some(width * cosine)
    }
}

/// 10 to 90 % of the edge whose steepest step begins at `steepest`, px, with what its cut ends lack put back; none where
/// it rises by less than `least_rise`. For a Gaussian edge 2.563 deviations.
pub fn edge_width(codes: &[f64], steepest: usize, least_rise: f64) -> Option<f64> {
    let slope = |i: usize| codes[i + 1] - codes[i];
    let most = slope(steepest);
    let goes_on = |i: &usize| slope(*i) / most > END_SLOPE;
    let first = (0..=steepest).rev().take_while(goes_on).last()?;
    let last = (steepest..codes.len() - 1).take_while(goes_on).last()? + 1;
    if first == 0 || last + 1 == codes.len() {
        return None;
    }
    let rise = codes[last] - codes[first];
    if rise.abs() < least_rise {
        return None;
    }
    let crossing = |share: f64| {
        let wanted = codes[first] + share * rise;
        let is_over = |&i: &usize| (codes[i + 1] - wanted) * rise.signum() >= 0.0;
        let i = (first..last).find(is_over)?;
        Some(i as f64 + (wanted - codes[i]) / slope(i))
    };
    let width = (crossing(0.9)? - crossing(0.1)?) / CUT_SHARE;
    Some((width * width - STEP_WIDENING).max(0.0).sqrt())
}

/// Measures both.
pub fn measure_edge_widths(
    camera: &CameraRaster,
    parts: &CameraParts,
    noise_codes: f64,
) -> EdgeWidths {
    let least_rise = LEAST_RISE.max(LEAST_RISE_DEVIATIONS * noise_codes);
    let size = camera.size();
    let mut kinds = vec![0_u8; size.area()];
    let width = size.width() as usize;
    let mut paint = |runs: &Runs, kind: u8| {
        for run in runs.as_slice() {
            let row = run.y as usize * width;
            kinds[row + run.start as usize..row + run.end as usize].fill(kind);
        }
    };
    paint(&parts.presenter, 1);
    paint(&parts.writing.grown(12 * size.height() / 1080 + 1), 2);
    paint(&parts.writing, 3);
    let (mut writing, mut presenter) = (Vec::new(), Vec::new());
    for is_across in [true, false] {
        let lines = Lines { camera, is_across };
        let (length, count) = lines.sides();
        for line in (1..count.saturating_sub(1)).step_by(2) {
            for along in 1..length {
                let (here, before) = (
                    kinds[lines.index(along, line)],
                    kinds[lines.index(along - 1, line)],
                );
                if (here == 3) != (before == 3) {
                    writing.extend(lines.width_at(along, line, least_rise));
                } else if here == 1 && before == 1 && along + 1 < length {
                    let step = |at: usize| (lines.code(at, line) - lines.code(at - 1, line)).abs();
                    let own = step(along);
                    if own > least_rise / 6.0
                        && own >= step(along + 1)
                        && (along < 2 || own > step(along - 1))
                    {
                        presenter.extend(lines.width_at(along, line, 2.0 * least_rise));
                    }
                }
            }
        }
    }
    // The sharpest of so many.
    let at = |mut widths: Vec<f64>, of: usize| {
        let at = widths.len() / of;
        (widths.len() >= LEAST_EDGES).then(|| *widths.select_nth_unstable_by(at, f64::total_cmp).1)
    };
    EdgeWidths {
        writing_px: at(writing, 2),
        presenter_px: at(presenter, SHARPEST_OF),
    }
}

/// Which of the two is out of focus.
pub fn focus_findings(widths: &EdgeWidths, parts: &CameraParts) -> Vec<CameraFinding> {
    let mut findings = Vec::new();
    let is_soft = |width: Option<f64>, limit: f64| width.is_some_and(|width| width >= limit);
    let soft_writing = is_soft(widths.writing_px, WRITING_WARN_PX);
    let soft_presenter = is_soft(widths.presenter_px, PRESENTER_WARN_PX);
    let finding = |severity, bounds, measured, limit, advice: &str| CameraFinding {
        kind: CameraKind::SoftFocus,
        severity,
        bounds,
        measured,
        limit,
        unit: Unit::Px,
        advice: advice.to_owned(),
    };
    if let Some(measured) = widths.writing_px.filter(|_| soft_writing) {
        let (severity, limit) = if measured >= WRITING_FAIL_PX {
            (Severity::Fail, WRITING_FAIL_PX)
        } else {
            (Severity::Warn, WRITING_WARN_PX)
        };
        let advice = if soft_presenter {
            "Writing and presenter are both soft. Wipe lens and mirror, switch autofocus off, and focus on writing in the \
             middle of the glass."
        } else {
            "The writing is soft, the presenter is not: the camera is focused behind the glass. Switch autofocus off and \
             focus on writing in the middle of the glass; a smaller aperture (a larger f-number) keeps both sharp."
        };
        let place = parts.writing_places.iter().copied().reduce(PixelBox::union);
        findings.push(finding(severity, place, measured, limit, advice));
    }
    if let Some(measured) = widths.presenter_px.filter(|_| soft_presenter) {
        let advice = if soft_writing {
            "The presenter is soft too; see to the writing first."
        } else {
            "The presenter is soft, the writing is not. Stand closer to the glass, or close the aperture (a larger \
             f-number) and add light, so that both are sharp; keep the focus on the glass."
        };
        findings.push(finding(
            Severity::Warn,
            parts.presenter_place,
            measured,
            PRESENTER_WARN_PX,
            advice,
        ));
    }
    findings
}
