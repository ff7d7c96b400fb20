//! Small pictures of slides, for the strip.

use crate::pixel::color::to_u8;
use crate::pixel::frame::Frame;

/// Largest width of a small picture. Source: chosen, twice what the strip shows, for dense displays.
const MAX_WIDTH_PX: u32 = 160;
/// Largest height of a small picture.
const MAX_HEIGHT_PX: u32 = 90;

/// A small picture: the mean of the pixels that fall on each of its own, over black.
///
/// Codes are taken as they come, full range; a picture this small is for finding the slide only.
pub fn thumbnail(frame: &Frame) -> egui::ColorImage {
    let (width, height) = (frame.size().width(), frame.size().height());
    let step = width
        .div_ceil(MAX_WIDTH_PX)
        .max(height.div_ceil(MAX_HEIGHT_PX))
        .max(1);
    let (columns, rows) = (width.div_ceil(step), height.div_ceil(step));
    let mut pixels = Vec::with_capacity(columns as usize * rows as usize);
    for row in 0..rows {
        for column in 0..columns {
            let [r, g, b] = mean(frame, [column * step, row * step], step).map(to_u8);
            pixels.push(egui::Color32::from_rgb(r, g, b));
        }
    }
    egui::ColorImage::new([columns as usize, rows as usize], pixels)
}

/// Mean over a square of pixels, as far as it lies inside.
fn mean(frame: &Frame, corner: [u32; 2], side: u32) -> [f32; 3] {
    let (width, height) = (frame.size().width(), frame.size().height());
    let [x_end, y_end] = [
        (corner[0] + side).min(width),
        (corner[1] + side).min(height),
    ];
    let mut sum = [0.0_f32; 3];
    let mut count = 0.0_f32;
    for y in corner[1]..y_end {
        for x in corner[0]..x_end {
            let [r, g, b, a] = frame.rgba_frac(y as usize * width as usize + x as usize);
            sum = [sum[0] + r * a, sum[1] + g * a, sum[2] + b * a];
            count += 1.0;
        }
    }
    sum.map(|v| v / count)
}
