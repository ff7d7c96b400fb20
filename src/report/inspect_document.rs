//! What was found in a camera frame as one document. Does not look at any frame.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measure::camera_finding::CameraFinding;
use crate::measure::camera_note::CameraNote;
use crate::measure::camera_parts::CameraParts;
use crate::measure::camera_report::CameraReport;
use crate::measure::camera_verdict::{CameraVerdict, Unanswered};
use crate::measure::finding::PixelBox;
use crate::measure::like_report::LikeReport;
use crate::measure::runs::Runs;
use crate::measure::way_round::WayRound;

/// A part of the picture: how much it takes, and where.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PartJson {
    /// Share of the output that it takes, percent.
    pub percent: f64,
    /// A box around each group that belongs together, `[x, y, width, height]` in output pixels.
    pub boxes: Vec<PixelBox>,
}

/// A weaker copy of all strokes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DoubleImageJson {
    /// How far to the right and down it is off, px of the output.
    pub shift: [f64; 2],
    /// Its strength, percent of the strokes' contrast in codes.
    pub strength: f64,
    /// Thickness of a mirror's glass that explains it, for a mirror at 45 degrees and a refractive index of 1.52: mm for
    /// each metre that the picture is wide at the strokes.
    pub thickness_per_metre: f64,
}

/// The camera frame in numbers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CameraJson {
    /// The file.
    pub file: String,
    /// Its own width and height, px.
    pub size: [u32; 2],
    /// What is written on the glass.
    pub writing: PartJson,
    /// The presenter, with what writing covers.
    pub presenter: PartJson,
    /// Standard deviation of noise in R', G' and B', 8-bit codes; null where too little backdrop is seen.
    pub noise: Option<[f64; 3]>,
    /// Luma of the backdrop, percent of white; null likewise.
    pub backdrop: Option<f64>,
    /// Luma of the backdrop's brightest part over that of its darkest, percent of white; null likewise.
    pub unevenness: Option<f64>,
    /// Width of the writing's edges from 10 to 90 %, px; null where nothing is written.
    pub writing_edge: Option<f64>,
    /// The same of the presenter's sharpest edges, px; null where nobody is there.
    pub presenter_edge: Option<f64>,
    /// Share of the presenter's outline that melts into the backdrop, percent; null where nobody is there.
    pub melted_outline: Option<f64>,
    /// A weaker copy of all strokes; null where there is none.
    pub double_image: Option<DoubleImageJson>,
    /// What changed against the frame of the last good setup; null without `--like`, or where that is not used.
    pub like: Option<LikeJson>,
}

/// What changed against the frame of the last good setup, by what stands still in both.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LikeJson {
    /// How the picture lies beside that one; null where that cannot be told.
    pub way_round: Option<WayRound>,
    /// How well the two agree, a correlation up to 1.
    pub agreement: f64,
    /// How far the picture's middle has moved to the right and down, px of the output; null where that cannot be told.
    pub shift: [Option<f64>; 2],
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
    fn new(report: &LikeReport, width: u32) -> Self {
        let measure = &report.measure;
        let rounded = |number: f64, steps: f64| {
            // No minus before a zero.
            (number * steps).round() / steps + 0.0
        };
        Self {
            way_round: measure.way,
            agreement: rounded(measure.agreement, 100.0),
            shift: measure.shift_px.map(|px| Some(rounded(px?, 100.0))),
            shift_percent: measure
                .shift_px
                .map(|px| Some(rounded(100.0 * px? / f64::from(width), 1000.0))),
            zoom_percent: measure.zoom_percent.map(|zoom| rounded(zoom, 1000.0)),
            rotation_degrees: measure.rotation_degrees.map(|turn| rounded(turn, 1000.0)),
            displacement_percent: rounded(measure.displacement_percent, 1000.0),
            exposure_stops: measure.light.map(|light| rounded(light.stops(), 100.0)),
            light: measure
                .light
                .map(|light| light.channels.map(|factor| rounded(factor, 1000.0))),
            inks: report
                .inks
                .iter()
                .map(|ink| {
                    let [r, g, b] = ink.color;
                    InkLossJson {
                        color: format!("#{r:02X}{g:02X}{b:02X}"),
                        loss_percent: rounded(ink.loss_percent, 10.0),
                        bounds: ink.bounds,
                    }
                })
                .collect(),
        }
    }
}

