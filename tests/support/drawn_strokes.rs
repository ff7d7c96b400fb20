//! Strokes of fluorescent ink on a black backdrop, drawn with a known copy, glow, noise and compression.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageFormat};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

/// Even numbers from 0 to 1. Source of the steps: Marsaglia, Xorshift RNGs, 2003.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(0x9e37_79b9_7f4a_7c15 ^ (seed + 1).wrapping_mul(0xbf58_476d_1ce4_e5b9))
    }

    pub(crate) fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.even()
    }

    /// Normal, by Box and Muller.
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}

const WIDTH: usize = 960;
const HEIGHT: usize = 540;
/// Codes of inks, as `examples/writing_score` has them.
const INKS: [[f32; 3]; 6] = [
    [80.0, 250.0, 110.0],
    [250.0, 65.0, 160.0],
    [250.0, 150.0, 35.0],
    [238.0, 238.0, 60.0],
    [65.0, 160.0, 252.0],
    [252.0, 75.0, 60.0],
];

/// How a frame is made.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Manner {
    /// Displacement of the copy, px, and its share of the strokes.
    pub(crate) shift: [f64; 2],
    pub(crate) strength: f64,
    /// Glow near the strokes, a share of their light.
    pub(crate) glow: f64,
    /// Noise, codes.
    pub(crate) sigma: f64,
    /// JPEG quality; none without loss.
    pub(crate) quality: Option<u8>,
    /// All strokes are short pairs of parallel lines, the second one fainter.
    pub(crate) hatched: bool,
    /// All strokes in this ink, codes.
    pub(crate) ink: Option<[f32; 3]>,
}

impl Manner {
    pub(crate) const PLAIN: Self = Self {
        shift: [0.0; 2],
        strength: 0.0,
        glow: 0.15,
        sigma: 2.0,
        quality: None,
        hatched: false,
        ink: None,
    };
}

type Planes = [Vec<f32>; 3];

/// The frame.
pub(crate) fn drawn(seed: u64, manner: &Manner) -> Frame {
    let mut dice = Dice::new(seed);
    let mut light: Planes = std::array::from_fn(|_| vec![0.0; WIDTH * HEIGHT]);
    for _ in 0..26 {
        let ink = INKS[(dice.even() * 6.0) as usize];
        let ink = manner.ink.unwrap_or(ink);
        let (x, y) = (dice.between(40.0, 620.0), dice.between(70.0, 490.0));
        let (size, width) = (dice.between(30.0, 75.0), dice.between(2.5, 7.0));
        let turn = dice.between(-0.8, 0.8);
        if manner.hatched {
            let line = [[x, y], [x + size * turn.sin(), y - size * turn.cos()]];
            // As far beside as the stroke is wide and as much again, each at its own distance and strength.
            let off = dice.between(1.5, 3.0) * width;
            let faint = ink.map(|code| code * dice.between(0.3, 0.6) as f32);
            draw(&mut light, &line, width, ink);
            draw(&mut light, &line.map(|[x, y]| [x + off, y]), width, faint);
            continue;
        }
        let kind = (dice.even() * 4.0) as u32;
        let points: Vec<[f64; 2]> = (0..=24)
            .map(|step| {
                let t = f64::from(step) / 24.0;
                match kind {
                    0 => [
                        x + 0.6 * size * (6.0 * t).cos(),
                        y + 0.5 * size * (6.0 * t).sin(),
                    ],
                    1 => [x + 2.0 * size * t, y + turn * size * t],
                    2 => [x + 2.5 * size * t, y - 0.4 * size * (13.0 * t).sin()],
                    _ => [x + turn * size * t, y - size * t],
                }
            })
            .collect();
        draw(&mut light, &points, width, ink);
    }
    let light = light.map(|plane| blurred(&plane, 0));
    let glow: Planes = std::array::from_fn(|c| blurred(&light[c], 3));
    let mut codes = vec![[0, 0, 0, u8::MAX]; WIDTH * HEIGHT];
    for (at, code) in codes.iter_mut().enumerate() {
        let (x, y) = ((at % WIDTH) as f64, (at / WIDTH) as f64);
        for c in 0..3 {
            let copy = between(&light[c], x - manner.shift[0], y - manner.shift[1]);
            let sum = 8.0
                + f64::from(light[c][at])
                + manner.strength * copy
                + manner.glow * f64::from(glow[c][at])
                + manner.sigma * dice.normal();
            code[c] = sum.round().clamp(0.0, 255.0) as u8;
        }
    }
    if let Some(quality) = manner.quality {
        compress(&mut codes, quality);
    }
    Frame::new(
        Size::new(WIDTH as u32, HEIGHT as u32).unwrap(),
        Pixels::Rgba8(codes),
    )
    .unwrap()
}

