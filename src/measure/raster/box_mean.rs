//! Means over boxes, by running sums: they cost the same however large the box is.

use rayon::prelude::*;

/// Means over boxes of `2 reach + 1` values each way, with nothing outside of the plane.
pub(crate) fn box_mean(values: &[f32], width: usize, reach: usize) -> Vec<f32> {
    down(&across(values, width, reach), width, reach)
}

/// Along rows.
fn across(values: &[f32], width: usize, reach: usize) -> Vec<f32> {
    let share = share_of(reach);
    let mut out = vec![0.0_f32; values.len()];
    out.par_chunks_mut(width)
        .zip(values.par_chunks(width))
        .for_each(|(out, row)| {
            let mut sum: f64 = row.iter().take(reach).map(|&v| f64::from(v)).sum();
            for (x, out) in out.iter_mut().enumerate() {
                if let Some(&v) = row.get(x + reach) {
                    sum += f64::from(v);
                }
                *out = narrow(sum) * share;
                if let Some(x) = x.checked_sub(reach) {
                    sum -= f64::from(row[x]);
                }
            }
        });
    out
}

/// Along columns.
fn down(values: &[f32], width: usize, reach: usize) -> Vec<f32> {
    let share = share_of(reach);
    let height = values.len() / width;
    let row = |y: usize| &values[y * width..(y + 1) * width];
    let mut out = vec![0.0_f32; values.len()];
    let mut sums = vec![0.0_f64; width];
    for y in 0..reach.min(height) {
        for (sum, &v) in sums.iter_mut().zip(row(y)) {
            *sum += f64::from(v);
        }
    }
    for (y, out) in out.chunks_mut(width).enumerate() {
        if y + reach < height {
            for (sum, &v) in sums.iter_mut().zip(row(y + reach)) {
                *sum += f64::from(v);
            }
        }
        for (out, &sum) in out.iter_mut().zip(&sums) {
            *out = narrow(sum) * share;
        }
        if let Some(y) = y.checked_sub(reach) {
            for (sum, &v) in sums.iter_mut().zip(row(y)) {
                *sum -= f64::from(v);
            }
        }
    }
    out
}

/// What each value counts in a mean along one axis.
fn share_of(reach: usize) -> f32 {
    1.0 / (2 * reach + 1) as f32
}

/// A sum as it is kept.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding is what is wanted"
)]
fn narrow(sum: f64) -> f32 {
    sum as f32
}
