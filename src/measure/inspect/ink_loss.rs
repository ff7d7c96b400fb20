//! How much darker the strokes of each ink are than in another frame of the same rig: what markers lose as they age.

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_parts::CameraParts;
use super::like_light::LightChange;
use crate::measure::contrast::luminance_of_light;
use crate::measure::finding::{Severity, Unit};
use crate::measure::parts::ink_colors::{PALE, saturation_and_hue};
use crate::measure::parts::piece_shape::InkPiece;
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::color::{srgb_decode, srgb_encode, to_u8};

/// How much of their light strokes may have lost, percent. Source: chosen, half a stop.
pub const LOSS_PERCENT: f64 = 30.0;
/// Farthest hues of one ink, of six steps around. Source: chosen, 25 degrees; exposure and age turn a hue by less.
const SAME_HUE: f64 = 25.0 / 60.0;
/// Fewest pixels of an ink in a frame 1080 high. Source: chosen, a letter of a thin pen.
const LEAST_AREA: f64 = 300.0;

/// An ink that both frames have.
#[derive(Clone, Debug, PartialEq)]
pub struct InkLoss {
    /// R'G'B' of its strokes in the camera frame, codes.
    pub color: [u8; 3],
    /// How much of the strokes' light is gone, percent; negative where there is more.
    pub loss_percent: f64,
    /// The box around its strokes.
    pub bounds: PixelBox,
}

/// The strokes of one class in a frame.
#[derive(Clone, Copy, Debug)]
struct Ink {
    is_pale: bool,
    hue: f64,
    color: [f64; 3],
    /// Luminance over the backdrop's, in the light of the other frame, that half of its area is under.
    light: f64,
    bounds: PixelBox,
}

/// Compares the inks of two frames, each with those of its own hue. What the presenter is behind does not count.
///
/// `light` is how much more of it there is now, which is taken out of each channel: neither another exposure nor another
/// white balance is a loss. Without it a loss is that of everything.
pub fn measure_ink_losses(
    camera: &CameraParts,
    like: &CameraParts,
    light: Option<&LightChange>,
) -> Vec<InkLoss> {
    let before = inks_of(like, [1.0; 3]);
    let factors = light.map_or([1.0; 3], |light| light.channels);
    inks_of(camera, factors)
        .into_iter()
        .filter_map(|ink| {
            let same = before
                .iter()
                .filter(|other| ink.is_like(other))
                .min_by(|a, b| ink.hue_from(a).total_cmp(&ink.hue_from(b)))?;
            let loss = 1.0 - ink.light / same.light;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a code"
            )]
            let color = ink.color.map(|code| code.round() as u8);
            Some(InkLoss {
                color,
                loss_percent: 100.0 * loss,
                bounds: ink.bounds,
            })
        })
        .collect()
}

/// Those that have lost too much.
pub fn loss_findings(losses: &[InkLoss], is_light_known: bool) -> Vec<CameraFinding> {
    let is_lost = |loss: &&InkLoss| loss.loss_percent >= LOSS_PERCENT;
    losses
        .iter()
        .filter(is_lost)
        .map(|loss| {
            let [r, g, b] = loss.color;
            let besides = if is_light_known {
                ", beside the change of all light"
            } else {
                "; how all light has changed could not be told, so look at exposure and white balance first"
            };
            CameraFinding {
                kind: CameraKind::FaintWriting,
                severity: Severity::Warn,
                bounds: Some(loss.bounds),
                measured: loss.loss_percent,
                limit: LOSS_PERCENT,
                unit: Unit::Percent,
                advice: format!(
                    "Strokes in #{r:02X}{g:02X}{b:02X} have {:.0} % less light than in the frame of the last good \
                     setup{besides}. Take a fresh marker of this colour, shake it and write slowly; wipe the glass.",
                    loss.loss_percent
                ),
            }
        })
        .collect()
}

