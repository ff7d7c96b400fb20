//! Code values and light: rounding to 8 bits, video range, the sRGB curve.
//! Twin: `shaders/color.wgsl`, held together by `tests/gpu/twins.rs`.

/// Video-range black in 8-bit codes. Source: ITU-R BT.709-6, quantization levels.
pub const VIDEO_BLACK_CODE: f32 = 16.0;
/// Width of the 8-bit video range, 235 - 16 codes. Source: ITU-R BT.709-6, quantization levels.
pub const VIDEO_SPAN_CODES: f32 = 219.0;

/// Encoded value at and below which the sRGB curve is a line. Source: IEC 61966-2-1.
pub const SRGB_ENCODED_KNEE: f32 = 0.040_45;
/// Linear value at and below which the sRGB curve is a line. Source: IEC 61966-2-1.
pub const SRGB_LINEAR_KNEE: f32 = 0.003_130_8;
/// Slope of the line. Source: IEC 61966-2-1.
pub const SRGB_SLOPE: f32 = 12.92;
/// Offset of the power part. Source: IEC 61966-2-1.
pub const SRGB_OFFSET: f32 = 0.055;
/// Exponent of the power part. Source: IEC 61966-2-1.
pub const SRGB_EXPONENT: f32 = 2.4;

/// `floor(255 v + 0.5)`, the only place where a value becomes an 8-bit code.
///
/// Values outside 0 to 1 are clipped.
pub fn to_u8(v: f32) -> u8 {
    let code = (255.0 * v + 0.5).floor().clamp(0.0, 255.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the one rounding to 8 bits; clamped to 0..=255 the line above"
    )]
    let rounded = code as u8;
    rounded
}

/// `clamp((255 v - 16) / 219, 0, 1)`: a video-range value read as full range, unrounded.
pub fn expand_video(v: f32) -> f32 {
    ((255.0 * v - VIDEO_BLACK_CODE) / VIDEO_SPAN_CODES).clamp(0.0, 1.0)
}

/// Encoded value to linear light. Source: IEC 61966-2-1.
pub fn srgb_decode(v: f32) -> f32 {
    if v <= SRGB_ENCODED_KNEE {
        v / SRGB_SLOPE
    } else {
        ((v + SRGB_OFFSET) / (1.0 + SRGB_OFFSET)).powf(SRGB_EXPONENT)
    }
}

/// Linear light to encoded value. Source: IEC 61966-2-1.
pub fn srgb_encode(v: f32) -> f32 {
    if v <= SRGB_LINEAR_KNEE {
        v * SRGB_SLOPE
    } else {
        (1.0 + SRGB_OFFSET) * v.powf(1.0 / SRGB_EXPONENT) - SRGB_OFFSET
    }
}
