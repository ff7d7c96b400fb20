//! Plates: dark bars and boxes with lighter words on them, flat or shaded.

use std::collections::HashMap;

use super::dark_color::lightness;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::slide_raster::SlideRaster;

/// Share of the slide that a plate covers at least, 0 to 1. Source: chosen; no letter is as large.
const LEAST_PLATE: f64 = 0.01;
/// Share of a plate with what lies on it that is the plate at least. Source: chosen; frames and tables are thinner.
const LEAST_FILL: f64 = 0.5;
/// Share of a plate that one thing on it covers at most. Source: chosen; a word does, the inside of a
/// framed box under a title bar does not.
const MOST_ON_IT: f64 = 0.25;

/// The pixels of plates and of what lies on them: large areas of colours up to a lightness, CIE L*, that
/// enclose something lighter.
///
/// Words that are no lighter than `most` are found on what is at most half as light; their plate then goes on
/// as far as its shading stays under `most`.
pub(super) fn plates(raster: &SlideRaster, most: f64) -> Vec<bool> {
    let darker = enclosing(raster, most / 2.0, None);
    enclosing(raster, most, Some(&darker))
}

/// The areas up to a lightness that enclose something, or of which half is `known` as a plate.
fn enclosing(raster: &SlideRaster, most: f64, known: Option<&[bool]>) -> Vec<bool> {
    let dark = dark_pixels(raster, most);
    let mut plates = known.map_or_else(|| vec![false; dark.len()], <[bool]>::to_vec);
    let mut labels = vec![0_u32; dark.len()];
    let least = LEAST_PLATE * dark.len() as f64;
    let mut next = 1;
    for start in 0..dark.len() {
        if !dark[start] || labels[start] != 0 {
            continue;
        }
        let area = Area::of(raster, start, |index| dark[index], &mut labels, next);
        let size = area.pixels.len();
        if size as f64 >= least {
            let on_it = lies_on(raster, &area, &labels, next);
            let count = |known: &[bool]| area.pixels.iter().filter(|&&i| known[i]).count();
            let is_known = known.is_some_and(|known| 2 * count(known) >= size);
            let fills = size as f64 >= LEAST_FILL * (size + on_it.len()) as f64;
            if is_known || fills && !on_it.is_empty() {
                for index in area.pixels.into_iter().chain(on_it) {
                    plates[index] = true;
                }
            }
        }
        next += 1;
    }
    plates
}

fn dark_pixels(raster: &SlideRaster, most: f64) -> Vec<bool> {
    let mut known = HashMap::new();
    let mut is_dark = |&[r, g, b, _]: &[u8; 4]| {
        let color = [r, g, b].map(|v| f32::from(v) / 255.0);
        *known
            .entry([r, g, b])
            .or_insert_with(|| lightness(color) <= most)
    };
    raster.codes().iter().map(&mut is_dark).collect()
}

/// Pixels that hang together over their sides.
struct Area {
    bounds: PixelBox,
    pixels: Vec<usize>,
}

impl Area {
    /// The area around a pixel, of pixels that are `open` and have no label; they get this one.
    fn of(
        raster: &SlideRaster,
        start: usize,
        open: impl Fn(usize) -> bool,
        labels: &mut [u32],
        label: u32,
    ) -> Self {
        let (width, height) = (
            raster.size().width() as usize,
            raster.size().height() as usize,
        );
        let (mut left, mut right, mut bottom) = (start % width, start % width, start / width);
        let top = bottom;
        let mut pixels = vec![start];
        labels[start] = label;
        let mut at = 0;
        while let Some(&index) = pixels.get(at) {
            at += 1;
            let (x, y) = (index % width, index / width);
            (left, right, bottom) = (left.min(x), right.max(x), bottom.max(y));
            let around = [
                (x > 0).then(|| index - 1),
                (x + 1 < width).then(|| index + 1),
                index.checked_sub(width),
                (y + 1 < height).then(|| index + width),
            ];
            for next in around.into_iter().flatten() {
                if labels[next] == 0 && open(next) {
                    labels[next] = label;
                    pixels.push(next);
                }
            }
        }
        let number = |v: usize| u32::try_from(v).unwrap_or(u32::MAX);
        Self {
            bounds: PixelBox {
                x: number(left),
                y: number(top),
                width: number(right + 1 - left),
                height: number(bottom + 1 - top),
            },
            pixels,
        }
    }
}

/// The pixels that an area encloses, but for things too large to lie on it.
fn lies_on(raster: &SlideRaster, area: &Area, labels: &[u32], label: u32) -> Vec<usize> {
    let b = area.bounds;
    let most = MOST_ON_IT * area.pixels.len() as f64;
    let mut seen = vec![false; b.width as usize * b.height as usize];
    let local = |x: u32, y: u32| ((y - b.y) * b.width + x - b.x) as usize;
    let mut found = Vec::new();
    for y in b.y..b.bottom() {
        for x in b.x..b.right() {
            if seen[local(x, y)] || labels[raster.index(x, y)] == label {
                continue;
            }
            let (mut pixels, mut is_enclosed, mut at) = (vec![(x, y)], true, 0);
            seen[local(x, y)] = true;
            while let Some(&(x, y)) = pixels.get(at) {
                at += 1;
                let around = [
                    (x > b.x).then(|| (x - 1, y)),
                    (x + 1 < b.right()).then_some((x + 1, y)),
                    (y > b.y).then(|| (x, y - 1)),
                    (y + 1 < b.bottom()).then_some((x, y + 1)),
                ];
                // At a side of the box it is beside the area, not on it.
                is_enclosed &= around.iter().all(Option::is_some);
                for (x, y) in around.into_iter().flatten() {
                    if !seen[local(x, y)] && labels[raster.index(x, y)] != label {
                        seen[local(x, y)] = true;
                        pixels.push((x, y));
                    }
                }
            }
            if is_enclosed && pixels.len() as f64 <= most {
                found.extend(pixels.into_iter().map(|(x, y)| raster.index(x, y)));
            }
        }
    }
    found
}
