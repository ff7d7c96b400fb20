//! One colour of a light slide turned into one that keys: lightness reversed, hue kept, lifted until solid.
//! Refuses nothing; what cannot be solid under the key becomes white.

use palette::color_difference::EuclideanDistance;
use palette::convert::FromColorUnclamped;
use palette::{FromColor, Lab, Oklch, Srgb};

use crate::measure::check::key_colors::SOLID_MARGIN_LUMA;
use crate::measure::contrast::relative_luminance_frac;
use crate::pixel::color::to_u8;
use crate::pixel::key::{luma, matte};
use crate::pixel::settings::Settings;
use crate::pixel::views::MATTE_SOLID_ABOVE;

/// Halvings in a search. Source: 2^-14 of the range is a sixtieth of an 8-bit code.
const HALVINGS: u32 = 14;

/// L* up to which a stroke is raised for the colour that sets it off. Source: chosen by eye; amber letters on
/// white read by their colour, and above this a colour loses it.
const MOST_FOR_COLOR: f64 = 70.0;

/// How the lightness of a colour becomes the lightness of the dark slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turn {
    /// Away from the background of this lightness, CIE L* 0 to 100: the background becomes black, what
    /// differs most from it white.
    Reverse {
        /// L* of the background.
        background: f64,
    },
    /// Kept: the slide is dark already.
    Keep,
}

/// The luma from which a slide's signal is solid before the chain, 0 to 1, with a margin.
///
/// Over 1 where nothing is solid under this key and chain.
pub fn solid_luma(settings: &Settings) -> f32 {
    let key = &settings.key;
    let (t, s) = (key.threshold_frac(), key.softness_frac());
    let is_solid = |y: f32| matte(y, t, s, key.ramp) > MATTE_SOLID_ABOVE;
    let (mut dropped, mut solid) = (t, t + s.max(f32::EPSILON));
    for _ in 0..HALVINGS {
        let middle = f32::midpoint(dropped, solid);
        if is_solid(middle) {
            solid = middle;
        } else {
            dropped = middle;
        }
    }
    let (gain, offset) = settings
        .chain
        .map_or((1.0, 0.0), |chain| chain.gain_and_offset_frac());
    (solid + SOLID_MARGIN_LUMA - offset) / gain
}

/// Turns colours under one key.
#[derive(Clone, Copy, Debug)]
pub struct DarkColors {
    kr: f32,
    kb: f32,
    solid_luma: f32,
    turn: Turn,
}

impl DarkColors {
    /// Colours for a slide whose lightness turns like this, under the key and chain of `settings`.
    pub fn new(settings: &Settings, turn: Turn) -> Self {
        let (kr, kb) = settings.key.luma.weights();
        Self {
            kr,
            kb,
            solid_luma: solid_luma(settings),
            turn,
        }
    }

    /// The colour on the dark slide, 0 to 1 a channel, encoded.
    ///
    /// `L' = 100 |L - Lb| / max(Lb, 100 - Lb)`, or `L' = L`; then `L'' = Ls + (100 - Ls) L' / 100`
    /// where `Ls` is the lowest lightness at which this hue is solid; chroma is kept as far as the
    /// colour exists. Lightness is CIE L*, hue and chroma are those of Oklab.
    pub fn turned(&self, color: [f32; 3]) -> [f32; 3] {
        self.raised(color, self.wanted(color))
    }

    /// The colour of a letter or a line: where it differs from the background by its hue more than by its
    /// lightness, `L'` is the CIE 1976 colour difference of the two, up to 70.
    pub fn turned_stroke(&self, color: [f32; 3], background: [f32; 3]) -> [f32; 3] {
        let wanted = self.wanted(color);
        if self.turn == Turn::Keep {
            return self.raised(color, wanted);
        }
        let lab = |color| Lab::from_color(srgb(color));
        let difference: f64 = lab(color).distance(lab(background));
        self.raised(color, wanted.max(difference.min(MOST_FOR_COLOR)))
    }

    /// `L'`
    fn wanted(&self, color: [f32; 3]) -> f64 {
        let lightness = lightness(color);
        match self.turn {
            Turn::Keep => lightness,
            Turn::Reverse { background } => {
                100.0 * (lightness - background).abs() / background.max(100.0 - background)
            }
        }
    }

