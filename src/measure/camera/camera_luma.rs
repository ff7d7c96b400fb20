//! Luma of camera frames: by the weights of high definition, whatever the key's are.

/// Weights of R', G' and B'. Source: ITU-R BT.709-6.
const WEIGHTS: [f64; 3] = [0.2126, 0.7152, 0.0722];
/// The same as pixels are weighed by.
#[expect(clippy::cast_possible_truncation, reason = "the nearest that f32 has")]
const NARROW: [f32; 3] = [WEIGHTS[0] as f32, WEIGHTS[1] as f32, WEIGHTS[2] as f32];

/// Luma of a pixel, codes.
#[expect(clippy::inline_always, reason = "asked for every pixel of a frame")]
#[inline(always)]
pub fn luma_codes([r, g, b, _]: [u8; 4]) -> f32 {
    NARROW[0] * f32::from(r) + NARROW[1] * f32::from(g) + NARROW[2] * f32::from(b)
}

/// Luma of a mean colour, codes.
pub(crate) fn mean_luma_codes([r, g, b]: [f64; 3]) -> f64 {
    WEIGHTS[0] * r + WEIGHTS[1] * g + WEIGHTS[2] * b
}

/// Deviation of luma where each channel has noise of its own with this deviation, codes: `sqrt(sum (w sigma)²)`.
pub(crate) fn luma_deviation_codes([r, g, b]: [f64; 3]) -> f64 {
    (WEIGHTS[0] * r).hypot(WEIGHTS[1] * g).hypot(WEIGHTS[2] * b)
}
