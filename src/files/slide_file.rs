//! One slide of a deck on disk: a picture file, or a page of a file that has many.

use std::fmt;
use std::path::PathBuf;

use super::documents::Documents;
use super::page_raster::PageRaster;
use super::picture_file::{Picture, ReadError, read_picture};
use crate::pixel::settings::{Placement, Size};

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

    /// A slide that is a page of a file, from 1.
    pub fn page_of(path: PathBuf, page: u32) -> Self {
        Self {
            path,
            page: Some(page),
        }
    }

    /// What the slide is called where there is little room: the file's name without its ending, and the page.
    pub fn title(&self) -> String {
        let name = self.path.file_stem().unwrap_or(self.path.as_os_str());
        let name = name.to_string_lossy();
        match self.page {
            Some(page) => format!("{name}, page {page}"),
            None => name.into_owned(),
        }
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

/// Reads slides: pictures as they are, pages drawn for one output.
#[derive(Clone, Debug, Default)]
pub struct SlideReader {
    documents: Documents,
    raster: PageRaster,
}

impl SlideReader {
    /// Draws pages for the output that this placement makes with a camera of this size, so that placing
    /// them there leaves every pixel untouched. The default is for [`Size::HD`] and the usual placement.
    pub fn new(placement: &Placement, camera: Option<Size>) -> Self {
        Self::drawing_for(PageRaster::new(placement, camera))
    }

    /// Draws pages on this raster.
    pub fn drawing_for(raster: PageRaster) -> Self {
        Self {
            documents: Documents::default(),
            raster,
        }
    }

    /// The files that are open.
    pub fn documents(&self) -> &Documents {
        &self.documents
    }

    /// What pages are drawn on.
    pub fn raster(&self) -> PageRaster {
        self.raster
    }

    /// The same, sharing the files that are open already, as those of [`Deck::open_with`](super::deck::Deck::open_with).
    #[must_use]
    pub fn with_documents(self, documents: Documents) -> Self {
        Self { documents, ..self }
    }

    /// Reads and decodes a slide; any number of threads may read at once.
    pub fn read(&self, slide: &SlideSource) -> Result<Picture, ReadError> {
        match slide.page {
            None => read_picture(&slide.path),
            Some(page) => Ok(self.documents.open(&slide.path)?.draw(page, &self.raster)?),
        }
    }
}
