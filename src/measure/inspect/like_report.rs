//! What is wrong with a camera frame beside one of the last good setup.

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use super::ink_loss::{InkLoss, loss_findings, measure_ink_losses};
use super::like_frame::{LikeMeasure, SURELY, StillView, measure_like};
use super::like_light::LightChange;
use super::seen_backdrop::find_seen_backdrop;
use super::seen_like::SeenLike;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::finding::{Severity, Unit};
use crate::measure::still::still_pair::PairFault;
use crate::measure::still::way_round::WayRound;

/// How far the worst corner may be off, percent of the picture's width. Source: chosen, 10 px of 1920: marks on the glass and
/// free space on slides no longer fit.
pub const MOVED_PERCENT: f64 = 0.5;
/// How much more or less light there may be, a ratio. Source: chosen, a third of a stop, the step of lenses and cameras.
pub const LIGHT_RATIO: f64 = 1.26;
/// How much a channel's light may change beside that of all, a ratio. Source: chosen by eye; lamps of one kind differ less.
pub const COLOUR_RATIO: f64 = 1.1;

/// The comparison.
#[derive(Clone, Debug)]
pub struct LikeReport {
    /// The numbers.
    pub measure: LikeMeasure,
    /// How each ink that both frames have has changed.
    pub inks: Vec<InkLoss>,
    /// What is wrong.
    pub findings: Vec<CameraFinding>,
    /// What cannot be told.
    pub notes: Vec<CameraNote>,
}

/// Compares a frame in which writing and presenter were found with another, of the same size or lying on its side.
pub fn compare_like(
    camera: &CameraRaster,
    parts: &CameraParts,
    like: &SeenLike,
) -> Result<LikeReport, PairFault> {
    if parts.is_blind() {
        return Err(PairFault::NoStill);
    }
    let seen = find_seen_backdrop(camera, parts);
    let view = StillView {
        camera,
        covered: &seen.covered,
    };
    let measure = measure_like(view, like.still())?;
    let mut findings = Vec::new();
    findings.extend(way_finding(&measure, false));
    findings.extend(moved_finding(&measure));
    findings.extend(measure.light.iter().flat_map(light_findings));
    let inks = measure_ink_losses(parts, like.parts(), measure.light.as_ref());
    findings.extend(loss_findings(&inks, measure.light.is_some()));
    let mut notes = Vec::new();
    if measure.way.is_none() {
        notes.push(CameraNote::LikeAlike);
    }
    if measure.shift_px.contains(&None) {
        notes.push(CameraNote::LikeShiftHidden);
    } else if measure.zoom_percent.is_none() {
        notes.push(CameraNote::LikeZoomHidden);
    }
    if measure.light.is_none() {
        notes.push(CameraNote::LikeLightHidden);
    }
    Ok(LikeReport {
        measure,
        inks,
        findings,
        notes,
    })
}

impl LikeReport {
    /// Names the chart beside the frame of the last good setup where both say that the picture lies this way. Returns whether
    /// they do.
    pub fn confirm_by_chart(&mut self, way: WayRound) -> bool {
        let told = way_finding(&self.measure, true).filter(|_| self.measure.way == Some(way));
        let is_way = |finding: &&mut CameraFinding| finding.kind == CameraKind::WrongWayRound;
        let own = self.findings.iter_mut().find(is_way);
        own.zip(told).map(|(own, told)| *own = told).is_some()
    }
}

fn way_finding(measure: &LikeMeasure, is_by_chart: bool) -> Option<CameraFinding> {
    let way = measure.way.filter(|&way| way != WayRound::Same)?;
    Some(CameraFinding {
        kind: CameraKind::WrongWayRound,
        severity: Severity::Fail,
        bounds: None,
        measured: measure.agreement,
        limit: SURELY,
        unit: Unit::None,
        advice: format!(
            "Beside the frame of the last good setup{} the picture is {}. {}",
            if is_by_chart {
                ", and by the chart in it,"
            } else {
                ""
            },
            way.words(),
            way.advice()
        ),
    })
}

fn moved_finding(measure: &LikeMeasure) -> Option<CameraFinding> {
    let measured = measure.displacement_percent;
    (measured >= MOVED_PERCENT).then(|| CameraFinding {
        kind: CameraKind::Moved,
        severity: Severity::Warn,
        bounds: None,
        measured,
        limit: MOVED_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "Beside the frame of the last good setup, what stands still is {}. Bring camera, mirror and glass back and lock \
             them, or check where slides land and take this frame as the new one.",
            change_words(measure.shift_px, measure.zoom_percent, measure.rotation_degrees)
                .unwrap_or_else(|| "elsewhere".to_owned())
        ),
    })
}

/// What has changed, such as `7.4 px farther right, 4.5 px higher and 0.4 % larger`; none where nothing is known to have.
pub fn change_words(
    [right, down]: [Option<f64>; 2],
    zoom_percent: Option<f64>,
    rotation_degrees: Option<f64>,
) -> Option<String> {
    let mut words = Vec::new();
    for (px, more, less) in [
        (right, "farther right", "farther left"),
        (down, "lower", "higher"),
    ] {
        if let Some(px) = px.filter(|px| px.abs() >= 0.2) {
            let way = if px > 0.0 { more } else { less };
            words.push(format!("{:.1} px {way}", px.abs()));
        }
    }
    if let Some(percent) = zoom_percent.filter(|zoom| zoom.abs() >= 0.05) {
        let way = if percent > 0.0 { "larger" } else { "smaller" };
        words.push(format!("{:.2} % {way}", percent.abs()));
    }
    if let Some(degrees) = rotation_degrees.filter(|turn| turn.abs() >= 0.02) {
        let way = if degrees > 0.0 {
            "clockwise"
        } else {
            "counter-clockwise"
        };
        words.push(format!("turned {:.2} degrees {way}", degrees.abs()));
    }
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => Some(format!("{} and {last}", rest.join(", "))),
        other => other.map(|(last, _)| last.clone()),
    }
}

/// Findings on the amount of light and on its colour.
fn light_findings(light: &LightChange) -> Vec<CameraFinding> {
    let finding = |measured: f64, limit: f64, advice: String| CameraFinding {
        kind: CameraKind::Moved,
        severity: Severity::Warn,
        bounds: None,
        measured,
        limit,
        unit: Unit::Ratio,
        advice,
    };
    let mut findings = Vec::new();
    let stops = light.stops();
    let ratio = light.all.max(1.0 / light.all);
    if ratio >= LIGHT_RATIO {
        let way = if stops > 0.0 { "brighter" } else { "darker" };
        findings.push(finding(
            ratio,
            LIGHT_RATIO,
            format!(
                "What stands still is {:.1} stops {way} than in the frame of the last good setup. Set exposure time, aperture \
                 and gain (ISO) as they were and switch automatic exposure off; else look for a lamp that was switched, dimmed \
                 or moved.",
                stops.abs()
            ),
        ));
    }
    let colour = light.colour_percent();
    let ratio_of = |percent: f64| {
        let factor = 1.0 + percent / 100.0;
        factor.max(1.0 / factor)
    };
    let ratio = colour.map(ratio_of).into_iter().fold(1.0, f64::max);
    if ratio >= COLOUR_RATIO {
        let [r, g, b] = colour;
        findings.push(finding(
            ratio,
            COLOUR_RATIO,
            format!(
                "The light has another colour than in the frame of the last good setup: red {r:+.0}, green {g:+.0}, blue \
                 {b:+.0} %. Set the white balance as it was and switch automatic white balance off; else look for a lamp that \
                 was exchanged.",
            ),
        ));
    }
    findings
}
