//! The test chart in a camera picture: which way round it lies, and what of the picture is the chart and nothing else.

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::still::way_round::WayRound;
use crate::measure::test_chart::capture::whole;
use crate::measure::test_chart::chart_reading::ChartReading;
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// How far what the chart lights reaches beyond it, px in a frame 1080 high. Source: chosen, as the rim of a presenter.
const RIM_PX: u32 = 36;

/// The chart as it lies in a camera picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChartInPicture {
    /// Which way round.
    pub way: WayRound,
    /// What it takes of the picture.
    pub bounds: PixelBox,
}

impl ChartInPicture {
    /// Finds it; none where it is not to be read.
    ///
    /// The chart is read whole or not at all: its code is checked, so that its way is known and not guessed.
    pub fn find(camera: &Frame) -> Option<Self> {
        let chart = ChartReading::find(camera).ok()?;
        Some(Self {
            way: WayRound::of(chart.turn, chart.is_mirrored),
            bounds: bounds_in(camera.size(), chart.corners()),
        })
    }

    /// The way of a chart that is mirrored or turned.
    pub fn wrong_way(&self) -> Option<WayRound> {
        (self.way != WayRound::Same).then_some(self.way)
    }

    /// What was found beside the chart: nothing on it is writing, a presenter, or a fault of the rig.
    #[must_use]
    pub fn parts_beside(&self, parts: &CameraParts) -> CameraParts {
        let mut beside = parts.clone();
        let chart = self.mask(parts.writing.size());
        beside.writing = parts.writing.without(&chart);
        beside
            .writing_places
            .retain(|place| place.intersection(self.bounds).is_none());
        // What stands out at the chart's rim is left of a figure that was the chart.
        let figure = parts.presenter.without(&chart);
        let is_figure = 2 * figure.area() > parts.presenter.area();
        beside.presenter = if is_figure {
            figure
        } else {
            Runs::none(figure.size())
        };
        beside.presenter_place = Components::of(&beside.presenter, Neighbours::EIGHT)
            .list()
            .iter()
            .map(|part| part.bounds)
            .reduce(PixelBox::union);
        let is_beside: Vec<bool> = (parts.pieces.pieces.iter())
            .map(|piece| piece.bounds.intersection(self.bounds).is_none())
            .collect();
        let mut kept = is_beside.iter();
        beside.kept.retain(|_| *kept.next().unwrap_or(&true));
        let mut kept = is_beside.iter();
        (beside.pieces.pieces).retain(|_| *kept.next().unwrap_or(&true));
        // What the chart makes of light, colours and parts says nothing of the rig.
        beside.notes.retain(|note| {
            !matches!(
                note,
                CameraNote::LitAllOver
                    | CameraNote::FlatProfile
                    | CameraNote::NoColour
                    | CameraNote::NothingWritten
                    | CameraNote::NobodyThere
            )
        });
        beside.notes.push(CameraNote::ChartThere);
        beside
    }

    /// Where chart and rim are.
    pub(super) fn mask(&self, size: Size) -> Runs {
        Runs::of_boxes(size, [self.bounds]).grown(RIM_PX * size.height() / 1080 + 1)
    }
}

/// The box around these places, inside of a picture.
fn bounds_in(size: Size, places: [[f64; 2]; 4]) -> PixelBox {
    let along = |axis: usize, end: u32| {
        let ends = places.iter().map(|place| place[axis]);
        let (low, high) = ends.fold((f64::MAX, f64::MIN), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        let low = whole(low).min(end - 1);
        (low, whole(high.ceil()).clamp(low + 1, end))
    };
    let ((x, x1), (y, y1)) = (along(0, size.width()), along(1, size.height()));
    PixelBox {
        x,
        y,
        width: x1 - x,
        height: y1 - y,
    }
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
