//! Everything that decides what a composite looks like, validated once so that later code has nothing to check.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::Serialize;
use thiserror::Error;

use super::chain::Chain;
use super::key::{Luma, Ramp};
use super::views::View;

/// Largest width or height that is loaded or made, in pixels.
pub const MAX_SIDE_PX: u32 = 16_384;
/// Threshold a new setup starts with, percent of white.
pub const DEFAULT_THRESHOLD_PERCENT: f64 = 6.0;
/// Softness a new setup starts with, percent of white.
pub const DEFAULT_SOFTNESS_PERCENT: f64 = 4.0;
/// Smallest softness that is not a hard step, percent of white.
pub const MIN_SOFTNESS_PERCENT: f64 = 0.01;

/// A setting outside what the signal model allows.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum SettingsError {
    /// The threshold is not a number from 0 to 100.
    #[error("`threshold` must be between 0 and 100 percent, got {got}")]
    Threshold {
        /// What was asked for.
        got: f64,
    },
    /// The softness is neither 0 nor between its ends.
    #[error("`softness` must be 0 or between {MIN_SOFTNESS_PERCENT} and 100 percent, got {got}")]
    Softness {
        /// What was asked for.
        got: f64,
    },
    /// A side is zero or too long.
    #[error("a picture must be 1 to {MAX_SIDE_PX} pixels wide and high, got {width}x{height}")]
    Size {
        /// What was asked for, in pixels.
        width: u64,
        /// What was asked for, in pixels.
        height: u64,
    },
    /// A size that is not written as one.
    #[error("expected WIDTHxHEIGHT in pixels, such as 1920x1080, got `{got}`")]
    SizeText {
        /// What was written.
        got: String,
    },
    /// The slide's rectangle lies too far out, or has no area.
    #[error(
        "`slide-place` must be x and y from -100 to 100 and width and height from 1 to 200 percent \
         of the output, got {}", got.map(|v| v.to_string()).join(",")
    )]
    SlidePlace {
        /// What was asked for: x, y, width, height.
        got: [f64; 4],
    },
    /// A chain that no video chain has.
    #[error(
        "`chain` must have a gain from 0.1 to 10, an offset from -100 to 100 percent and noise \
         from 0 to 100 percent, got gain {gain}, offset {offset}, noise {noise}"
    )]
    Chain {
        /// Factor asked for.
        gain: f64,
        /// Offset asked for, percent of white.
        offset: f64,
        /// Noise asked for, percent of white.
        noise: f64,
    },
    /// A knob scale that no mixer has.
    #[error(
        "a knob scale must have a zero from -1000 to 1000 and a step from 0.0001 to 1000 percent \
         either way, got zero {zero}, step {per_step}"
    )]
    KnobScale {
        /// Zero asked for, percent of white.
        zero: f64,
        /// Step asked for, percent of white.
        per_step: f64,
    },
}

/// Width and height in pixels, each 1 to [`MAX_SIDE_PX`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    width: u32,
    height: u32,
}

impl Size {
    /// High definition, the output where nothing else says.
    pub const HD: Self = Self {
        width: 1920,
        height: 1080,
    };

    /// A size, or [`SettingsError::Size`].
    pub fn new(width: u32, height: u32) -> Result<Self, SettingsError> {
        let sides = 1..=MAX_SIDE_PX;
        if sides.contains(&width) && sides.contains(&height) {
            Ok(Self { width, height })
        } else {
            Err(SettingsError::Size {
                width: width.into(),
                height: height.into(),
            })
        }
    }

    /// Pixels across.
    pub fn width(self) -> u32 {
        self.width
    }

    /// Pixels down.
    pub fn height(self) -> u32 {
        self.height
    }

    /// Pixels in all.
    pub fn area(self) -> usize {
        self.width as usize * self.height as usize
    }

    /// The size of the same picture lying on its side.
    #[must_use]
    pub fn transposed(self) -> Self {
        Self {
            width: self.height,
            height: self.width,
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.width, self.height)
    }
}

impl FromStr for Size {
    type Err = SettingsError;