impl Ink {
    fn is_like(&self, other: &Self) -> bool {
        self.is_pale == other.is_pale && (self.is_pale || self.hue_from(other) < SAME_HUE)
    }

    /// Steps between the hues, 0 to 3.
    fn hue_from(&self, other: &Self) -> f64 {
        let steps = (self.hue - other.hue).rem_euclid(6.0);
        steps.min(6.0 - steps)
    }
}

/// The inks of a frame: kept pieces of one class that the presenter is not behind. Each channel's light is divided by its
/// factor.
fn inks_of(parts: &CameraParts, factors: [f64; 3]) -> Vec<Ink> {
    let kept: Vec<&InkPiece> = parts
        .pieces
        .pieces
        .iter()
        .zip(&parts.kept)
        .filter(|(piece, kept)| **kept && !has_presenter_behind(piece, parts))
        .map(|(piece, _)| piece)
        .collect();
    let most = kept.iter().map(|piece| piece.class).max().unwrap_or(0);
    (PALE..=most)
        .filter_map(|class| {
            let own: Vec<&InkPiece> = kept
                .iter()
                .copied()
                .filter(|piece| piece.class == class)
                .collect();
            ink_of(&own, class, parts, factors)
        })
        .collect()
}

fn ink_of(own: &[&InkPiece], class: u8, parts: &CameraParts, factors: [f64; 3]) -> Option<Ink> {
    let area: u64 = own.iter().map(|piece| piece.area).sum();
    let at_1080 = (f64::from(parts.writing.size().height()) / 1080.0).powi(2);
    if (area as f64) < LEAST_AREA * at_1080 {
        return None;
    }
    let black = luminance_of_light(relit([parts.backdrop.level_codes(); 3], factors));
    let mut lights: Vec<(f64, u64)> = own
        .iter()
        .map(|piece| {
            let light = luminance_of_light(relit(piece.color, factors)) - black;
            (light, piece.area)
        })
        .collect();
    lights.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut under = 0;
    let light = lights.iter().find_map(|(light, own)| {
        under += own;
        (2 * under >= area).then_some(*light)
    })?;
    let mean = |of: &dyn Fn(&InkPiece) -> f64| {
        let sum: f64 = own.iter().map(|piece| piece.area as f64 * of(piece)).sum();
        sum / area as f64
    };
    let bounds = own
        .iter()
        .map(|piece| piece.bounds)
        .reduce(PixelBox::union)?;
    // Hues around red lie on both sides of a step.
    let angle = |piece: &InkPiece| {
        let [r, g, b] = relit(piece.color, factors).map(code_of);
        let (_, hue) = saturation_and_hue([r, g, b, u8::MAX], 0.0);
        f64::from(hue) * std::f64::consts::TAU / 6.0
    };
    let hue = mean(&|piece| angle(piece).sin()).atan2(mean(&|piece| angle(piece).cos()));
    (light > 0.0).then(|| Ink {
        is_pale: class == PALE,
        hue: hue * 6.0 / std::f64::consts::TAU,
        color: std::array::from_fn(|c| mean(&|piece| piece.color[c])),
        light,
        bounds,
    })
}

/// Whether the presenter is behind the middle of a piece.
fn has_presenter_behind(piece: &InkPiece, parts: &CameraParts) -> bool {
    let b = piece.bounds;
    parts
        .presenter
        .contains(b.x + b.width / 2, b.y + b.height / 2)
}

/// The code of linear light.
fn code_of(light: f64) -> u8 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "light, to the precision of a code"
    )]
    let light = light as f32;
    to_u8(srgb_encode(light).clamp(0.0, 1.0))
}

/// Linear light of codes, each channel divided by its factor.
fn relit(codes: [f64; 3], factors: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|c| {
        #[expect(clippy::cast_possible_truncation, reason = "a code")]
        let light = srgb_decode(codes[c] as f32 / 255.0);
        f64::from(light) / factors[c]
    })
}
