//! A frame beside what was found in it, to look at.

use std::path::Path;

use image::{ImageResult, Rgb, RgbImage};
use nightglass::measure::inspect::camera_parts::CameraParts;
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::frame::{Frame, Pixels};

/// Above the frame, below the masks: writing found green, missed red, false blue; presenter found
/// grey, missed brown, false violet.
pub(crate) fn write_overlay(
    path: &Path,
    frame: &Frame,
    parts: &CameraParts,
    writing: &Runs,
    presenter: &Runs,
) -> ImageResult<()> {
    let (width, height) = (frame.size().width(), frame.size().height());
    let mut out = RgbImage::new(width / 2, height);
    if let Pixels::Rgba8(pixels) = frame.pixels() {
        for y in 0..height / 2 {
            for x in 0..width / 2 {
                let [r, g, b, _] = pixels[(2 * y * width + 2 * x) as usize];
                let lift = |code: u8| (255.0 * (f32::from(code) / 255.0).powf(0.6)) as u8;
                out.put_pixel(x, y, Rgb([lift(r), lift(g), lift(b)]));
            }
        }
    }
    for y in 0..height / 2 {
        for x in 0..width / 2 {
            let (u, v) = (2 * x, 2 * y);
            let in_all = [&parts.writing, writing, &parts.presenter, presenter]
                .map(|mask| mask.contains(u, v));
            let color = match in_all {
                [true, true, _, _] => [0, 230, 80],
                [false, true, _, _] => [255, 40, 40],
                [true, false, _, _] => [60, 110, 255],
                [_, _, true, true] => [120, 120, 120],
                [_, _, false, true] => [150, 90, 20],
                [_, _, true, false] => [150, 60, 170],
                _ => [0, 0, 0],
            };
            out.put_pixel(x, y + height / 2, Rgb(color));
        }
    }
    out.save(path)
}
