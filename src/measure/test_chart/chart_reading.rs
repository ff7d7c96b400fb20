//! Finds the test chart in a capture: where it lies, which way round, and how large it was when sent.

use super::capture::{Capture, whole};
use super::chart::{Chart, DOT, Edge, RING_INNER};
use super::chart_code::{CODE_CELLS, size_of_bits};
use super::chart_fit::{MAX_MISS, best_way_round, mean_around};
use super::chart_markers::find_markers;
use super::chart_reading_error::{ChartReadingError, MIN_CAPTURE_PX};
use crate::measure::statistics::affine::Affine;
use crate::pixel::frame::Frame;
use crate::pixel::settings::Turn;

/// Contrast under which there is nothing to look for, codes. Source: chosen, a tenth of white.
const MIN_CONTRAST_CODES: f64 = 24.0;
/// Code from which on a keyed chart is solid under any key in use. Source: chosen, half of white.
const SOLID_FROM_CODE: u8 = 128;
/// Most markers that are tried four by four; a picture with more is something else. Source: chosen.
const MAX_CANDIDATES: usize = 10;

/// The chart as it lies in a capture.
#[derive(Clone, Copy, Debug)]
pub struct ChartReading {
    /// The chart as it was sent.
    pub chart: Chart,
    /// Quarter turns clockwise, before mirroring.
    pub turn: Turn,
    /// Flipped left-right, after turning.
    pub is_mirrored: bool,
    /// Capture pixels to a chart pixel, along the chart's width and height.
    pub scales: [f64; 2],
    /// The map.
    pub(crate) map: Affine,
    /// Codes of the markers' gaps and dots.
    pub(super) marker_codes: [f64; 2],
}

impl ChartReading {
    /// Finds the chart in a capture.
    pub fn find(frame: &Frame) -> Result<Self, ChartReadingError> {
        Self::find_by(frame, 0)
    }

    /// Finds the chart in a capture that was keyed over grey, by the steps that are solid: over a
    /// bright grey the dark ones come brighter than they were sent.
    pub fn find_keyed(frame: &Frame) -> Result<Self, ChartReadingError> {
        Self::find_by(frame, SOLID_FROM_CODE)
    }

    /// Finds the chart by its grey steps from this code on.
    fn find_by(frame: &Frame, from_code: u8) -> Result<Self, ChartReadingError> {
        let capture = Capture::new(frame);
        let size = frame.size();
        let (long, short) = (
            size.width().max(size.height()),
            size.width().min(size.height()),
        );
        if long < MIN_CAPTURE_PX[0] || short < MIN_CAPTURE_PX[1] {
            return Err(ChartReadingError::Tiny { size });
        }
        let plane = capture.plane();
        let [darkest, dark, bright] = plane.quantiles([0.02, 0.10, 0.992]);
        if bright - darkest < MIN_CONTRAST_CODES {
            let shade = match bright {
                ..48.0 => "black",
                200.0.. => "white",
                _ => "grey",
            };
            return Err(ChartReadingError::Even { shade });
        }
        let found = find_markers(&plane, dark, bright);
        if found.len() < 4 || found.len() > MAX_CANDIDATES {
            return Err(ChartReadingError::markers_missing(&found));
        }
        let rough = best_way_round(capture, &found, from_code)?;
        let bits = read_cells(capture, &rough);
        let sent = size_of_bits(&bits).and_then(|size| Chart::new(size).ok());
        let chart = sent.ok_or(ChartReadingError::Cells)?;
        Self::refine(capture, &rough, chart)
    }

    /// Fits the map again with the chart's true layout and the markers' exact middles.
    fn refine(
        capture: Capture<'_>,
        rough: &Affine,
        chart: Chart,
    ) -> Result<Self, ChartReadingError> {
        let nominal = Chart::NOMINAL.markers();
        let mut pairs = Vec::new();
        let mut codes = [0.0; 2];
        for (marker, reference) in chart.markers().into_iter().zip(nominal) {
            let at = rough.capture_from_chart(reference.centre);
            let (of, own) = (Chart::NOMINAL.size(), chart.size());
            let size_px = [
                rough.scales()[0] * f64::from(of.width()) / f64::from(own.width()),
                rough.scales()[1] * f64::from(of.height()) / f64::from(own.height()),
            ];
            let turned = rough.x[1].abs() > rough.x[0].abs();
            let [across, down] = size_px.map(|scale| scale * marker.radius_px);
            let radii = if turned {
                [down, across]
            } else {
                [across, down]
            };
            let (centre, [dark, bright]) = middle_of_marker(capture, at, radii);
            codes[0] += dark / 4.0;
            codes[1] += bright / 4.0;
            pairs.push((marker.centre, centre));
        }
        let map = Affine::fit(&pairs).ok_or(ChartReadingError::Steps)?;
        let miss_px = map.largest_miss_px(&pairs);
        let long_px = f64::from(capture.width().max(capture.height()));
        if miss_px > MAX_MISS * long_px {
            return Err(ChartReadingError::Angle { miss_px });
        }
        let (turn, is_mirrored) = way_round(&map);
        Ok(Self {
            chart,
            turn,
            is_mirrored,
            scales: map.scales(),
            map,
            marker_codes: codes,
        })
    }

