//! An HTML page or an SVG drawing that is written, whole or not at all, and never over a file that is read.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::atomic::AtomicFile;
use super::picture_output::{WriteError, is_same_file, open_beside};

/// A page to be, opened before the slow work so that a bad name is known at once.
#[derive(Debug)]
pub struct PageOutput {
    file: AtomicFile,
    path: PathBuf,
}

impl PageOutput {
    /// Opens the output beside `path`; refuses to take the place of one of `inputs`.
    pub fn create(path: &Path, inputs: &[&Path]) -> Result<Self, WriteError> {
        Self::open(path, inputs, &["html", "htm"])
    }

    /// The same for a drawing, whose name ends in .svg.
    pub fn create_svg(path: &Path, inputs: &[&Path]) -> Result<Self, WriteError> {
        Self::open(path, inputs, &["svg"])
    }

    fn open(path: &Path, inputs: &[&Path], endings: &[&str]) -> Result<Self, WriteError> {
        let owned = path.to_owned();
        let ending = path.extension().and_then(|ending| ending.to_str());
        if path.is_dir() {
            return Err(WriteError::Folder { path: owned });
        }
        if inputs.iter().any(|input| is_same_file(path, input)) {
            return Err(WriteError::IsInput { path: owned });
        }
        let is_right = |ending: &str| endings.contains(&&*ending.to_ascii_lowercase());
        if !ending.is_some_and(is_right) {
            return Err(WriteError::PageExtension { path: owned });
        }
        let file = open_beside(path)?;
        Ok(Self { file, path: owned })
    }

    /// Writes the page and puts it in place.
    pub fn write(mut self, page: &str) -> Result<(), WriteError> {
        let path = self.path;
        let written = self.file.write_all(page.as_bytes());
        written
            .and_then(|()| self.file.commit())
            .map_err(|source| WriteError::System { path, source })
    }
}
