//! Blending in linear light from tables. A result too close to a step between two 8-bit codes
//! for the tables to decide is computed again by `composite::blend`, so that rounding agrees with it.
#![expect(
    clippy::inline_always,
    reason = "vector instructions are only used where a function is part of its caller, which enables them"
)]

use std::sync::LazyLock;

use super::color::{srgb_decode, srgb_encode, to_u8};
use super::composite;
use super::settings::{Alpha, BlendSpace};

/// Steps of the decoding table between 0 and 1.
const DECODE_STEPS: usize = 4096;
/// Largest error of what the tables give, and some room.
/// Source: a line over 1/4096 of the curve is off by at most 2.2e-8; three roundings of 6e-8 follow.
const DOUBT: f32 = 5e-7;
/// Under this linear value every code is 0. Source: half a code over the slope of the curve's line is 1.5e-4.
const LOWEST: f32 = 1.0 / 8192.0;
/// Bits of a float that a bucket of the encoding table spans: 128 buckets to an octave.
const BUCKET_BITS: u32 = 16;
/// Buckets from [`LOWEST`] to 1, and the one that begins at 1.
const BUCKETS: usize = 13 * 128 + 1;

/// The tables.
#[derive(Debug)]
pub(super) struct Light {
    /// Linear light of each 8-bit code.
    bytes: [f32; 256],
    /// Linear light at each step, one more at the end.
    steps: Vec<f32>,
    /// Where encoding goes up a code.
    buckets: Vec<Bucket>,
}

/// Linear values among which at most one step between codes lies.
#[derive(Clone, Copy, Debug)]
struct Bucket {
    /// Code under the step.
    code: u8,
    /// Smallest value of the next code; infinite if that lies further up.
    step: f32,
}

static LIGHT: LazyLock<Light> = LazyLock::new(Light::new);

impl Light {
    /// The tables, made the first time they are asked for.
    pub(super) fn get() -> &'static Self {
        &LIGHT
    }

    fn new() -> Self {
        let mut bytes = [0.0; 256];
        for (code, linear) in (0_u8..=255).zip(&mut bytes) {
            *linear = srgb_decode(f32::from(code) / 255.0);
        }
        let steps = (0..DECODE_STEPS + 2)
            .map(|i| srgb_decode(i as f32 / DECODE_STEPS as f32))
            .collect();
        let boundaries: Vec<f32> = (1_u8..=255).map(smallest_linear_of).collect();
        let buckets = (0..BUCKETS)
            .map(|i| {
                let start = bucket_start(i) - DOUBT;
                let end = bucket_start(i + 1) + DOUBT;
                let under = boundaries.partition_point(|&step| step <= start);
                let step = boundaries.get(under).filter(|&&step| step < end);
                Bucket {
                    code: u8::try_from(under).unwrap_or(u8::MAX),
                    step: step.copied().unwrap_or(f32::INFINITY),
                }
            })
            .collect();
        Self {
            bytes,
            steps,
            buckets,
        }
    }

    /// One pixel from 8-bit codes.
    #[inline(always)]
    pub(super) fn blend_bytes(
        &self,
        m: f32,
        slide: [u8; 4],
        camera: [u8; 4],
        alpha: Alpha,
    ) -> [u8; 4] {
        let opaque = |[r, g, b, _]: [u8; 4]| [r, g, b, u8::MAX];
        if m >= 1.0 {
            return opaque(slide);
        }
        if m <= 0.0 && alpha == Alpha::Straight {
            return opaque(camera);
        }
        let linear = |pixel: [u8; 4]| [0, 1, 2].map(|i| self.bytes[usize::from(pixel[i])]);
        let frac = |pixel: [u8; 4]| [0, 1, 2].map(|i| f32::from(pixel[i]) / 255.0);
        self.encode(m, linear(slide), linear(camera), alpha)
            .unwrap_or_else(|| exactly(m, frac(slide), frac(camera), alpha))
    }

    /// One pixel from encoded values.
    #[inline(always)]
    pub(super) fn blend(&self, m: f32, slide: [f32; 3], camera: [f32; 3], alpha: Alpha) -> [u8; 4] {
        let linear = |pixel: [f32; 3]| pixel.map(|v| self.decode(v));
        self.encode(m, linear(slide), linear(camera), alpha)
            .unwrap_or_else(|| exactly(m, slide, camera, alpha))
    }

    /// Linear light between two steps of the table.
    #[inline(always)]
    fn decode(&self, v: f32) -> f32 {
        let place = v.clamp(0.0, 1.0) * DECODE_STEPS as f32;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0..=DECODE_STEPS, clamped the line above"
        )]
        let step = place as usize;
        let (low, high) = (self.steps[step], self.steps[step + 1]);
        low + (place - step as f32) * (high - low)
    }

    /// The blend of linear values as codes, or nothing where a code is in doubt.
    #[inline(always)]
    fn encode(&self, m: f32, slide: [f32; 3], camera: [f32; 3], alpha: Alpha) -> Option<[u8; 4]> {
        let mut out = [u8::MAX; 4];
        let mut sure = true;
        for ((out, s), c) in out.iter_mut().zip(slide).zip(camera) {
            let v = match alpha {
                Alpha::Straight => m * s + (1.0 - m) * c,
                Alpha::Premultiplied => s + (1.0 - m) * c,
            }
            .clamp(LOWEST, 1.0);
            let index = ((v.to_bits() - LOWEST.to_bits()) >> BUCKET_BITS) as usize;
            let Bucket { code, step } = self.buckets[index];
            sure &= (v - step).abs() > DOUBT;
            *out = code + u8::from(v >= step);
        }
        sure.then_some(out)
    }
}

/// Where a bucket begins.
fn bucket_start(index: usize) -> f32 {
    let index = u32::try_from(index).unwrap_or(u32::MAX);
    f32::from_bits(LOWEST.to_bits() + (index << BUCKET_BITS))
}

/// The smallest linear value that is encoded to `code`, which is not 0.
fn smallest_linear_of(code: u8) -> f32 {
    let (mut under, mut at_least) = (0.0_f32.to_bits(), 1.0_f32.to_bits());
    while at_least - under > 1 {
        let middle = under.midpoint(at_least);
        if to_u8(srgb_encode(f32::from_bits(middle))) < code {
            under = middle;
        } else {
            at_least = middle;
        }
    }
    f32::from_bits(at_least)
}

/// One pixel as the reference has it.
#[cold]
fn exactly(m: f32, slide: [f32; 3], camera: [f32; 3], alpha: Alpha) -> [u8; 4] {
    let [r, g, b] = composite::blend(m, slide, camera, alpha, BlendSpace::Linear).map(to_u8);
    [r, g, b, u8::MAX]
}
