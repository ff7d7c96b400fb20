//! A deck: slides in order, from files and folders.

use std::cmp::Ordering;
use std::ffi::OsStr;
use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::documents::{DocumentError, Documents, is_document};
use super::pages::Pages;
use super::slide_file::SlideSource;

/// Endings of files that are taken from a folder.
const SLIDE_ENDINGS: [&str; 7] = ["png", "jpg", "jpeg", "webp", "tif", "tiff", "bmp"];

/// Slides in order.
#[derive(Debug, Default)]
pub struct Deck {
    /// The slides that there are.
    pub slides: Vec<SlideSource>,
    /// What was asked for and gives no slide.
    pub problems: Vec<DeckError>,
}

/// Why there is no deck.
#[derive(Debug, Error)]
pub enum DeckError {
    /// Nothing has this name.
    #[error("no such slide or folder: `{}`", path.display())]
    Missing {
        /// What was asked for.
        path: PathBuf,
    },
    /// The folder holds no picture.
    #[error("no PNG, JPEG, WebP, TIFF or BMP file in the folder: `{}`", path.display())]
    EmptyFolder {
        /// What was asked for.
        path: PathBuf,
        /// A file with many slides that lies in it, which is used only where it is named.
        document: Option<PathBuf>,
    },
    /// A file with many slides cannot be used.
    #[error(transparent)]
    Document(#[from] DocumentError),
    /// A file ends before a page that was picked.
    #[error("expected pages from 1 to {count}, got {page}: `{}`", path.display())]
    NoSuchPage {
        /// What was asked for.
        path: PathBuf,
        /// The page that was picked.
        page: u32,
        /// Pages that there are.
        count: u32,
    },
    /// Pages were picked, and no slide is a page.
    #[error("pages {pages} were picked, but no slide is a page of a file")]
    NothingHasPages {
        /// What was picked.
        pages: Pages,
    },
    /// The system refused.
    #[error("cannot open the folder: `{}`", path.display())]
    System {
        /// What was asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

impl DeckError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Missing { .. } => Some("check the name and the folder you are in".to_owned()),
            Self::EmptyFolder { document: None, .. } => {
                Some("export the slides as PNG into that folder".to_owned())
            }
            Self::EmptyFolder {
                document: Some(document),
                ..
            } => Some(format!(
                "a folder stands for its pictures; name the file in it: `{}`",
                document.display()
            )),
            Self::Document(error) => error.hint(),
            Self::NoSuchPage { .. } => Some("pick pages that there are with `--pages`".to_owned()),
            Self::NothingHasPages { .. } => Some("leave `--pages` out, or name a PDF".to_owned()),
            Self::System { .. } => None,
        }
    }
}

impl Deck {
    /// Files as they come; a folder stands for its pictures in natural order (2 before 10), a PDF and
    /// a file of a slide program for its pages.
    ///
    /// One thing that gives no slide never keeps the others out: it is among the problems.
    pub fn open(paths: &[PathBuf]) -> Self {
        Self::open_with(paths, &Documents::default())
    }

    /// The same, leaving files with many slides open, so that they are not opened again for reading.
    pub fn open_with(paths: &[PathBuf], documents: &Documents) -> Self {
        let mut deck = Self::default();
        for path in paths {
            if path.is_dir() {
                match slides_in(path) {
                    Ok(slides) => deck
                        .slides
                        .extend(slides.into_iter().map(SlideSource::file)),
                    Err(problem) => deck.problems.push(problem),
                }
            } else if is_document(path) && path.exists() {
                match documents.open(path) {
                    Ok(document) => deck.slides.extend(
                        (1..=document.page_count())
                            .map(|page| SlideSource::page_of(path.clone(), page)),
                    ),
                    Err(problem) => deck.problems.push(problem.into()),
                }
            } else if path.exists() {
                deck.slides.push(SlideSource::file(path.clone()));
            } else {
                deck.problems
                    .push(DeckError::Missing { path: path.clone() });
            }
        }
        deck
    }