    /// Reads `WIDTHxHEIGHT`.
    fn from_str(written: &str) -> Result<Self, SettingsError> {
        let sides = written
            .split_once(['x', 'X', '×'])
            .and_then(|(width, height)| {
                Some((width.trim().parse().ok()?, height.trim().parse().ok()?))
            });
        let (width, height) = sides.ok_or_else(|| SettingsError::SizeText {
            got: written.to_owned(),
        })?;
        Self::new(width, height)
    }
}

/// How the slide's colour enters the composite.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema, clap::ValueEnum)]
#[repr(u32)]
#[serde(rename_all = "lowercase")]
pub enum Alpha {
    /// The colour is multiplied by the matte: `matte S + (1 - matte) C`.
    #[default]
    Straight = 0,
    /// The colour is added as it is: `min(1, S + (1 - matte) C)`.
    Premultiplied = 1,
}

/// Where the blend is computed. The matte always comes from encoded values.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema, clap::ValueEnum)]
#[repr(u32)]
#[serde(rename_all = "lowercase")]
pub enum BlendSpace {
    /// On the code values, as video mixers do.
    #[default]
    Encoded = 0,
    /// In linear light.
    Linear = 1,
}

/// Which codes mean black and white in a still.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[repr(u32)]
#[serde(rename_all = "lowercase")]
pub enum CodeRange {
    /// 0 to 255.
    #[default]
    Full = 0,
    /// 16 to 235, expanded on load.
    Video = 1,
}

/// How a picture is brought to a rectangle of another shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Fit {
    /// Covers the rectangle; what sticks out is cut off.
    Fill,
    /// Whole picture inside the rectangle; black beside it.
    Fit,
    /// Squeezed into the rectangle.
    Stretch,
}

/// Quarter turns, clockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Turn {
    /// As it came.
    #[default]
    #[value(name = "0")]
    None,
    /// A quarter turn clockwise.
    #[value(name = "90")]
    Quarter,
    /// Upside down.
    #[value(name = "180")]
    Half,
    /// A quarter turn counter-clockwise.
    #[value(name = "270")]
    ThreeQuarters,
}

impl Turn {
    /// All turns, in the order of their degrees.
    pub const ALL: [Self; 4] = [Self::None, Self::Quarter, Self::Half, Self::ThreeQuarters];

    /// Degrees clockwise: 0, 90, 180 or 270.
    pub fn degrees(self) -> u32 {
        match self {
            Self::None => 0,
            Self::Quarter => 90,
            Self::Half => 180,
            Self::ThreeQuarters => 270,
        }
    }

    /// Whether width and height change places.
    pub fn swaps_sides(self) -> bool {
        matches!(self, Self::Quarter | Self::ThreeQuarters)
    }
}

/// The luma key and the blend that follows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    threshold_percent: f64,
    softness_percent: f64,
    /// Shape of the matte between dropped and solid.
    pub ramp: Ramp,
    /// Weights of R'G'B'.
    pub luma: Luma,
    /// How the slide's colour enters.
    pub alpha: Alpha,
    /// Where the blend is computed.
    pub blend_space: BlendSpace,
}

impl Default for Key {
    fn default() -> Self {
        Self {
            threshold_percent: DEFAULT_THRESHOLD_PERCENT,
            softness_percent: DEFAULT_SOFTNESS_PERCENT,
            ramp: Ramp::default(),
            luma: Luma::default(),
            alpha: Alpha::default(),
            blend_space: BlendSpace::default(),
        }
    }
}

impl Key {
    /// The key with another threshold: 0 drops only black, 100 drops everything.
    pub fn with_threshold(self, threshold_percent: f64) -> Result<Self, SettingsError> {
        if (0.0..=100.0).contains(&threshold_percent) {
            Ok(Self {
                // Without the sign of a minus zero.
                threshold_percent: threshold_percent.abs(),
                ..self
            })
        } else {
            Err(SettingsError::Threshold {
                got: threshold_percent,
            })
        }
    }

    /// The key with another softness: 0 is a hard step, 100 a ramp over the whole range.
    pub fn with_softness(self, softness_percent: f64) -> Result<Self, SettingsError> {
        if softness_percent == 0.0 || (MIN_SOFTNESS_PERCENT..=100.0).contains(&softness_percent) {
            Ok(Self {
                softness_percent: softness_percent.abs(),
                ..self
            })
        } else {
            Err(SettingsError::Softness {
                got: softness_percent,
            })
        }
    }

