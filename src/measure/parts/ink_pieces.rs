//! Pieces that may be ink: where contrast is at least half of the most nearby, taken apart by colour.

use rayon::prelude::*;

use super::backings::Backings;
use super::ink_colors::{InkColors, NOTHING};
use super::ink_contrast::InkContrast;
use super::piece_shape::InkPiece;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::runs::{Run, Runs};

/// Share of the strongest contrast from which a piece may be ink. Source: chosen; streaks of a dry marker
/// let a third through.
const LEAST_SHARE: f64 = 0.22;
/// Least contrast in deviations of the noise. Source: chosen; above 6 chance makes none in a frame.
const NOISE_DEVIATIONS: f64 = 7.0;
/// Least contrast, codes. Source: chosen; what compression leaves of nothing is less.
const LEAST_CODES: f64 = 8.0;
/// Share of pixels that are stronger than the reference. Source: chosen; a short word is more.
const STRONGEST_SHARE: f64 = 0.0008;
/// Fewest pixels of a piece in a frame 1080 high. Source: chosen; the dot of a thin pen has 10.
const LEAST_AREA: u64 = 8;

/// Everything in a frame that may be ink.
#[derive(Clone, Debug)]
pub struct InkPieces {
    /// The pieces.
    pub pieces: Vec<InkPiece>,
    /// The strongest contrast of the frame, specks left out, codes.
    pub strongest: f64,
    /// The backdrop's brightest channel, codes.
    pub backdrop: f64,
}

/// What pieces are measured in.
#[derive(Clone, Copy, Debug)]
pub(super) struct PieceFrame<'a> {
    pub camera: &'a CameraRaster,
    pub contrast: &'a InkContrast,
    /// Of each pixel, its class of colour; [`NOTHING`] where it is no candidate.
    pub classes: &'a [u8],
    pub backdrop: f64,
    /// The even areas that pieces lie on.
    pub backings: &'a Backings,
}

impl InkPieces {
    /// Finds them.
    pub fn find(camera: &CameraRaster, backdrop: &Backdrop, contrast: &InkContrast) -> Self {
        let size = camera.size();
        let strength = BytePlane::new(size, contrast.strength.clone());
        let small = strength.halved_to_most();
        let strongest = strongest(&small);
        let floor = (LEAST_SHARE * strongest)
            .max(NOISE_DEVIATIONS * backdrop.noise_codes())
            .max(LEAST_CODES);
        let nearby = small.dilated(contrast.reach_px / 8 + 1);
        let width = size.width() as usize;
        let mut classes = vec![NOTHING; size.area()];
        classes
            .par_chunks_mut(width)
            .enumerate()
            .for_each(|(y, out)| {
                let near = nearby.row(y / 2);
                let strength = strength.row(y);
                for (x, (out, &code)) in out.iter_mut().zip(strength).enumerate() {
                    let is_half = 2 * u16::from(code) >= u16::from(near[x / 2]);
                    *out = u8::from(f64::from(code) >= floor && is_half);
                }
            });
        let level = backdrop.level_codes();
        #[expect(clippy::cast_possible_truncation, reason = "a code")]
        let (strong, dark) = (0.4 * strongest, level as f32);
        let is_strong =
            |&at: &usize| classes[at] != NOTHING && f64::from(contrast.strength[at]) >= strong;
        let colors = InkColors::find(camera, (0..classes.len()).filter(is_strong), dark);
        classes
            .par_iter_mut()
            .zip(camera.codes())
            .for_each(|(class, &code)| {
                if *class != NOTHING {
                    *class = colors.class_of(code);
                }
            });
        let least = (LEAST_AREA * u64::from(size.height()).pow(2) / (1080 * 1080)).max(1);
        let most = classes.iter().copied().max().unwrap_or(NOTHING);
        let shapes: Vec<(u8, Vec<Run>)> = (NOTHING + 1..=most)
            .into_par_iter()
            .flat_map_iter(|class| {
                let mask = Runs::of_bytes(size, &classes, |byte| byte == class);
                let components = Components::of(&mask, Neighbours::EIGHT);
                let large: Vec<(u8, Vec<Run>)> = (0..components.list().len())
                    .filter(|&i| components.list()[i].area >= least)
                    .map(|i| (class, components.runs_of(i).to_vec()))
                    .collect();
                large
            })
            .collect();
        let backings = Backings::find(camera, &classes, backdrop.noise_codes());
        let frame = PieceFrame {
            camera,
            contrast,
            classes: &classes,
            backdrop: level,
            backings: &backings,
        };
        let pieces = shapes
            .into_par_iter()
            .filter_map(|(class, runs)| InkPiece::measure(&frame, class, runs))
            .collect();
        Self {
            pieces,
            strongest,
            backdrop: level,
        }
    }
}

/// The contrast that a small share of pixels exceeds.
fn strongest(plane: &BytePlane) -> f64 {
    let mut counts = [0_u64; 256];
    for &code in plane.bytes() {
        counts[usize::from(code)] += 1;
    }
    let wanted = STRONGEST_SHARE * plane.bytes().len() as f64;
    let mut above = 0;
    let found = (0..=u8::MAX).rev().find(|&code| {
        above += counts[usize::from(code)];
        above as f64 > wanted
    });
    f64::from(found.unwrap_or(0))
}
