//! How much each edge of the chart loses on the way, read off its rulers.

use super::capture::Capture;
use super::chart::{ChartArea, Edge};
use super::chart_reading::ChartReading;
use crate::pixel::frame::Frame;

/// Steps along a ruler, chart px. Source: chosen.
const STEP_PX: f64 = 0.25;
/// Where a ruler begins to be followed outward, of its length from its inner end. Source: chosen.
const START: f64 = 0.08;

/// What an edge loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeLoss {
    /// The edge, as the chart was drawn.
    pub edge: Edge,
    /// Cut off or covered, chart pixels; 0 where nothing is missing.
    pub lost_px: f64,
    /// The same, percent of the side that it shortens.
    pub lost_percent: f64,
    /// Capture pixels beside the chart, a bar; 0 where there is none.
    pub bar_px: f64,
}

/// Reads the four rulers.
pub fn measure_edges(frame: &Frame, reading: &ChartReading) -> [EdgeLoss; 4] {
    let capture = Capture::new(frame);
    reading.chart.rulers().map(|ruler| {
        let (edge, side_px) = (ruler.edge, reading.side_px(ruler.edge));
        let beyond_px = beyond_edge_px(capture, reading, edge);
        let lost_px = end_of_spine(capture, reading, edge, ruler.spine)
            .max(-beyond_px)
            .max(0.0);
        let scale = match edge {
            Edge::Left | Edge::Right => reading.scales[0],
            Edge::Top | Edge::Bottom => reading.scales[1],
        };
        EdgeLoss {
            edge,
            // What rounding and blur leave uncertain is nothing.
            lost_px: if lost_px < 0.3 { 0.0 } else { lost_px },
            lost_percent: if lost_px < 0.3 {
                0.0
            } else {
                100.0 * lost_px / side_px
            },
            bar_px: if beyond_px * scale < 0.5 {
                0.0
            } else {
                beyond_px * scale
            },
        }
    })
}

/// How far the capture reaches over an edge of the chart, chart px; negative where it ends before.
fn beyond_edge_px(capture: Capture<'_>, reading: &ChartReading, edge: Edge) -> f64 {
    let (width, height) = (f64::from(capture.width()), f64::from(capture.height()));
    let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]
        .map(|corner| reading.map.chart_from_capture(corner));
    let reach = |axis: usize| {
        let mut along = corners.map(|corner| corner[axis]);
        along.sort_by(f64::total_cmp);
        // A slight slant leaves two corners a side; their middle is the edge at the ruler.
        (
            f64::midpoint(along[0], along[1]),
            f64::midpoint(along[2], along[3]),
        )
    };
    match edge {
        Edge::Left => -reach(0).0,
        Edge::Top => -reach(1).0,
        Edge::Right => reach(0).1 - reading.side_px(edge),
        Edge::Bottom => reach(1).1 - reading.side_px(edge),
    }
}

/// How far from the chart's edge the white spine of a ruler ends, followed from inside, chart px.
fn end_of_spine(capture: Capture<'_>, reading: &ChartReading, edge: Edge, spine: ChartArea) -> f64 {
    let middle = match edge {
        Edge::Left | Edge::Right => f64::from(spine.y0 + spine.y1) / 2.0,
        Edge::Top | Edge::Bottom => f64::from(spine.x0 + spine.x1) / 2.0,
    };
    let reach = match edge {
        Edge::Left | Edge::Right => spine.x1 - spine.x0,
        Edge::Top | Edge::Bottom => spine.y1 - spine.y0,
    };
    let side_px = reading.side_px(edge);
    let code_at = |from_edge: f64| {
        let place = match edge {
            Edge::Left => [from_edge, middle],
            Edge::Top => [middle, from_edge],
            Edge::Right => [side_px - from_edge, middle],
            Edge::Bottom => [middle, side_px - from_edge],
        };
        capture.luma_at(reading.map.capture_from_chart(place))
    };
    let start = f64::from(reach) * (1.0 - START);
    // The spine is thin, so blur takes some of its white: it is judged by itself.
    let white = code_at(start)
        .into_iter()
        .chain(code_at(start * 0.98))
        .fold(f64::MIN, f64::max);
    let black = reading.marker_codes[0];
    let half = f64::midpoint(white, black);
    let mut from_edge = start;
    let mut last = white;
    while from_edge > 0.0 {
        let next = from_edge - STEP_PX;
        match code_at(next.max(0.0)) {
            Some(code) if (code > half) == (white > black) => last = code,
            Some(code) => {
                // Between the two steps, where it crosses half.
                let share = (last - half) / (last - code);
                return (from_edge - share.clamp(0.0, 1.0) * STEP_PX).max(0.0);
            }
            None => return from_edge.max(0.0),
        }
        from_edge = next;
    }
    0.0
}
