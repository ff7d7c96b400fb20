//! The backdrop of a camera frame: how dark it is where nothing is lit, how uneven, how noisy.

use rayon::prelude::*;

use super::camera_luma::luma_codes;
use super::camera_raster::CameraRaster;
use crate::measure::statistics::middle::middle_of;
use crate::measure::statistics::slow_course::{
    FIT_DEVIATIONS, SlowCourse, deviation_of, differences, fit_slow_course, narrow, place_of,
};

/// Side of a cell, pixels of a frame 1080 high. Source: chosen; its mean has an eighth of the noise.
const CELL_SHARE: u32 = 135;
/// What brightness may change by over two cells without an edge: codes, and a share of what is over the backdrop.
/// Source: chosen; a soft reflection of 30 px and more changes by a third, the edge of a dark suit by all of it.
const SLOW_CODES: f32 = 1.0;
const SLOW_SHARE: f32 = 0.25;
/// How deep into the picture the glow of a lit edge reaches at most, a share of its shorter side. Source: chosen.
const GLOW_DEPTH: f64 = 0.12;
/// Part of a glow that may be left where it ends. Source: chosen.
const GLOW_REST: f32 = 0.1;
/// How much brighter than the usual glow of its edge a place may be. Source: chosen; lamps light an edge unevenly.
const GLOW_SPREAD: f32 = 1.6;
/// What of a fitted glow may be too much or too little. Source: chosen.
const GLOW_DOUBT: f32 = 0.25;

/// The backdrop, as a slowly changing colour.
#[derive(Clone, Debug)]
pub struct Backdrop {
    /// Side of a cell, px.
    cell: u32,
    across: usize,
    /// Mean R'G'B' of each cell, row by row, codes.
    means: Vec<[f32; 3]>,
    /// What the backdrop is in each cell, codes.
    levels: Vec<[f32; 3]>,
    /// How bright the glow of the glass's lit edges is in each cell, codes over the backdrop.
    glows: Vec<f32>,
    /// How far cell means of the backdrop are off the fit in brightness and both colour differences,
    /// standard deviations, codes.
    deviations: [f32; 3],
    /// What neighbouring cells of the backdrop differ by at most, but for a few, in the same three, codes.
    steps: [f32; 3],
    /// Deviation of single pixels' luma, codes.
    noise: f64,
}

impl Backdrop {
    /// Measures it.
    pub fn measure(camera: &CameraRaster) -> Self {
        let size = camera.size();
        let cell = (size.height() / CELL_SHARE).max(1);
        let (across, down) = (
            size.width().div_ceil(cell) as usize,
            size.height().div_ceil(cell) as usize,
        );
        let width = size.width() as usize;
        let mut means = vec![[0.0_f32; 3]; across * down];
        means
            .par_chunks_mut(across)
            .enumerate()
            .for_each(|(row, out)| {
                let first = row * cell as usize;
                let last = (first + cell as usize).min(size.height() as usize);
                let mut sums = vec![[0_u32; 3]; across];
                for y in first..last {
                    let codes = &camera.codes()[y * width..(y + 1) * width];
                    for (sum, codes) in sums.iter_mut().zip(codes.chunks(cell as usize)) {
                        for code in codes {
                            (0..3).for_each(|c| sum[c] += u32::from(code[c]));
                        }
                    }
                }
                for (x, (mean, sum)) in out.iter_mut().zip(sums).enumerate() {
                    let columns = (cell as usize).min(width - x * cell as usize);
                    let count = (columns * (last - first)) as f32;
                    *mean = sum.map(|sum| sum as f32 / count);
                }
            });
        let SlowCourse {
            levels,
            deviations,
            steps,
        } = fit_slow_course(&means, across);
        let mut backdrop = Self {
            cell,
            across,
            glows: vec![0.0; means.len()],
            means,
            levels,
            deviations,
            steps,
            noise: 0.0,
        };
        backdrop.glows = backdrop.edge_glows();
        backdrop.noise = backdrop.measure_noise(camera);
        backdrop
    }

