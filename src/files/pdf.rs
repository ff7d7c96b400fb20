//! PDF files: how many pages there are, and each drawn at the exact size that its output wants.
//! A page is paper: white where the file paints nothing.

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use hayro::hayro_interpret::util::TransformExt;
use hayro::hayro_interpret::{InterpreterSettings, InterpreterWarning};
use hayro::hayro_syntax::{DecryptionError, LoadPdfError, Pdf};
use hayro::kurbo::Affine;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::vello_cpu::{Pixmap, RasterizerSettings, RenderContext, Resources, TargetInit};
use hayro::{RenderCache, RenderSettings, render_into};
use thiserror::Error;

use super::page_raster::PageRaster;
use super::picture_file::Picture;
use crate::pixel::frame::{Frame, FrameError, Pixels};

/// Most bytes of a PDF. Source: chosen; scanned books of a thousand pages are smaller.
const MAX_PDF_BYTES: u64 = 512 << 20;
/// What a PDF ends with. Source: ISO 32000-1, 7.5.5.
const END_MARK: &[u8] = b"%%EOF";
/// Bytes from the end in which that is looked for. Source: chosen; ISO 32000-1, annex H.3, note 18, has the
/// last 1024, and some programs append more.
const TAIL_BYTES: usize = 1 << 16;
/// Pages that are drawn before the file is parsed anew, because what a page unpacks stays in memory as
/// long as the parsed file. Source: chosen; parsing 1000 pages takes less than drawing one.
const PAGES_A_PARSE: u32 = 32;

/// Why a PDF gives no slide.
#[derive(Debug, Error)]
pub enum PdfError {
    /// It cannot be parsed.
    #[error("the PDF is damaged, or is none: `{}`", path.display())]
    Damaged {
        /// The file asked for.
        path: PathBuf,
    },
    /// It opens with a password only.
    #[error("the PDF opens with a password only: `{}`", path.display())]
    Password {
        /// The file asked for.
        path: PathBuf,
    },
    /// It is encrypted in a way that is not read.
    #[error("the PDF is encrypted in a way that cannot be read: `{}`", path.display())]
    Encrypted {
        /// The file asked for.
        path: PathBuf,
    },
    /// There is nothing in it.
    #[error("the PDF has no pages: `{}`", path.display())]
    NoPages {
        /// The file asked for.
        path: PathBuf,
    },
    /// It has no end, so pages may be missing.
    #[error("the PDF was cut off, so that pages may be missing: `{}`", path.display())]
    CutOff {
        /// The file asked for.
        path: PathBuf,
    },
    /// It ends before this page.
    #[error("expected a page from 1 to {count}, got {page}: `{}`", path.display())]
    NoSuchPage {
        /// The file asked for.
        path: PathBuf,
        /// The page asked for.
        page: u32,
        /// Pages that there are.
        count: u32,
    },
    /// Drawing it failed.
    #[error("page {page} cannot be drawn: `{}`", path.display())]
    Page {
        /// The file asked for.
        path: PathBuf,
        /// The page asked for, from 1.
        page: u32,
    },
    /// Drawing it gave another number of pixels than promised.
    #[error("page {page} cannot be drawn: `{}`", path.display())]
    Pixels {
        /// The file asked for.
        path: PathBuf,
        /// The page asked for, from 1.
        page: u32,
        /// What came.
        source: FrameError,
    },
    /// It would take too much memory.
    #[error("a PDF may have {} MiB, got {mebibytes} MiB: `{}`", MAX_PDF_BYTES >> 20, path.display())]
    TooHeavy {
        /// The file asked for.
        path: PathBuf,
        /// What it has.
        mebibytes: u64,
    },
    /// The system refused.
    #[error("cannot open `{}`", path.display())]
    System {
        /// The file asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

impl PdfError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        let way_out = match self {
            Self::Damaged { .. } => "export the PDF again",
            Self::Password { .. } | Self::Encrypted { .. } => {
                "export the slides as a PDF without a password"
            }
            Self::CutOff { .. } => "export or copy the PDF again",
            Self::NoPages { .. } => "export or copy the PDF again: it is empty, or was cut off",
            Self::NoSuchPage { .. } => "name pages that there are with `--pages`",
            Self::Page { .. } | Self::Pixels { .. } => {
                "export the page as a PNG, or print the slides into a new PDF"
            }
            Self::TooHeavy { .. } => "export the PDF with smaller pictures, or in parts",
            Self::System { .. } => return None,
        };
        Some(way_out.to_owned())
    }
}

