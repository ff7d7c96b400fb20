//! Stills that are read, with caps on everything that a file can ask for.

use std::io::{self, Cursor};
use std::path::{Path, PathBuf};

use image::codecs::png::PngDecoder;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use thiserror::Error;

use super::documents::DocumentError;
use super::jpeg_scan;
use crate::pixel::frame::{Frame, FrameError, Pixels};
use crate::pixel::settings::{MAX_SIDE_PX, SettingsError, Size};

/// Most bytes that a picture may take in memory: 16,384 x 16,384 pixels of four bytes.
const MAX_FRAME_BYTES: u64 = 1 << 30;
/// Most bytes of a file. Source: chosen, above any still that decodes to [`MAX_FRAME_BYTES`].
const MAX_FILE_BYTES: u64 = 1 << 30;
/// Most bytes that a decoder may take for itself, an unpacked colour profile included.
const MAX_WORKING_BYTES: u64 = 64 << 20;
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
    /// Whether the file was compressed with loss, so that small differences are noise: JPEG, and WebP
    /// that is not of the lossless kind.
    pub lossy: bool,
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
    /// It is a device or a pipe.
    #[error("expected a picture file, got a device or a pipe: `{}`", path.display())]
    Special {
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
    #[error("a picture may take {} MiB, got {mebibytes} MiB: `{}`", MAX_FRAME_BYTES >> 20, path.display())]
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
    /// Its compressed values are not those of a whole picture.
    #[error("the picture is damaged, and part of it would come in wrong colours: `{}`", path.display())]
    Scrambled {
        /// The file asked for.
        path: PathBuf,
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
    /// It is a page of a file that cannot be used.
    #[error(transparent)]
    Document(#[from] DocumentError),
}

impl ReadError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Missing { .. } => Some("check the name and the folder you are in".to_owned()),
            Self::Folder { .. } => Some("name one picture in that folder".to_owned()),
            Self::Empty { .. }
            | Self::CutOff { .. }
            | Self::Scrambled { .. }
            | Self::Damaged { .. }
            | Self::Pixels { .. } => Some("export or copy the picture again".to_owned()),
            Self::NotAPicture { .. } | Self::Depth { .. } => {
                Some("export the picture as an 8 or 16 bit PNG".to_owned())
            }
            Self::TooLarge { .. } | Self::TooHeavy { .. } => {
                Some("export it smaller; a recording is rarely over 7680x4320".to_owned())
            }
            Self::Special { .. } => Some("save the picture into a file first".to_owned()),
            Self::Document(error) => error.hint(),
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
    if format == ImageFormat::Jpeg && jpeg_scan::is_damaged(bytes) {
        return Err(ReadError::Scrambled { path });
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
    let frame_bytes = frame_bytes(&*decoder);
    if frame_bytes > MAX_FRAME_BYTES {
        return Err(ReadError::TooHeavy {
            path,
            mebibytes: frame_bytes >> 20,
        });
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MAX_FRAME_BYTES + MAX_WORKING_BYTES);
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
    Ok(Picture {
        frame,
        lossy: is_lossy(bytes, format),
        warnings,
    })
}

/// Whether a file of this format was compressed with loss.
///
/// Source: RIFF container of WebP, RFC 9649: a `VP8L` chunk is lossless, `VP8 ` is not.
fn is_lossy(bytes: &[u8], format: ImageFormat) -> bool {
    let is_lossless_webp = || bytes.windows(4).any(|name| name == b"VP8L");
    format == ImageFormat::Jpeg || (format == ImageFormat::WebP && !is_lossless_webp())
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
    if !meta.is_file() {
        return Err(ReadError::Special { path: owned });
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

/// What the frame will take: four channels of 8 bits, or of 16 where a channel has more than 8.
fn frame_bytes(decoder: &dyn ImageDecoder) -> u64 {
    let (width, height) = decoder.dimensions();
    let color = decoder.color_type();
    let channel_bytes = u64::from(color.bytes_per_pixel() / color.channel_count()).min(2);
    u64::from(width) * u64::from(height) * 4 * channel_bytes
}

/// Whether a JPEG ends before its end-of-image marker: decoders fill the rest with grey.
///
/// Walks from marker to marker, so that what cameras append behind the picture does not matter.
/// Source: ITU-T T.81, annex B: SOS FFDA, EOI FFD9, RST FFD0 to FFD7, TEM FF01, stuffed FF00.
fn jpeg_is_cut_off(bytes: &[u8]) -> bool {
    let mut at = 2;
    loop {
        while bytes.get(at) == Some(&0xFF) && bytes.get(at + 1) == Some(&0xFF) {
            at += 1;
        }
        let (Some(&prefix), Some(&marker)) = (bytes.get(at), bytes.get(at + 1)) else {
            return true;
        };
        if prefix != 0xFF {
            // No marker where one must be: damaged, which is for the decoder to say.
            return false;
        }
        at += 2;
        match marker {
            0xD9 => return false,
            0x01 | 0xD0..=0xD7 => continue,
            _ => {}
        }
        let (Some(&high), Some(&low)) = (bytes.get(at), bytes.get(at + 1)) else {
            return true;
        };
        at += usize::from(u16::from_be_bytes([high, low]));
        if marker == 0xDA {
            let Some(scan) = bytes.get(at..) else {
                return true;
            };
            let is_end =
                |pair: &[u8]| pair[0] == 0xFF && !matches!(pair[1], 0x00 | 0xD0..=0xD7 | 0xFF);
            match scan.windows(2).position(is_end) {
                Some(end) => at += end,
                None => return true,
            }
        }
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
