//! Rasters of numbers that are blurred and laid over each other.

/// A raster of one number a pixel.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) values: Vec<f32>,
}

impl Sheet {
    pub(crate) fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            values: vec![0.0; width * height],
        }
    }

    /// A value, the nearest where the place is outside.
    pub(crate) fn at(&self, x: f32, y: f32) -> f32 {
        let side = |v: f32, side: usize| (v.max(0.0) as usize).min(side - 1);
        self.values[side(y, self.height) * self.width + side(x, self.width)]
    }

    /// Near-normal blur: three running means each way, on a coarser raster where the blur is wide.
    #[must_use]
    pub(crate) fn blurred(&self, sigma: f32) -> Self {
        if sigma < 0.3 {
            return self.clone();
        }
        let step = (sigma / 3.0).floor().clamp(1.0, 8.0) as usize;
        if step == 1 {
            return self.smoothed(sigma);
        }
        let (width, height) = (self.width.div_ceil(step), self.height.div_ceil(step));
        let mut small = Self::new(width, height);
        for y in 0..height {
            for x in 0..width {
                let (mut sum, mut count) = (0.0, 0.0);
                for v in y * step..((y + 1) * step).min(self.height) {
                    let row = v * self.width;
                    for u in x * step..((x + 1) * step).min(self.width) {
                        sum += self.values[row + u];
                        count += 1.0;
                    }
                }
                small.values[y * width + x] = sum / count;
            }
        }
        let small = small.smoothed(sigma / step as f32);
        let mut out = Self::new(self.width, self.height);
        let place = |i: usize, side: usize| {
            let p = ((i as f32 + 0.5) / step as f32 - 0.5).clamp(0.0, side as f32 - 1.0);
            let first = (p as usize).min(side.saturating_sub(2));
            (first, (first + 1).min(side - 1), p - first as f32)
        };
        for y in 0..self.height {
            let (y0, y1, ty) = place(y, height);
            for x in 0..self.width {
                let (x0, x1, tx) = place(x, width);
                let row = |y: usize| {
                    let (a, b) = (small.values[y * width + x0], small.values[y * width + x1]);
                    a + (b - a) * tx
                };
                out.values[y * self.width + x] = row(y0) + (row(y1) - row(y0)) * ty;
            }
        }
        out
    }

    /// Three running means each way of fractional width `sqrt(4 sigma² + 1)`, so that small blurs are right too.
    fn smoothed(&self, sigma: f32) -> Self {
        let radius = ((4.0 * sigma * sigma + 1.0).sqrt() - 1.0) / 2.0;
        let mut out = self.clone();
        let mut column = vec![0.0; self.height];
        for _ in 0..3 {
            for row in out.values.chunks_mut(self.width) {
                mean(row, radius);
            }
        }
        for x in 0..self.width {
            for (y, value) in column.iter_mut().enumerate() {
                *value = out.values[y * self.width + x];
            }
            for _ in 0..3 {
                mean(&mut column, radius);
            }
            for (y, value) in column.iter().enumerate() {
                out.values[y * self.width + x] = *value;
            }
        }
        out
    }
}

/// Running mean over `2 radius + 1`, edges repeated, the outermost pixels weighted by what is left over.
fn mean(row: &mut [f32], radius: f32) {
    let whole = radius.floor() as usize;
    let part = radius - radius.floor();
    let share = 1.0 / (2.0 * radius + 1.0);
    let old = row.to_vec();
    let last = old.len() - 1;
    let held = |i: usize| old[i.min(last)];
    let before = |i: usize, back: usize| old[i.saturating_sub(back)];
    let mut sum: f32 = old[0] * whole as f32 + (0..=whole).map(held).sum::<f32>();
    for (i, value) in row.iter_mut().enumerate() {
        let ends = before(i, whole + 1) + held(i + whole + 1);
        *value = (sum + part * ends) * share;
        sum += held(i + whole + 1) - before(i, whole);
    }
}

/// Three sheets, R'G'B' in codes.
#[derive(Clone, Debug)]
pub(crate) struct Picture(pub(crate) [Sheet; 3]);

impl Picture {
    pub(crate) fn new(width: usize, height: usize) -> Self {
        Self(std::array::from_fn(|_| Sheet::new(width, height)))
    }

    #[must_use]
    pub(crate) fn blurred(&self, sigma: f32) -> Self {
        Self(std::array::from_fn(|c| self.0[c].blurred(sigma)))
    }

    /// The same with each number changed.
    #[must_use]
    pub(crate) fn map(&self, change: impl Fn(f32) -> f32) -> Self {
        let mut changed = self.clone();
        for sheet in &mut changed.0 {
            sheet
                .values
                .iter_mut()
                .for_each(|value| *value = change(*value));
        }
        changed
    }

    /// Adds another picture, `weight` times.
    pub(crate) fn add(&mut self, other: &Self, weight: f32) {
        for (to, from) in self.0.iter_mut().zip(&other.0) {
            to.values
                .iter_mut()
                .zip(&from.values)
                .for_each(|(to, from)| *to += weight * from);
        }
    }
}