/// A PDF in memory.
pub(super) struct PdfFile {
    path: PathBuf,
    bytes: Arc<Vec<u8>>,
    page_count: u32,
    parsed: Mutex<Parsed>,
}

/// A parsed PDF, and how many pages were drawn from it.
struct Parsed {
    pdf: Arc<Pdf>,
    drawn: u32,
}

impl std::fmt::Debug for PdfFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PdfFile")
            .field("path", &self.path)
            .field("page_count", &self.page_count)
            .finish_non_exhaustive()
    }
}

impl PdfFile {
    /// Reads a file.
    pub(super) fn read(path: &Path) -> Result<Self, PdfError> {
        let refused = |source| PdfError::System {
            path: path.to_owned(),
            source,
        };
        let length = path.metadata().map_err(refused)?.len();
        if length > MAX_PDF_BYTES {
            return Err(PdfError::TooHeavy {
                path: path.to_owned(),
                mebibytes: length >> 20,
            });
        }
        Self::decode(std::fs::read(path).map_err(refused)?, path)
    }

    /// Takes a PDF that is in memory; `path` is its name in errors.
    pub(super) fn decode(bytes: Vec<u8>, path: &Path) -> Result<Self, PdfError> {
        let bytes = Arc::new(bytes);
        let pdf = parse(&bytes, path)?;
        let page_count = u32::try_from(pdf.pages().len()).unwrap_or(u32::MAX);
        if page_count == 0 {
            return Err(PdfError::NoPages {
                path: path.to_owned(),
            });
        }
        let tail = bytes.len().saturating_sub(TAIL_BYTES);
        if !bytes[tail..]
            .windows(END_MARK.len())
            .any(|mark| mark == END_MARK)
        {
            return Err(PdfError::CutOff {
                path: path.to_owned(),
            });
        }
        Ok(Self {
            path: path.to_owned(),
            bytes,
            page_count,
            parsed: Mutex::new(Parsed { pdf, drawn: 0 }),
        })
    }

    /// Pages that there are, at least 1.
    pub(super) fn page_count(&self) -> u32 {
        self.page_count
    }

    /// Bytes that it takes as a file.
    pub(super) fn length(&self) -> usize {
        self.bytes.len()
    }

    /// Draws a page, from 1; any number of threads may draw at once.
    pub(super) fn draw(&self, page: u32, raster: &PageRaster) -> Result<Picture, PdfError> {
        if page == 0 || page > self.page_count {
            return Err(PdfError::NoSuchPage {
                path: self.path.clone(),
                page,
                count: self.page_count,
            });
        }
        let pdf = self.parsed()?;
        // What the drawing had in its hands is dropped with it; the parsed file is only read.
        let drawn = catch_unwind(AssertUnwindSafe(|| draw_page(&pdf, page, raster)));
        let Ok(Some((frame, flaws))) = drawn else {
            return Err(PdfError::Page {
                path: self.path.clone(),
                page,
            });
        };
        Ok(Picture {
            frame: frame.map_err(|source| PdfError::Pixels {
                path: self.path.clone(),
                page,
                source,
            })?,
            lossy: false,
            warnings: flaws
                .into_iter()
                .map(|flaw| format!("{flaw} on page {page} of `{}`", self.path.display()))
                .collect(),
        })
    }

