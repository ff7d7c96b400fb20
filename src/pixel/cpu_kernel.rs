//! The formulas of `key.rs`, `composite.rs` and `color.rs` on vectors, a row at a time.
//! Every step rounds as the plain formula does, so results are equal bit for bit;
//! `tests/headless/cpu_engine.rs` checks that on every vector level of the machine it runs on.
#![expect(
    clippy::inline_always,
    reason = "vector instructions are only used where a function is part of its caller, which enables them"
)]

use fearless_simd::{Simd, prelude::*};

use super::cpu_light::Light;
use super::cpu_planes::{EIGHT_BIT_HIGH, EIGHT_BIT_LOW, Planes, WIDEST_BYTES};
use super::key::Ramp;
use super::plan::Plan;
use super::settings::{Alpha, BlendSpace};

/// How far down a word red, green and blue lie.
const SHIFTS: [u32; 3] = if cfg!(target_endian = "little") {
    [0, 8, 16]
} else {
    [24, 16, 8]
};
/// Full alpha, in a word.
const OPAQUE: u32 = u32::from_ne_bytes([0, 0, 0, u8::MAX]);

/// Vectors that are looked at together before any arithmetic.
const BLOCK_VECTORS: usize = 4;
/// How far, in codes, a channel stays away from a limit for its block to be decided without arithmetic.
/// Source: over 20 times what the sum of luma rounds off.
const MARGIN_CODES: f32 = 0.001;

/// What the formulas need of a plan.
#[derive(Clone, Copy, Debug)]
pub(super) struct KeyNumbers {
    kr: f32,
    kb: f32,
    threshold: f32,
    softness: f32,
    ramp: Ramp,
    alpha: Alpha,
    /// Where blending in linear light is asked for.
    light: Option<&'static Light>,
    /// A pixel whose channels are all at or under this code has a matte of 0.
    dropped_max: u8,
    /// A pixel whose channels are all at or over this code has a matte of 1.
    solid_min: Option<u8>,
}

impl KeyNumbers {
    pub(super) fn new(plan: &Plan<'_>) -> Self {
        let dropped = (255.0 * plan.threshold - MARGIN_CODES).floor();
        let solid = (255.0 * (plan.threshold + plan.softness) + MARGIN_CODES).ceil();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0..=255; black has luma 0, which no threshold is under"
        )]
        let dropped_max = dropped.clamp(0.0, 255.0) as u8;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "thresholds are not negative, so 0..=255 once it is known to be at most 255"
        )]
        let solid_min = (solid <= 255.0).then_some(solid as u8);
        Self {
            kr: plan.kr,
            kb: plan.kb,
            threshold: plan.threshold,
            softness: plan.softness,
            ramp: plan.ramp,
            alpha: plan.alpha,
            light: (plan.blend_space == BlendSpace::Linear).then(Light::get),
            dropped_max,
            solid_min,
        }
    }

    /// Luma, then how much of the slide is kept. Twin: `key.rs`.
    #[inline(always)]
    fn matte<S: Simd>(&self, simd: S, [r, g, b]: [S::f32s; 3]) -> S::f32s {
        let y = g + (r - g) * self.kr + (b - g) * self.kb;
        let zero = S::f32s::splat(simd, 0.0);
        let one = S::f32s::splat(simd, 1.0);
        let t = S::f32s::splat(simd, self.threshold);
        if self.softness <= 0.0 {
            return y.simd_gt(t).select(one, zero);
        }
        let m = ((y - t) / self.softness).max(zero).min(one);
        match self.ramp {
            Ramp::Linear => m,
            Ramp::Smooth => m * m * (S::f32s::splat(simd, 3.0) - m * 2.0),
        }
    }

    /// The slide over the camera, in the space that the values are in. Twin: `composite.rs`.
    #[inline(always)]
    fn blend<S: Simd>(
        &self,
        simd: S,
        m: S::f32s,
        slide: [S::f32s; 3],
        camera: [S::f32s; 3],
    ) -> [S::f32s; 3] {
        let one = S::f32s::splat(simd, 1.0);
        let rest = one - m;
        let ([sr, sg, sb], [cr, cg, cb]) = (slide, camera);
        match self.alpha {
            Alpha::Straight => [m * sr + rest * cr, m * sg + rest * cg, m * sb + rest * cb],
            Alpha::Premultiplied => [
                (sr + rest * cr).min(one),
                (sg + rest * cg).min(one),
                (sb + rest * cb).min(one),
            ],
        }
    }
}

/// Red, green and blue of packed pixels, 0 to 1.
#[inline(always)]
fn unpack<S: Simd>(pixels: S::u8s) -> [S::f32s; 3] {
    let words: S::u32s = pixels.bitcast();
    let [r, g, b] = SHIFTS;
    [
        channel::<S>(words >> r),
        channel::<S>(words >> g),
        channel::<S>(words >> b),
    ]
}

