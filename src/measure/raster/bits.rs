//! A mask that is asked pixel by pixel.

use super::runs::Runs;
use crate::pixel::settings::Size;

/// A mask that is asked pixel by pixel.
#[derive(Clone)]
pub(crate) struct Bits {
    size: Size,
    bits: Vec<bool>,
}

impl Bits {
    /// The pixels of a mask.
    pub(crate) fn of(mask: &Runs) -> Self {
        let mut bits = Self {
            size: mask.size(),
            bits: vec![false; mask.size().area()],
        };
        for run in mask.as_slice() {
            let start = bits.index(run.start, run.y);
            bits.bits[start..start + run.length() as usize].fill(true);
        }
        bits
    }

    /// The raster's size.
    pub(crate) fn size(&self) -> Size {
        self.size
    }

    /// Whether a pixel is in the mask.
    pub(crate) fn get(&self, x: u32, y: u32) -> bool {
        self.bits[self.index(x, y)]
    }

    /// Takes a pixel out of the mask, or puts it in.
    pub(crate) fn set(&mut self, x: u32, y: u32, on: bool) {
        let index = self.index(x, y);
        self.bits[index] = on;
    }

    fn index(&self, x: u32, y: u32) -> usize {
        y as usize * self.size.width() as usize + x as usize
    }
}
