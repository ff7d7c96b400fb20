//! One slide of a deck on disk: a picture file, or a page of a file that has many.

use std::fmt;
use std::path::PathBuf;

use super::picture_file::{Picture, ReadError, read_picture};

/// Where a slide comes from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SlideSource {
    /// The file.
    pub path: PathBuf,
    /// The page, from 1, where the file has pages.
    pub page: Option<u32>,
}

impl SlideSource {
    /// A slide that is a file of its own.
    pub fn file(path: PathBuf) -> Self {
        Self { path, page: None }
    }

    /// The file's name without its folders.
    pub fn file_name(&self) -> String {
        let name = self.path.file_name().unwrap_or(self.path.as_os_str());
        name.to_string_lossy().into_owned()
    }
}

impl fmt::Display for SlideSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.path.display())?;
        match self.page {
            Some(page) => write!(f, ", page {page}"),
            None => Ok(()),
        }
    }
}

/// Reads slides.
#[derive(Debug, Default)]
pub struct SlideReader {}

impl SlideReader {
    /// Reads and decodes a slide.
    pub fn read(&self, slide: &SlideSource) -> Result<Picture, ReadError> {
        read_picture(&slide.path)
    }
}