/// Lays a line of this width over the light.
fn draw(light: &mut Planes, points: &[[f64; 2]], width: f64, ink: [f32; 3]) {
    let mut cover = vec![0.0_f64; WIDTH * HEIGHT];
    for pair in points.windows(2) {
        let ([ax, ay], [bx, by]) = (pair[0], pair[1]);
        let reach = width / 2.0 + 2.0;
        let clip = |v: f64, most: usize| v.clamp(0.0, most as f64) as usize;
        let (left, right) = (
            clip(ax.min(bx) - reach, WIDTH),
            clip(ax.max(bx) + reach, WIDTH),
        );
        let (top, bottom) = (
            clip(ay.min(by) - reach, HEIGHT),
            clip(ay.max(by) + reach, HEIGHT),
        );
        let (dx, dy) = (bx - ax, by - ay);
        for y in top..bottom {
            for x in left..right {
                let (px, py) = (x as f64 - ax, y as f64 - ay);
                let along = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
                let off = (px - along * dx).hypot(py - along * dy);
                let here = (0.5 + width / 2.0 - off).clamp(0.0, 1.0);
                let cover = &mut cover[y * WIDTH + x];
                *cover = cover.max(here);
            }
        }
    }
    for (plane, ink) in light.iter_mut().zip(ink) {
        for (value, &cover) in plane.iter_mut().zip(&cover).filter(|(_, c)| **c > 0.0) {
            *value = (f64::from(*value) * (1.0 - cover) + f64::from(ink) * cover) as f32;
        }
    }
}

/// Three boxes of `2 reach + 1`, or once 1 2 1 where that is 0.
fn blurred(plane: &[f32], reach: usize) -> Vec<f32> {
    let weights: Vec<f32> = if reach == 0 {
        vec![0.25, 0.5, 0.25]
    } else {
        vec![1.0 / (2 * reach + 1) as f32; 2 * reach + 1]
    };
    let half = weights.len() / 2;
    let mut values = plane.to_vec();
    for step in [1, WIDTH].repeat(if reach == 0 { 1 } else { 3 }) {
        let from = values.clone();
        for (at, value) in values.iter_mut().enumerate() {
            let place = |k: usize| (at + k * step).checked_sub(half * step);
            *value = (0..weights.len())
                .filter_map(|k| Some(weights[k] * from.get(place(k)?)?))
                .sum();
        }
    }
    values
}

/// The value between pixels.
fn between(plane: &[f32], x: f64, y: f64) -> f64 {
    let (left, top) = (x.floor(), y.floor());
    let (u, v) = (x - left, y - top);
    let at = |x: f64, y: f64| {
        let inside = x >= 0.0 && y >= 0.0 && x < WIDTH as f64 && y < HEIGHT as f64;
        if inside {
            f64::from(plane[y as usize * WIDTH + x as usize])
        } else {
            0.0
        }
    };
    (1.0 - v) * ((1.0 - u) * at(left, top) + u * at(left + 1.0, top))
        + v * ((1.0 - u) * at(left, top + 1.0) + u * at(left + 1.0, top + 1.0))
}

/// Through a JPEG file.
fn compress(codes: &mut [[u8; 4]], quality: u8) {
    let rgb: Vec<u8> = codes.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality)
        .write_image(&rgb, WIDTH as u32, HEIGHT as u32, ExtendedColorType::Rgb8)
        .unwrap();
    let read = image::load(Cursor::new(bytes), ImageFormat::Jpeg).unwrap();
    for (code, pixel) in codes.iter_mut().zip(read.to_rgb8().pixels()) {
        code[..3].copy_from_slice(&pixel.0);
    }
}
