//! How well two colours can be told apart by luminance, as WCAG 2.2 defines it.

use crate::pixel::color::srgb_decode;

/// Light that the surroundings add on a screen. Source: WCAG 2.2, "contrast ratio".
const FLARE: f64 = 0.05;
/// Weights of linear R, G and B. Source: WCAG 2.2, "relative luminance".
const LUMINANCE_WEIGHTS: [f64; 3] = [0.2126, 0.7152, 0.0722];

/// Relative luminance of 8-bit sRGB codes: 0 black, 1 white.
///
/// `L = 0.2126 R + 0.7152 G + 0.0722 B` on decoded channels.
pub fn relative_luminance(codes: [u8; 3]) -> f64 {
    relative_luminance_frac(codes.map(|code| f32::from(code) / 255.0))
}

/// Relative luminance of encoded R'G'B' from 0 to 1.
pub fn relative_luminance_frac(rgb: [f32; 3]) -> f64 {
    luminance_of_light(rgb.map(|v| f64::from(srgb_decode(v))))
}

/// Relative luminance of linear light in R, G and B.
pub fn luminance_of_light(light: [f64; 3]) -> f64 {
    (0..3).map(|c| LUMINANCE_WEIGHTS[c] * light[c]).sum()
}

/// Contrast ratio of two relative luminances in either order: 1 no difference, 21 black and white.
///
/// `(L1 + 0.05) / (L2 + 0.05)`, L1 the lighter. A limit is met or not by the unrounded ratio.
pub fn contrast_ratio(a: f64, b: f64) -> f64 {
    (a.max(b) + FLARE) / (a.min(b) + FLARE)
}

/// Contrast ratio of two colours in 8-bit sRGB codes.
pub fn contrast_of_codes(a: [u8; 3], b: [u8; 3]) -> f64 {
    contrast_ratio(relative_luminance(a), relative_luminance(b))
}
