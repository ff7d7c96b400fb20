//! Stills that are written, whole or not at all, and never over a picture that is read.

use std::io;
use std::path::{Path, PathBuf};

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::codecs::tiff::TiffEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageError};
use thiserror::Error;

use super::atomic::AtomicFile;
use crate::pixel::color::to_u8;
use crate::pixel::frame::{Frame, Pixels};

/// Quality of written JPEG files, 1 to 100. Source: chosen; below it text edges begin to ring.
const JPEG_QUALITY: u8 = 95;

/// A format that is written, by the extension of the file's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum WrittenFormat {
    Png,
    Jpeg,
    WebP,
    Tiff,
}

/// Why a picture could not be written. Whatever was there before is still there.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The name does not say what to write.
    #[error(
        "expected a name ending in .png, .jpg, .webp or .tiff, got `{}`",
        path.display()
    )]
    Extension {
        /// The name asked for.
        path: PathBuf,
    },
    /// The name does not say that it is a page.
    #[error("expected a name ending in .html, got `{}`", path.display())]
    PageExtension {
        /// The name asked for.
        path: PathBuf,
    },
    /// The output would replace a picture that is read.
    #[error("the output is also an input: `{}`", path.display())]
    IsInput {
        /// The name asked for.
        path: PathBuf,
    },
    /// The folder is not there.
    #[error("no such folder for the output: `{}`", path.display())]
    NoFolder {
        /// The name asked for.
        path: PathBuf,
    },
    /// A folder is wanted, and it is a file.
    #[error("expected a folder to write into, got a file: `{}`", path.display())]
    NoFolderButFile {
        /// The name of the file.
        path: PathBuf,
    },
    /// It is a folder.
    #[error("expected a file name for the output, got a folder: `{}`", path.display())]
    Folder {
        /// The name asked for.
        path: PathBuf,
    },
    /// The system refused.
    #[error("cannot write `{}`", path.display())]
    System {
        /// The name asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The picture does not go into the format.
    #[error("cannot write `{}`", path.display())]
    Encoder {
        /// The name asked for.
        path: PathBuf,
        /// What the encoder says.
        source: ImageError,
    },
}

impl WriteError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Extension { .. } => {
                Some("PNG keeps every pixel as it is: name the output something.png".to_owned())
            }
            Self::PageExtension { .. } => Some("name the report something.html".to_owned()),
            Self::IsInput { .. } => Some("give the output a name of its own".to_owned()),
            Self::NoFolder { .. } => Some("make the folder first, or name another one".to_owned()),
            Self::NoFolderButFile { .. } => {
                Some("name a folder, or a new name for one; nothing was changed".to_owned())
            }
            Self::Folder { .. } => Some("add a file name, such as composite.png".to_owned()),
            Self::System { source, .. } => {
                let what_to_do = match source.kind() {
                    io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                        "free some space or name another disk"
                    }
                    io::ErrorKind::FileTooLarge => {
                        "the disk or a limit does not take a file of this size"
                    }
                    io::ErrorKind::InvalidInput => "name another file",
                    io::ErrorKind::Unsupported => "name another folder",
                    _ => "check that the folder can be written",
                };
                Some(format!("{what_to_do}; nothing was changed"))
            }
            Self::Encoder { .. } => Some("write it as PNG instead".to_owned()),
        }
    }
}

/// A picture file to be, opened before the slow work so that a bad name is known at once.
#[derive(Debug)]
pub struct PictureOutput {
    file: AtomicFile,
    format: WrittenFormat,
    path: PathBuf,
}

/// Opens a file to be written beside `path`.
pub fn open_beside(path: &Path) -> Result<AtomicFile, WriteError> {
    AtomicFile::create(path).map_err(|source| {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => WriteError::NoFolder { path },
            io::ErrorKind::IsADirectory => WriteError::Folder { path },
            _ => WriteError::System { path, source },
        }
    })
}

