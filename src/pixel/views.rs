//! What is shown of slide, camera and key.
//! Twin: `shaders/views.wgsl`, held together by `tests/gpu/parity.rs`.

use serde::Serialize;

/// What is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[repr(u32)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// The slide keyed over the camera.
    #[default]
    Composite = 0,
    /// How much of the slide is kept: black dropped, white solid.
    Matte = 1,
    /// The camera alone, as placed.
    Camera = 2,
    /// The slide alone, as placed and after the chain.
    Slide = 3,
    /// What the key leaves of the slide's content: dropped, in the ramp, solid.
    Kept = 4,
    /// Where the camera is near black or clipped.
    Exposure = 5,
}

impl View {
    /// Every view, in the order in which they are offered.
    pub const ALL: [Self; 6] = [
        Self::Composite,
        Self::Matte,
        Self::Camera,
        Self::Slide,
        Self::Kept,
        Self::Exposure,
    ];
}

/// Matte under which a pixel counts as dropped. Source: chosen, twice the step of an 8-bit matte and more.
pub const MATTE_DROPPED_BELOW: f32 = 0.02;
/// Matte over which a pixel counts as solid. Source: the mirror image of [`MATTE_DROPPED_BELOW`].
pub const MATTE_SOLID_ABOVE: f32 = 0.98;

/// Luma under which the camera counts as near black, 0 to 1. Source: common practice, no standard.
pub const NEAR_BLACK_LUMA: f32 = 0.04;
/// Luma, or all three channels, at and over which the camera counts as clipped.
/// Source: 8-bit code 235, video white, of ITU-R BT.709-6, read in full range.
pub const CLIPPED_VALUE: f32 = 235.0 / 255.0;

/// Factor on what is not marked. Source: chosen by eye.
pub const DIMMED: f32 = 0.35;
/// Distance between the bars over dropped content. Source: chosen by eye at 1920x1080.
pub const BAR_PERIOD_PX: u32 = 6;
/// Height of a bar.
pub const BAR_PX: u32 = 3;
/// Side of a check over content in the ramp.
pub const CHECK_PX: u32 = 2;
/// Distance between the dots over near black.
pub const DOT_PERIOD_PX: u32 = 8;
/// Side of a dot.
pub const DOT_PX: u32 = 2;

/// Near black in `exposure`. Source of the five colours: Okabe and Ito, Color Universal Design, 2008.
pub const SKY_BLUE: [f32; 3] = [86.0 / 255.0, 180.0 / 255.0, 233.0 / 255.0];
/// Content in the ramp.
pub const YELLOW: [f32; 3] = [240.0 / 255.0, 228.0 / 255.0, 66.0 / 255.0];
/// Dropped content.
pub const VERMILLION: [f32; 3] = [213.0 / 255.0, 94.0 / 255.0, 0.0];
/// Solid content.
pub const BLUISH_GREEN: [f32; 3] = [0.0, 158.0 / 255.0, 115.0 / 255.0];
/// Clipped in `exposure`.
pub const REDDISH_PURPLE: [f32; 3] = [204.0 / 255.0, 121.0 / 255.0, 167.0 / 255.0];
/// What a shader paints for a mode that it does not know; it never shows.
pub const IMPOSSIBLE: [f32; 3] = [1.0, 0.0, 1.0];

/// What the slide's own background is; content is what differs from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Background {
    /// R'G'B' of the background, 0 to 1, before the chain.
    pub color: [f32; 3],
    /// How far a channel may be off and still be background, 0 to 1.
    pub tolerance: f32,
}

impl Background {
    /// Content differs by more than this in a channel: 3 codes, and a quarter of a 16-bit code for what
    /// rounding adds to a difference of exactly 3, under 2e-7.
    /// Source: chosen, over the noise of dithered exports.
    pub const TOLERANCE: f32 = 3.0 / 255.0 + 1.0 / 262_144.0;
    /// Black, what a slide made for a luma key has.
    pub const BLACK: Self = Self {
        color: [0.0; 3],
        tolerance: Self::TOLERANCE,
    };
}

/// Whether a slide pixel differs from the slide's background.
pub fn is_content(slide: [f32; 3], background: [f32; 3], tolerance: f32) -> bool {
    (slide[0] - background[0]).abs() > tolerance
        || (slide[1] - background[1]).abs() > tolerance
        || (slide[2] - background[2]).abs() > tolerance
}

/// `kept`: the dimmed slide with its content marked by what the matte leaves of it.
///
/// Solid content is filled with bluish green, content in the ramp checked in yellow, dropped content
/// barred in vermillion, so that the three differ without colour too.
pub fn kept(x: u32, y: u32, slide: [f32; 3], luma: f32, m: f32, content: bool) -> [f32; 3] {
    let dimmed = slide.map(|v| v * DIMMED);
    if !content {
        return dimmed;
    }
    if m > MATTE_SOLID_ABOVE {
        let shade = DIMMED + (1.0 - DIMMED) * luma;
        return BLUISH_GREEN.map(|v| v * shade);
    }
    if m < MATTE_DROPPED_BELOW {
        return if y % BAR_PERIOD_PX < BAR_PX {
            VERMILLION
        } else {
            dimmed
        };
    }
    if (x / CHECK_PX + y / CHECK_PX).is_multiple_of(2) {
        YELLOW
    } else {
        dimmed
    }
}

/// `exposure`: the camera in grey with near black dotted in sky blue and clipped checked in reddish purple.
pub fn exposure(x: u32, y: u32, camera: [f32; 3], luma: f32) -> [f32; 3] {
    let grey = [luma; 3];
    let all_channels = camera[0].min(camera[1]).min(camera[2]);
    if luma >= CLIPPED_VALUE || all_channels >= CLIPPED_VALUE {
        let on = (x / CHECK_PX + y / CHECK_PX).is_multiple_of(2);
        return if on { REDDISH_PURPLE } else { grey };
    }
    if luma < NEAR_BLACK_LUMA {
        let on = x % DOT_PERIOD_PX < DOT_PX && y % DOT_PERIOD_PX < DOT_PX;
        return if on { SKY_BLUE } else { grey };
    }
    grey
}
