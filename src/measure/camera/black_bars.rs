//! Black bars at the sides of a frame, as a recording of another shape has them: no part of the picture.

use super::camera_raster::CameraRaster;
use crate::measure::raster::pixel_box::PixelBox;

/// Brightest channel of a bar, codes. Source: chosen, what compression leaves of black.
const BAR_CODE: u8 = 2;

/// How many rows and columns at the sides are nothing but black.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BlackBars {
    /// Left, top, right and bottom, px.
    pub sides_px: [u32; 4],
}

impl BlackBars {
    /// Finds them. A frame that is black all over has none.
    pub fn of(camera: &CameraRaster) -> Self {
        let size = camera.size();
        let width = size.width() as usize;
        let is_black = |code: &[u8; 4]| code[..3].iter().all(|&channel| channel <= BAR_CODE);
        let is_black_row = |y: &u32| {
            let start = *y as usize * width;
            camera.codes()[start..start + width].iter().all(is_black)
        };
        let is_black_column = |x: &u32| {
            let column = camera.codes().iter().skip(*x as usize).step_by(width);
            column.into_iter().all(is_black)
        };
        let count = |lines: usize| u32::try_from(lines).unwrap_or(u32::MAX);
        let (rows, columns) = (0..size.height(), 0..size.width());
        let top = count(rows.clone().take_while(is_black_row).count());
        if top == size.height() {
            return Self { sides_px: [0; 4] };
        }
        Self {
            sides_px: [
                count(columns.clone().take_while(is_black_column).count()),
                top,
                count(columns.rev().take_while(is_black_column).count()),
                count(rows.rev().take_while(is_black_row).count()),
            ],
        }
    }

    /// The picture between them, so much farther in from each that there is; none where nothing is left.
    pub fn inside(&self, camera: &CameraRaster, margin_px: u32) -> Option<PixelBox> {
        let margin = |bar: u32| if bar > 0 { bar + margin_px } else { 0 };
        let [left, top, right, bottom] = self.sides_px.map(margin);
        let size = camera.size();
        let (width, height) = (
            size.width().checked_sub(left + right)?,
            size.height().checked_sub(top + bottom)?,
        );
        (width > 0 && height > 0).then_some(PixelBox {
            x: left,
            y: top,
            width,
            height,
        })
    }
}
