//! Stills on disk: reading with caps, writing whole or not at all.

use std::io::{self, Cursor};
use std::path::{Path, PathBuf};

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngDecoder, PngEncoder};
use image::codecs::tiff::TiffEncoder;
use image::codecs::webp::WebPEncoder;
use image::{
    DynamicImage, ExtendedColorType, ImageDecoder, ImageEncoder, ImageError, ImageFormat,
    ImageReader, Limits,
};
use thiserror::Error;

use super::atomic::AtomicFile;
use crate::pixel::frame::{Frame, FrameError, Pixels};
use crate::pixel::settings::{MAX_SIDE_PX, SettingsError, Size};

/// Most bytes that a decoded picture may take: 16,384 x 16,384 pixels of four bytes.
const MAX_DECODED_BYTES: u64 = 1 << 30;
/// Most bytes of a file. Source: chosen, above any still that decodes to [`MAX_DECODED_BYTES`].
const MAX_FILE_BYTES: u64 = 1 << 30;
/// Most bytes that a decoder may take for itself, an unpacked colour profile included.
const MAX_WORKING_BYTES: u64 = 64 << 20;
/// Quality of written JPEG files, 1 to 100. Source: chosen; below it text edges begin to ring.
const JPEG_QUALITY: u8 = 95;
/// Formats that are read.
const READ_FORMATS: [ImageFormat; 5] = [
    ImageFormat::Png,
    ImageFormat::Jpeg,
    ImageFormat::WebP,
    ImageFormat::Tiff,
    ImageFormat::Bmp,
];

/// A picture that was read, with what is worth saying about it.
#[derive(Clone, Debug)]
pub struct Picture {
    /// The pixels, upright.
    pub frame: Frame,
    /// Sentences for the user, such as an ignored colour profile.
    pub warnings: Vec<String>,
}

/// Why a picture could not be read.
#[derive(Debug, Error)]
pub enum ReadError {
    /// Nothing has this name.
    #[error("no such file: `{}`", path.display())]
    Missing {
        /// The file asked for.
        path: PathBuf,
    },
    /// It is a folder.
    #[error("expected a picture, got a folder: `{}`", path.display())]
    Folder {
        /// The file asked for.
        path: PathBuf,
    },
    /// It has no bytes.
    #[error("the file is empty: `{}`", path.display())]
    Empty {
        /// The file asked for.
        path: PathBuf,
    },
    /// Its bytes are of no format that is read, whatever its name says.
    #[error("not a PNG, JPEG, WebP, TIFF or BMP file: `{}`", path.display())]
    NotAPicture {
        /// The file asked for.
        path: PathBuf,
    },
    /// A side is too long.
    #[error(
        "a picture may be {MAX_SIDE_PX} pixels wide and high, got {width}x{height}: `{}`",
        path.display()
    )]
    TooLarge {
        /// The file asked for.
        path: PathBuf,
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// It would take too much memory.
    #[error("a picture may take {} MiB, got {mebibytes} MiB: `{}`", MAX_DECODED_BYTES >> 20, path.display())]
    TooHeavy {
        /// The file asked for.
        path: PathBuf,
        /// What it would take.
        mebibytes: u64,
    },
    /// It breaks off.
    #[error("the file is cut off before its end: `{}`", path.display())]
    CutOff {
        /// The file asked for.
        path: PathBuf,
    },
    /// Its values are of a kind that is no video signal.
    #[error("expected 8 or 16 bits a channel, got {kind}: `{}`", path.display())]
    Depth {
        /// The file asked for.
        path: PathBuf,
        /// What it holds.
        kind: String,
    },
    /// The decoder gave up.
    #[error("the picture is damaged: `{}`", path.display())]
    Damaged {
        /// The file asked for.
        path: PathBuf,
        /// What the decoder says.
        source: ImageError,
    },
    /// The system refused.
    #[error("cannot open `{}`", path.display())]
    System {
        /// The file asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The decoder gave another number of pixels than it promised.
    #[error("the picture is damaged: `{}`", path.display())]
    Pixels {
        /// The file asked for.
        path: PathBuf,
        /// What came.
        source: FrameError,
    },
    /// The picture has no pixels.
    #[error("the picture has no size: `{}`", path.display())]
    NoSize {
        /// The file asked for.
        path: PathBuf,
        /// What came.
        source: SettingsError,
    },
}

impl ReadError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Missing { .. } => Some("check the name and the folder you are in".to_owned()),
            Self::Folder { .. } => Some("name one picture in that folder".to_owned()),
            Self::Empty { .. }
            | Self::CutOff { .. }
            | Self::Damaged { .. }
            | Self::Pixels { .. } => Some("export or copy the picture again".to_owned()),
            Self::NotAPicture { .. } | Self::Depth { .. } => {
                Some("export the picture as an 8 or 16 bit PNG".to_owned())
            }
            Self::TooLarge { .. } | Self::TooHeavy { .. } => {
                Some("export it smaller; a recording is rarely over 7680x4320".to_owned())
            }
            Self::System { .. } | Self::NoSize { .. } => None,
        }
    }
}

