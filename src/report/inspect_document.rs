//! What was found in a camera frame as one document. Does not look at any frame.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measure::camera_finding::CameraFinding;
use crate::measure::camera_parts::CameraParts;
use crate::measure::camera_report::CameraReport;
use crate::measure::finding::PixelBox;
use crate::measure::runs::Runs;

/// What a frame without noise cannot tell.
const HIDDEN_NOISE: &str = "this frame shows no noise to measure, as after compression or enlarging; take a PNG frame at the camera's own size";

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
        let is_hidden = report.noise.is_some_and(|noise| noise.is_hidden);
        let hidden_noise = is_hidden.then(|| HIDDEN_NOISE.to_owned());
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
            },
            findings: report.findings.iter().map(rounded).collect(),
            notes: parts
                .notes
                .iter()
                .map(|note| note.words())
                .chain(hidden_noise)
                .collect(),
        }
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
