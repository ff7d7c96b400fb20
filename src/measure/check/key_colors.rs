//! Colours as a key sees them: which stay solid, which are dropped, and the nearest that would.

use crate::measure::slide::fates::Fate;
use crate::pixel::color::to_u8;
use crate::pixel::composite::apply_chain;
use crate::pixel::key::{Ramp, luma, matte};
use crate::pixel::plan::Plan;

/// Widest ramp, percent of white. Source: chosen, twice the softness of a new setup: a wider one
/// takes no more light off the edges of letters, and content that was darkened later falls into it.
pub const MOST_SOFTNESS_PERCENT: f64 = 8.0;

/// Steps on the way to white and to black. Source: one for each 8-bit code.
const STEPS: u16 = 255;

/// Luma between what the key needs and the darkest colour that is named or made as solid, 0 to 1.
/// Source: chosen; two percent of white is five codes, more than scaling and compression take.
pub const SOLID_MARGIN_LUMA: f32 = 0.02;

/// A key, and the chain before it, asked about single colours.
#[derive(Clone, Copy, Debug)]
pub struct KeyColors {
    kr: f32,
    kb: f32,
    threshold: f32,
    softness: f32,
    ramp: Ramp,
    chain: Option<(f32, f32)>,
}

impl KeyColors {
    /// The key and the chain of a plan.
    pub fn new(plan: &Plan<'_>) -> Self {
        Self {
            kr: plan.kr,
            kb: plan.kb,
            threshold: plan.threshold,
            softness: plan.softness,
            ramp: plan.ramp,
            chain: plan.chain,
        }
    }

    /// What becomes of a slide colour, 8-bit codes in the slide.
    pub fn fate(&self, codes: [u8; 3]) -> Fate {
        self.fate_below(codes, 0.0)
    }

    /// What becomes of it when this much luma, 0 to 1, is lost on the way.
    fn fate_below(&self, codes: [u8; 3], lost: f32) -> Fate {
        let color = codes.map(|v| f32::from(v) / 255.0);
        let color = match self.chain {
            Some((gain, offset)) => apply_chain(color, gain, offset),
            None => color,
        };
        let y = luma(color, self.kr, self.kb) - lost;
        Fate::of(matte(y, self.threshold, self.softness, self.ramp))
    }

    /// The slide's colour of which the chain makes these codes, as far as it can be told.
    pub fn before_chain(&self, codes: [u8; 3]) -> [u8; 3] {
        match self.chain {
            Some((gain, offset)) => codes.map(|v| to_u8((f32::from(v) / 255.0 - offset) / gain)),
            None => codes,
        }
    }

    /// Luma of codes, percent of white.
    pub fn luma_percent(&self, codes: [u8; 3]) -> f64 {
        let y = luma(codes.map(|v| f32::from(v) / 255.0), self.kr, self.kb);
        100.0 * f64::from(y)
    }

    /// The nearest colour on the way to white, which keeps the hue, that stays solid with a margin of
    /// [`SOLID_MARGIN_LUMA`], or without it where not even white has it; none where white is not solid.
    pub fn solid(&self, codes: [u8; 3]) -> Option<[u8; 3]> {
        let with = |margin: f32| {
            (0..=STEPS)
                .map(|step| codes.map(|code| towards(code, u8::MAX, step)))
                .find(|&color| self.fate_below(color, margin) == Fate::Solid)
        };
        with(SOLID_MARGIN_LUMA).or_else(|| with(0.0))
    }

    /// The lightest colour on the way to black that is dropped; none where not even black is.
    pub fn dropped(&self, codes: [u8; 3]) -> Option<[u8; 3]> {
        (0..=STEPS)
            .map(|step| codes.map(|code| towards(code, 0, step)))
            .find(|&color| self.fate(color) == Fate::Dropped)
    }
}

/// A number of steps from one code towards another, rounded.
fn towards(from: u8, to: u8, step: u16) -> u8 {
    let sum = u32::from(from) * u32::from(STEPS - step) + u32::from(to) * u32::from(step);
    let rounded = (sum + u32::from(STEPS) / 2) / u32::from(STEPS);
    u8::try_from(rounded).unwrap_or(u8::MAX)
}

/// A colour as slide programs write it, such as `#0000FF`.
pub fn hex([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}

/// Mean R'G'B' codes of pixels, rounded; black where there are none.
pub(super) fn mean_color(pixels: impl IntoIterator<Item = [u8; 3]>) -> [u8; 3] {
    let (mut sum, mut count) = ([0_u64; 3], 0_u64);
    for pixel in pixels {
        count += 1;
        for c in 0..3 {
            sum[c] += u64::from(pixel[c]);
        }
    }
    let half = count / 2;
    sum.map(|s| u8::try_from((s + half) / count.max(1)).unwrap_or(u8::MAX))
}