/// Reads a PNG, JPEG, WebP, TIFF or BMP file: grey, palette or colour, 8 or 16 bits, with or
/// without alpha, turned upright by its EXIF orientation.
///
/// Colour profiles are ignored; a warning says so unless the profile is sRGB.
pub fn read_picture(path: &Path) -> Result<Picture, ReadError> {
    let bytes = read_bytes(path)?;
    decode_picture(&bytes, path)
}

/// Decodes a picture that is already in memory; `path` is its name in errors.
pub fn decode_picture(bytes: &[u8], path: &Path) -> Result<Picture, ReadError> {
    let path = path.to_owned();
    if bytes.is_empty() {
        return Err(ReadError::Empty { path });
    }
    let format = image::guess_format(bytes)
        .ok()
        .filter(|found| READ_FORMATS.contains(found));
    let Some(format) = format else {
        return Err(ReadError::NotAPicture { path });
    };
    if format == ImageFormat::Jpeg && jpeg_is_cut_off(bytes) {
        return Err(ReadError::CutOff { path });
    }
    let mut decoder = decoder_of(bytes, format).map_err(|source| decode_error(source, &path))?;
    let (width, height) = decoder.dimensions();
    if width > MAX_SIDE_PX || height > MAX_SIDE_PX {
        return Err(ReadError::TooLarge {
            path,
            width,
            height,
        });
    }
    let decoded_bytes = decoder.total_bytes();
    if decoded_bytes > MAX_DECODED_BYTES {
        return Err(ReadError::TooHeavy {
            path,
            mebibytes: decoded_bytes >> 20,
        });
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MAX_DECODED_BYTES + MAX_WORKING_BYTES);
    decoder
        .set_limits(limits)
        .map_err(|source| decode_error(source, &path))?;
    let mut warnings = Vec::new();
    if let Ok(Some(profile)) = decoder.icc_profile()
        && !names_srgb(&profile)
    {
        warnings.push(format!(
            "the colour profile of `{}` is ignored; export it as sRGB to be sure of its colours",
            path.display()
        ));
    }
    let orientation = decoder
        .orientation()
        .map_err(|source| decode_error(source, &path))?;
    let mut picture =
        DynamicImage::from_decoder(decoder).map_err(|source| decode_error(source, &path))?;
    picture.apply_orientation(orientation);
    let size =
        Size::new(picture.width(), picture.height()).map_err(|source| ReadError::NoSize {
            path: path.clone(),
            source,
        })?;
    let pixels = pixels_of(picture).map_err(|kind| ReadError::Depth {
        path: path.clone(),
        kind,
    })?;
    let frame = Frame::new(size, pixels).map_err(|source| ReadError::Pixels { path, source })?;
    Ok(Picture { frame, warnings })
}