/// `v / 255` of the lowest byte of each word.
#[inline(always)]
fn channel<S: Simd>(words: S::u32s) -> S::f32s {
    let code: S::i32s = (words & 0xFF).bitcast();
    let v: S::f32s = code.to_float();
    v.mul_add(EIGHT_BIT_HIGH, v * EIGHT_BIT_LOW)
}

/// `floor(255 v + 0.5)` of red, green and blue, packed with full alpha.
#[inline(always)]
fn pack<S: Simd>(simd: S, [r, g, b]: [S::f32s; 3]) -> S::u8s {
    let opaque = S::u32s::splat(simd, OPAQUE);
    let [r_shift, g_shift, b_shift] = SHIFTS;
    let red_green = (code::<S>(r) << r_shift) | (code::<S>(g) << g_shift);
    let blue = (code::<S>(b) << b_shift) | opaque;
    (red_green | blue).bitcast()
}

/// `floor(255 v + 0.5)` of values that are not negative, so that cutting off is rounding down.
#[inline(always)]
fn code<S: Simd>(v: S::f32s) -> S::u32s {
    let code: S::i32s = (v * 255.0 + 0.5).min(255.0).to_int();
    code.bitcast()
}

/// A block of slide pixels as far as it is decided without arithmetic.
enum Decided {
    /// The matte is 0 everywhere.
    Dropped,
    /// The matte is 1 everywhere.
    Solid,
    /// It has to be computed.
    No,
}

/// The composite of two rows of 8-bit pixels in full range.
pub(super) fn composite_bytes<S: Simd>(
    simd: S,
    key: &KeyNumbers,
    camera: &[[u8; 4]],
    slide: &[[u8; 4]],
    out: &mut [[u8; 4]],
) {
    simd.vectorize(
        #[inline(always)]
        || {
            let width = S::u8s::LEN;
            let block = BLOCK_VECTORS * width;
            let opaque: S::u8s = S::u32s::splat(simd, OPAQUE).bitcast();
            let over: S::u8s = S::u8s::splat(simd, key.dropped_max) | opaque;
            let solid_from = key.solid_min.unwrap_or(u8::MAX);
            let under: S::u8s = S::u8s::splat(simd, solid_from) & !opaque;
            let mut cameras = camera.as_flattened().chunks_exact(block);
            let mut slides = slide.as_flattened().chunks_exact(block);
            let mut outs = out.as_flattened_mut().chunks_exact_mut(block);
            for ((camera, slide), out) in (&mut cameras).zip(&mut slides).zip(&mut outs) {
                let s: [S::u8s; BLOCK_VECTORS] = load_block(simd, slide);
                let c: [S::u8s; BLOCK_VECTORS] = load_block(simd, camera);
                let brightest = (s[0] | opaque).max(s[1]).max(s[2].max(s[3]));
                let darkest = s[0].min(s[1]).min(s[2].min(s[3]));
                let decided = if brightest.simd_le(over | opaque).all_true() {
                    Decided::Dropped
                } else if key.solid_min.is_some() && darkest.simd_ge(under).all_true() {
                    Decided::Solid
                } else {
                    Decided::No
                };
                for i in 0..BLOCK_VECTORS {
                    let made = match (&decided, key.alpha, key.light) {
                        (Decided::Solid, _, _) => s[i] | opaque,
                        (Decided::Dropped, Alpha::Straight, _) => c[i] | opaque,
                        // Sums of code values are whole, so that rounding them changes nothing.
                        (Decided::Dropped, Alpha::Premultiplied, None) => {
                            s[i].saturating_add(c[i]) | opaque
                        }
                        (_, _, _) => composite_vector(simd, key, s[i], c[i]),
                    };
                    made.store_slice(&mut out[i * width..(i + 1) * width]);
                }
            }
            let rest_camera = cameras.remainder().chunks(width);
            let rest_slide = slides.remainder().chunks(width);
            let rest_out = outs.into_remainder().chunks_mut(width);
            for ((camera, slide), out) in rest_camera.zip(rest_slide).zip(rest_out) {
                let (s, c) = (load_padded(simd, slide), load_padded(simd, camera));
                store_cut::<S>(composite_vector(simd, key, s, c), out);
            }
        },
    );
}

/// The vectors of a block.
#[inline(always)]
fn load_block<S: Simd>(simd: S, bytes: &[u8]) -> [S::u8s; BLOCK_VECTORS] {
    let width = S::u8s::LEN;
    [
        S::u8s::from_slice(simd, &bytes[..width]),
        S::u8s::from_slice(simd, &bytes[width..2 * width]),
        S::u8s::from_slice(simd, &bytes[2 * width..3 * width]),
        S::u8s::from_slice(simd, &bytes[3 * width..4 * width]),
    ]
}

