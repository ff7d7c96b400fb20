//! Linear least squares of a few unknowns, from sums alone.

/// Sums of products: of what is known with itself, and with what is to be explained.
#[derive(Clone, Debug)]
pub struct LeastSquares<const N: usize> {
    products: [[f64; N]; N],
    targets: [f64; N],
}

impl<const N: usize> LeastSquares<N> {
    /// Nothing yet.
    pub fn new() -> Self {
        Self {
            products: [[0.0; N]; N],
            targets: [0.0; N],
        }
    }

    /// One equation: `known` times the unknowns is `target`.
    pub fn add(&mut self, known: [f64; N], target: f64) {
        for i in 0..N {
            for j in 0..N {
                self.products[i][j] += known[i] * known[j];
            }
            self.targets[i] += known[i] * target;
        }
    }

    /// Draws an unknown to 0, as so many equations do that say that it is.
    pub fn damp(&mut self, unknown: usize, equations: f64) {
        self.products[unknown][unknown] += equations;
    }

    /// The unknowns with the least sum of squared errors; none where the equations do not tell them. Gaussian
    /// elimination with partial pivoting of the normal equations.
    pub fn solve(&self) -> Option<[f64; N]> {
        let (mut rows, mut right) = (self.products, self.targets);
        let largest = (0..N).map(|i| rows[i][i]).fold(0.0, f64::max);
        for i in 0..N {
            let pivot = (i..N).max_by(|&a, &b| rows[a][i].abs().total_cmp(&rows[b][i].abs()))?;
            if rows[pivot][i].abs() <= 1e-12 * largest {
                return None;
            }
            rows.swap(i, pivot);
            right.swap(i, pivot);
            for below in i + 1..N {
                let factor = rows[below][i] / rows[i][i];
                let pivot = rows[i];
                for (value, from) in rows[below].iter_mut().zip(pivot).skip(i) {
                    *value -= factor * from;
                }
                right[below] -= factor * right[i];
            }
        }
        let mut unknowns = [0.0; N];
        for i in (0..N).rev() {
            let known: f64 = (i + 1..N).map(|j| rows[i][j] * unknowns[j]).sum();
            unknowns[i] = (right[i] - known) / rows[i][i];
        }
        Some(unknowns)
    }
}

impl<const N: usize> Default for LeastSquares<N> {
    fn default() -> Self {
        Self::new()
    }
}
