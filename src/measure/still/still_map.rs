//! Where what stands still in one picture lies in another: `q = shift + (1 + a, -b; b, 1 + a) p` about both centres.

/// The map, in pixels of any raster. `x` to the right, `y` down, so that a positive `b` turns clockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StillMap {
    /// How far the middle has moved, px.
    pub shift: [f64; 2],
    /// Real part of what stretches and turns, less 1.
    pub a: f64,
    /// Imaginary part of it.
    pub b: f64,
}

impl StillMap {
    /// A map that zooms and turns about the middle.
    pub fn new(shift: [f64; 2], zoom: f64, rotation_degrees: f64) -> Self {
        let angle = rotation_degrees.to_radians();
        Self {
            shift,
            a: zoom * angle.cos() - 1.0,
            b: zoom * angle.sin(),
        }
    }

    /// Where a point lies, both counted from the middle.
    pub fn apply(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [
            self.shift[0] + (1.0 + self.a) * x - self.b * y,
            self.shift[1] + self.b * x + (1.0 + self.a) * y,
        ]
    }

    /// The map back.
    #[must_use]
    pub fn inverse(&self) -> Self {
        let (c, s) = (1.0 + self.a, self.b);
        let det = (c * c + s * s).max(f64::MIN_POSITIVE);
        let (c, s) = (c / det, -s / det);
        let [x, y] = self.shift;
        Self {
            shift: [-(c * x - s * y), -(s * x + c * y)],
            a: c - 1.0,
            b: s,
        }
    }

    /// The same in pixels that are so many times smaller.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            shift: self.shift.map(|v| v * factor),
            ..*self
        }
    }

    /// How much larger things are, percent.
    pub fn zoom_percent(&self) -> f64 {
        100.0 * ((1.0 + self.a).hypot(self.b) - 1.0)
    }

    /// How far things are turned clockwise, degrees.
    pub fn rotation_degrees(&self) -> f64 {
        self.b.atan2(1.0 + self.a).to_degrees()
    }

    /// How far the corner that moves most has moved in a picture of this width and height, px.
    pub fn worst_corner_px(&self, [width, height]: [f64; 2]) -> f64 {
        let corners = [(-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.5, 0.5)];
        corners.iter().fold(0.0, |most, (x, y)| {
            let (x, y) = (x * width, y * height);
            let [u, v] = self.apply([x, y]);
            f64::max(most, (u - x).hypot(v - y))
        })
    }
}
