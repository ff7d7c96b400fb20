//! Pictures from a small integer hash: the same on every machine, without a file.
#![expect(
    clippy::unwrap_used,
    reason = "only tests and benchmarks use this, with sizes that fit"
)]

use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

/// A well mixed number. Source: Chris Wellons, hash-prospector, `lowbias32`.
pub(crate) fn hash(mut x: u32) -> u32 {
    x ^= x >> 16;
    x = x.wrapping_mul(0x7FEB_352D);
    x ^= x >> 15;
    x = x.wrapping_mul(0x846C_A68B);
    x ^ (x >> 16)
}

/// The hash of a place in a picture.
pub(crate) fn hash_at(seed: u32, x: u32, y: u32) -> u32 {
    hash(x ^ hash(y ^ hash(seed)))
}

/// A size that is known to be allowed.
pub(crate) fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

/// Codes drawn evenly, every pixel by itself.
pub(crate) fn noise(size: Size, seed: u32) -> Frame {
    Frame::from_fn(size, |x, y| {
        let [r, g, b, _] = hash_at(seed, x, y).to_le_bytes();
        [r, g, b]
    })
}

/// Black in three quarters of all cells, texture from black to white in the others.
pub(crate) fn three_quarters_black(size: Size, (width, height): (u32, u32), seed: u32) -> Frame {
    Frame::from_fn(size, |x, y| {
        if hash_at(seed, x / width, y / height).is_multiple_of(4) {
            texture(seed, x, y)
        } else {
            [0; 3]
        }
    })
}

/// Texture over the whole picture, no pixel of it black.
pub(crate) fn no_black(size: Size, seed: u32) -> Frame {
    Frame::from_fn(size, |x, y| texture(seed, x, y))
}

/// Dark greys of codes 16 to 25: all of them in the ramp of the default key.
pub(crate) fn all_in_the_ramp(size: Size, seed: u32) -> Frame {
    Frame::from_fn(size, |x, y| {
        let [r, g, b, _] = hash_at(seed, x, y).to_le_bytes();
        [r, g, b].map(|v| 16 + v % 10)
    })
}

/// Waves with a little noise on them, codes 8 to 255.
fn texture(seed: u32, x: u32, y: u32) -> [u8; 3] {
    let wave = |period: u32, at: u32| (at % period).abs_diff(period / 2) * 460 / period;
    let noise = hash_at(seed ^ 1, x, y).to_le_bytes();
    [
        wave(97, x + y) + u32::from(noise[0] % 18),
        wave(131, x) + u32::from(noise[1] % 18),
        wave(173, y + x / 2) + u32::from(noise[2] % 18),
    ]
    .map(|v| u8::try_from(v + 8).unwrap_or(u8::MAX))
}

/// 8-bit codes and alpha drawn evenly; one pixel in four is fully opaque.
pub(crate) fn noise_with_alpha(size: Size, seed: u32) -> Frame {
    let pixels = pixels(size, |x, y| {
        let [r, g, b, a] = hash_at(seed, x, y).to_le_bytes();
        let opaque = hash_at(seed ^ 2, x, y).is_multiple_of(4);
        [r, g, b, if opaque { u8::MAX } else { a }]
    });
    Frame::new(size, Pixels::Rgba8(pixels)).unwrap()
}

/// 16-bit codes drawn evenly, opaque.
pub(crate) fn noise_16_bit(size: Size, seed: u32) -> Frame {
    let pixels = pixels(size, |x, y| {
        let (a, b) = (hash_at(seed, x, y), hash_at(seed ^ 3, x, y));
        let word = |bits: u32| u16::try_from(bits & 0xFFFF).unwrap();
        [word(a), word(a >> 16), word(b), u16::MAX]
    });
    Frame::new(size, Pixels::Rgba16(pixels)).unwrap()
}

/// The pixels of a picture, row by row.
fn pixels<T>(size: Size, paint: impl Fn(u32, u32) -> T) -> Vec<T> {
    (0..size.height())
        .flat_map(|y| (0..size.width()).map(move |x| (x, y)))
        .map(|(x, y)| paint(x, y))
        .collect()
}
