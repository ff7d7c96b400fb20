//! The exact map between what stands still in two pictures, by Gauss and Newton with weights against what does not.
//!
//! Source: the mean of both slopes is that of S. Benhimane and E. Malis, Real-time image-based tracking of planes using
//! efficient second-order minimization, 2004; the weights are Cauchy's.

use rayon::prelude::*;

use super::still_map::StillMap;
use super::still_plane::{StillPlane, StillPoint};
use crate::measure::statistics::middle::middle_of;

/// Unknowns: shift both ways, a, b, the codes' gain and offset.
const UNKNOWNS: usize = 6;
/// Most steps at a size. Source: chosen; five are usual.
const MOST_STEPS: usize = 12;
/// Step of the worst corner that ends them, px of the plane. Source: chosen.
const LAST_STEP_PX: f64 = 0.003;
/// Most points that are looked at. Source: chosen, for time; a whole picture has half a million.
const MOST_POINTS: usize = 60_000;
/// Cauchy's constant, deviations. Source: 95 % efficiency, 2.385.
const CAUCHY: f64 = 2.385;
/// Deviation over the median of the absolute value. Source: 1.482602, the normal distribution.
const DEVIATION_OF_MEDIAN: f64 = 1.4826;
/// Pixels over which smoothing shares noise. Source: one over the sum of squares of `1 2 1` both ways, 0.375² = 0.1406.
const SHARED_PIXELS: f64 = 7.1;
/// Variance that is left of noise in a slope. Source: the squares of `-1 -2 0 2 1` over 8, 0.156, by those of `1 2 1` over 4.
const SLOPE_LEFT: f64 = 0.0586;
/// Deviations of what chance makes alike that tell nothing. Source: chosen.
const CHANCE_DEVIATIONS: f64 = 3.0;
/// What a thing's own change of shape is like a move of, a part of half of the diagonal. Source: chosen, 0.2 px at 1080p.
const SHAPE_PART: f64 = 0.0002;
/// What is expected before anything is seen: moves of a twentieth. Source: chosen; it holds what nothing tells.
const EXPECTED: f64 = 0.05;

/// What may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Freedom {
    /// Moves alone.
    Shift,
    /// Moves, zoom and rotation.
    All,
}

/// A map and how well it is known, in pixels of the plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StillFit {
    pub(crate) map: StillMap,
    /// Standard deviations of shift x, shift y, a and b.
    pub(crate) deviations: [f64; 4],
}

type Matrix = [[f64; UNKNOWNS]; UNKNOWNS];

/// Fits the map that takes points to their places in `camera`, from a start that is near.
pub(crate) fn fit(
    points: &[StillPoint],
    camera: &StillPlane,
    start: StillMap,
    freedom: Freedom,
) -> StillFit {
    let each = points.len().div_ceil(MOST_POINTS).max(1);
    let points: Vec<StillPoint> = points.iter().copied().step_by(each).collect();
    let reach = camera.centre[0].hypot(camera.centre[1]).max(1.0);
    let (mut map, mut gain, mut offset) = (start, 1.0_f64, 0.0_f64);
    let mut deviations = [f64::INFINITY; 4];
    for step in 0..MOST_STEPS {
        let (scale, count) = scale_of(&points, camera, &map, gain, offset);
        let scale = scale.max(0.2 * f64::from(camera.noise)).max(0.02);
        if count < UNKNOWNS * 4 {
            break;
        }
        let Equations {
            normal: sums,
            mut right,
            told,
            variance: spread,
        } = equations(&points, camera, &map, (gain, offset), scale, reach);
        let mut normal = sums;
        let prior = spread / EXPECTED.powi(2) * SHARED_PIXELS;
        // Gain and offset, the last two, may be without a hold where everything is even.
        for (i, row) in normal.iter_mut().enumerate() {
            row[i] += match i {
                0 | 1 => prior / (2.0 * reach).powi(2),
                2 | 3 => prior / reach.powi(2),
                _ => 1e-6 * row[i] + 1e-9,
            };
        }
        if freedom == Freedom::Shift {
            let is_held = |i: usize| i == 2 || i == 3;
            normal = only(&normal, |i, j| !is_held(i) && !is_held(j));
            right[2..4].fill(0.0);
        }
        let Some(inverse) = inverse_of(normal) else {
            break;
        };
        let change: [f64; UNKNOWNS] =
            std::array::from_fn(|i| (0..UNKNOWNS).map(|j| inverse[i][j] * right[j]).sum());
        map.shift[0] += change[0];
        map.shift[1] += change[1];
        map.a += change[2] / reach;
        map.b += change[3] / reach;
        gain = (gain + change[4]).clamp(0.05, 20.0);
        offset += change[5];
        let moved = change[0].hypot(change[1]) + change[2].hypot(change[3]);
        if moved < LAST_STEP_PX || step + 1 == MOST_STEPS {
            let each = each as f64;
            let shared = spread * SHARED_PIXELS / each.min(SHARED_PIXELS);
            deviations = deviations_of(sums, told, freedom, shared, reach);
            break;
        }
    }
    StillFit { map, deviations }
}

