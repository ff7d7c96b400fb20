//! Photographs: two that are in the test data, and computed ones with continuous tones.

use crate::noise::{grain, layered, mix, ramp};
use crate::sheet::{Code, Fault, Sheet};
use image::RgbImage;
use std::sync::OnceLock;

/// A photograph.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Photograph {
    /// `tests/data/astronaut.png`.
    Portrait,
    /// `tests/data/hubble_deep_field.jpg`.
    Galaxies,
    /// An evening sky over the sea, computed.
    Dusk,
    /// A sail lit by the sun, computed.
    Sail,
}

/// Lays a photograph over a rectangle (left, top, right, bottom), its darks lifted to a code at least.
pub(crate) fn lay(
    sheet: &mut Sheet,
    photograph: Photograph,
    [x0, y0, x1, y1]: [f32; 4],
    floor: u8,
) -> Result<(), Fault> {
    let file = match photograph {
        Photograph::Portrait => Some(portrait()?),
        Photograph::Galaxies => Some(galaxies()?),
        _ => None,
    };
    let low = f32::from(floor);
    sheet.repaint(|was, (x, y), (column, row)| {
        if x < x0 || x >= x1 || y < y0 || y >= y1 {
            return was;
        }
        let (u, v) = ((x - x0) / (x1 - x0), (y - y0) / (y1 - y0));
        let tone = match file {
            Some(file) => sampled(file, u, v),
            None => computed(photograph, u, v, (column, row)),
        };
        tone.map(|t| (low + t * (255.0 - low)).round().clamp(0.0, 255.0) as u8)
    });
    Ok(())
}

/// A tone of a computed photograph, each channel 0 to 1.
fn computed(photograph: Photograph, u: f32, v: f32, (column, row): (i32, i32)) -> [f32; 3] {
    let noise = 0.008 * grain(column, row, 11);
    let tone = if photograph == Photograph::Sail {
        let cloth = 0.62 + 0.3 * layered(u * 5.0, v * 2.0, 1.0, 4) - 0.25 * v;
        let seam = 0.1 * ramp(0.02, 0.0, ((v * 7.0 + u * 0.8).fract() - 0.5).abs());
        let shade = cloth - seam;
        [shade, shade * 0.93, shade * 0.8]
    } else {
        let cloud = ramp(0.42, 0.7, layered(u * 4.0, v * 9.0, 2.0, 5));
        let glow = ramp(0.95, 0.1, v);
        let sea = ramp(0.78, 0.785, v);
        let glint = layered(u * 10.0, v * 70.0, 6.0, 3);
        let sky = [
            0.30 + 0.45 * (1.0 - glow) + 0.12 * cloud,
            0.34 + 0.18 * (1.0 - glow) + 0.10 * cloud,
            0.50 - 0.12 * (1.0 - glow) + 0.08 * cloud,
        ];
        let water = [0.14 + 0.22 * glint, 0.17 + 0.2 * glint, 0.25 + 0.2 * glint];
        std::array::from_fn(|c| mix(sky[c], water[c], sea))
    };
    tone.map(|t| (t + noise).clamp(0.0, 1.0))
}

/// A tone of a file, by straight mixture of its four nearest pixels.
fn sampled(file: &RgbImage, u: f32, v: f32) -> [f32; 3] {
    let at = |x: i64, y: i64| {
        let x = x.clamp(0, i64::from(file.width()) - 1) as u32;
        let y = y.clamp(0, i64::from(file.height()) - 1) as u32;
        file.get_pixel(x, y).0.map(|c| f32::from(c) / 255.0)
    };
    let (x, y) = (
        u * file.width() as f32 - 0.5,
        v * file.height() as f32 - 0.5,
    );
    let (column, row) = (x.floor() as i64, y.floor() as i64);
    let (fx, fy) = (x - x.floor(), y - y.floor());
    let [a, b, c, d] = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(i, j)| at(column + i, row + j));
    std::array::from_fn(|k| mix(mix(a[k], b[k], fx), mix(c[k], d[k], fx), fy))
}

/// Darkens a round place with a soft edge towards a colour: a shadow.
pub(crate) fn shade(sheet: &mut Sheet, (cx, cy): (f32, f32), radius: f32, soft: f32, to: Code) {
    sheet.repaint(|was, (x, y), _| {
        let cover = ramp(radius + soft, radius, (x - cx).hypot(y - cy));
        std::array::from_fn(|c| mix(f32::from(was[c]), f32::from(to[c]), cover).round() as u8)
    });
}

fn portrait() -> Result<&'static RgbImage, Fault> {
    static FILE: OnceLock<RgbImage> = OnceLock::new();
    kept(&FILE, include_bytes!("../../tests/data/astronaut.png"))
}

fn galaxies() -> Result<&'static RgbImage, Fault> {
    static FILE: OnceLock<RgbImage> = OnceLock::new();
    let bytes = include_bytes!("../../tests/data/hubble_deep_field.jpg");
    kept(&FILE, bytes)
}

/// The board of the test data, as a camera.
pub(crate) fn board() -> Result<&'static RgbImage, Fault> {
    static FILE: OnceLock<RgbImage> = OnceLock::new();
    kept(&FILE, include_bytes!("../../tests/data/board_1.jpg"))
}

/// A file, decoded once.
fn kept(place: &'static OnceLock<RgbImage>, bytes: &[u8]) -> Result<&'static RgbImage, Fault> {
    if place.get().is_none() {
        let picture = image::load_from_memory(bytes)?.to_rgb8();
        // Where another thread was faster its picture is the same.
        let _ = place.set(picture);
    }
    place.get().ok_or_else(|| "a picture was not kept".into())
}
