//! The glow of ink on the backdrop: its own light, spread by lens and glass, as much as the frame itself shows.

use rayon::prelude::*;

use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;
use crate::pixel::color::{srgb_decode, srgb_encode};

/// How far light spreads, standard deviations in cells. Source: chosen; a lens, the glass's two faces, haze on both.
const SPREADS: [f32; 3] = [0.8, 2.5, 6.0];
/// Rounds of fitting. Source: chosen; weights settle in three or four.
const ROUNDS: usize = 6;
/// How far over the fit a cell may be and still be backdrop under a glow, deviations of the backdrop. Source: chosen.
const FIT_DEVIATIONS: f32 = 3.0;
/// The same, a share of the glow. Source: chosen.
const FIT_SHARE: f32 = 0.3;
/// How much a cell that is brighter than the fit counts beside one that is darker: dark clothes under ink are no glow.
/// Source: asymmetric least squares, Newey and Powell, Econometrica 55, 1987; the weight is chosen.
const BRIGHTER_TRUST: f32 = 0.1;
/// Brightest glow that the fit begins with, a share of the ink's light. Source: chosen; a pale ink beside which its glow is a
/// sixth of the codes.
const START_SHARE: f32 = 0.02;

/// What the ink's glow adds to the backdrop in each cell, R'G'B' codes.
///
/// Glow adds up as light, so it is fitted as light and weighed as codes.
pub fn ink_glow(camera: &CameraRaster, backdrop: &Backdrop, ink: &Runs) -> Vec<[f32; 3]> {
    let (across, cell) = (backdrop.cells_across(), backdrop.cell_px());
    let levels: Vec<[f32; 3]> = backdrop
        .levels()
        .iter()
        .map(|level| level.map(light_of))
        .collect();
    let count = levels.len();
    let (light, most) = ink_light(camera, &levels, across, cell, ink);
    let has_ink = |i: usize| light[i].iter().any(|&light| light > 0.0);
    let spread: Vec<Vec<[f32; 3]>> = SPREADS
        .iter()
        .map(|&sigma| blurred(&light, across, sigma))
        .collect();
    let brightness = |color: &[f32; 3]| (color[0] + color[1] + color[2]) / 3.0;
    let over: Vec<f32> = (0..count)
        .map(|i| brightness(&backdrop.means()[i].map(light_of)) - brightness(&levels[i]))
        .collect();
    // Light of a code, where the cell is.
    let slopes: Vec<f32> = backdrop
        .means()
        .iter()
        .map(|mean| slope_at(brightness(mean)))
        .collect();
    let deviation = backdrop.deviations_codes()[0];
    let near: Vec<usize> = (0..count)
        .filter(|&i| !has_ink(i) && brightness(&spread[2][i]) > deviation * slopes[i])
        .collect();
    let mut used: Vec<(usize, f32)> = near
        .iter()
        .filter(|&&i| over[i] < START_SHARE * most)
        .map(|&i| (i, 1.0))
        .collect();
    let mut weights = [0.0_f32; 3];
    for _ in 0..ROUNDS {
        let rows = used.iter().map(|&(i, trust)| {
            let terms = std::array::from_fn(|k| brightness(&spread[k][i]) / slopes[i]);
            (terms, over[i] / slopes[i], trust)
        });
        weights = not_negative(rows);
        used = near
            .iter()
            .filter_map(|&i| {
                let glow: f32 = (0..3).map(|k| weights[k] * brightness(&spread[k][i])).sum();
                let more = over[i] - glow;
                let trust = if more > 0.0 { BRIGHTER_TRUST } else { 1.0 };
                let most = FIT_DEVIATIONS * deviation * slopes[i] + FIT_SHARE * glow;
                (more < most).then_some((i, trust))
            })
            .collect();
    }
    (0..count)
        .map(|i| {
            std::array::from_fn(|c| {
                let glow: f32 = (0..3).map(|k| weights[k] * spread[k][i][c]).sum();
                code_of(levels[i][c] + glow) - backdrop.levels()[i][c]
            })
        })
        .collect()
}