    /// Luma at and below which the slide is dropped, percent of white.
    pub fn threshold_percent(&self) -> f64 {
        self.threshold_percent
    }

    /// Width of the ramp above the threshold, percent of white.
    pub fn softness_percent(&self) -> f64 {
        self.softness_percent
    }

    /// Threshold as the formulas use it, 0 to 1.
    pub fn threshold_frac(&self) -> f32 {
        percent_to_frac(self.threshold_percent)
    }

    /// Softness as the formulas use it, 0 to 1.
    pub fn softness_frac(&self) -> f32 {
        percent_to_frac(self.softness_percent)
    }

    /// Whether no luma at all is solid, because threshold and softness add up to more than white.
    pub fn nothing_is_solid(&self) -> bool {
        self.threshold_percent + self.softness_percent > 100.0
    }
}

/// Percent to 0..1, rounded to `f32` once.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
pub(super) fn percent_to_frac(percent: f64) -> f32 {
    (percent / 100.0) as f32
}

/// The rectangle the slide is fitted into, percent of the output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlidePlace([f64; 4]);

impl Default for SlidePlace {
    fn default() -> Self {
        Self([0.0, 0.0, 100.0, 100.0])
    }
}

impl SlidePlace {
    /// `[x, y, width, height]`, or [`SettingsError::SlidePlace`].
    pub fn new(xywh_percent: [f64; 4]) -> Result<Self, SettingsError> {
        let [x, y, width, height] = xywh_percent;
        let corners = -100.0..=100.0;
        let sides = 1.0..=200.0;
        let inside = corners.contains(&x) && corners.contains(&y);
        if inside && sides.contains(&width) && sides.contains(&height) {
            Ok(Self(xywh_percent))
        } else {
            Err(SettingsError::SlidePlace { got: xywh_percent })
        }
    }

    /// `[x, y, width, height]`, percent of the output.
    pub fn percent(self) -> [f64; 4] {
        self.0
    }
}

/// Where camera and slide lie on the output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The raster both are placed on; else the camera's after turning, else [`Size::HD`].
    pub size: Option<Size>,
    /// How the camera is brought to the output.
    pub camera_fit: Fit,
    /// How the slide is brought to its rectangle.
    pub slide_fit: Fit,
    /// The slide's rectangle.
    pub slide_place: SlidePlace,
    /// Turn of the camera, before mirroring.
    pub turn_camera: Turn,
    /// Left-right flip of the camera.
    pub mirror_camera: bool,
    /// Left-right flip of the slide.
    pub mirror_slide: bool,
    /// Range of the camera still.
    pub camera_range: CodeRange,
    /// Range of the slide still.
    pub slide_range: CodeRange,
}

impl Default for Placement {
    fn default() -> Self {
        Self {
            size: None,
            camera_fit: Fit::Fill,
            slide_fit: Fit::Fit,
            slide_place: SlidePlace::default(),
            turn_camera: Turn::None,
            mirror_camera: false,
            mirror_slide: false,
            camera_range: CodeRange::Full,
            slide_range: CodeRange::Full,
        }
    }
}

impl Placement {
    /// Whether a camera lies the same on the output under both, wherever the slide lies.
    pub fn has_camera_of(&self, other: &Self) -> bool {
        let without_slide = |placement: &Self| Self {
            slide_fit: Fit::Fit,
            slide_place: SlidePlace::default(),
            mirror_slide: false,
            slide_range: CodeRange::Full,
            ..*placement
        };
        without_slide(self) == without_slide(other)
    }
}

/// Everything that decides the pixels of a view.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Settings {
    /// Threshold, softness and how the key is computed and blended.
    pub key: Key,
    /// Where camera and slide lie.
    pub placement: Placement,
    /// The chain in force, if one was measured.
    pub chain: Option<Chain>,
    /// What is shown.
    pub view: View,
}

/// Who computes the picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Engine {
    /// A real graphics adapter where there is one, else the processor.
    #[default]
    Auto,
    /// The graphics adapter, or an error.
    Gpu,
    /// The processor.
    Cpu,
}
