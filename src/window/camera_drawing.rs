//! What the overlays draw, in pixels of the output: made once for each camera frame.

use crate::measure::inspect::camera_parts::CameraParts;
use crate::measure::raster::contours::{Corner, contours, slanted_lines};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// How far from the ink its outline lies, px in an output 1080 high. Source: chosen by eye; the ink stays in sight.
const AROUND_INK_PX: u32 = 2;
/// How far outlines of writing and presenter may be off, px in an output 1080 high. Source: chosen; hardly seen at one to
/// one, and the edge of the presenter is known to a pixel or two.
const WRITING_TOLERANCE_PX: f64 = 1.0;
const PRESENTER_TOLERANCE_PX: f64 = 3.0;
/// Height of the boxes that stand for the presenter, px in an output 1080 high. Source: chosen, a line of a name.
const SLICE_PX: u32 = 30;
/// How far the slanted lines are apart, px in an output 1080 high. Source: chosen by eye.
const APART_PX: u32 = 40;

/// The lines of writing and presenter.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraDrawing {
    /// The output that they are in.
    pub output: Size,
    /// Closed lines round the writing.
    pub writing: Vec<Vec<Corner>>,
    /// The boxes round what is written, a line of it each.
    pub writing_places: Vec<PixelBox>,
    /// Closed lines round the presenter.
    pub presenter: Vec<Vec<Corner>>,
    /// Slanted lines in the presenter.
    pub presenter_lines: Vec<[Corner; 2]>,
    /// Boxes that the presenter fills nearly, from the top down.
    pub presenter_slices: Vec<PixelBox>,
}

impl CameraDrawing {
    /// The drawing of what was found.
    pub fn of(parts: &CameraParts) -> Self {
        let height = parts.writing.size().height();
        let at_height = |px: u32| px * height / 1080 + 1;
        // In a small output a pixel is still a pixel.
        let tolerance = |px: f64| (px * f64::from(height) / 1080.0).max(1.0);
        let around_ink = parts.writing.grown(at_height(AROUND_INK_PX));
        Self {
            output: parts.writing.size(),
            writing: contours(&around_ink, tolerance(WRITING_TOLERANCE_PX)),
            writing_places: parts.writing_places.clone(),
            presenter: contours(&parts.presenter, tolerance(PRESENTER_TOLERANCE_PX)),
            presenter_lines: slanted_lines(&parts.presenter, at_height(APART_PX)),
            presenter_slices: slices(&parts.presenter, at_height(SLICE_PX)),
        }
    }
}

/// A mask as boxes of this height, as wide as it is there; of parts that lie beside each other a box each.
pub fn slices(mask: &Runs, height: u32) -> Vec<PixelBox> {
    let mut found = Vec::new();
    for rows in mask
        .as_slice()
        .chunk_by(|a, b| a.y / height == b.y / height)
    {
        let mut runs = rows.to_vec();
        runs.sort_unstable_by_key(|run| run.start);
        let mut parts: Vec<PixelBox> = Vec::new();
        for run in runs {
            match parts.last_mut() {
                Some(part) if run.start <= part.right() => *part = part.union(run.bounds()),
                _ => parts.push(run.bounds()),
            }
        }
        found.append(&mut parts);
    }
    found
}