    /// Keeps these pages alone of files with many slides, and every other slide. What was picked and is
    /// not there is among the problems.
    pub fn pick(&mut self, pages: &Pages) {
        let mut counts: Vec<(PathBuf, u32)> = Vec::new();
        for slide in &self.slides {
            let Some(page) = slide.page else { continue };
            match counts.last_mut() {
                Some((path, count)) if *path == slide.path => *count = page.max(*count),
                _ => counts.push((slide.path.clone(), page)),
            }
        }
        if counts.is_empty() && !self.slides.is_empty() {
            self.problems.push(DeckError::NothingHasPages {
                pages: pages.clone(),
            });
        }
        self.slides
            .retain(|slide| slide.page.is_none_or(|page| pages.contains(page)));
        for (path, count) in counts {
            let beyond = pages.ends_above(count);
            self.problems
                .extend(beyond.map(|page| DeckError::NoSuchPage {
                    path: path.clone(),
                    page,
                    count,
                }));
        }
    }
}

/// Files with many slides that lie in folders of pictures among these paths, and are not named themselves: no slide of
/// theirs is in a deck of these paths.
pub fn documents_left_out(paths: &[PathBuf]) -> Vec<PathBuf> {
    let folders = paths.iter().filter(|path| path.is_dir());
    let found = folders.filter_map(|folder| documents_in(folder).ok());
    let mut left_out: Vec<PathBuf> = found.flatten().collect();
    left_out.retain(|document| !paths.contains(document));
    left_out
}

/// The files with many slides of a folder, by name.
fn documents_in(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut documents = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if !path.is_dir() && is_document(&path) {
            documents.push(path);
        }
    }
    documents.sort();
    Ok(documents)
}

/// The pictures of a folder in natural order.
fn slides_in(folder: &Path) -> Result<Vec<PathBuf>, DeckError> {
    let refused = |source| DeckError::System {
        path: folder.to_owned(),
        source,
    };
    let mut slides = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(refused)? {
        let path = entry.map_err(refused)?.path();
        if is_picture_name(&path) && path.is_file() {
            slides.push(path);
        }
    }
    if slides.is_empty() {
        return Err(DeckError::EmptyFolder {
            path: folder.to_owned(),
            document: documents_in(folder).map_err(refused)?.into_iter().next(),
        });
    }
    slides.sort_by(|a, b| natural_order(&a.to_string_lossy(), &b.to_string_lossy()));
    Ok(slides)
}

/// Whether this is what slides are read from, as far as can be said without reading them: a folder, a picture or a file
/// of pages.
pub fn has_slides(path: &Path) -> bool {
    path.is_dir() || (path.is_file() && (is_picture_name(path) || is_document(path)))
}

/// Whether a file of this name is taken from a folder: a picture by its ending, and not hidden.
pub(super) fn is_picture_name(path: &Path) -> bool {
    let ending = path.extension().map(OsStr::to_ascii_lowercase);
    let name = path.file_name().unwrap_or_default();
    ending.is_some_and(|e| SLIDE_ENDINGS.iter().any(|known| e == *known))
        && !name.as_encoded_bytes().starts_with(b".")
}

/// Compares names with runs of digits as numbers, letters without regard to case.
pub fn natural_order(a: &str, b: &str) -> Ordering {
    let (mut rest_a, mut rest_b) = (a, b);
    loop {
        let (Some(first_a), Some(first_b)) = (rest_a.chars().next(), rest_b.chars().next()) else {
            return rest_a.len().cmp(&rest_b.len()).then_with(|| a.cmp(b));
        };
        let both_digits = first_a.is_ascii_digit() && first_b.is_ascii_digit();
        let order = if both_digits {
            let (digits_a, digits_b) = (leading_digits(rest_a), leading_digits(rest_b));
            rest_a = &rest_a[digits_a.len()..];
            rest_b = &rest_b[digits_b.len()..];
            let (number_a, number_b) = (
                digits_a.trim_start_matches('0'),
                digits_b.trim_start_matches('0'),
            );
            number_a
                .len()
                .cmp(&number_b.len())
                .then_with(|| number_a.cmp(number_b))
        } else {
            rest_a = &rest_a[first_a.len_utf8()..];
            rest_b = &rest_b[first_b.len_utf8()..];
            first_a.to_lowercase().cmp(first_b.to_lowercase())
        };
        if order != Ordering::Equal {
            return order;
        }
    }
}

/// The digits a text begins with.
fn leading_digits(text: &str) -> &str {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    &text[..end]
}