    /// Whether anything about its way round is wrong.
    pub fn is_turned_or_mirrored(&self) -> bool {
        self.is_mirrored || self.turn != Turn::None
    }

    /// The chart's corners, capture px.
    pub(crate) fn corners(&self) -> [[f64; 2]; 4] {
        let size = self.chart.size();
        let (x, y) = (f64::from(size.width()), f64::from(size.height()));
        [[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]].map(|place| self.map.capture_from_chart(place))
    }

    /// How far the chart's sides are from upright and level, degrees; the larger of the two.
    pub fn tilt_degrees(&self) -> f64 {
        let of = |x: f64, y: f64| x.abs().min(y.abs()).atan2(x.abs().max(y.abs()));
        let along = of(self.map.x[0], self.map.y[0]);
        along.max(of(self.map.x[1], self.map.y[1])).to_degrees()
    }

    /// The rulers' edges with the length of the side that each cuts, chart px.
    pub(crate) fn side_px(&self, edge: Edge) -> f64 {
        let size = self.chart.size();
        f64::from(match edge {
            Edge::Left | Edge::Right => size.width(),
            Edge::Top | Edge::Bottom => size.height(),
        })
    }
}

/// The cells of the size, cut between the darkest and the brightest of them.
fn read_cells(capture: Capture<'_>, map: &Affine) -> [bool; CODE_CELLS] {
    let codes = Chart::NOMINAL
        .code_cells()
        .map(|(area, _)| mean_around(capture, map, area).unwrap_or(0.0));
    let (dark, bright) = codes
        .iter()
        .fold((f64::MAX, f64::MIN), |(dark, bright), &code| {
            (dark.min(code), bright.max(code))
        });
    codes.map(|code| code > f64::midpoint(dark, bright))
}

/// The exact middle of a marker as the centre of its light, and the codes of its gap and its dot.
fn middle_of_marker(
    capture: Capture<'_>,
    start: [f64; 2],
    radii: [f64; 2],
) -> ([f64; 2], [f64; 2]) {
    let at = |centre: [f64; 2], share: f64| {
        let mut sum = 0.0;
        for step in 0..16 {
            let angle = f64::from(step) * std::f64::consts::TAU / 16.0;
            let place = [
                centre[0] + share * radii[0] * angle.cos(),
                centre[1] + share * radii[1] * angle.sin(),
            ];
            sum += capture.luma_at(place).unwrap_or(0.0) / 16.0;
        }
        sum
    };
    let mut centre = start;
    let mut codes = [0.0; 2];
    for _ in 0..4 {
        codes = [
            at(centre, f64::midpoint(DOT, RING_INNER)),
            at(centre, 0.3 * DOT),
        ];
        let [dark, bright] = codes;
        let (mut weights, mut sum) = (0.0, [0.0; 2]);
        let reach = radii.map(|radius| 1.25 * radius + 1.0);
        let (x1, y1) = (
            whole(centre[0] + reach[0] + 1.0).min(capture.width()),
            whole(centre[1] + reach[1] + 1.0).min(capture.height()),
        );
        for y in whole(centre[1] - reach[1])..y1 {
            for x in whole(centre[0] - reach[0])..x1 {
                let place = [f64::from(x) + 0.5, f64::from(y) + 0.5];
                let distance =
                    ((place[0] - centre[0]) / reach[0]).hypot((place[1] - centre[1]) / reach[1]);
                if distance > 1.0 {
                    continue;
                }
                // What is nearer to black than a quarter is noise or ringing.
                let share = (capture.luma(x, y) - dark) / (bright - dark);
                let weight = ((share - 0.25) / 0.75).clamp(0.0, 1.0);
                weights += weight;
                sum[0] += weight * place[0];
                sum[1] += weight * place[1];
            }
        }
        if weights <= 0.0 {
            break;
        }
        centre = sum.map(|sum| sum / weights);
    }
    (centre, codes)
}

/// Which quarter turn, and whether mirrored after it, takes the chart to the capture.
fn way_round(map: &Affine) -> (Turn, bool) {
    let is_mirrored = map.determinant() < 0.0;
    let flip = if is_mirrored { -1.0 } else { 1.0 };
    let (across, down) = (flip * map.x[0], map.y[0]);
    let turn = if across.abs() >= down.abs() {
        if across > 0.0 { Turn::None } else { Turn::Half }
    } else if down > 0.0 {
        Turn::Quarter
    } else {
        Turn::ThreeQuarters
    };
    (turn, is_mirrored)
}
