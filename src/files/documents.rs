//! Files with many slides that stay open, so that their pages can be drawn one after the other.

use std::ffi::OsStr;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use thiserror::Error;

use super::file_stamp::Stamp;
use super::office::{Office, OfficeError, SUBSTITUTE};
use super::page_raster::PageRaster;
use super::pdf::{PdfError, PdfFile};
use super::picture_file::Picture;

/// Endings of slide programs' files: Office Open XML and OpenDocument presentations, and the older binary form.
pub const OFFICE_ENDINGS: [&str; 4] = ["pptx", "ppsx", "ppt", "odp"];
/// Most bytes of files that stay open, unless the one in use alone has more. Source: chosen.
const MAX_OPEN_BYTES: usize = 128 << 20;

/// Why a file with many slides gives none.
#[derive(Debug, Error)]
pub enum DocumentError {
    /// A PDF cannot be used.
    #[error(transparent)]
    Pdf(#[from] PdfError),
    /// A file of a slide program cannot be used.
    #[error(transparent)]
    Office(#[from] OfficeError),
}

impl DocumentError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Pdf(error) => error.hint(),
            Self::Office(error) => error.hint(),
        }
    }
}

/// What kind of file has many slides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Pdf,
    Office,
}

/// Whether a file has many slides, by its ending, or because it begins as a PDF does.
pub(super) fn is_document(path: &Path) -> bool {
    kind_of(path).is_some()
}

/// Whether a file is a slide program's, so that opening it takes a while.
pub fn is_office(path: &Path) -> bool {
    kind_of(path) == Some(Kind::Office)
}

fn kind_of(path: &Path) -> Option<Kind> {
    let ending = path.extension().map(OsStr::to_ascii_lowercase);
    if let Some(ending) = ending {
        if ending == "pdf" {
            return Some(Kind::Pdf);
        }
        if OFFICE_ENDINGS.iter().any(|known| ending == *known) {
            return Some(Kind::Office);
        }
    }
    let mut head = [0; 5];
    File::open(path).ok()?.read_exact(&mut head).ok()?;
    (head == *b"%PDF-").then_some(Kind::Pdf)
}

/// Files that are open. A copy shares them.
#[derive(Clone, Debug, Default)]
pub struct Documents {
    open: Arc<Mutex<Vec<Document>>>,
    office: Office,
}

/// A file that is open.
#[derive(Clone, Debug)]
pub(super) struct Document {
    path: PathBuf,
    stamp: Option<Stamp>,
    pdf: Arc<PdfFile>,
    is_substitute: bool,
}

impl Documents {
    /// None open yet; files of slide programs are read through this LibreOffice.
    pub fn with_office(office: Office) -> Self {
        Self {
            open: Arc::default(),
            office,
        }
    }

    /// Opens a file, or finds it open and unchanged.
    pub(super) fn open(&self, path: &Path) -> Result<Document, DocumentError> {
        // Before reading: what changes while it is read counts as changed.
        let stamp = path.metadata().ok().as_ref().map(Stamp::new);
        // A list of open files is whole after every statement, so a panic elsewhere leaves nothing broken.
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        let found = open.iter().position(|known| known.path == path);
        let known = found.map(|index| open.remove(index));
        let document = match known.filter(|known| known.stamp == stamp) {
            Some(known) => known,
            None => self.read(path, stamp)?,
        };
        open.push(document.clone());
        let bytes = |open: &[Document]| open.iter().map(|one| one.pdf.length()).sum::<usize>();
        while open.len() > 1 && bytes(&open) > MAX_OPEN_BYTES {
            open.remove(0);
        }
        Ok(document)
    }

    fn read(&self, path: &Path, stamp: Option<Stamp>) -> Result<Document, DocumentError> {
        let is_substitute = kind_of(path) == Some(Kind::Office);
        let pdf = if is_substitute {
            let unusable = |source| OfficeError::Unusable {
                path: path.to_owned(),
                source: Box::new(source),
            };
            PdfFile::decode(self.office.to_pdf(path)?, path).map_err(unusable)?
        } else {
            PdfFile::read(path)?
        };
        Ok(Document {
            path: path.to_owned(),
            stamp,
            pdf: Arc::new(pdf),
            is_substitute,
        })
    }
}

impl Document {
    /// Pages that there are, at least 1.
    pub(super) fn page_count(&self) -> u32 {
        self.pdf.page_count()
    }

    /// Draws a page, from 1.
    pub(super) fn draw(&self, page: u32, raster: &PageRaster) -> Result<Picture, DocumentError> {
        let mut picture = self.pdf.draw(page, raster)?;
        if self.is_substitute {
            picture.warnings.insert(0, SUBSTITUTE.to_owned());
        }
        Ok(picture)
    }
}
