//! Where a picture of the window comes from.

use std::path::PathBuf;

use super::deck_check::SlideId;
use crate::files::demonstration::{CAMERA, SLIDES};
use crate::files::picture_file::{Picture, ReadError, decode_picture, read_picture};
use crate::files::slide_file::{SlideReader, SlideSource};

/// Where a picture comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PictureSource {
    /// A camera file.
    File(PathBuf),
    /// A slide on disk.
    Slide(SlideSource),
    /// The built-in camera picture.
    DemonstrationCamera,
    /// The built-in slide with this index.
    DemonstrationSlide(usize),
}

impl PictureSource {
    /// Reads and decodes it.
    pub fn read(&self) -> Result<Picture, ReadError> {
        self.read_with(&SlideReader::default())
    }

    /// The same, with pages drawn by this reader.
    pub(super) fn read_with(&self, slides: &SlideReader) -> Result<Picture, ReadError> {
        let built_in = match self {
            Self::File(path) => return read_picture(path),
            Self::Slide(slide) => return slides.read(slide),
            Self::DemonstrationCamera => &CAMERA,
            Self::DemonstrationSlide(index) => &SLIDES[index % SLIDES.len()],
        };
        decode_picture(built_in.bytes, built_in.name.as_ref())
    }

    /// What a slide is called in the setup.
    pub(super) fn slide_id(&self) -> SlideId {
        match self {
            Self::Slide(slide) => SlideId {
                file_name: slide.file_name(),
                page: slide.page,
            },
            Self::DemonstrationSlide(index) => SlideId {
                file_name: SLIDES[index % SLIDES.len()].name.to_owned(),
                page: None,
            },
            Self::File(_) | Self::DemonstrationCamera => SlideId::default(),
        }
    }

    /// The file, if it is one.
    pub(super) fn paths(&self) -> Vec<PathBuf> {
        match self {
            Self::File(path) => vec![path.clone()],
            Self::Slide(slide) => vec![slide.path.clone()],
            Self::DemonstrationCamera | Self::DemonstrationSlide(_) => Vec::new(),
        }
    }
}