    /// The parsed file, made anew once enough pages were drawn from it.
    fn parsed(&self) -> Result<Arc<Pdf>, PdfError> {
        // A panic elsewhere leaves nothing broken: a parsed file is put in whole.
        let mut parsed = self.parsed.lock().unwrap_or_else(PoisonError::into_inner);
        if parsed.drawn == PAGES_A_PARSE {
            *parsed = Parsed {
                pdf: parse(&self.bytes, &self.path)?,
                drawn: 0,
            };
        }
        parsed.drawn += 1;
        Ok(Arc::clone(&parsed.pdf))
    }
}

/// Parses a file as far as its pages.
fn parse(bytes: &Arc<Vec<u8>>, path: &Path) -> Result<Arc<Pdf>, PdfError> {
    let path = path.to_owned();
    match catch_unwind(|| Pdf::new(Arc::clone(bytes))) {
        Ok(Ok(pdf)) => Ok(Arc::new(pdf)),
        Ok(Err(LoadPdfError::Decryption(DecryptionError::PasswordProtected))) => {
            Err(PdfError::Password { path })
        }
        Ok(Err(LoadPdfError::Decryption(_))) => Err(PdfError::Encrypted { path }),
        Ok(Err(LoadPdfError::Invalid)) | Err(_) => Err(PdfError::Damaged { path }),
    }
}

/// What is drawn, with what could not be; none for a page without a size.
fn draw_page(
    pdf: &Pdf,
    page: u32,
    raster: &PageRaster,
) -> Option<(Result<Frame, FrameError>, Vec<&'static str>)> {
    let page = pdf.pages().get(page as usize - 1)?;
    let [width, height] = <[f32; 2]>::from(page.render_dimensions()).map(f64::from);
    if !(width.is_finite() && height.is_finite() && width > 0.0 && height > 0.0) {
        return None;
    }
    let size = raster.size_of(width, height);
    let [width_px, height_px] = [size.width(), size.height()].map(|px| u16::try_from(px).ok());
    let mut context = RenderContext::new(width_px?, height_px?);
    // Both sides by their own factor: the page ends where its last pixel does.
    let x_scale = f64::from(size.width()) / width;
    let y_scale = f64::from(size.height()) / height;
    let to_pixels =
        Affine::scale_non_uniform(x_scale, y_scale) * page.initial_transform(true).to_kurbo();
    let flaws = Arc::new(Mutex::new(Vec::new()));
    let seen = Arc::clone(&flaws);
    let interpreter = InterpreterSettings {
        warning_sink: Arc::new(move |warning| {
            let mut flaws = seen.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(flaw) = flaw_of(warning)
                && !flaws.contains(&flaw)
            {
                flaws.push(flaw);
            }
        }),
        ..InterpreterSettings::default()
    };
    let cache = RenderCache::new();
    let settings = RenderSettings::default();
    render_into(
        page,
        &cache,
        &interpreter,
        &settings,
        &mut context,
        to_pixels,
    );
    context.flush();
    let mut drawn = Pixmap::new(width_px?, height_px?);
    let on_paper = RasterizerSettings {
        target_init: TargetInit::Clear(WHITE),
        ..RasterizerSettings::default()
    };
    context.render_with(&mut drawn, &mut Resources::default(), on_paper);
    // Paper lets nothing through; the renderer rounds some alphas to 254.
    let pixels = drawn.data().iter().map(|p| [p.r, p.g, p.b, u8::MAX]);
    let frame = Frame::new(size, Pixels::Rgba8(pixels.collect()));
    let flaws = std::mem::take(&mut *flaws.lock().unwrap_or_else(PoisonError::into_inner));
    Some((frame, flaws))
}

/// What a warning means for who looks at the page; nothing where it shows in no slide.
fn flaw_of(warning: InterpreterWarning) -> Option<&'static str> {
    match warning {
        InterpreterWarning::UnsupportedFont => Some("a font cannot be read, so text is missing"),
        InterpreterWarning::ImageDecodeFailure => Some("a picture cannot be read and is missing"),
        _ => None,
    }
}
