//! Repeatable noise out of an integer hash: no clock and no random source.

/// Mixes three lattice coordinates into 32 well-stirred bits.
pub(crate) fn hash(x: i32, y: i32, z: i32) -> u32 {
    let mut h = x.cast_unsigned().wrapping_mul(0x8DA6_B343)
        ^ y.cast_unsigned().wrapping_mul(0xD816_3841)
        ^ z.cast_unsigned().wrapping_mul(0xCB1A_B31F);
    h ^= h >> 16;
    h = h.wrapping_mul(0x7FEB_352D);
    h ^= h >> 15;
    h = h.wrapping_mul(0x846C_A68B);
    h ^ (h >> 16)
}

/// A number in 0..1 that belongs to a lattice point.
pub(crate) fn unit(x: i32, y: i32, z: i32) -> f32 {
    (hash(x, y, z) >> 8) as f32 / 16_777_216.0
}

/// Smooth value noise in 0..1 over space.
pub(crate) fn smooth(x: f32, y: f32, z: f32) -> f32 {
    let (ix, fx) = split(x);
    let (iy, fy) = split(y);
    let (iz, fz) = split(z);
    let row = |j: i32, k: i32| mix(unit(ix, iy + j, iz + k), unit(ix + 1, iy + j, iz + k), fx);
    let sheet = |k: i32| mix(row(0, k), row(1, k), fy);
    mix(sheet(0), sheet(1), fz)
}

/// Sums `octaves` layers of [`smooth`], each half as strong and twice as fine; 0..1.
pub(crate) fn layered(x: f32, y: f32, z: f32, octaves: u32) -> f32 {
    let (mut sum, mut weight, mut total, mut scale) = (0.0, 0.5, 0.0, 1.0);
    for octave in 0..octaves {
        let shift = 17.3 * octave as f32;
        sum += weight * smooth(x * scale + shift, y * scale, z * scale - shift);
        total += weight;
        weight *= 0.5;
        scale *= 2.03;
    }
    sum / total
}

/// Roughly normal noise (mean 0, deviation 1) for a pixel.
pub(crate) fn grain(x: i32, y: i32, seed: i32) -> f32 {
    let sum: f32 = (0..4).map(|k| unit(x, y, seed * 4 + k)).sum();
    (sum - 2.0) * 1.732
}

/// Straight mixture of two values.
pub(crate) fn mix(a: f32, b: f32, t: f32) -> f32 {
    a + (b - a) * t
}

/// Smooth rise from 0 at `low` to 1 at `high`; `low` may exceed `high`.
pub(crate) fn ramp(low: f32, high: f32, x: f32) -> f32 {
    let t = ((x - low) / (high - low)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Lattice cell and eased position inside of it.
fn split(x: f32) -> (i32, f32) {
    let floor = x.floor();
    let f = x - floor;
    (floor as i32, f * f * (3.0 - 2.0 * f))
}