    /// The colour at `L''`.
    fn raised(&self, color: [f32; 3], wanted: f64) -> [f32; 3] {
        let hue = Hue::of(color);
        let lowest = self.lowest_solid(hue);
        hue.at_lightness(lowest + (100.0 - lowest) * wanted / 100.0)
    }

    /// The colour itself where it is solid, else the darkest of its hue that is.
    pub fn lifted(&self, color: [f32; 3]) -> [f32; 3] {
        if self.is_solid(color) {
            color
        } else {
            let hue = Hue::of(color);
            hue.at_lightness(self.lowest_solid(hue))
        }
    }

    /// The darkest colour of a hue that is solid.
    pub(crate) fn darkest(&self, hue: Hue) -> [f32; 3] {
        hue.at_lightness(self.lowest_solid(hue))
    }

    /// The colour of a hue with this relative luminance, or the darkest that is solid if that is brighter.
    pub(super) fn at_least_solid(&self, hue: Hue, luminance: f64) -> [f32; 3] {
        let color = hue.at_luminance(luminance);
        if self.is_solid(color) {
            color
        } else {
            self.darkest(hue)
        }
    }

    /// The luma from which a colour is solid, with a margin, 0 to 1; over 1 where none is.
    pub fn solid_luma(&self) -> f32 {
        self.solid_luma
    }

    fn is_solid(&self, color: [f32; 3]) -> bool {
        luma(color, self.kr, self.kb) >= self.solid_luma
    }

    /// The lowest L* at which a hue is solid; 100 where none is.
    fn lowest_solid(&self, hue: Hue) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.is_solid(hue.at(middle)) {
                high = middle;
            } else {
                low = middle;
            }
        }
        lightness(hue.at(high))
    }
}

/// A made colour in 8-bit codes, each channel rounded up so that what is solid stays so. Whole codes stay as they are.
pub fn solid_codes(color: [f32; 3]) -> [u8; 3] {
    color.map(|v| to_u8((v + 0.49 / 255.0).min(1.0)))
}

/// CIE L* of an encoded sRGB colour, 0 black to 100 white.
pub fn lightness(color: [f32; 3]) -> f64 {
    Lab::from_color(srgb(color)).l
}

/// Hue and chroma of a colour, lightness left out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hue {
    color: Oklch<f64>,
}

impl Hue {
    /// A hue of Oklab, degrees, with this chroma.
    pub(crate) fn new(degrees: f64, chroma: f64) -> Self {
        Self {
            color: Oklch::new(0.5, chroma, degrees),
        }
    }

    fn of(color: [f32; 3]) -> Self {
        Self {
            color: Oklch::from_color(srgb(color)),
        }
    }

    /// The colour of this hue at an L* of 0 to 100, as colourful as it was or as far as it exists.
    fn at_lightness(self, wanted: f64) -> [f32; 3] {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if lightness(self.at(middle)) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.at(f64::midpoint(low, high))
    }

    /// The colour of this hue with a relative luminance of 0 to 1.
    pub(super) fn at_luminance(self, wanted: f64) -> [f32; 3] {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if relative_luminance_frac(self.at(middle)) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.at(high)
    }

    /// The colour at an Oklab lightness of 0 to 1, its chroma lowered until every channel is in range.
    fn at(self, oklab_lightness: f64) -> [f32; 3] {
        let with_chroma = |chroma: f64| {
            let color = Oklch::new(oklab_lightness, chroma, self.color.hue);
            Srgb::<f64>::from_color_unclamped(color)
        };
        let exists = |c: &Srgb<f64>| {
            [c.red, c.green, c.blue]
                .iter()
                .all(|v| (-1e-6..=1.000_001).contains(v))
        };
        let mut made = with_chroma(self.color.chroma);
        if !exists(&made) {
            let (mut low, mut high) = (0.0, self.color.chroma);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if exists(&with_chroma(middle)) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            made = with_chroma(low);
        }
        #[expect(
            clippy::cast_possible_truncation,
            reason = "channels of 0..=1, to their precision"
        )]
        [made.red, made.green, made.blue].map(|v| (v as f32).clamp(0.0, 1.0))
    }
}

fn srgb(color: [f32; 3]) -> Srgb<f64> {
    let [r, g, b] = color.map(f64::from);
    Srgb::new(r, g, b)
}
