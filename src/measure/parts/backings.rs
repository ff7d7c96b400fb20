//! The even areas that things lie on: a sheet of cloth, a cheek, a badge.

use super::ink_colors::NOTHING;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::links::Links;

/// Rows at most in which they are told apart; higher frames are halved until they have no more. Source: chosen; 1080 rows become
/// 270, in which a badge is ten high.
const MOST_ROWS: usize = 405;
/// How far the channels of neighbours in an even area are apart at most: deviations of the noise, codes, and a share of the brightest.
/// Source: chosen; folds of cloth and the glow of ink change by less, the soft edge of a badge by more.
const NOISE_DEVIATIONS: f64 = 4.0;
const LEAST_CODES: f64 = 4.0;
const EVEN_SHARE: f64 = 0.04;

/// How large the even area is at each place of a frame.
#[derive(Debug)]
pub(super) struct Backings {
    /// Pixels of the frame along a side of a place.
    side: usize,
    across: usize,
    /// Natural logarithm of the area, a share of the frame's height squared; none where something lies on it.
    areas: Vec<Option<f64>>,
}

impl Backings {
    /// Finds them, given of each pixel whether something may lie there, as classes of colour, and the noise of a pixel, codes.
    pub(super) fn find(camera: &CameraRaster, classes: &[u8], noise: f64) -> Self {
        let size = camera.size();
        let planes = [0, 1, 2].map(|c: usize| {
            let mut plane = BytePlane::new(size, camera.map(|code| code[c]));
            while plane.height() > MOST_ROWS {
                plane = plane.halved();
            }
            plane
        });
        let (across, down) = (planes[0].width(), planes[0].height());
        let width = size.width() as usize;
        let side = width.div_ceil(across);
        let mut is_taken = vec![false; across * down];
        for (y, row) in classes.chunks(width).enumerate() {
            let places = (y / side).min(down - 1) * across;
            for (x, _) in row
                .iter()
                .enumerate()
                .filter(|(_, class)| **class != NOTHING)
            {
                is_taken[places + (x / side).min(across - 1)] = true;
            }
        }
        let least = LEAST_CODES + NOISE_DEVIATIONS * noise / side as f64;
        let code = |at: usize| [0, 1, 2].map(|c: usize| planes[c].bytes()[at]);
        let is_even = |a: usize, b: usize| {
            let (a, b) = (code(a), code(b));
            let most = a.into_iter().chain(b).max().unwrap_or(0);
            let apart = a
                .iter()
                .zip(b)
                .map(|(&a, b)| a.abs_diff(b))
                .max()
                .unwrap_or(0);
            f64::from(apart) <= least + EVEN_SHARE * f64::from(most)
        };
        let mut links = Links::new(is_taken.len());
        for at in (0..is_taken.len()).filter(|&at| !is_taken[at]) {
            let right = Some(at + 1).filter(|next| next % across > 0);
            let below = Some(at + across).filter(|&next| next < is_taken.len());
            for next in right.into_iter().chain(below) {
                if !is_taken[next] && is_even(at, next) {
                    links.join(at, next);
                }
            }
        }
        let roots: Vec<usize> = (0..is_taken.len()).map(|at| links.root(at)).collect();
        let mut counts = vec![0_u32; roots.len()];
        for &root in &roots {
            counts[root] += 1;
        }
        let whole = (down * down) as f64;
        let area = |at: usize| (!is_taken[at]).then(|| (f64::from(counts[roots[at]]) / whole).ln());
        Self {
            side,
            across,
            areas: (0..roots.len()).map(area).collect(),
        }
    }

    /// Natural logarithm of the even area at a pixel, a share of the frame's height squared; none where something lies on it.
    pub(super) fn area_at(&self, x: usize, y: usize) -> Option<f64> {
        let place = (y / self.side) * self.across + (x / self.side).min(self.across - 1);
        self.areas.get(place).copied().flatten()
    }
}