/// What `nightglass inspect --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct InspectDocument {
    /// The version of this document's form.
    #[schemars(extend("const" = 1))]
    pub schema: u32,
    /// Width and height of the output, px. Boxes are counted in it.
    pub output: [u32; 2],
    /// The camera frame.
    pub camera: CameraJson,
    /// `pass`, `warn` or `fail` by the worst finding; `unclear` where `unanswered` is not empty and nothing fails.
    pub verdict: CameraVerdict,
    /// Why the frame, or the comparison that was asked for, could not be judged; empty where it was.
    pub unanswered: Vec<Unanswered>,
    /// What is wrong with it.
    pub findings: Vec<CameraFinding>,
    /// What the frame cannot tell, in sentences.
    pub notes: Vec<String>,
}

impl InspectDocument {
    /// The document of what was found in a file.
    pub fn new(file: String, size: [u32; 2], parts: &CameraParts, report: &CameraReport) -> Self {
        let output = parts.writing.size();
        let share = |mask: &Runs| {
            let percent = 100.0 * mask.area() as f64 / output.area() as f64;
            (percent * 100.0).round() / 100.0
        };
        let notes: Vec<CameraNote> = parts.notes.iter().chain(&report.notes).copied().collect();
        let unanswered: Vec<Unanswered> =
            notes.iter().filter_map(|note| note.unanswered()).collect();
        Self {
            schema: 1,
            output: [output.width(), output.height()],
            camera: CameraJson {
                file,
                size,
                writing: PartJson {
                    percent: share(&parts.writing),
                    boxes: parts.writing_places.clone(),
                },
                presenter: PartJson {
                    percent: share(&parts.presenter),
                    boxes: parts.presenter_place.into_iter().collect(),
                },
                noise: report
                    .noise
                    .filter(|noise| !noise.is_hidden)
                    .map(|noise| noise.channels_codes.map(two_decimals)),
                backdrop: report
                    .backdrop
                    .map(|level| two_decimals(level.luma_percent)),
                unevenness: report
                    .backdrop
                    .map(|level| two_decimals(level.uneven_percent)),
                writing_edge: report.edges.writing_px.map(two_decimals),
                melted_outline: report.outline.map(|outline| two_decimals(outline.percent)),
                presenter_edge: report.edges.presenter_px.map(two_decimals),
                double_image: report.double_image.map(|double| DoubleImageJson {
                    shift: double.shift_px.map(two_decimals),
                    strength: two_decimals(double.strength_percent),
                    thickness_per_metre: two_decimals(double.thickness_mm_per_m),
                }),
                like: None,
            },
            verdict: CameraVerdict::of(&report.findings, &unanswered),
            unanswered,
            findings: report.findings.iter().map(rounded).collect(),
            notes: notes.iter().map(|note| note.words()).collect(),
        }
    }
}

impl InspectDocument {
    /// The document with what changed against the frame of the last good setup.
    #[must_use]
    pub fn beside(mut self, like: &LikeReport) -> Self {
        self.camera.like = Some(LikeJson::new(like, self.output[0]));
        self.findings.extend(like.findings.iter().map(rounded));
        self.findings.sort_by_key(|finding| finding.kind);
        self.verdict = CameraVerdict::of(&self.findings, &self.unanswered);
        self.notes
            .extend(like.notes.iter().map(|note| note.words()));
        self
    }
}

/// A number with two decimals.
fn two_decimals(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}

/// A finding with numbers of two decimals.
fn rounded(finding: &CameraFinding) -> CameraFinding {
    CameraFinding {
        measured: two_decimals(finding.measured),
        limit: two_decimals(finding.limit),
        ..finding.clone()
    }
}