    /// The same frame with an empty one's cells as its backdrop: reflections and folds are in both.
    #[must_use]
    pub fn against(&self, empty: &Self) -> Self {
        let mut against = self.clone();
        against.levels.clone_from(&empty.means);
        against.glows.fill(0.0);
        let dark: Vec<usize> = (0..self.means.len())
            .filter(|&cell| self.off_deviations(cell) < FIT_DEVIATIONS)
            .collect();
        against.deviations = std::array::from_fn(|c| {
            let off = |&cell: &usize| differences(self.means[cell], empty.means[cell])[c];
            deviation_of(dark.iter().map(off), self.steps[c])
        });
        against
    }

    /// The same with the glow of something added to what the backdrop is in each cell, codes.
    ///
    /// A cell may be off by a share of that glow too.
    #[must_use]
    pub fn under(&self, glow: &[[f32; 3]]) -> Self {
        let mut under = self.clone();
        for (cell, glow) in glow.iter().enumerate() {
            let (level, mean) = (&mut under.levels[cell], &self.means[cell]);
            // A glow that is fitted too bright makes nothing darker than the backdrop.
            (0..3).for_each(|c| level[c] += glow[c].min((mean[c] - level[c]).max(0.0)));
            let doubt = GLOW_DOUBT * glow[0].max(glow[1]).max(glow[2]);
            under.glows[cell] = under.glows[cell].max(doubt);
        }
        under
    }

    /// Side of a cell, px.
    pub fn cell_px(&self) -> u32 {
        self.cell
    }

    /// Cells in a row.
    pub fn cells_across(&self) -> usize {
        self.across
    }

    /// Rows of cells.
    pub fn cells_down(&self) -> usize {
        self.means.len() / self.across
    }

    /// Mean R'G'B' of each cell, row by row, codes.
    pub fn means(&self) -> &[[f32; 3]] {
        &self.means
    }

    /// What the backdrop is in each cell, codes.
    pub fn levels(&self) -> &[[f32; 3]] {
        &self.levels
    }

    /// How far cell means of the backdrop are off its slow course in brightness and in the differences
    /// red less green and blue less green, standard deviations, codes.
    pub fn deviations_codes(&self) -> [f32; 3] {
        self.deviations
    }

    /// Standard deviation of single pixels' luma, codes.
    pub fn noise_codes(&self) -> f64 {
        self.noise
    }

    /// The backdrop's largest channel, its mean over the picture, codes.
    pub fn level_codes(&self) -> f64 {
        let most = |level: &[f32; 3]| f64::from(level[0].max(level[1]).max(level[2]));
        self.levels.iter().map(most).sum::<f64>() / self.levels.len().max(1) as f64
    }

    /// How far a cell is off the backdrop, in deviations of what the backdrop itself does: brighter,
    /// darker or of another colour. What the glow of a lit edge may be is not off.
    pub fn off_deviations(&self, cell: usize) -> f32 {
        let off = differences(self.means[cell], self.levels[cell]);
        let glow = GLOW_SPREAD * self.glows[cell];
        (0..3)
            .map(|c| (off[c].abs() - glow).max(0.0) / self.deviations[c])
            .fold(0.0, f32::max)
    }

