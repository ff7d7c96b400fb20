//! What the mixer made of every shade of a chart that it keyed over flat grey.

use super::capture::Capture;
use super::chart::PatchRole;
use super::chart_reading::ChartReading;
use super::chart_reading_error::ChartReadingError;
use super::patch_reading::read_patches;
use crate::pixel::chain::Chain;
use crate::pixel::frame::Frame;

/// Weight of a code of the ramp beside that of a patch. Source: chosen; it has half as many readings,
/// and it alone shows what a key does over 12 % of white.
const RAMP_WEIGHT: f64 = 0.5;
/// Columns of the ramp's code that are read. Source: chosen.
const RAMP_COLUMNS: [f64; 3] = [0.3, 0.5, 0.7];
/// Rows of the ramp that are read, away from its edges. Source: chosen.
const RAMP_ROWS: u32 = 16;

/// A neutral shade and what came of it, fractions of white.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyedPoint {
    /// As it reached the key, after the chain.
    pub slide: f64,
    /// As captured.
    pub out: f64,
    /// How much it counts.
    pub weight: f64,
}

/// Reads the steps and the ramp of a keyed chart. With a chain, the shades are what it makes of them.
pub fn read_keyed_curve(
    frame: &Frame,
    chain: Option<Chain>,
) -> Result<Vec<KeyedPoint>, ChartReadingError> {
    let reading = ChartReading::find_keyed(frame)?;
    let at_key = |sent_code: f64| {
        let sent = sent_code / 255.0;
        chain.map_or(sent, |chain| {
            (chain.gain() * sent + chain.offset_percent() / 100.0).clamp(0.0, 1.0)
        })
    };
    let mut points: Vec<KeyedPoint> = read_patches(frame, &reading)
        .iter()
        .filter(|patch| patch.role != PatchRole::Bar)
        .map(|patch| KeyedPoint {
            slide: at_key(f64::from(patch.sent_u8[0])),
            out: patch.luma_codes / 255.0,
            weight: 1.0,
        })
        .collect();
    points.extend(ramp_points(Capture::new(frame), &reading, at_key));
    points.sort_by(|a, b| a.slide.total_cmp(&b.slide));
    Ok(points)
}

/// One point a code of the ramp, but for its ends, which are next to black and white.
fn ramp_points(
    capture: Capture<'_>,
    reading: &ChartReading,
    at_key: impl Fn(f64) -> f64,
) -> Vec<KeyedPoint> {
    let ramp = reading.chart.ramp();
    let (left, width) = (f64::from(ramp.x0), f64::from(ramp.x1 - ramp.x0));
    let (top, height) = (f64::from(ramp.y0), f64::from(ramp.y1 - ramp.y0));
    let readings = RAMP_COLUMNS.len() as f64 * f64::from(RAMP_ROWS);
    let mut points = Vec::new();
    for code in 2_u32..254 {
        let mut sum = 0.0;
        for fx in RAMP_COLUMNS {
            for row in 0..RAMP_ROWS {
                let fy = 0.15 + 0.7 * (f64::from(row) + 0.5) / f64::from(RAMP_ROWS);
                let place = [
                    left + (f64::from(code) + fx) / 256.0 * width,
                    top + fy * height,
                ];
                let at = reading.map.capture_from_chart(place);
                sum += capture.luma_at(at).unwrap_or(0.0);
            }
        }
        points.push(KeyedPoint {
            slide: at_key(f64::from(code)),
            out: sum / readings / 255.0,
            weight: RAMP_WEIGHT,
        });
    }
    points
}
