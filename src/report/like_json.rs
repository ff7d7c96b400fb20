//! What changed against the frame of the last good setup, as part of the document about a camera frame.

use schemars::JsonSchema;
use serde::Serialize;

use super::inspect_document::rounded;
use crate::measure::inspect::like_report::LikeReport;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::still::way_round::WayRound;

/// What changed against the frame of the last good setup, by what stands still in both.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LikeJson {
    /// How the picture lies beside that one; null where that cannot be told.
    pub way_round: Option<WayRound>,
    /// How well the two agree, a correlation up to 1.
    pub agreement: f64,
    /// How far the picture's middle has moved to the right and down, px of the output; null where that cannot be told.
    pub shift_px: [Option<f64>; 2],
    /// The same in percent of the output's width.
    pub shift_percent: [Option<f64>; 2],
    /// How much larger things are, percent; null where that cannot be told.
    pub zoom_percent: Option<f64>,
    /// How far things are turned clockwise, degrees; null likewise.
    pub rotation_degrees: Option<f64>,
    /// How far the corner that moves most has moved, percent of the output's width.
    pub displacement_percent: f64,
    /// How much brighter what stands still is, stops; null where nothing of it is bright enough.
    pub exposure_stops: Option<f64>,
    /// Factors of linear light in red, green and blue; null likewise.
    pub light: Option<[f64; 3]>,
    /// How much more of red, green and blue there is beside all light, percent; null likewise.
    pub colour_percent: Option<[f64; 3]>,
    /// Each ink that both frames have, where the presenter is not behind it.
    pub inks: Vec<InkLossJson>,
}

/// How the strokes of an ink have changed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct InkLossJson {
    /// Their colour now, such as `#3CEB6E`.
    pub color: String,
    /// How much of their luminance is gone beside the change of all light, percent; negative where there is more.
    pub loss_percent: f64,
    /// The box around them, `[x, y, width, height]` in output pixels.
    #[serde(rename = "box")]
    pub bounds: PixelBox,
}

impl LikeJson {
    pub(super) fn new(report: &LikeReport, width: u32) -> Self {
        let measure = &report.measure;
        Self {
            way_round: measure.way,
            agreement: rounded(measure.agreement, 2),
            shift_px: measure.shift_px.map(|px| Some(rounded(px?, 2))),
            shift_percent: measure
                .shift_px
                .map(|px| Some(rounded(100.0 * px? / f64::from(width), 3))),
            zoom_percent: measure.zoom_percent.map(|zoom| rounded(zoom, 3)),
            rotation_degrees: measure.rotation_degrees.map(|turn| rounded(turn, 3)),
            displacement_percent: rounded(measure.displacement_percent, 3),
            exposure_stops: measure.light.map(|light| rounded(light.stops(), 2)),
            light: measure
                .light
                .map(|light| light.channels.map(|factor| rounded(factor, 3))),
            colour_percent: measure
                .light
                .map(|light| light.colour_percent().map(|percent| rounded(percent, 1))),
            inks: report
                .inks
                .iter()
                .map(|ink| {
                    let [r, g, b] = ink.color;
                    InkLossJson {
                        color: format!("#{r:02X}{g:02X}{b:02X}"),
                        loss_percent: rounded(ink.loss_percent, 1),
                        bounds: ink.bounds,
                    }
                })
                .collect(),
        }
    }
}
