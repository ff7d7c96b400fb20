//! Vectors in space, and the distance shapes the figure is put together from.

use std::ops::{Add, Mul, Sub};

/// A point, a direction or a linear-light colour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Vector {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) z: f32,
}

/// Short form of making a [`Vector`].
pub(crate) const fn v(x: f32, y: f32, z: f32) -> Vector {
    Vector { x, y, z }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        v(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        v(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}

impl Mul<f32> for Vector {
    type Output = Self;
    fn mul(self, k: f32) -> Self {
        v(self.x * k, self.y * k, self.z * k)
    }
}

impl Vector {
    /// Scalar product.
    pub(crate) fn dot(self, o: Self) -> f32 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }

    /// Length.
    pub(crate) fn length(self) -> f32 {
        self.dot(self).sqrt()
    }

    /// The same direction with length one.
    pub(crate) fn unit(self) -> Self {
        self * (1.0 / self.length().max(1e-9))
    }

    /// Vector product.
    pub(crate) fn cross(self, o: Self) -> Self {
        v(
            self.y * o.z - self.z * o.y,
            self.z * o.x - self.x * o.z,
            self.x * o.y - self.y * o.x,
        )
    }

    /// Product of each pair of parts, for colours.
    pub(crate) fn tint(self, o: Self) -> Self {
        v(self.x * o.x, self.y * o.y, self.z * o.z)
    }

    /// Straight mixture with another vector.
    pub(crate) fn mix(self, o: Self, t: f32) -> Self {
        self + (o - self) * t
    }
}

/// Distance to a ball.
pub(crate) fn ball(p: Vector, centre: Vector, radius: f32) -> f32 {
    (p - centre).length() - radius
}

/// Near distance to an ellipsoid.
pub(crate) fn egg(p: Vector, centre: Vector, radii: Vector) -> f32 {
    let q = p - centre;
    let a = v(q.x / radii.x, q.y / radii.y, q.z / radii.z);
    let b = v(a.x / radii.x, a.y / radii.y, a.z / radii.z);
    let k = a.length();
    k * (k - 1.0) / b.length().max(1e-6)
}

/// Distance to a rod whose radius goes from `ra` to `rb`.
pub(crate) fn rod(p: Vector, a: Vector, b: Vector, ra: f32, rb: f32) -> f32 {
    let (d, t) = along(p, a, b);
    d - (ra + (rb - ra) * t)
}

/// Distance from a segment, and the share of the way along it.
pub(crate) fn along(p: Vector, a: Vector, b: Vector) -> (f32, f32) {
    let (pa, ba) = (p - a, b - a);
    let t = (pa.dot(ba) / ba.dot(ba)).clamp(0.0, 1.0);
    ((pa - ba * t).length(), t)
}

/// Distance to a box with rounded edges.
pub(crate) fn block(p: Vector, centre: Vector, half: Vector, round: f32) -> f32 {
    let q = p - centre;
    let d = v(
        q.x.abs() - half.x + round,
        q.y.abs() - half.y + round,
        q.z.abs() - half.z + round,
    );
    let outside = v(d.x.max(0.0), d.y.max(0.0), d.z.max(0.0)).length();
    outside + d.x.max(d.y).max(d.z).min(0.0) - round
}

/// Union that melts over a width of `k`.
pub(crate) fn melt(a: f32, b: f32, k: f32) -> f32 {
    let h = (k - (a - b).abs()).max(0.0) / k;
    a.min(b) - h * h * k * 0.25
}

/// `a` with `b` taken away, softened over a width of `k`.
pub(crate) fn carve(a: f32, b: f32, k: f32) -> f32 {
    -melt(-a, b, k)
}