impl PictureOutput {
    /// Opens the output beside `path`; refuses to take the place of one of `inputs`.
    pub fn create(path: &Path, inputs: &[&Path]) -> Result<Self, WriteError> {
        let owned = path.to_owned();
        let extension = path
            .extension()
            .and_then(|e| e.to_str())
            .map(str::to_ascii_lowercase);
        let format = match extension.as_deref() {
            _ if path.is_dir() => return Err(WriteError::Folder { path: owned }),
            Some("png") => WrittenFormat::Png,
            Some("jpg" | "jpeg") => WrittenFormat::Jpeg,
            Some("webp") => WrittenFormat::WebP,
            Some("tif" | "tiff") => WrittenFormat::Tiff,
            _ => return Err(WriteError::Extension { path: owned }),
        };
        if inputs.iter().any(|input| is_same_file(path, input)) {
            return Err(WriteError::IsInput { path: owned });
        }
        let file = open_beside(path)?;
        Ok(Self {
            file,
            format,
            path: owned,
        })
    }

    /// Encodes the frame, 8-bit R'G'B' without alpha, and puts the file in place.
    pub fn write(self, frame: &Frame) -> Result<(), WriteError> {
        self.encode(frame, &rgb8(frame), ExtendedColorType::Rgb8)
    }

    /// The same with the alpha of an 8-bit frame, for formats that have one.
    pub fn write_with_alpha(self, frame: &Frame) -> Result<(), WriteError> {
        match frame.pixels() {
            Pixels::Rgba8(pixels) => {
                self.encode(frame, pixels.as_flattened(), ExtendedColorType::Rgba8)
            }
            Pixels::Rgba16(_) => self.write(frame),
        }
    }

    fn encode(
        mut self,
        frame: &Frame,
        bytes: &[u8],
        kind: ExtendedColorType,
    ) -> Result<(), WriteError> {
        let (width, height) = (frame.size().width(), frame.size().height());
        let file = &mut self.file;
        let encoded = match self.format {
            WrittenFormat::Png => {
                PngEncoder::new_with_quality(file, CompressionType::Fast, FilterType::Adaptive)
                    .write_image(bytes, width, height, kind)
            }
            WrittenFormat::Jpeg => JpegEncoder::new_with_quality(file, JPEG_QUALITY)
                .write_image(bytes, width, height, kind),
            WrittenFormat::WebP => {
                WebPEncoder::new_lossless(file).write_image(bytes, width, height, kind)
            }
            WrittenFormat::Tiff => TiffEncoder::new(file).write_image(bytes, width, height, kind),
        };
        let path = self.path;
        match encoded {
            Ok(()) => self
                .file
                .commit()
                .map_err(|source| WriteError::System { path, source }),
            Err(ImageError::IoError(said)) => {
                // Encoders pass on the words alone; the file knows what the system said.
                let source = self.file.refused().unwrap_or(said);
                Err(WriteError::System { path, source })
            }
            Err(source) => Err(WriteError::Encoder { path, source }),
        }
    }
}

/// Whether both names lead to one file on disk, however they are written.
pub fn is_same_file(a: &Path, b: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let place = |path: &Path| path.metadata().map(|meta| (meta.dev(), meta.ino()));
        matches!((place(a), place(b)), (Ok(a), Ok(b)) if a == b)
    }
    #[cfg(not(unix))]
    {
        matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
    }
}

/// The frame's R'G'B' bytes, alpha dropped, 16 bits reduced to the nearest 8.
pub(super) fn rgb8(frame: &Frame) -> Vec<u8> {
    let mut rgb = vec![0; frame.size().area() * 3];
    let out = rgb.as_chunks_mut::<3>().0.iter_mut();
    match frame.pixels() {
        Pixels::Rgba8(pixels) => {
            out.zip(pixels)
                .for_each(|(to, &[r, g, b, _])| *to = [r, g, b]);
        }
        Pixels::Rgba16(pixels) => {
            let narrow = |v: u16| to_u8(f32::from(v) / 65_535.0);
            out.zip(pixels)
                .for_each(|(to, &[r, g, b, _])| *to = [r, g, b].map(narrow));
        }
    }
    rgb
}
