//! What was found in a camera frame as one document. Does not look at any frame.

use schemars::JsonSchema;
use serde::Serialize;

use super::inspect_words::leaves_nothing_to_judge;
use super::like_json::LikeJson;
use crate::measure::inspect::camera_finding::CameraFinding;
use crate::measure::inspect::camera_look::CameraLook;
use crate::measure::inspect::camera_note::CameraNote;
use crate::measure::inspect::camera_parts::CameraParts;
use crate::measure::inspect::camera_report::CameraReport;
use crate::measure::inspect::camera_verdict::{CameraVerdict, Unanswered};
use crate::measure::inspect::like_report::LikeReport;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::told_apart::told_apart;

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
    pub shift_px: [f64; 2],
    /// Its strength, percent of the strokes' contrast in codes.
    pub strength_percent: f64,
    /// Thickness of a mirror's glass that explains it, for a mirror at 45 degrees and a refractive index of 1.52: mm for
    /// each metre that the picture is wide at the strokes.
    pub thickness_mm_per_metre: f64,
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
    pub noise_codes: Option<[f64; 3]>,
    /// Luma of the backdrop, percent of white; null likewise.
    pub backdrop_percent: Option<f64>,
    /// Luma of the backdrop's brightest part over that of its darkest, percent of white; null likewise.
    pub unevenness_percent: Option<f64>,
    /// Width of the writing's edges from 10 to 90 %, px; null where nothing is written.
    pub writing_edge_px: Option<f64>,
    /// The same of the presenter's sharpest edges, px; null where nobody is there.
    pub presenter_edge_px: Option<f64>,
    /// Share of the presenter's outline that melts into the backdrop, percent; null where nobody is there.
    pub melted_outline_percent: Option<f64>,
    /// Luma that all but 2 % of the writing is under, percent of white; null where nothing is written.
    pub writing_brightest_percent: Option<f64>,
    /// Luma that all skin but 0.2 % of the presenter is under, percent of white; null where no skin is seen.
    pub skin_brightest_percent: Option<f64>,
    /// A weaker copy of all strokes; null where there is none.
    pub double_image: Option<DoubleImageJson>,
    /// What changed against the frame of the last good setup; null without `--like`, or where that is not used.
    pub like: Option<LikeJson>,
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
            two_decimals(percent)
        };
        let notes = telling(parts.notes.iter().chain(&report.notes).copied().collect());
        let mut unanswered: Vec<Unanswered> =
            notes.iter().filter_map(|note| note.unanswered()).collect();
        // What keeps the frame itself from being judged comes before a comparison.
        unanswered.sort();
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
                noise_codes: report
                    .noise
                    .filter(|noise| !noise.is_hidden)
                    .map(|noise| noise.channels_codes.map(two_decimals)),
                backdrop_percent: report
                    .backdrop
                    .map(|level| two_decimals(level.luma_percent)),
                unevenness_percent: report
                    .backdrop
                    .map(|level| two_decimals(level.uneven_percent)),
                writing_edge_px: report.edges.writing_px.map(two_decimals),
                writing_brightest_percent: report.brightest.writing_percent.map(two_decimals),
                skin_brightest_percent: report.brightest.skin_percent.map(two_decimals),
                melted_outline_percent: report.outline.map(|outline| two_decimals(outline.percent)),
                presenter_edge_px: report.edges.presenter_px.map(two_decimals),
                double_image: report.double_image.map(|double| DoubleImageJson {
                    shift_px: double.shift_px.map(two_decimals),
                    strength_percent: two_decimals(double.strength_percent),
                    thickness_mm_per_metre: two_decimals(double.thickness_mm_per_m),
                }),
                like: None,
            },
            verdict: CameraVerdict::of(&report.findings, &unanswered),
            unanswered,
            findings: report.findings.iter().map(told).collect(),
            notes: notes.iter().map(|note| note.words()).collect(),
        }
    }
}

impl InspectDocument {
    /// The document of all that was found by looking at a file.
    pub fn of_look(file: String, size: [u32; 2], look: &CameraLook) -> Self {
        let document = Self::new(file, size, &look.parts, &look.report);
        match &look.like {
            Some(like) => document.beside(like),
            None => document,
        }
    }

    /// The document with what changed against the frame of the last good setup.
    #[must_use]
    pub fn beside(mut self, like: &LikeReport) -> Self {
        self.camera.like = Some(LikeJson::new(like, self.output[0]));
        self.findings.extend(like.findings.iter().map(told));
        self.findings.sort_by_key(|finding| finding.kind);
        self.verdict = CameraVerdict::of(&self.findings, &self.unanswered);
        self.notes
            .extend(like.notes.iter().map(|note| note.words()));
        self
    }
}

/// The notes that say something: in a frame that shows nothing to judge, that nobody is there and nothing is written
/// are no news, nor is why noise or colour cannot be told.
fn telling(mut notes: Vec<CameraNote>) -> Vec<CameraNote> {
    let is_blank = |note: &CameraNote| note.unanswered().is_some_and(leaves_nothing_to_judge);
    if notes.iter().any(is_blank) {
        notes.retain(|note| {
            !matches!(
                note,
                CameraNote::NothingWritten
                    | CameraNote::NobodyThere
                    | CameraNote::NoColour
                    | CameraNote::NoiseHidden
            )
        });
    }
    notes
}

/// A number with so many decimals, and no minus before a zero.
pub(super) fn rounded(number: f64, decimals: i32) -> f64 {
    let steps = 10_f64.powi(decimals);
    (number * steps).round() / steps + 0.0
}

/// A number with two decimals.
fn two_decimals(number: f64) -> f64 {
    rounded(number, 2)
}

/// A finding with numbers of two decimals, and more where they would read the same.
fn told(finding: &CameraFinding) -> CameraFinding {
    let exact = [finding.measured, finding.limit];
    let [measured, limit] = told_apart(finding.measured, finding.limit, 2);
    let number = |text: String, exact: f64| text.parse().unwrap_or(exact);
    CameraFinding {
        measured: number(measured, exact[0]),
        limit: number(limit, exact[1]),
        ..finding.clone()
    }
}