/// The deviation of what is left, from its median, and at how many points.
fn scale_of(
    points: &[StillPoint],
    camera: &StillPlane,
    map: &StillMap,
    gain: f64,
    offset: f64,
) -> (f64, usize) {
    let each = points.len().div_ceil(8000).max(1);
    let mut left: Vec<f64> = points
        .iter()
        .step_by(each)
        .filter_map(|point| {
            let (code, _) = camera.at(map.apply(point.at.map(f64::from)))?;
            Some((f64::from(code) - gain * f64::from(point.code) - offset).abs())
        })
        .collect();
    let middle = middle_of(&mut left, f64::total_cmp).unwrap_or(0.0);
    (DEVIATION_OF_MEDIAN * middle, left.len())
}

/// Sums over points. Zoom and rotation are counted in px at the corner.
#[derive(Clone, Copy, Debug, Default)]
struct Equations {
    normal: Matrix,
    right: [f64; UNKNOWNS],
    /// What slopes tell of the first four: the product of both pictures', in which noise has no part.
    told: [[f64; 4]; 4],
    /// Of what is left, codes squared; the sum of weights until all are added.
    variance: f64,
}

/// The equations at a map, gain and offset.
fn equations(
    points: &[StillPoint],
    camera: &StillPlane,
    map: &StillMap,
    (gain, offset): (f64, f64),
    scale: f64,
    reach: f64,
) -> Equations {
    let along = |slope: [f64; 2], at: [f64; 2]| {
        [
            slope[0],
            slope[1],
            (slope[0] * at[0] + slope[1] * at[1]) / reach,
            (slope[1] * at[0] - slope[0] * at[1]) / reach,
        ]
    };
    let add = |(mut sums, mut squares): (Equations, f64), point: &StillPoint| {
        let at = point.at.map(f64::from);
        let Some((code, slope)) = camera.at(map.apply(at)) else {
            return (sums, squares);
        };
        let left = f64::from(code) - gain * f64::from(point.code) - offset;
        let weight = 1.0 / (1.0 + (left / (CAUCHY * scale)).powi(2));
        let here = along(slope.map(f64::from), at);
        let there = along(point.slope.map(|slope| gain * f64::from(slope)), at);
        let row: [f64; UNKNOWNS] = std::array::from_fn(|i| match i {
            0..4 => 0.5 * (here[i] + there[i]),
            4 => -f64::from(point.code),
            _ => -1.0,
        });
        for i in 0..UNKNOWNS {
            for j in i..UNKNOWNS {
                sums.normal[i][j] += weight * row[i] * row[j];
            }
            sums.right[i] -= weight * row[i] * left;
        }
        for i in 0..4 {
            for j in i..4 {
                sums.told[i][j] += 0.5 * weight * (here[i] * there[j] + here[j] * there[i]);
            }
        }
        sums.variance += weight;
        squares += weight * left * left;
        (sums, squares)
    };
    let join = |(mut a, squares): (Equations, f64), (b, more): (Equations, f64)| {
        for i in 0..UNKNOWNS {
            for j in i..UNKNOWNS {
                a.normal[i][j] += b.normal[i][j];
            }
            a.right[i] += b.right[i];
        }
        for i in 0..4 {
            for j in i..4 {
                a.told[i][j] += b.told[i][j];
            }
        }
        a.variance += b.variance;
        (a, squares + more)
    };
    // Chunks in order, so that sums come out the same every time.
    let parts: Vec<(Equations, f64)> = points
        .par_chunks(4096)
        .map(|chunk| chunk.iter().fold(Default::default(), add))
        .collect();
    let (mut sums, squares) = parts.into_iter().fold(Default::default(), join);
    // Noise that happens to be alike in both.
    let chance = CHANCE_DEVIATIONS
        * SLOPE_LEFT
        * f64::from(camera.noise).powi(2)
        * (points.len() as f64).sqrt();
    for i in 0..UNKNOWNS {
        for j in 0..i {
            sums.normal[i][j] = sums.normal[j][i];
        }
    }
    for i in 0..4 {
        for j in 0..i {
            sums.told[i][j] = sums.told[j][i];
        }
        sums.told[i][i] -= chance;
    }
    sums.variance = squares / sums.variance.max(1e-9);
    sums
}

