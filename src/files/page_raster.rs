//! The raster that a page is drawn on, so that placing it on the output leaves every pixel untouched.

use crate::pixel::placement::{fitted_rect, output_size, slide_rect};
use crate::pixel::settings::{Fit, MAX_SIDE_PX, Placement, Size, SlidePlace};

/// The output that pages are drawn for, and where they lie on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PageRaster {
    output: Size,
    fit: Fit,
    place: SlidePlace,
}

impl PageRaster {
    /// For the output that this placement makes with a camera of this size.
    pub fn new(placement: &Placement, camera: Option<Size>) -> Self {
        Self {
            output: output_size(placement, camera),
            fit: placement.slide_fit,
            place: placement.slide_place,
        }
    }

    /// Pixels for a page whose sides have this ratio; a side beyond [`MAX_SIDE_PX`] is cut down to it,
    /// and placing enlarges it again.
    pub(super) fn size_of(&self, width: f64, height: f64) -> Size {
        let into = slide_rect(self.place, self.output);
        let fitted = fitted_rect(whole_ratio(width, height), self.fit, into);
        let side = |px: i64| {
            u32::try_from(px)
                .unwrap_or(MAX_SIDE_PX)
                .clamp(1, MAX_SIDE_PX)
        };
        Size::new(side(fitted.width), side(fitted.height)).unwrap_or(self.output)
    }
}

impl Default for PageRaster {
    fn default() -> Self {
        Self::new(&Placement::default(), None)
    }
}

/// Whole numbers with nearly this ratio, the larger of them [`MAX_SIDE_PX`]: off by a 32,768th at most,
/// which is a sixteenth of a pixel at 1920, and by nothing for 16:9 and 4:3.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to 1..=MAX_SIDE_PX before"
)]
fn whole_ratio(width: f64, height: f64) -> Size {
    let scale = f64::from(MAX_SIDE_PX) / width.max(height);
    let side = |v: f64| (v * scale + 0.5).floor().clamp(1.0, f64::from(MAX_SIDE_PX)) as u32;
    Size::new(side(width), side(height)).unwrap_or(Size::HD)
}