/// A vector of at most its own length of bytes, the rest 0.
#[inline(always)]
fn load_padded<S: Simd>(simd: S, bytes: &[u8]) -> S::u8s {
    let mut padded = [0; WIDEST_BYTES];
    padded[..bytes.len()].copy_from_slice(bytes);
    S::u8s::from_slice(simd, &padded[..S::u8s::LEN])
}

/// The beginning of a vector.
#[inline(always)]
fn store_cut<S: Simd>(pixels: S::u8s, bytes: &mut [u8]) {
    if bytes.len() == S::u8s::LEN {
        pixels.store_slice(bytes);
    } else {
        bytes.copy_from_slice(&pixels.as_slice()[..bytes.len()]);
    }
}

/// The composite of one vector of pixels.
#[inline(always)]
fn composite_vector<S: Simd>(simd: S, key: &KeyNumbers, slide: S::u8s, camera: S::u8s) -> S::u8s {
    let s = unpack::<S>(slide);
    let m = key.matte(simd, s);
    if let Some(light) = key.light {
        let mut out = camera;
        let pixels = out.as_mut_slice().as_chunks_mut::<4>().0;
        let slides = slide.as_slice().as_chunks::<4>().0;
        for ((pixel, slide), m) in pixels.iter_mut().zip(slides).zip(m.as_slice()) {
            *pixel = light.blend_bytes(*m, *slide, *pixel, key.alpha);
        }
        return out;
    }
    pack(simd, key.blend(simd, m, s, unpack::<S>(camera)))
}

/// The composite of two rows of unrounded values.
pub(super) fn composite_planes<S: Simd>(
    simd: S,
    key: &KeyNumbers,
    camera: &Planes,
    slide: &Planes,
    out: &mut [[u8; 4]],
) {
    simd.vectorize(
        #[inline(always)]
        || {
            for_vectors::<S>(
                out,
                #[inline(always)]
                |at| {
                    let (s, c) = (slide.load(simd, at), camera.load(simd, at));
                    let m = key.matte(simd, s);
                    if let Some(light) = key.light {
                        let mut out = S::u8s::splat(simd, u8::MAX);
                        let pixels = out.as_mut_slice().as_chunks_mut::<4>().0;
                        for (i, pixel) in pixels.iter_mut().enumerate() {
                            let (s, c) = (slide.pixel(at + i), camera.pixel(at + i));
                            *pixel = light.blend(m[i], s, c, key.alpha);
                        }
                        return out;
                    }
                    pack(simd, key.blend(simd, m, s, c))
                },
            );
        },
    );
}

/// The matte of a row, as greys.
pub(super) fn matte_greys<S: Simd>(simd: S, key: &KeyNumbers, slide: &Planes, out: &mut [[u8; 4]]) {
    simd.vectorize(
        #[inline(always)]
        || {
            for_vectors::<S>(
                out,
                #[inline(always)]
                |at| pack(simd, [key.matte(simd, slide.load(simd, at)); 3]),
            );
        },
    );
}

/// The matte of a row, 0 to 1. `mattes` is `SPARE_PX` longer than the row.
pub(super) fn matte_row<S: Simd>(simd: S, key: &KeyNumbers, slide: &Planes, mattes: &mut [f32]) {
    simd.vectorize(
        #[inline(always)]
        || {
            for (i, out) in mattes.chunks_exact_mut(S::f32s::LEN).enumerate() {
                let at = i * S::f32s::LEN;
                key.matte(simd, slide.load(simd, at)).store_slice(out);
            }
        },
    );
}

/// A row of unrounded values as it is.
pub(super) fn round_planes<S: Simd>(simd: S, planes: &Planes, out: &mut [[u8; 4]]) {
    simd.vectorize(
        #[inline(always)]
        || {
            for_vectors::<S>(
                out,
                #[inline(always)]
                |at| pack(simd, planes.load(simd, at)),
            );
        },
    );
}

/// A row of 8-bit pixels as it is, with full alpha.
pub(super) fn copy_bytes<S: Simd>(simd: S, row: &[[u8; 4]], out: &mut [[u8; 4]]) {
    simd.vectorize(
        #[inline(always)]
        || {
            for (out, &[r, g, b, _]) in out.iter_mut().zip(row) {
                *out = [r, g, b, u8::MAX];
            }
        },
    );
}

/// Calls `make` for the first pixel of each vector of a row.
#[inline(always)]
fn for_vectors<S: Simd>(out: &mut [[u8; 4]], mut make: impl FnMut(usize) -> S::u8s) {
    let bytes = out.as_flattened_mut();
    for (i, out) in bytes.chunks_mut(S::u8s::LEN).enumerate() {
        store_cut::<S>(make(i * S::f32s::LEN), out);
    }
}
