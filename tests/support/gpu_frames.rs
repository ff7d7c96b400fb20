//! Frames and numbers that are the same on every run.

use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

/// A linear congruential generator. Source: Knuth, MMIX.
pub(crate) struct Numbers(u64);

impl Numbers {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub(crate) fn next_u32(&mut self) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 32) as u32
    }

    /// 0 up to 1.
    pub(crate) fn frac(&mut self) -> f32 {
        (self.next_u32() >> 8) as f32 / 16_777_216.0
    }

    pub(crate) fn color(&mut self) -> [f32; 3] {
        [self.frac(), self.frac(), self.frac()]
    }

    pub(crate) fn codes(&mut self) -> [u8; 4] {
        self.next_u32().to_le_bytes()
    }
}

pub(crate) fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

/// A camera: a dark room with a bright person-like area, some clipped, noise all over.
pub(crate) fn camera(size: Size) -> Frame {
    let mut numbers = Numbers::new(11);
    Frame::from_fn(size, |x, y| {
        let noise = (numbers.next_u32() >> 28) as u8;
        let (u, v) = (
            f64::from(x) / f64::from(size.width()),
            f64::from(y) / f64::from(size.height()),
        );
        let lit = (1.0 - 4.0 * ((u - 0.4).powi(2) + (v - 0.6).powi(2))).clamp(0.0, 1.0);
        [270.0, 240.0, 200.0].map(|top| ((lit * top) as u8).saturating_add(noise))
    })
}

/// A slide: black, ramps of grey and colour through every code, hard edges, single pixels.
pub(crate) fn slide(size: Size) -> Frame {
    let mut numbers = Numbers::new(12);
    Frame::from_fn(size, |x, y| slide_pixel(&mut numbers, x, y))
}

fn slide_pixel(numbers: &mut Numbers, x: u32, y: u32) -> [u8; 3] {
    let [r, g, b, _] = numbers.codes();
    match (x / 37 + y / 23) % 5 {
        0 => [0; 3],
        1 => [(x % 256) as u8; 3],
        2 => [(x % 64) as u8, (y % 64) as u8, ((x + y) % 256) as u8],
        3 => [r / 8, g / 8, b / 2],
        _ => [r, g, b],
    }
}

/// The slide with alpha of every code.
pub(crate) fn slide_with_alpha(size: Size) -> Frame {
    let mut numbers = Numbers::new(13);
    let mut pixels = Vec::new();
    for y in 0..size.height() {
        for x in 0..size.width() {
            let [r, g, b] = slide_pixel(&mut numbers, x, y);
            pixels.push([r, g, b, ((x * 3 + y) % 256) as u8]);
        }
    }
    Frame::new(size, Pixels::Rgba8(pixels)).unwrap()
}

/// The slide at 16 bits, opaque or not.
pub(crate) fn slide_16(size: Size, opaque: bool) -> Frame {
    let mut numbers = Numbers::new(14);
    let mut pixels = Vec::new();
    for y in 0..size.height() {
        for x in 0..size.width() {
            let rgb = slide_pixel(&mut numbers, x, y);
            let low = (numbers.next_u32() >> 24) as u16;
            let [r, g, b] = rgb.map(|v| u16::from(v) << 8 | low);
            let alpha = if opaque {
                u16::MAX
            } else {
                ((x * 771 + y * 13) % 65_536) as u16
            };
            pixels.push([r, g, b, alpha]);
        }
    }
    Frame::new(size, Pixels::Rgba16(pixels)).unwrap()
}
