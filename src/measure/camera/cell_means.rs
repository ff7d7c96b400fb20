//! Luma of the seen backdrop in cells of 1, 2, 4, ... pixels, and how far each cell is over its surroundings.

use rayon::prelude::*;

use super::camera_luma::luma_codes;
use super::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;
use crate::measure::statistics::middle::middle_of;
use crate::measure::statistics::noise_ceiling::upper_tail;

/// Fewest cells around one that tell what surrounds it. Source: chosen; a corner of the picture has five.
const LEAST_AROUND: usize = 5;
/// Deviation over the median of the absolute value, of a normal distribution. Source: 1.482602.
const DEVIATION_OF_MEDIAN: f32 = 1.4826;
/// How many deviations under the mean the lowest hundredth of a normal distribution begins. Source: 2.326348.
const LOWEST_HUNDREDTH: f32 = 2.3263;
/// Least deviation that is believed, codes. Source: chosen; less is what compression leaves.
const LEAST_DEVIATION: f32 = 0.1;
/// False alarms a frame and cell size. Source: the definition of the finding.
const FALSE_ALARMS: f64 = 0.01;
/// Steps of halving. Source: chosen, 50 halvings of 10 are beyond what is printed.
const HALVINGS: u32 = 50;

/// Mean luma of square cells; cells with too little backdrop in them have none.
#[derive(Clone, Debug)]
pub struct CellMeans {
    /// Side of a cell, px.
    pub cell_px: u32,
    /// Cells in a row.
    pub across: usize,
    /// Rows of cells.
    pub down: usize,
    /// Mean luma, codes; not a number where too little backdrop is seen.
    pub codes: Vec<f32>,
}

/// How far cells are over what surrounds them.
#[derive(Clone, Debug)]
pub struct CellExcess {
    /// Luma over the surroundings', codes; not a number where it cannot be told.
    pub codes: Vec<f32>,
    /// Deviation of it that noise makes, codes.
    pub deviation_codes: f64,
    /// The same of the usual half of cells alone, which texture of a large patch does not touch, codes.
    pub usual_deviation_codes: f64,
    /// What noise exceeds 0.01 times a frame, codes.
    pub noise_limit_codes: f64,
}

impl CellMeans {
    /// One pixel a cell.
    pub fn of_pixels(camera: &CameraRaster, backdrop: &Runs) -> Self {
        let size = camera.size();
        let (across, down) = (size.width() as usize, size.height() as usize);
        let mut codes = vec![f32::NAN; across * down];
        codes
            .par_chunks_mut(across)
            .enumerate()
            .for_each(|(y, row)| {
                let Ok(line) = u32::try_from(y) else { return };
                for run in backdrop.row(line) {
                    let (start, end) = (run.start as usize, run.end as usize);
                    let codes = &camera.codes()[y * across + start..y * across + end];
                    for (out, &code) in row[start..end].iter_mut().zip(codes) {
                        *out = luma_codes(code);
                    }
                }
            });
        Self {
            cell_px: 1,
            across,
            down,
            codes,
        }
    }

    /// Cells twice as large each way; a cell counts from half of its parts on.
    #[must_use]
    pub fn halved(&self) -> Self {
        let (across, down) = (self.across.div_ceil(2), self.down.div_ceil(2));
        let mut codes = vec![f32::NAN; across * down];
        codes
            .par_chunks_mut(across)
            .enumerate()
            .for_each(|(y, row)| {
                for (x, out) in row.iter_mut().enumerate() {
                    let (mut sum, mut count) = (0.0, 0_u8);
                    for v in 2 * y..(2 * y + 2).min(self.down) {
                        for u in 2 * x..(2 * x + 2).min(self.across) {
                            let code = self.codes[v * self.across + u];
                            if !code.is_nan() {
                                sum += code;
                                count += 1;
                            }
                        }
                    }
                    if count >= 2 {
                        *out = sum / f32::from(count);
                    }
                }
            });
        Self {
            cell_px: 2 * self.cell_px,
            across,
            down,
            codes,
        }
    }

