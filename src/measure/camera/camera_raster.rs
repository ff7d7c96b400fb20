//! The camera frame as it lies on the output, in the values that finding writing and presenter needs.

use rayon::prelude::*;

use crate::pixel::frame::{Frame, Pixels};
use crate::pixel::settings::Size;

/// A camera frame on the output, 8-bit R'G'B'.
#[derive(Clone, Debug)]
pub struct CameraRaster {
    size: Size,
    codes: Vec<[u8; 4]>,
}

impl CameraRaster {
    /// Takes a frame that is already placed: the view `camera` of a composite.
    pub fn new(frame: &Frame) -> Self {
        let codes = match frame.pixels() {
            Pixels::Rgba8(pixels) => pixels.clone(),
            Pixels::Rgba16(pixels) => pixels
                .par_iter()
                .map(|pixel| pixel.map(|v| u8::try_from(v >> 8).unwrap_or(u8::MAX)))
                .collect(),
        };
        Self {
            size: frame.size(),
            codes,
        }
    }

    /// Width and height of the output.
    pub fn size(&self) -> Size {
        self.size
    }

    /// R'G'B' codes, row by row; the fourth byte does not count.
    pub fn codes(&self) -> &[[u8; 4]] {
        &self.codes
    }

    /// One byte a pixel, computed in parallel.
    pub(crate) fn map(&self, of: impl Fn([u8; 4]) -> u8 + Sync) -> Vec<u8> {
        self.codes.par_iter().map(|&code| of(code)).collect()
    }
}
