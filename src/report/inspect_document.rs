//! What was found in a camera frame as one document. Does not look at any frame.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measure::camera_parts::CameraParts;
use crate::measure::finding::{Finding, PixelBox};
use crate::measure::runs::Runs;

/// A part of the picture: how much it takes, and where.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PartJson {
    /// Share of the output that it takes, percent.
    pub percent: f64,
    /// A box around each group that belongs together, `[x, y, width, height]` in output pixels.
    pub boxes: Vec<PixelBox>,
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
    pub findings: Vec<Finding>,
    /// What the frame cannot tell, in sentences.
    pub notes: Vec<String>,
}

impl InspectDocument {
    /// The document of what was found in a file.
    pub fn new(file: String, size: [u32; 2], parts: &CameraParts) -> Self {
        let output = parts.writing.size();
        let share = |mask: &Runs| {
            let percent = 100.0 * mask.area() as f64 / output.area() as f64;
            (percent * 100.0).round() / 100.0
        };
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
            },
            findings: Vec::new(),
            notes: parts.notes.iter().map(|note| note.words()).collect(),
        }
    }
}
