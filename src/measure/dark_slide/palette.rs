//! Colours for slides: solid under a key, and legible over the black backdrop and over a bright shirt.

use serde::Serialize;

use super::dark_color::{DarkColors, Hue, Turn, solid_codes};
use crate::measure::contrast::{contrast_of_codes, relative_luminance};
use crate::pixel::settings::Settings;

/// Hues of the palette: what they are called, and their angle in Oklab, degrees.
/// Source: the angles of the sRGB primaries and secondaries, and of orange, lime, azure and violet between them.
const HUES: [(&str, f64); 10] = [
    ("red", 29.2),
    ("orange", 55.0),
    ("yellow", 109.8),
    ("lime", 130.0),
    ("green", 142.5),
    ("cyan", 194.8),
    ("azure", 245.0),
    ("blue", 264.1),
    ("violet", 300.0),
    ("magenta", 328.4),
];
/// Contrast over black that a bright colour has. Source: WCAG 2.2, success criterion 1.4.6, enhanced, for text.
const BRIGHT_RATIO: f64 = 7.0;
/// The colourfulness asked for; each colour has as much of it as exists. Source: above that of any sRGB colour.
const MOST_CHROMA: f64 = 0.4;

/// A colour with its contrasts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PaletteColor {
    /// R'G'B' codes.
    pub codes: [u8; 3],
    /// WCAG 2.2 contrast to black, 1 to 21.
    pub over_black: f64,
    /// WCAG 2.2 contrast to a bright shirt, 1 to 21.
    pub over_shirt: f64,
}

/// One hue.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PaletteRow {
    /// What it is called.
    pub name: &'static str,
    /// The darkest colour that stays solid.
    pub darkest: PaletteColor,
    /// The colour that stands out alike from black and from the shirt.
    pub between: PaletteColor,
    /// A colour of at least 7 to 1 over black; over a shirt it wants a dark plate behind.
    pub bright: PaletteColor,
}

/// R'G'B' codes of the shirt: the grey from which a camera counts as clipped. Source: `CLIPPED_VALUE`.
pub const SHIRT: [u8; 3] = [235; 3];

/// The palette for a key: ten hues and grey.
pub fn palette(settings: &Settings) -> Vec<PaletteRow> {
    let colors = DarkColors::new(settings, Turn::Keep);
    let hues = HUES
        .into_iter()
        .map(|(name, degrees)| (name, Hue::new(degrees, MOST_CHROMA)));
    let grey = ("grey", Hue::new(0.0, 0.0));
    let black = relative_luminance([0; 3]);
    let shirt = relative_luminance(SHIRT);
    // Equal ratios to both: the geometric middle of the two, each raised by 0.05 as WCAG does.
    let between = ((black + 0.05) * (shirt + 0.05)).sqrt() - 0.05;
    let bright = BRIGHT_RATIO * (black + 0.05) - 0.05;
    let row = |(name, hue): (&'static str, Hue)| {
        let solid = |luminance: f64| colors.at_least_solid(hue, luminance);
        PaletteRow {
            name,
            darkest: measured(colors.darkest(hue)),
            between: measured(solid(between)),
            bright: measured(solid(bright)),
        }
    };
    hues.chain([grey]).map(row).collect()
}

/// The colour in codes with its contrasts.
fn measured(color: [f32; 3]) -> PaletteColor {
    let codes = solid_codes(color);
    PaletteColor {
        codes,
        over_black: contrast_of_codes(codes, [0; 3]),
        over_shirt: contrast_of_codes(codes, SHIRT),
    }
}
