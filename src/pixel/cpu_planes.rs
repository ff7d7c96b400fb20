//! Codes as values from 0 to 1, and rows of such values taken apart for vectors.
#![expect(
    clippy::inline_always,
    reason = "vector instructions are only used where a function is part of its caller, which enables them"
)]

use fearless_simd::{Simd, prelude::*};

use super::composite::apply_chain;

/// `1/255` to 9 bits, so that an 8-bit code times it is exact, and `v * HIGH + v * LOW` is `v / 255`
/// correctly rounded, fused or not. `every_pair_of_codes_agrees` tries them all.
pub(super) const EIGHT_BIT_HIGH: f32 = 257.0 / 65_536.0;
/// The rest of `1/255`.
pub(super) const EIGHT_BIT_LOW: f32 = rest(1.0 / 255.0, EIGHT_BIT_HIGH);
/// `1/65535` to 1 bit. `every_16_bit_code_agrees` tries them all.
const SIXTEEN_BIT_HIGH: f32 = 1.0 / 65_536.0;
/// The rest of `1/65535`.
const SIXTEEN_BIT_LOW: f32 = rest(1.0 / 65_535.0, SIXTEEN_BIT_HIGH);

/// What a factor's first bits leave of it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
const fn rest(whole: f64, high: f32) -> f32 {
    (whole - high as f64) as f32
}

/// Bytes of the widest vector.
pub(super) const WIDEST_BYTES: usize = 64;
/// Row buffers are this many pixels longer than needed, so that the last vector can be whole.
pub(super) const SPARE_PX: usize = WIDEST_BYTES / 4;
/// `v / 255`.
#[inline(always)]
pub(super) fn eight_bit_frac(code: u8) -> f32 {
    f32::from(code) * EIGHT_BIT_HIGH + f32::from(code) * EIGHT_BIT_LOW
}

/// `v / 65535`.
#[inline(always)]
pub(super) fn sixteen_bit_frac(code: u16) -> f32 {
    f32::from(code) * SIXTEEN_BIT_HIGH + f32::from(code) * SIXTEEN_BIT_LOW
}

/// Red, green and blue of a row, apart; each [`SPARE_PX`] longer than the row.
#[derive(Debug, Default)]
pub(super) struct Planes([Vec<f32>; 3]);

impl Planes {
    /// Makes room for a row.
    fn reserve(&mut self, width: usize) {
        for plane in &mut self.0 {
            plane.resize(width + SPARE_PX, 0.0);
        }
    }

    /// R'G'B' of one pixel.
    pub(super) fn pixel(&self, x: usize) -> [f32; 3] {
        let [r, g, b] = &self.0;
        [r[x], g[x], b[x]]
    }

    /// Each pixel of the row by what `make` makes of it and its column.
    pub(super) fn replace<S: Simd>(
        &mut self,
        simd: S,
        width: usize,
        make: impl Fn(u32, [f32; 3]) -> [f32; 3],
    ) {
        let [r, g, b] = &mut self.0;
        simd.vectorize(
            #[inline(always)]
            || {
                for (((x, r), g), b) in (0..).zip(r).zip(g).zip(b).take(width) {
                    [*r, *g, *b] = make(x, [*r, *g, *b]);
                }
            },
        );
    }

    /// The row's bytes as 0 to 1.
    pub(super) fn fill_from_bytes<S: Simd>(&mut self, simd: S, row: &[[u8; 4]]) {
        self.reserve(row.len());
        let [r, g, b] = &mut self.0;
        simd.vectorize(
            #[inline(always)]
            || {
                for (((pixel, r), g), b) in row.iter().zip(r).zip(g).zip(b) {
                    *r = eight_bit_frac(pixel[0]);
                    *g = eight_bit_frac(pixel[1]);
                    *b = eight_bit_frac(pixel[2]);
                }
            },
        );
    }

    /// The row's pixels taken apart.
    pub(super) fn fill_from_floats<S: Simd>(&mut self, simd: S, row: &[[f32; 4]]) {
        self.reserve(row.len());
        let [r, g, b] = &mut self.0;
        simd.vectorize(
            #[inline(always)]
            || {
                for (((pixel, r), g), b) in row.iter().zip(r).zip(g).zip(b) {
                    [*r, *g, *b, _] = *pixel;
                }
            },
        );
    }

    /// Sends the row through the chain.
    pub(super) fn apply_chain<S: Simd>(&mut self, simd: S, gain: f32, offset: f32) {
        let [r, g, b] = &mut self.0;
        simd.vectorize(
            #[inline(always)]
            || {
                for ((r, g), b) in r.iter_mut().zip(g).zip(b) {
                    [*r, *g, *b] = apply_chain([*r, *g, *b], gain, offset);
                }
            },
        );
    }

    /// Vectors of the pixels from `at` on.
    #[inline(always)]
    pub(super) fn load<S: Simd>(&self, simd: S, at: usize) -> [S::f32s; 3] {
        let [r, g, b] = &self.0;
        let end = at + S::f32s::LEN;
        [
            S::f32s::from_slice(simd, &r[at..end]),
            S::f32s::from_slice(simd, &g[at..end]),
            S::f32s::from_slice(simd, &b[at..end]),
        ]
    }
}
