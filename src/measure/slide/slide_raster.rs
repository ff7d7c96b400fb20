//! The slide signal at output size as it reaches the key. What the key makes of it is in `fates`.
//!
//! Colours are kept as 8-bit codes: exact where an 8-bit slide is neither scaled nor sent through a
//! chain, off by up to half a code elsewhere.

use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::cpu_engine::for_each_slide_row;
use crate::pixel::key::luma;
use crate::pixel::placement::Tap;
use crate::pixel::plan::Plan;
use crate::pixel::settings::Size;

/// The slide signal, pixel by pixel.
#[derive(Clone, Debug)]
pub struct SlideRaster {
    size: Size,
    codes: Vec<[u8; 4]>,
    inside: Option<PixelBox>,
    kr: f32,
    kb: f32,
}

impl SlideRaster {
    /// Makes the slide signal of a plan, on this thread. Threshold and softness do not matter.
    pub fn new(plan: &Plan<'_>) -> Self {
        let mut codes = Vec::with_capacity(plan.output.area());
        for_each_slide_row(plan, |row| codes.extend_from_slice(row));
        let inside = plan.slide.as_ref().and_then(|slide| {
            let (x, width) = covered(&slide.placed.columns)?;
            let (y, height) = covered(&slide.placed.rows)?;
            Some(PixelBox {
                x,
                y,
                width,
                height,
            })
        });
        Self {
            size: plan.output,
            codes,
            inside,
            kr: plan.kr,
            kb: plan.kb,
        }
    }

    /// The output's size.
    pub fn size(&self) -> Size {
        self.size
    }

    /// Where the slide lies; none where all of it is outside the output.
    pub fn inside(&self) -> Option<PixelBox> {
        self.inside
    }

    /// R'G'B' codes, row by row; the fourth is without meaning.
    pub fn codes(&self) -> &[[u8; 4]] {
        &self.codes
    }

    /// R'G'B' codes of a pixel.
    pub fn color(&self, x: u32, y: u32) -> [u8; 3] {
        let [r, g, b, _] = self.codes[self.index(x, y)];
        [r, g, b]
    }

    /// Luma of R'G'B' codes under the key's weights, 0 to 1.
    pub fn luma(&self, codes: [u8; 3]) -> f32 {
        luma(codes.map(|v| f32::from(v) / 255.0), self.kr, self.kb)
    }

    /// The key's weights of R' and B'.
    pub fn weights(&self) -> (f32, f32) {
        (self.kr, self.kb)
    }

    /// Where a pixel is in the lists of pixels.
    pub fn index(&self, x: u32, y: u32) -> usize {
        y as usize * self.size.width() as usize + x as usize
    }
}

/// First and number of the places along an axis that the slide covers; it covers them without a gap.
fn covered(taps: &[Tap]) -> Option<(u32, u32)> {
    let is_covered = |tap: &Tap| tap.count > 0;
    let first = taps.iter().position(is_covered)?;
    let last = taps.iter().rposition(is_covered)?;
    let number = |v: usize| u32::try_from(v).ok();
    Some((number(first)?, number(last + 1 - first)?))
}
