//! The blend of slide and camera, and the chain that the slide went through.
//! Twin: `shaders/composite.wgsl`, held together by `tests/gpu/twins.rs`.

use super::color::{srgb_decode, srgb_encode};
use super::settings::{Alpha, BlendSpace};

/// `clamp(gain S + offset, 0, 1)` per channel.
pub fn apply_chain(slide: [f32; 3], gain: f32, offset: f32) -> [f32; 3] {
    slide.map(|v| (gain * v + offset).clamp(0.0, 1.0))
}

/// The slide over the camera.
///
/// Straight: `m S + (1 - m) C`. Premultiplied: `min(1, S + (1 - m) C)`.
/// In linear light a solid slide, and a camera under a dropped straight one, stay what they are
/// instead of being decoded and encoded again: the same but for rounding, and most pixels are that.
/// Source: Porter and Duff, Compositing Digital Images, 1984, the operator *over* on an opaque camera.
pub fn blend(
    m: f32,
    slide: [f32; 3],
    camera: [f32; 3],
    alpha: Alpha,
    blend_space: BlendSpace,
) -> [f32; 3] {
    let linear = blend_space == BlendSpace::Linear;
    if linear && m >= 1.0 {
        return slide;
    }
    if linear && m <= 0.0 && alpha == Alpha::Straight {
        return camera;
    }
    let (s, c) = if linear {
        (slide.map(srgb_decode), camera.map(srgb_decode))
    } else {
        (slide, camera)
    };
    let out = match alpha {
        Alpha::Straight => [0, 1, 2].map(|i| m * s[i] + (1.0 - m) * c[i]),
        Alpha::Premultiplied => [0, 1, 2].map(|i| (s[i] + (1.0 - m) * c[i]).min(1.0)),
    };
    if linear { out.map(srgb_encode) } else { out }
}
