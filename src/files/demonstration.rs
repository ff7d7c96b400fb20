//! The built-in demonstration: an evening course on finding one's way by the night sky in small boats.
//! `examples/demonstration` draws the pictures; they are embedded as drawn.

use std::path::Path;

use super::picture_file::{ReadError, decode_picture};
use crate::pixel::frame::Frame;

/// A picture of the demonstration, as a file.
#[derive(Clone, Copy, Debug)]
pub struct DemonstrationFile {
    /// Its file name.
    pub name: &'static str,
    /// What it teaches, a sentence.
    pub lesson: &'static str,
    /// The file's bytes.
    pub bytes: &'static [u8],
}

impl DemonstrationFile {
    /// The picture in memory.
    pub fn frame(&self) -> Result<Frame, ReadError> {
        decode_picture(self.bytes, Path::new(self.name)).map(|picture| picture.frame)
    }
}

macro_rules! embedded {
    ($name:literal, $lesson:literal) => {
        DemonstrationFile {
            name: $name,
            lesson: $lesson,
            bytes: include_bytes!(concat!(
                env!("CARGO_MANIFEST_DIR"),
                "/examples/demonstration/pictures/",
                $name
            )),
        }
    };
}

/// The camera frame: a presenter behind a written-on glass.
pub const CAMERA: DemonstrationFile = embedded!(
    "camera.jpg",
    "the camera: writing on the glass, the presenter, a black backdrop and one unwanted reflection"
);

/// The slides, in the order of the lecture.
pub const SLIDES: [DemonstrationFile; 4] = [
    embedded!(
        "slide_1_keys_cleanly.png",
        "keys cleanly: bright shapes on pure black"
    ),
    embedded!(
        "slide_2_faint_stars.png",
        "loses its faintest stars, which hardly show anyway; its caption in pure blue goes half transparent"
    ),
    embedded!(
        "slide_3_grey_background.png",
        "lies over the camera as haze, because its background is not quite black"
    ),
    embedded!(
        "slide_4_lands_on_writing.png",
        "keys cleanly, but lands on the writing"
    ),
];
