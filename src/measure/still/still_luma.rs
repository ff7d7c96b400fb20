//! Luma of a frame at a smaller size, and where something may stand still.

use rayon::prelude::*;

use crate::measure::camera::camera_luma::luma_codes;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;

/// Quantile of a normal distribution's absolute value, deviations. Source: 0.524401 at 0.4.
const NOISE_QUANTILE: (f64, f32) = (0.4, 0.5244);
/// Deviation of `1 -2 1` both ways over the noise's. Source: J. Immerkær, Fast noise variance estimation, 1996.
const NOISE_MASK: f32 = 6.0;

/// Luma that is not smoothed yet, and how much of each pixel stands still.
pub(super) struct StillLuma {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) luma: Vec<f32>,
    pub(super) still: Vec<f32>,
}

impl StillLuma {
    /// The means of squares of `by` px of a frame. `covered` is what does not stand still.
    pub(super) fn of(camera: &CameraRaster, covered: &Runs, by: usize) -> Self {
        let size = camera.size();
        let (full, rows) = (size.width() as usize, size.height() as usize);
        let (width, height) = (full.div_ceil(by), rows.div_ceil(by));
        let mut luma = vec![0.0_f32; width * height];
        let mut still = vec![0.0_f32; width * height];
        luma.par_chunks_mut(width)
            .zip(still.par_chunks_mut(width))
            .enumerate()
            .for_each(|(row, (luma, still))| {
                let mut counts = vec![0_u16; width];
                for y in row * by..((row + 1) * by).min(rows) {
                    let line = &camera.codes()[y * full..(y + 1) * full];
                    let mut is_still = vec![true; full];
                    let Ok(at) = u32::try_from(y) else { return };
                    for run in covered.row(at) {
                        is_still[run.start as usize..run.end as usize].fill(false);
                    }
                    for (x, (&code, is_still)) in line.iter().zip(is_still).enumerate() {
                        luma[x / by] += luma_codes(code);
                        counts[x / by] += 1;
                        still[x / by] += f32::from(u8::from(is_still));
                    }
                }
                for ((luma, still), count) in luma.iter_mut().zip(still).zip(counts) {
                    *luma /= f32::from(count.max(1));
                    *still /= f32::from(count.max(1));
                }
            });
        Self {
            width,
            height,
            luma,
            still,
        }
    }

    /// Half as large each way.
    pub(super) fn halved(&self) -> Self {
        let (width, height) = (self.width.div_ceil(2), self.height.div_ceil(2));
        let half = |values: &[f32]| {
            let mut out = Vec::with_capacity(width * height);
            for y in 0..height {
                let rows = [2 * y, (2 * y + 1).min(self.height - 1)];
                out.extend((0..width).map(|x| {
                    let columns = [2 * x, (2 * x + 1).min(self.width - 1)];
                    let sum: f32 = rows
                        .iter()
                        .flat_map(|v| columns.map(|u| values[v * self.width + u]))
                        .sum();
                    sum / 4.0
                }));
            }
            out
        };
        Self {
            width,
            height,
            luma: half(&self.luma),
            still: half(&self.still),
        }
    }

    /// Deviation of the noise where something stands still: of the calmer pixels, so that texture counts little.
    pub(super) fn noise(&self, is_still: &[f32]) -> f32 {
        let mut sizes: Vec<f32> = Vec::new();
        for y in (1..self.height.saturating_sub(1)).step_by(2) {
            for x in 1..self.width.saturating_sub(1) {
                let i = y * self.width + x;
                if is_still[i] > 0.0 {
                    let row = |i: usize, a: f32, b: f32| {
                        a * (self.luma[i - 1] + self.luma[i + 1]) + b * self.luma[i]
                    };
                    let size = row(i - self.width, 1.0, -2.0)
                        + row(i, -2.0, 4.0)
                        + row(i + self.width, 1.0, -2.0);
                    sizes.push(size.abs());
                }
            }
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a length"
        )]
        let at = (sizes.len() as f64 * NOISE_QUANTILE.0) as usize;
        if at >= sizes.len() {
            return 0.0;
        }
        *sizes.select_nth_unstable_by(at, f32::total_cmp).1 / (NOISE_MASK * NOISE_QUANTILE.1)
    }
}