/// All bytes of a file, with the errors that have a plain cause told apart.
fn read_bytes(path: &Path) -> Result<Vec<u8>, ReadError> {
    let owned = path.to_owned();
    let meta = match std::fs::metadata(path) {
        Ok(meta) => meta,
        Err(source) if source.kind() == io::ErrorKind::NotFound => {
            return Err(ReadError::Missing { path: owned });
        }
        Err(source) => {
            return Err(ReadError::System {
                path: owned,
                source,
            });
        }
    };
    if meta.is_dir() {
        return Err(ReadError::Folder { path: owned });
    }
    if meta.len() > MAX_FILE_BYTES {
        return Err(ReadError::TooHeavy {
            path: owned,
            mebibytes: meta.len() >> 20,
        });
    }
    std::fs::read(path).map_err(|source| ReadError::System {
        path: owned,
        source,
    })
}

/// A decoder that may not take more than [`MAX_WORKING_BYTES`] for itself.
fn decoder_of<'a>(
    bytes: &'a [u8],
    format: ImageFormat,
) -> Result<Box<dyn ImageDecoder + 'a>, ImageError> {
    let reader = Cursor::new(bytes);
    if format == ImageFormat::Png {
        let mut limits = Limits::default();
        limits.max_alloc = Some(MAX_WORKING_BYTES);
        return Ok(Box::new(PngDecoder::with_limits(reader, limits)?));
    }
    let mut reader = ImageReader::with_format(reader, format);
    // Checked by the caller, which knows how to say it.
    reader.no_limits();
    Ok(Box::new(reader.into_decoder()?))
}

/// Whether a JPEG lacks the end-of-image marker after its last scan: decoders fill the rest with grey.
/// Source: ITU-T T.81, B.1.1.3, the markers SOS (FFDA) and EOI (FFD9); neither occurs within a scan.
fn jpeg_is_cut_off(bytes: &[u8]) -> bool {
    let last = |marker: [u8; 2]| bytes.windows(2).rposition(|pair| pair == marker);
    match (last([0xFF, 0xDA]), last([0xFF, 0xD9])) {
        (Some(scan), Some(end)) => end < scan,
        _ => true,
    }
}

/// Whether an ICC profile calls itself sRGB, in ASCII or in UTF-16.
fn names_srgb(profile: &[u8]) -> bool {
    let wide: Vec<u8> = b"sRGB".iter().flat_map(|&letter| [0, letter]).collect();
    profile.windows(4).any(|part| part == b"sRGB") || profile.windows(8).any(|part| part == wide)
}

/// A decoder's error, with a file that ends too soon told apart from a damaged one.
fn decode_error(source: ImageError, path: &Path) -> ReadError {
    let path = path.to_owned();
    match source {
        ImageError::IoError(error) if error.kind() == io::ErrorKind::UnexpectedEof => {
            ReadError::CutOff { path }
        }
        source => ReadError::Damaged { path, source },
    }
}

/// R'G'B' and alpha in the depth of the picture; `Err` names a depth that is not read.
fn pixels_of(picture: DynamicImage) -> Result<Pixels, String> {
    Ok(match picture {
        DynamicImage::ImageLuma8(p) => Pixels::Rgba8(
            p.into_raw()
                .into_iter()
                .map(|v| [v, v, v, u8::MAX])
                .collect(),
        ),
        DynamicImage::ImageLumaA8(p) => Pixels::Rgba8(grouped(&p, |[v, a]| [v, v, v, a])),
        DynamicImage::ImageRgb8(p) => Pixels::Rgba8(grouped(&p, |[r, g, b]| [r, g, b, u8::MAX])),
        DynamicImage::ImageRgba8(p) => Pixels::Rgba8(grouped(&p, |rgba| rgba)),
        DynamicImage::ImageLuma16(p) => Pixels::Rgba16(
            p.into_raw()
                .into_iter()
                .map(|v| [v, v, v, u16::MAX])
                .collect(),
        ),
        DynamicImage::ImageLumaA16(p) => Pixels::Rgba16(grouped(&p, |[v, a]| [v, v, v, a])),
        DynamicImage::ImageRgb16(p) => Pixels::Rgba16(grouped(&p, |[r, g, b]| [r, g, b, u16::MAX])),
        DynamicImage::ImageRgba16(p) => Pixels::Rgba16(grouped(&p, |rgba| rgba)),
        other => return Err(format!("{:?}", other.color()).to_lowercase()),
    })
}

