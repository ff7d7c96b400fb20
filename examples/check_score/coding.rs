//! The files that slides come in.

use crate::sheet::Fault;
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{Rgb, RgbImage};

/// Quality of the JPEG files, 1 to 100.
const QUALITY: u8 = 90;

/// How a slide is encoded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Coding {
    /// PNG, without loss.
    Png,
    /// JPEG of quality 90 with colour at full resolution, which is all that the encoder writes.
    Jpeg,
    /// The same after colour was averaged over squares of two pixels, as files with colour at half
    /// resolution (4:2:0) have it.
    HalfColor,
}

impl Coding {
    pub(crate) const ALL: [Self; 3] = [Self::Png, Self::Jpeg, Self::HalfColor];

    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Jpeg => "jpeg",
            Self::HalfColor => "4:2:0",
        }
    }

    /// Ending of the file's name.
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Jpeg => "jpg",
            Self::HalfColor => "half.jpg",
        }
    }

    /// Whether it is compressed with loss.
    pub(crate) fn is_lossy(self) -> bool {
        self != Self::Png
    }

    /// Encodes a picture.
    pub(crate) fn encode(self, picture: &RgbImage) -> Result<Vec<u8>, Fault> {
        let mut bytes = Vec::new();
        match self {
            Self::Png => {
                let quick = CompressionType::Fast;
                let encoder = PngEncoder::new_with_quality(&mut bytes, quick, FilterType::Adaptive);
                picture.write_with_encoder(encoder)?;
            }
            Self::Jpeg => {
                picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, QUALITY))?;
            }
            Self::HalfColor => {
                let encoder = JpegEncoder::new_with_quality(&mut bytes, QUALITY);
                half_color(picture).write_with_encoder(encoder)?;
            }
        }
        Ok(bytes)
    }
}

/// Averages colour differences over squares of two pixels; luma stays.
///
/// Source: ITU-T T.871 (JFIF), clause 7: `Y = 0.299 R + 0.587 G + 0.114 B`, colour as differences to it.
fn half_color(picture: &RgbImage) -> RgbImage {
    let luma = |p: [f32; 3]| 0.299 * p[0] + 0.587 * p[1] + 0.114 * p[2];
    let mut out = picture.clone();
    let (width, height) = picture.dimensions();
    for y in (0..height).step_by(2) {
        for x in (0..width).step_by(2) {
            let square = [(0, 0), (1, 0), (0, 1), (1, 1)]
                .map(|(i, j)| ((x + i).min(width - 1), (y + j).min(height - 1)));
            let mut mean = [0.0_f32; 3];
            for (i, j) in square {
                let p = picture.get_pixel(i, j).0.map(f32::from);
                let y = luma(p);
                for c in 0..3 {
                    mean[c] += 0.25 * (p[c] - y);
                }
            }
            for (i, j) in square {
                let y = luma(picture.get_pixel(i, j).0.map(f32::from));
                let code = mean.map(|d| (y + d).round().clamp(0.0, 255.0) as u8);
                out.put_pixel(i, j, Rgb(code));
            }
        }
    }
    out
}