/// How well the four are known: infinite where nothing tells.
fn deviations_of(
    mut normal: Matrix,
    told: [[f64; 4]; 4],
    freedom: Freedom,
    variance: f64,
    reach: f64,
) -> [f64; 4] {
    let count = if freedom == Freedom::Shift { 2 } else { 4 };
    let mut is_told = [true; UNKNOWNS];
    for i in 0..4 {
        is_told[i] = i < count && told[i][i] > 0.0;
        normal[i][..4].copy_from_slice(&told[i]);
    }
    normal = only(&normal, |i, j| is_told[i] && is_told[j]);
    for (i, row) in normal.iter_mut().enumerate() {
        row[i] += 1e-12 + 1e-9 * row[i];
    }
    let Some(inverse) = inverse_of(normal) else {
        return [f64::INFINITY; 4];
    };
    std::array::from_fn(|i| {
        if !is_told[i] || inverse[i][i] <= 0.0 {
            return f64::INFINITY;
        }
        let deviation = (inverse[i][i] * variance).sqrt();
        if i < 2 {
            return deviation;
        }
        // How far apart things are that tell of zoom or rotation, px.
        let all = told[0][0] + told[1][1];
        let lever = reach * (1.0 / (inverse[i][i] * all.max(1e-12))).sqrt();
        (deviation / reach).hypot(SHAPE_PART * reach / lever)
    })
}

/// The matrix where it is kept, and that of unity elsewhere.
fn only(m: &Matrix, is_kept: impl Fn(usize, usize) -> bool) -> Matrix {
    std::array::from_fn(|i| {
        std::array::from_fn(|j| {
            if is_kept(i, j) {
                m[i][j]
            } else {
                f64::from(u8::from(i == j))
            }
        })
    })
}

/// The inverse by Gauss and Jordan, with the largest pivot; none where there is none.
fn inverse_of(mut m: Matrix) -> Option<Matrix> {
    let mut inverse: Matrix =
        std::array::from_fn(|i| std::array::from_fn(|j| f64::from(u8::from(i == j))));
    for column in 0..UNKNOWNS {
        let pivot = (column..UNKNOWNS)
            .max_by(|&a, &b| m[a][column].abs().total_cmp(&m[b][column].abs()))?;
        if m[pivot][column].abs() < 1e-30 || !m[pivot][column].is_finite() {
            return None;
        }
        m.swap(column, pivot);
        inverse.swap(column, pivot);
        let factor = 1.0 / m[column][column];
        m[column] = m[column].map(|v| v * factor);
        inverse[column] = inverse[column].map(|v| v * factor);
        for row in (0..UNKNOWNS).filter(|&row| row != column) {
            let factor = m[row][column];
            for j in 0..UNKNOWNS {
                m[row][j] -= factor * m[column][j];
                inverse[row][j] -= factor * inverse[column][j];
            }
        }
    }
    Some(inverse)
}