/// Samples taken `N` at a time and brought to four.
fn grouped<T: Copy, const N: usize>(
    samples: &[T],
    to_rgba: impl Fn([T; N]) -> [T; 4],
) -> Vec<[T; 4]> {
    samples
        .as_chunks::<N>()
        .0
        .iter()
        .map(|&group| to_rgba(group))
        .collect()
}

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
            Self::IsInput { .. } => Some("give the output a name of its own".to_owned()),
            Self::NoFolder { .. } => Some("make the folder first, or name another one".to_owned()),
            Self::Folder { .. } => Some("add a file name, such as composite.png".to_owned()),
            Self::System { source, .. } if source.kind() == io::ErrorKind::StorageFull => {
                Some("free some space or name another disk; nothing was changed".to_owned())
            }
            Self::System { .. } => {
                Some("check that the folder can be written; nothing was changed".to_owned())
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
        let file = AtomicFile::create(path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => WriteError::NoFolder {
                path: owned.clone(),
            },
            _ => WriteError::System {
                path: owned.clone(),
                source,
            },
        })?;
        Ok(Self {
            file,
            format,
            path: owned,
        })
    }

    /// Encodes the frame, 8-bit R'G'B' without alpha, and puts the file in place.
    pub fn write(mut self, frame: &Frame) -> Result<(), WriteError> {
        let (width, height) = (frame.size().width(), frame.size().height());
        let rgb = rgb8(frame);
        let kind = ExtendedColorType::Rgb8;
        let file = &mut self.file;
        let encoded = match self.format {
            WrittenFormat::Png => {
                PngEncoder::new_with_quality(file, CompressionType::Fast, FilterType::Adaptive)
                    .write_image(&rgb, width, height, kind)
            }
            WrittenFormat::Jpeg => JpegEncoder::new_with_quality(file, JPEG_QUALITY)
                .write_image(&rgb, width, height, kind),
            WrittenFormat::WebP => {
                WebPEncoder::new_lossless(file).write_image(&rgb, width, height, kind)
            }
            WrittenFormat::Tiff => TiffEncoder::new(file).write_image(&rgb, width, height, kind),
        };
        let path = self.path;
        match encoded {
            Ok(()) => self
                .file
                .commit()
                .map_err(|source| WriteError::System { path, source }),
            Err(ImageError::IoError(source)) => Err(WriteError::System { path, source }),
            Err(source) => Err(WriteError::Encoder { path, source }),
        }
    }
}

/// Whether both names lead to one file on disk.
fn is_same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

/// The frame's R'G'B' bytes, alpha dropped, 16 bits reduced to the nearest 8.
fn rgb8(frame: &Frame) -> Vec<u8> {
    let mut rgb = vec![0; frame.size().area() * 3];
    let out = rgb.as_chunks_mut::<3>().0.iter_mut();
    match frame.pixels() {
        Pixels::Rgba8(pixels) => {
            out.zip(pixels)
                .for_each(|(to, &[r, g, b, _])| *to = [r, g, b]);
        }
        Pixels::Rgba16(pixels) => {
            let narrow = |v: u16| crate::pixel::color::to_u8(f32::from(v) / 65_535.0);
            out.zip(pixels)
                .for_each(|(to, &[r, g, b, _])| *to = [r, g, b].map(narrow));
        }
    }
    rgb
}