/// Light of the ink over the backdrop's in each cell, its mean over the cell, and the most of a pixel.
fn ink_light(
    camera: &CameraRaster,
    levels: &[[f32; 3]],
    across: usize,
    cell: u32,
    ink: &Runs,
) -> (Vec<[f32; 3]>, f32) {
    let lights: Vec<f32> = (0..=u8::MAX)
        .map(|code| light_of(f32::from(code)))
        .collect();
    let mut light = vec![[0.0_f32; 3]; levels.len()];
    let mut most = 0.0_f32;
    let width = camera.size().width() as usize;
    let share = 1.0 / (cell * cell) as f32;
    for run in ink.as_slice() {
        let row = (run.y / cell) as usize * across;
        for x in run.start..run.end {
            let at = row + (x / cell) as usize;
            let code = camera.codes()[run.y as usize * width + x as usize];
            for c in 0..3 {
                let over = (lights[usize::from(code[c])] - levels[at][c]).max(0.0);
                light[at][c] += share * over;
                most = most.max(over);
            }
        }
    }
    (light, most)
}

/// Light of a code, 1 at white, and the code of a light.
fn light_of(code: f32) -> f32 {
    srgb_decode((code / 255.0).max(0.0))
}

fn code_of(light: f32) -> f32 {
    255.0 * srgb_encode(light.max(0.0))
}

/// How much light a code more is, at a code of 0 to 255; light is 1 at white.
pub fn slope_at(code: f32) -> f32 {
    let below = (code - 0.5).max(0.0);
    (light_of(code + 0.5) - light_of(below)) / (code + 0.5 - below)
}

/// Weights of three terms, none under 0: least squares, one weight after the other.
///
/// Source: coordinate descent, Franc, Hlaváč and Navara, Sequential coordinate-wise algorithm for the non-negative
/// least squares problem, 2005.
fn not_negative(rows: impl Iterator<Item = ([f32; 3], f32, f32)>) -> [f32; 3] {
    let (mut matrix, mut right) = ([[0.0_f64; 3]; 3], [0.0_f64; 3]);
    for (terms, value, trust) in rows {
        for i in 0..3 {
            right[i] += f64::from(trust * terms[i] * value);
            for j in 0..3 {
                matrix[i][j] += f64::from(trust * terms[i] * terms[j]);
            }
        }
    }
    let mut weights = [0.0_f64; 3];
    for _ in 0..100 {
        for i in 0..3 {
            let others: f64 = (0..3)
                .filter(|&j| j != i)
                .map(|j| matrix[i][j] * weights[j])
                .sum();
            weights[i] = ((right[i] - others) / matrix[i][i].max(1e-9)).max(0.0);
        }
    }
    #[expect(clippy::cast_possible_truncation, reason = "weights under 1")]
    weights.map(|weight| weight as f32)
}

/// Normal blur of a raster of colours; what is beyond its edge is dark.
fn blurred(colors: &[[f32; 3]], across: usize, sigma: f32) -> Vec<[f32; 3]> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few cells"
    )]
    let reach = (3.0 * sigma).ceil() as usize;
    let kernel: Vec<f32> = (0..=reach)
        .map(|d| (-0.5 * (d as f32 / sigma).powi(2)).exp())
        .collect();
    let sum = kernel[0] + 2.0 * kernel[1..].iter().sum::<f32>();
    let weight = |offset: usize| kernel[offset.abs_diff(reach)] / sum;
    let mut rows = vec![[0.0_f32; 3]; colors.len()];
    rows.par_chunks_mut(across)
        .zip(colors.par_chunks(across))
        .for_each(|(to, from)| {
            for offset in 0..=2 * reach {
                let (ahead, behind) = (offset.saturating_sub(reach), reach.saturating_sub(offset));
                if ahead.max(behind) < across {
                    add(
                        &mut to[behind..across - ahead],
                        &from[ahead..],
                        weight(offset),
                    );
                }
            }
        });
    let mut blurred = vec![[0.0_f32; 3]; colors.len()];
    let down = colors.len() / across;
    blurred
        .par_chunks_mut(across)
        .enumerate()
        .for_each(|(y, to)| {
            for offset in 0..=2 * reach {
                if let Some(other) = (y + offset)
                    .checked_sub(reach)
                    .filter(|other| *other < down)
                {
                    add(to, &rows[other * across..], weight(offset));
                }
            }
        });
    blurred
}

/// Adds colours times a weight to as many others.
fn add(to: &mut [[f32; 3]], from: &[[f32; 3]], weight: f32) {
    for (to, from) in to.iter_mut().zip(from) {
        (0..3).for_each(|c| to[c] += weight * from[c]);
    }
}
