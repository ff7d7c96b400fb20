//! Which way round the camera picture lies, by the chart's own mark where the chart is in it.

use super::camera_finding::{CameraFinding, CameraKind};
use super::chart_reading::ChartReading;
use super::finding::{Severity, Unit};
use super::way_round::WayRound;
use crate::pixel::frame::Frame;

/// The finding on a picture in which the chart is mirrored or turned; none where it is upright or not to be read.
///
/// The chart is read whole or not at all: its code is checked, so that its way is known and not guessed.
pub fn chart_way_finding(camera: &Frame) -> Option<CameraFinding> {
    let chart = ChartReading::find(camera).ok()?;
    let way = WayRound::of(chart.turn, chart.is_mirrored);
    (way != WayRound::Same).then(|| CameraFinding {
        kind: CameraKind::WrongWayRound,
        severity: Severity::Fail,
        bounds: None,
        measured: 1.0,
        limit: 1.0,
        unit: Unit::None,
        advice: format!(
            "By the chart in it the picture is {}. {}",
            way.words(),
            way.advice()
        ),
    })
}
