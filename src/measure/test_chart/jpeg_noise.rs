//! Noise under JPEG compression: worked out from what the quantised coefficients still show of it.

use super::capture::Capture;
use super::chart::PatchRole;
use super::chart_reading::ChartReading;
use super::patch_reading::inner_area;

/// Pixels along a block. Source: ITU-T T.81.
const BLOCK: u32 = 8;
/// What is left out along every edge of a patch for blur, of its side. Blocks know nothing of each other.
/// Source: chosen.
const INSET: f64 = 0.12;
/// Fewest coefficients that tell anything. Source: chosen.
const MIN_COEFFICIENTS: usize = 500;
/// Fewest coefficients that are not zero. Their count hardly moves the result: where one in 370 is not
/// zero, half as many more change the deviation by 4 %.
const MIN_NOT_ZERO: usize = 8;
/// Deviation of rounding, codes squared. Source: variance of a uniform distribution one code wide.
const ROUNDING: f64 = 1.0 / 12.0;

/// The luma quantisation of a JPEG file, `[v][u]`, and that its blocks start at the top left pixel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JpegGrid {
    /// Step of each coefficient, row by row.
    pub steps: [[u16; 8]; 8],
}

/// The deviation of luma in codes for which the coefficients are most likely; none where compression
/// left too little.
///
/// White noise of deviation `s` has the deviation `s` in every coefficient of an orthonormal transform.
/// Each is rounded to a multiple `k` of its step `q`, so `P(k) = F((k + 1/2) q / s) - F((k - 1/2) q / s)`.
pub(crate) fn jpeg_noise(
    capture: Capture<'_>,
    reading: &ChartReading,
    grid: &JpegGrid,
    is_clear: impl Fn(u8, PatchRole) -> bool,
) -> Option<f64> {
    let cosines = cosines();
    // How often each multiple came up for each step.
    let mut counts: Vec<(f64, f64, usize)> = Vec::new();
    let mut total = 0;
    let mut not_zero = 0;
    for patch in reading.chart.patches() {
        if patch.role == PatchRole::Bar || !is_clear(patch.rgb_u8[0], patch.role) {
            continue;
        }
        let [x0, y0, x1, y1] = inner_area(capture, reading, &patch, INSET);
        let first = |from: u32| from.div_ceil(BLOCK) * BLOCK;
        let mut y = first(y0);
        while y + BLOCK <= y1 {
            let mut x = first(x0);
            while x + BLOCK <= x1 {
                let coefficients = block_coefficients(capture, [x, y], &cosines);
                for (v, row) in coefficients.iter().enumerate() {
                    for (u, &coefficient) in row.iter().enumerate() {
                        // The mean of the block is the shade, not noise.
                        if u + v == 0 {
                            continue;
                        }
                        let step = f64::from(grid.steps[v][u]).max(1.0);
                        let multiple = (coefficient / step).round().abs();
                        total += 1;
                        not_zero += usize::from(multiple > 0.0);
                        let same = |c: &&mut (f64, f64, usize)| {
                            (c.0 - step).abs() < 0.5 && (c.1 - multiple).abs() < 0.5
                        };
                        match counts.iter_mut().find(same) {
                            Some(count) => count.2 += 1,
                            None => counts.push((step, multiple, 1)),
                        }
                    }
                }
                x += BLOCK;
            }
            y += BLOCK;
        }
    }
    if total < MIN_COEFFICIENTS || not_zero < MIN_NOT_ZERO {
        return None;
    }
    let likelihood = |deviation: f64| -> f64 {
        let of = |&(step, multiple, count): &(f64, f64, usize)| {
            let share = probability(multiple, step / deviation);
            count as f64 * share.max(1e-300).ln()
        };
        counts.iter().map(of).sum()
    };
    let deviation = largest(likelihood, 0.05, 60.0);
    Some((deviation * deviation - ROUNDING).max(0.0).sqrt())
}

/// Probability of a multiple or its negative, with the step in deviations.
fn probability(multiple: f64, step: f64) -> f64 {
    let upper = |x: f64| 0.5 * libm::erfc(x / std::f64::consts::SQRT_2);
    if multiple < 0.5 {
        1.0 - 2.0 * upper(0.5 * step)
    } else {
        upper((multiple - 0.5) * step) - upper((multiple + 0.5) * step)
    }
}

/// Where a function with one hill is largest, by golden sections of the logarithm.
fn largest(of: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (low.ln(), high.ln());
    for _ in 0..60 {
        let (a, b) = (high - ratio * (high - low), low + ratio * (high - low));
        if of(a.exp()) < of(b.exp()) {
            low = a;
        } else {
            high = b;
        }
    }
    f64::midpoint(low, high).exp()
}

/// `c(u) / 2 cos((2 x + 1) u pi / 16)`, `[u][x]`. Source: ITU-T T.81, A.3.3.
fn cosines() -> [[f64; 8]; 8] {
    let mut cosines = [[0.0; 8]; 8];
    for (u, row) in (0_u32..).zip(&mut cosines) {
        for (x, value) in (0_u32..).zip(row) {
            let angle = f64::from((2 * x + 1) * u) * std::f64::consts::PI / 16.0;
            let c = if u == 0 {
                std::f64::consts::FRAC_1_SQRT_2
            } else {
                1.0
            };
            *value = c / 2.0 * angle.cos();
        }
    }
    cosines
}

/// The coefficients of a block's luma, `[v][u]`, with the weights that JPEG files use.
fn block_coefficients(
    capture: Capture<'_>,
    [x0, y0]: [u32; 2],
    cosines: &[[f64; 8]; 8],
) -> [[f64; 8]; 8] {
    let mut rows = [[0.0; 8]; 8];
    for (dy, row) in (0_u32..).zip(&mut rows) {
        let mut codes = [0.0; 8];
        for (dx, code) in (0_u32..).zip(&mut codes) {
            let [r, g, b] = capture.rgb(x0 + dx, y0 + dy);
            // Source: ITU-T T.871, 7.
            *code = 0.299 * r + 0.587 * g + 0.114 * b;
        }
        for (u, value) in row.iter_mut().enumerate() {
            *value = (0..8).map(|x| cosines[u][x] * codes[x]).sum();
        }
    }
    let mut coefficients = [[0.0; 8]; 8];
    for (v, out) in coefficients.iter_mut().enumerate() {
        for (u, value) in out.iter_mut().enumerate() {
            *value = (0..8).map(|y| cosines[v][y] * rows[y][u]).sum();
        }
    }
    coefficients
}