    /// Median of the cells two away from each, the rim of 5 by 5: what surrounds a spot of up to three cells.
    pub fn surroundings(&self) -> Vec<f32> {
        let mut around = vec![f32::NAN; self.codes.len()];
        around
            .par_chunks_mut(self.across)
            .enumerate()
            .for_each(|(y, row)| {
                for (x, out) in row.iter_mut().enumerate() {
                    let mut ring = [0.0_f32; 16];
                    let mut count = 0;
                    for dy in -2_isize..=2 {
                        let Some(v) = y.checked_add_signed(dy).filter(|&v| v < self.down) else {
                            continue;
                        };
                        let step = if dy.abs() == 2 { 1 } else { 4 };
                        for dx in (-2_isize..=2).step_by(step) {
                            let Some(u) = x.checked_add_signed(dx).filter(|&u| u < self.across)
                            else {
                                continue;
                            };
                            let code = self.codes[v * self.across + u];
                            if !code.is_nan() {
                                ring[count] = code;
                                count += 1;
                            }
                        }
                    }
                    if count >= LEAST_AROUND
                        && let Some(middle) = middle_of(&mut ring[..count], f32::total_cmp)
                    {
                        *out = middle;
                    }
                }
            });
        around
    }

    /// The column and row of a cell.
    pub fn place(&self, at: usize) -> [u32; 2] {
        [at % self.across, at / self.across].map(|v| u32::try_from(v).unwrap_or(u32::MAX))
    }

    /// How far each cell is over its surroundings, told from cells of twice the side.
    ///
    /// Noise of pixels, codes, is believed where black cuts off so much of it that little of it is left in the means.
    pub fn excess_over(&self, twice: &Self, noise_codes: f64) -> CellExcess {
        let around = twice.surroundings();
        let codes: Vec<f32> = (0..self.codes.len())
            .map(|at| {
                let (x, y) = (at % self.across, at / self.across);
                self.codes[at] - around[(y / 2) * twice.across + x / 2]
            })
            .collect();
        let mut told: Vec<f32> = codes
            .iter()
            .copied()
            .filter(|code| !code.is_nan())
            .collect();
        let noise = noise_codes / f64::from(self.cell_px);
        let (deviation, usual) = deviations_of(&mut told);
        let (deviation, usual) = (deviation.max(noise), usual.max(noise));
        CellExcess {
            noise_limit_codes: deviation * rare_deviations(told.len()),
            codes,
            deviation_codes: deviation,
            usual_deviation_codes: usual,
        }
    }
}

/// The deviation of noise around 0 in which spots lie: from the median of the absolute value, or, where compression has
/// made most of it flat, from the lowest hundredth, which no spot touches. Then the former alone.
fn deviations_of(off: &mut [f32]) -> (f64, f64) {
    if off.is_empty() {
        return (f64::from(LEAST_DEVIATION), f64::from(LEAST_DEVIATION));
    }
    let at = off.len() / 100;
    let lowest = *off.select_nth_unstable_by(at, f32::total_cmp).1;
    let mut sizes: Vec<f32> = off.iter().map(|code| code.abs()).collect();
    let middle = middle_of(&mut sizes, f32::total_cmp).unwrap_or(0.0);
    let usual = (DEVIATION_OF_MEDIAN * middle).max(LEAST_DEVIATION);
    (
        f64::from(usual.max(-lowest / LOWEST_HUNDREDTH)),
        f64::from(usual),
    )
}

/// How many deviations noise exceeds 0.01 times in so many places, one-sided: `Q(k) = 0.01 / places`.
/// Source: the normal distribution; 5.7369 in 1920x1080.
pub fn rare_deviations(places: usize) -> f64 {
    let wanted = FALSE_ALARMS / places.max(1) as f64;
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if upper_tail(middle) > wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
