//! A map from chart pixels to capture pixels: `x = a X + b Y + c`, `y = d X + e Y + f`.

use super::least_squares::LeastSquares;

/// The map. It keeps straight lines, as scalers and mixers do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Affine {
    /// `[a, b, c]`
    pub(crate) x: [f64; 3],
    /// `[d, e, f]`
    pub(crate) y: [f64; 3],
}

impl Affine {
    /// The map that fits pairs of chart and capture points best, by least squares; none where the
    /// points lie on a line.
    pub(crate) fn fit(pairs: &[([f64; 2], [f64; 2])]) -> Option<Self> {
        let mut axes = [LeastSquares::<3>::new(), LeastSquares::<3>::new()];
        for &([px, py], capture) in pairs {
            for (axis, at) in axes.iter_mut().zip(capture) {
                axis.add([px, py, 1.0], at);
            }
        }
        let [x, y] = axes.map(|axis| axis.solve());
        Some(Self { x: x?, y: y? })
    }

    /// Where a chart point lies in the capture.
    pub(crate) fn capture_from_chart(&self, [px, py]: [f64; 2]) -> [f64; 2] {
        [
            self.x[0] * px + self.x[1] * py + self.x[2],
            self.y[0] * px + self.y[1] * py + self.y[2],
        ]
    }

    /// Where a capture point lies on the chart.
    pub(crate) fn chart_from_capture(&self, [px, py]: [f64; 2]) -> [f64; 2] {
        let (dx, dy) = (px - self.x[2], py - self.y[2]);
        let det = self.determinant();
        [
            (self.y[1] * dx - self.x[1] * dy) / det,
            (self.x[0] * dy - self.y[0] * dx) / det,
        ]
    }

    /// Negative where the capture is mirrored.
    pub(crate) fn determinant(&self) -> f64 {
        self.x[0] * self.y[1] - self.x[1] * self.y[0]
    }

    /// Capture pixels to a chart pixel, along the chart's width and height.
    pub(crate) fn scales(&self) -> [f64; 2] {
        [self.x[0].hypot(self.y[0]), self.x[1].hypot(self.y[1])]
    }

    /// The largest distance between where points are and where the map has them, capture px.
    pub(crate) fn largest_miss_px(&self, pairs: &[([f64; 2], [f64; 2])]) -> f64 {
        pairs.iter().fold(0.0, |largest, &(chart, capture)| {
            let [px, py] = self.capture_from_chart(chart);
            f64::max(largest, (px - capture[0]).hypot(py - capture[1]))
        })
    }
}
