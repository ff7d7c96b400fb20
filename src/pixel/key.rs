//! The luma key: how much of the slide is kept at a pixel.
//! Twin: `shaders/key.wgsl`, held together by `tests/gpu/twins.rs`.

use schemars::JsonSchema;
use serde::Serialize;

/// Shape of the matte between dropped and solid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema, clap::ValueEnum)]
#[repr(u32)]
#[serde(rename_all = "lowercase")]
pub enum Ramp {
    /// A straight line.
    #[default]
    Linear = 0,
    /// The cubic `m² (3 - 2 m)`: flat at both ends, steeper in the middle.
    Smooth = 1,
}

/// Which weights make luma from R'G'B'.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Luma {
    /// High definition: 0.2126, 0.7152, 0.0722.
    #[default]
    Bt709,
    /// Standard definition: 0.299, 0.587, 0.114.
    Bt601,
    /// Ultra high definition: 0.2627, 0.6780, 0.0593.
    Bt2020,
}

impl Luma {
    /// `(Kr, Kb)`; the green weight is what is missing to 1.
    ///
    /// Source: ITU-R BT.709-6, BT.601-7 and BT.2020-2.
    pub fn weights(self) -> (f32, f32) {
        match self {
            Self::Bt709 => (0.2126, 0.0722),
            Self::Bt601 => (0.299, 0.114),
            Self::Bt2020 => (0.2627, 0.0593),
        }
    }
}

/// `Y' = G' + Kr (R' - G') + Kb (B' - G')`, in this order: exact on greys.
pub fn luma(rgb: [f32; 3], kr: f32, kb: f32) -> f32 {
    let [r, g, b] = rgb;
    g + kr * (r - g) + kb * (b - g)
}

/// How much of the slide is kept at luma `y`: 0 dropped, 1 solid.
///
/// `x = (y - t) / s`, then `m = clamp(x, 0, 1)`, and `m² (3 - 2 m)` where the ramp is smooth.
/// With `s = 0` a hard step: 1 where `y > t`, else 0.
pub fn matte(y: f32, t: f32, s: f32, ramp: Ramp) -> f32 {
    if s <= 0.0 {
        return if y > t { 1.0 } else { 0.0 };
    }
    let m = ((y - t) / s).clamp(0.0, 1.0);
    match ramp {
        Ramp::Linear => m,
        Ramp::Smooth => m * m * (3.0 - 2.0 * m),
    }
}
