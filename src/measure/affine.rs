//! A map from chart pixels to capture pixels: `x = a X + b Y + c`, `y = d X + e Y + f`.

/// The map. It keeps straight lines, as scalers and mixers do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Affine {
    /// `[a, b, c]`
    pub(super) x: [f64; 3],
    /// `[d, e, f]`
    pub(super) y: [f64; 3],
}

impl Affine {
    /// The map that fits pairs of chart and capture points best, by least squares; none where the
    /// points lie on a line.
    pub(super) fn fit(pairs: &[([f64; 2], [f64; 2])]) -> Option<Self> {
        let mut normal = [[0.0; 3]; 3];
        let mut right = [[0.0; 3]; 2];
        for &([px, py], target) in pairs {
            let row = [px, py, 1.0];
            for i in 0..3 {
                for j in 0..3 {
                    normal[i][j] += row[i] * row[j];
                }
                for axis in 0..2 {
                    right[axis][i] += row[i] * target[axis];
                }
            }
        }
        Some(Self {
            x: solve(normal, right[0])?,
            y: solve(normal, right[1])?,
        })
    }

    /// Where a chart point lies in the capture.
    pub(super) fn capture_from_chart(&self, [px, py]: [f64; 2]) -> [f64; 2] {
        [
            self.x[0] * px + self.x[1] * py + self.x[2],
            self.y[0] * px + self.y[1] * py + self.y[2],
        ]
    }

    /// Where a capture point lies on the chart.
    pub(super) fn chart_from_capture(&self, [px, py]: [f64; 2]) -> [f64; 2] {
        let (dx, dy) = (px - self.x[2], py - self.y[2]);
        let det = self.determinant();
        [
            (self.y[1] * dx - self.x[1] * dy) / det,
            (self.x[0] * dy - self.y[0] * dx) / det,
        ]
    }

    /// Negative where the capture is mirrored.
    pub(super) fn determinant(&self) -> f64 {
        self.x[0] * self.y[1] - self.x[1] * self.y[0]
    }

    /// Capture pixels to a chart pixel, along the chart's width and height.
    pub(super) fn scales(&self) -> [f64; 2] {
        [self.x[0].hypot(self.y[0]), self.x[1].hypot(self.y[1])]
    }

    /// The largest distance between where points are and where the map has them, capture px.
    pub(super) fn largest_miss_px(&self, pairs: &[([f64; 2], [f64; 2])]) -> f64 {
        pairs.iter().fold(0.0, |largest, &(chart, capture)| {
            let [px, py] = self.capture_from_chart(chart);
            f64::max(largest, (px - capture[0]).hypot(py - capture[1]))
        })
    }
}

/// Solves three equations by Cramer's rule; none where they are not independent.
fn solve(m: [[f64; 3]; 3], right: [f64; 3]) -> Option<[f64; 3]> {
    let det = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = det(m);
    if whole.abs() < 1e-12 {
        return None;
    }
    Some(std::array::from_fn(|column| {
        let mut replaced = m;
        for row in 0..3 {
            replaced[row][column] = right[row];
        }
        det(replaced) / whole
    }))
}