    /// How bright the glow of the glass's lit edges is in each cell, codes over the backdrop.
    ///
    /// Along each edge of the frame, the median of what lies equally deep; it only falls inwards, and
    /// where it does not reach the backdrop within [`GLOW_DEPTH`] it is something else.
    fn edge_glows(&self) -> Vec<f32> {
        let (across, down) = (self.across, self.cells_down());
        let depth = place_of(across.min(down), GLOW_DEPTH).max(1);
        let mut glows = vec![0.0_f32; self.means.len()];
        // Left, right, top, bottom: the cell so many cells along an edge and deep from it.
        let place = |edge: usize, along: usize, deep: usize| match edge {
            0 => along * across + deep,
            1 => (along + 1) * across - 1 - deep,
            2 => deep * across + along,
            _ => (down - 1 - deep) * across + along,
        };
        for (edge, length) in [down, down, across, across].into_iter().enumerate() {
            let mut falling = f32::MAX;
            let profile: Vec<f32> = (0..depth.min(across).min(down))
                .map(|deep| {
                    let codes = |along| f64::from(self.over_codes(place(edge, along, deep)));
                    let mut all: Vec<f64> = (0..length).map(codes).collect();
                    let middle = middle_of(&mut all, f64::total_cmp).unwrap_or(0.0);
                    falling = falling.min(narrow(middle).max(0.0));
                    falling
                })
                .collect();
            let first = profile.first().copied().unwrap_or(0.0);
            let least = FIT_DEVIATIONS * self.deviations[0];
            let is_gone = |codes: f32| codes < least.max(GLOW_REST * first);
            if !profile.last().is_some_and(|&codes| is_gone(codes)) {
                continue;
            }
            for (deep, &codes) in profile
                .iter()
                .enumerate()
                .filter(|(_, codes)| !is_gone(**codes))
            {
                for along in 0..length {
                    let glow = &mut glows[place(edge, along, deep)];
                    *glow = glow.max(codes);
                }
            }
        }
        glows
    }

    /// How far a cell's channels are apart at most, in the most colourful cells but for a few, codes.
    pub fn most_colour_codes(&self) -> f32 {
        let mut all: Vec<f32> = self
            .means
            .iter()
            .map(|[r, g, b]| r.max(*g).max(*b) - r.min(*g).min(*b))
            .collect();
        all.sort_by(f32::total_cmp);
        all.get(all.len() - all.len() / 500 - 1)
            .copied()
            .unwrap_or(0.0)
    }

    /// Brightness of a cell over that of the backdrop, codes.
    pub fn over_codes(&self, cell: usize) -> f32 {
        differences(self.means[cell], self.levels[cell])[0]
    }

    /// Whether two cells differ by no more than what changes slowly does from one to the other: the backdrop's
    /// folds, glows and soft reflections. `factor` widens it.
    pub fn is_slow_change(&self, from: usize, to: usize, factor: f32) -> bool {
        let off = differences(self.means[to], self.means[from]);
        let over = self.over_codes(to).abs().max(self.over_codes(from).abs());
        let noise = narrow(6.0 * self.noise) / self.cell as f32;
        (0..3).all(|c| {
            let least = SLOW_CODES.max(noise).max(1.5 * self.steps[c]);
            off[c].abs() < (least + SLOW_SHARE * over) * factor
        })
    }

    /// Noise of the dark cells by the mask of Immerkær, `sigma = sqrt(pi / 2) / 6 mean |I * M|`.
    ///
    /// Source: J. Immerkær, Fast noise variance estimation, 1996. The median over rows of cells keeps
    /// texture out.
    fn measure_noise(&self, camera: &CameraRaster) -> f64 {
        let size = camera.size();
        let (width, height) = (size.width() as usize, size.height() as usize);
        if width < 3 || height < 3 {
            return 0.0;
        }

        let luma = |at: usize| luma_codes(camera.codes()[at]);
        let mut rows: Vec<f64> = (1..height - 1)
            .into_par_iter()
            .step_by(7)
            .filter_map(|y| {
                let (mut sum, mut count) = (0.0, 0_u32);
                let cells = (y / self.cell as usize) * self.across;
                for x in 1..width - 1 {
                    if self.off_deviations(cells + x / self.cell as usize) > 6.0 {
                        continue;
                    }
                    let row = |y: usize, a: f32, b: f32| {
                        let at = y * width + x;
                        a * (luma(at - 1) + luma(at + 1)) + b * luma(at)
                    };
                    let response =
                        row(y - 1, 1.0, -2.0) + row(y, -2.0, 4.0) + row(y + 1, 1.0, -2.0);
                    sum += f64::from(response.abs());
                    count += 1;
                }
                (count > 50).then(|| sum / f64::from(count))
            })
            .collect();
        (std::f64::consts::FRAC_PI_2).sqrt() / 6.0
            * middle_of(&mut rows, f64::total_cmp).unwrap_or(0.0)
    }
}
