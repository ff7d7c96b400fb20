//! Which way round the camera picture lies, by the chart's own mark where the chart is in it.

use super::camera_finding::{CameraFinding, CameraKind};
use super::chart_reading::ChartReading;
use super::finding::{Severity, Unit};
use super::way_round::WayRound;
use crate::pixel::frame::Frame;

/// How a picture lies in which the chart is mirrored or turned; none where it is upright or not to be read.
///
/// The chart is read whole or not at all: its code is checked, so that its way is known and not guessed.
pub fn chart_way(camera: &Frame) -> Option<WayRound> {
    let chart = ChartReading::find(camera).ok()?;
    let way = WayRound::of(chart.turn, chart.is_mirrored);
    (way != WayRound::Same).then_some(way)
}

/// The finding on such a picture.
pub fn chart_way_finding(way: WayRound) -> CameraFinding {
    CameraFinding {
        kind: CameraKind::WrongWayRound,
        severity: Severity::Fail,
        bounds: None,
        measured: f64::from(way.moved_corners()),
        limit: 0.0,
        unit: Unit::None,
        advice: format!(
            "By the chart in it the picture is {}. {}",
            way.words(),
            way.advice()
        ),
    }
}
