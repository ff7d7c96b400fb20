//! How far inside a shape each of its pixels lies: the exact Euclidean distance to what is not shape.

use super::pixel_box::PixelBox;
use super::runs::Run;

/// Squared distances of a shape's pixels to the nearest pixel outside it, within a box.
///
/// What lies beyond the box does not count as outside, so a shape may run to the picture's edge.
/// Source: Meijster, Roerdink and Hesselink, A general algorithm for computing distance transforms
/// in linear time, 2000.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Distances {
    bounds: PixelBox,
    squared: Vec<u32>,
}

impl Distances {
    /// Distances within `bounds` of a shape made of these runs; none where the shape fills the box,
    /// so that there is nothing outside to be far from.
    ///
    /// To measure a shape by itself, let the box be a pixel larger each way where the picture goes on.
    pub fn within(bounds: PixelBox, shape: impl IntoIterator<Item = Run>) -> Option<Self> {
        let (width, height) = (bounds.width as usize, bounds.height as usize);
        let mut inside = vec![false; width * height];
        for run in shape {
            let row = PixelBox {
                x: run.start,
                y: run.y,
                width: run.end - run.start,
                height: 1,
            };
            if let Some(cut) = row.intersection(bounds) {
                let start = (cut.y - bounds.y) as usize * width + (cut.x - bounds.x) as usize;
                inside[start..start + cut.width as usize].fill(true);
            }
        }
        if inside.iter().all(|&is_inside| is_inside) {
            return None;
        }
        let mut columns = down_and_up(&inside, width);
        let mut lowest = Lowest::default();
        for row in columns.chunks_mut(width) {
            lowest.run_over(row);
        }
        let squared = columns
            .into_iter()
            .map(|v| u32::try_from(v).unwrap_or(u32::MAX))
            .collect();
        Some(Self { bounds, squared })
    }

    /// The box.
    pub fn bounds(&self) -> PixelBox {
        self.bounds
    }

    /// Squared distances in pixels, row by row; 0 outside the shape.
    pub fn squared_px(&self) -> &[u32] {
        &self.squared
    }

    /// The largest distance, px: the radius of the largest circle in the shape, about half the width of a bar.
    pub fn largest_px(&self) -> f64 {
        f64::from(self.squared.iter().copied().max().unwrap_or(0)).sqrt()
    }
}

/// The distance of each pixel to the nearest one outside in its own column, capped far above any real one.
fn down_and_up(inside: &[bool], width: usize) -> Vec<i64> {
    let height = inside.len() / width;
    let far = column(width + height);
    let mut depths = vec![0; inside.len()];
    for i in 0..inside.len() {
        if inside[i] {
            let above = if i < width { far } else { depths[i - width] };
            depths[i] = far.min(above + 1);
        }
    }
    for i in (0..inside.len().saturating_sub(width)).rev() {
        depths[i] = depths[i].min(depths[i + width] + 1);
    }
    depths
}

/// The lower envelope of a row's parabolas `(x - i)² + g(i)²`, with memory that is used again.
#[derive(Debug, Default)]
struct Lowest {
    /// Where each parabola of the envelope has its middle.
    middles: Vec<i64>,
    /// From which column on it is the lowest.
    from: Vec<i64>,
    row: Vec<i64>,
}

impl Lowest {
    /// Distances along columns become squared distances.
    fn run_over(&mut self, row: &mut [i64]) {
        if row.iter().all(|&g| g == 0) {
            return;
        }
        self.middles.clear();
        self.from.clear();
        self.row.clear();
        self.row.extend(row.iter().map(|g| g * g));
        let g = &self.row;
        let at = |x: i64, i: i64| (x - i) * (x - i) + g[index(i)];
        let width = column(row.len());
        for u in 0..width {
            while let (Some(&middle), Some(&from)) = (self.middles.last(), self.from.last())
                && at(from, middle) > at(from, u)
            {
                self.middles.pop();
                self.from.pop();
            }
            let Some(&middle) = self.middles.last() else {
                self.middles.push(u);
                self.from.push(0);
                continue;
            };
            let crossing = (u * u - middle * middle + g[index(u)] - g[index(middle)])
                .div_euclid(2 * (u - middle));
            if crossing + 1 < width {
                self.middles.push(u);
                self.from.push(crossing + 1);
            }
        }
        let mut k = self.middles.len();
        for x in (0..row.len()).rev() {
            while k > 1 && self.from[k - 1] > column(x) {
                k -= 1;
            }
            row[x] = at(column(x), self.middles[k - 1]);
        }
    }
}

/// A column as an index; columns are never negative.
fn index(column: i64) -> usize {
    usize::try_from(column).unwrap_or(0)
}

/// An index as a column; rasters are far narrower than that.
fn column(index: usize) -> i64 {
    i64::try_from(index).unwrap_or(i64::MAX)
}
