//! The areas that guides outline, in pixels of the output.

use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::guides::{Guide, Shape, guide_shapes};
use crate::pixel::settings::Size;

/// The area inside graphics safe; none where the output is too small to have one.
pub(crate) fn graphics_safe(size: Size) -> Option<PixelBox> {
    outline(Guide::GraphicsSafe, size)
}

/// The area that a guide outlines; none where it has lines alone.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "guides lie on whole pixels inside the output"
)]
pub(crate) fn outline(guide: Guide, size: Size) -> Option<PixelBox> {
    guide_shapes(guide, size)
        .shapes
        .iter()
        .find_map(|shape| match *shape {
            Shape::Outline { x0, y0, x1, y1 } if x1 > x0 && y1 > y0 => Some(PixelBox {
                x: x0 as u32,
                y: y0 as u32,
                width: (x1 - x0) as u32,
                height: (y1 - y0) as u32,
            }),
            _ => None,
        })
}
