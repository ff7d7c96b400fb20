//! What is wrong with a camera frame: the kinds, and one finding.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;

/// What is wrong. The names are the problem, not the cure.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum CameraKind {
    /// Mirrored or turned.
    WrongWayRound,
    /// Another picture of the rig than that of the last good setup.
    Moved,
    /// A spot in the backdrop that is brighter than its surroundings.
    Reflection,
    /// Wiped or dirty glass.
    Smear,
    /// A backdrop that is not black, or not evenly so.
    RaisedBlack,
    /// Clothes that do not stand out from the backdrop.
    DarkClothes,
    /// Writing or skin that is as bright as the recording can hold.
    Clipped,
    /// Writing that is hard to see against what is behind it.
    FaintWriting,
    /// Edges that are wider than a lens in focus makes them.
    SoftFocus,
    /// Strokes that come twice.
    DoubleImage,
    /// A backdrop that has a colour. Nothing else in a frame is known to be neutral: white ink and grey clothes need not
    /// be, and a test chart on a screen has the screen's colour.
    ColourCast,
    /// Pixels of one shade that differ.
    Noise,
}

impl CameraKind {
    /// All kinds, in the order in which they are reported.
    pub const ALL: [Self; 12] = [
        Self::WrongWayRound,
        Self::Moved,
        Self::Reflection,
        Self::Smear,
        Self::RaisedBlack,
        Self::DarkClothes,
        Self::Clipped,
        Self::FaintWriting,
        Self::SoftFocus,
        Self::DoubleImage,
        Self::ColourCast,
        Self::Noise,
    ];

    /// The name as JSON and labels have it, such as `raised-black`.
    pub fn name(self) -> &'static str {
        match self {
            Self::WrongWayRound => "wrong-way-round",
            Self::Moved => "moved",
            Self::Reflection => "reflection",
            Self::Smear => "smear",
            Self::RaisedBlack => "raised-black",
            Self::DarkClothes => "dark-clothes",
            Self::Clipped => "clipped",
            Self::FaintWriting => "faint-writing",
            Self::SoftFocus => "soft-focus",
            Self::DoubleImage => "double-image",
            Self::ColourCast => "colour-cast",
            Self::Noise => "noise",
        }
    }
}

/// Something wrong with a camera frame, at a place or all over it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CameraFinding {
    /// What is wrong.
    pub kind: CameraKind,
    /// How bad it is.
    pub severity: Severity,
    /// Where, `[x, y, width, height]` in output pixels; null where it is the whole picture.
    #[serde(rename = "box")]
    pub bounds: Option<PixelBox>,
    /// What was measured, in `unit`.
    pub measured: f64,
    /// The limit that it crossed, in `unit`.
    pub limit: f64,
    /// What both are counted in.
    pub unit: Unit,
    /// What is wrong and what to do about it on the set, in sentences.
    pub advice: String,
}

/// Codes as a share of white, percent.
pub fn percent_of_codes(codes: f64) -> f64 {
    codes / 2.55
}
