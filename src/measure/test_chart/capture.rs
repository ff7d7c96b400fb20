//! A captured picture as code values, whatever its pixel format.

use crate::pixel::frame::{Frame, PixelFormat};
use crate::pixel::key::{Luma, luma};

/// Most pixels of the plane that markers are looked for in. Source: chosen, twice 1920x1080.
const MAX_PLANE_PIXELS: usize = 2 * 1920 * 1080;

/// A frame that is measured. Values are codes 0 to 255, with fractions where it has 16 bits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Capture<'a> {
    frame: &'a Frame,
    width: u32,
    height: u32,
}

impl<'a> Capture<'a> {
    pub(crate) fn new(frame: &'a Frame) -> Self {
        Self {
            frame,
            width: frame.size().width(),
            height: frame.size().height(),
        }
    }

    pub(crate) fn width(self) -> u32 {
        self.width
    }

    pub(crate) fn height(self) -> u32 {
        self.height
    }

    /// Variance that rounding to the frame's own codes adds, in 8-bit codes squared: `step² / 12`.
    pub(super) fn rounding_variance(self) -> f64 {
        let step: f64 = match self.frame.format() {
            PixelFormat::Rgba8 => 1.0,
            PixelFormat::Rgba16 => 1.0 / 257.0,
        };
        step * step / 12.0
    }

    /// R'G'B' codes of a pixel.
    pub(crate) fn rgb(self, x: u32, y: u32) -> [f64; 3] {
        let index = y as usize * self.width as usize + x as usize;
        let [r, g, b, _] = self.frame.rgba_frac(index);
        [r, g, b].map(|v| f64::from(v) * 255.0)
    }

    /// Luma code of a pixel, BT.709.
    pub(crate) fn luma(self, x: u32, y: u32) -> f64 {
        let index = y as usize * self.width as usize + x as usize;
        let [r, g, b, _] = self.frame.rgba_frac(index);
        let (kr, kb) = Luma::Bt709.weights();
        f64::from(luma([r, g, b], kr, kb)) * 255.0
    }

    /// Luma between pixel centres, linear; none outside of the picture.
    pub(super) fn luma_at(self, [x, y]: [f64; 2]) -> Option<f64> {
        let (width, height) = (f64::from(self.width), f64::from(self.height));
        if !(0.0..=width).contains(&x) || !(0.0..=height).contains(&y) {
            return None;
        }
        let (x, y) = (
            (x - 0.5).clamp(0.0, width - 1.0),
            (y - 0.5).clamp(0.0, height - 1.0),
        );
        let (x0, y0) = (whole(x), whole(y));
        let (x1, y1) = ((x0 + 1).min(self.width - 1), (y0 + 1).min(self.height - 1));
        let (fx, fy) = (x - f64::from(x0), y - f64::from(y0));
        let row = |y| self.luma(x0, y) * (1.0 - fx) + self.luma(x1, y) * fx;
        Some(row(y0) * (1.0 - fy) + row(y1) * fy)
    }

    /// The luma of the whole picture, reduced by a whole factor so far that it is quick to search.
    pub(super) fn plane(self) -> Plane {
        let area = self.width as usize * self.height as usize;
        let mut reduced_by = 1;
        while area / (reduced_by as usize * reduced_by as usize) > MAX_PLANE_PIXELS {
            reduced_by += 1;
        }
        let (width, height) = (
            (self.width / reduced_by).max(1),
            (self.height / reduced_by).max(1),
        );
        let mut codes = Vec::with_capacity(width as usize * height as usize);
        for y in 0..height {
            for x in 0..width {
                let mut sum = 0.0;
                for dy in 0..reduced_by {
                    for dx in 0..reduced_by {
                        sum += self.luma(x * reduced_by + dx, y * reduced_by + dy);
                    }
                }
                codes.push(sum / f64::from(reduced_by * reduced_by));
            }
        }
        Plane {
            width,
            codes,
            reduced_by,
        }
    }
}

/// Luma of a picture, row by row.
#[derive(Clone, Debug)]
pub(super) struct Plane {
    pub(crate) width: u32,
    pub(crate) codes: Vec<f64>,
    /// Pixels of the capture along a side of a pixel here.
    pub(super) reduced_by: u32,
}

impl Plane {
    /// The codes that a share of the pixels stays below, for several shares.
    pub(super) fn quantiles<const N: usize>(&self, shares: [f64; N]) -> [f64; N] {
        let mut sorted: Vec<f64> = self.codes.iter().copied().step_by(7).collect();
        sorted.sort_by(f64::total_cmp);
        let last = sorted.len().saturating_sub(1);
        shares.map(|share| {
            let index = whole(share * last as f64) as usize;
            sorted.get(index).copied().unwrap_or(0.0)
        })
    }
}

/// The pixel that holds a position; positions below zero are in the first.
pub(crate) fn whole(position: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and pixel positions and counts stay below 2^28"
    )]
    let px = position.floor().max(0.0) as u32;
    px
}
