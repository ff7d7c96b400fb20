//! What is wrong at a place of a picture, in numbers and in words. Does not decide it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measure::raster::pixel_box::PixelBox;

/// What is wrong. The names are the problem, not the cure.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The background is so bright that the slide is not made for a key at all.
    NotDark,
    /// The background adds light over the camera.
    Haze,
    /// The chain brings black over what the key drops.
    ChainBlack,
    /// The key drops a patch inside solid content.
    Hole,
    /// Content that the key drops.
    KeyedOut,
    /// Content that the key leaves half transparent.
    HalfKeyed,
    /// A band along content that comes out darker than what is on either side.
    DarkEdge,
    /// Strokes too thin for video.
    Hairline,
    /// Lines of text too small to be read.
    SmallText,
    /// Content outside the safe area, or in a reserved one.
    OutsideSafe,
    /// Content that does not stand out from what is behind it in the composite.
    Contrast,
    /// Solid content over a written line.
    CoversWriting,
    /// Solid content nearer to a written line than is wanted.
    CloseToWriting,
    /// Solid content over the presenter.
    CoversPresenter,
    /// Content in a zone that is to be kept free, or outside the one that it is to stay in.
    Zone,
}

impl Kind {
    /// All kinds, in the order in which they are reported.
    pub const ALL: [Self; 15] = [
        Self::NotDark,
        Self::Haze,
        Self::ChainBlack,
        Self::Hole,
        Self::KeyedOut,
        Self::HalfKeyed,
        Self::DarkEdge,
        Self::Hairline,
        Self::SmallText,
        Self::OutsideSafe,
        Self::Contrast,
        Self::CoversWriting,
        Self::CloseToWriting,
        Self::CoversPresenter,
        Self::Zone,
    ];

    /// The name as JSON, setup and labels have it, such as `keyed-out`.
    pub fn name(self) -> &'static str {
        match self {
            Self::NotDark => "not-dark",
            Self::Haze => "haze",
            Self::ChainBlack => "chain-black",
            Self::Hole => "hole",
            Self::KeyedOut => "keyed-out",
            Self::HalfKeyed => "half-keyed",
            Self::DarkEdge => "dark-edge",
            Self::Hairline => "hairline",
            Self::SmallText => "small-text",
            Self::OutsideSafe => "outside-safe",
            Self::Contrast => "contrast",
            Self::CoversWriting => "covers-writing",
            Self::CloseToWriting => "close-to-writing",
            Self::CoversPresenter => "covers-presenter",
            Self::Zone => "zone",
        }
    }
}

/// How bad a finding is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema, clap::ValueEnum,
)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Info,
    /// Viewers will notice.
    Warn,
    /// The take is spoilt.
    Fail,
}

impl Severity {
    /// All of them, the mildest first.
    pub const ALL: [Self; 3] = [Self::Info, Self::Warn, Self::Fail];
}

/// What `measured` and `limit` of a finding are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Percent of white, of the output's height or of its area, as the kind says.
    Percent,
    /// Output pixels.
    Px,
    /// A ratio, from 1 on; a contrast ends at 21.
    Ratio,
    /// 8-bit code values.
    Codes,
    /// A bare number.
    None,
}

/// Something wrong at a place. A slide's findings are ordered by [`Kind`], then by place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// What is wrong.
    pub kind: Kind,
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
    /// What is wrong and what to do about it in the slide program, in sentences.
    pub advice: String,
    /// The camera frame over which it happens; absent where it needs none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub camera: Option<String>,
}

/// The worst that was found on a slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Nothing, or only what is worth knowing.
    Pass,
    /// Something that viewers will notice.
    Warn,
    /// Something that spoils the take.
    Fail,
}

impl Verdict {
    /// The verdict on these findings.
    pub fn of(findings: &[Finding]) -> Self {
        match findings.iter().map(|finding| finding.severity).max() {
            None | Some(Severity::Info) => Self::Pass,
            Some(Severity::Warn) => Self::Warn,
            Some(Severity::Fail) => Self::Fail,
        }
    }

    /// The word for it: `pass`, `warn` or `fail`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Warn => "warn",
            Self::Fail => "fail",
        }
    }
}
