//! The noise of a camera, from the pixels of its backdrop: per channel, with what black cuts off put back.

use super::camera_luma::luma_deviation_codes;
use super::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;
use crate::measure::statistics::noise_ceiling::upper_tail;

/// Fewest places that give a noise. Source: chosen; a standard deviation is right to 2 % from there.
const LEAST_PLACES: u64 = 2_000;
/// Share of places without any response from which compression has taken noise away. Source: computed; noise of half
/// a code, rounded, leaves 0.2 % of responses under half a code at six times its deviation a place, plus ties.
const FLAT_SHARE: f64 = 0.4;
/// Variance that rounding to codes adds. Source: uniform distribution over one code.
const ROUNDING: f64 = 1.0 / 12.0;
/// Steps of halving. Source: chosen, 50 halvings of 20 are beyond what is printed.
const HALVINGS: u32 = 50;

/// The noise of a camera frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraNoise {
    /// Standard deviation of R', G' and B', 8-bit codes.
    pub channels_codes: [f64; 3],
    /// Whether compression or enlarging took so much of it that it reads too low.
    pub is_hidden: bool,
}

impl CameraNoise {
    /// Of luma, where each channel has its own noise, codes.
    pub fn luma_codes(&self) -> f64 {
        luma_deviation_codes(self.channels_codes)
    }

    /// The noisiest channel, codes.
    pub fn most_codes(&self) -> f64 {
        self.channels_codes.into_iter().fold(0.0, f64::max)
    }
}

/// Measures the noise where the backdrop is seen; none where too little of it is.
///
/// `sigma = sqrt(pi / 2) / 6 mean |I * M|`, `M = [1 -2 1; -2 4 -2; 1 -2 1]`.
/// Source: J. Immerkær, Fast noise variance estimation, Computer Vision and Image Understanding 64(2), 1996.
pub fn measure_camera_noise(camera: &CameraRaster, backdrop: &Runs) -> Option<CameraNoise> {
    let width = camera.size().width() as usize;
    let height = camera.size().height();
    let codes = camera.codes();
    let (mut responses, mut sums) = ([0_u64; 3], [0_u64; 3]);
    let (mut places, mut flat) = (0_u64, 0_u64);
    let fits = |y: u32, start: usize, end: usize| {
        let row = backdrop.row(y);
        let at = row.partition_point(|run| (run.end as usize) < end);
        row.get(at).is_some_and(|run| run.start as usize <= start)
    };
    for run in backdrop.as_slice() {
        let (y, start, end) = (run.y, run.start as usize, run.end as usize);
        if y == 0 || y + 1 >= height || end - start < 3 {
            continue;
        }
        if !(fits(y - 1, start, end) && fits(y + 1, start, end)) {
            continue;
        }
        let row = y as usize * width;
        for at in row + start + 1..row + end - 1 {
            let mut is_flat = true;
            for c in 0..3 {
                let code = |at: usize| i32::from(codes[at][c]);
                let line = |at: usize| code(at - 1) - 2 * code(at) + code(at + 1);
                let response = line(at - width) - 2 * line(at) + line(at + width);
                is_flat &= response == 0;
                responses[c] += u64::from(response.unsigned_abs());
                sums[c] += u64::from(codes[at][c]);
            }
            places += 1;
            flat += u64::from(is_flat);
        }
    }
    if places < LEAST_PLACES {
        return None;
    }
    let channels_codes: [f64; 3] = std::array::from_fn(|c| {
        let per_place = |sum: u64| sum as f64 / places as f64;
        let read = std::f64::consts::FRAC_PI_2.sqrt() / 6.0 * per_place(responses[c]);
        unclipped_deviation(per_place(sums[c]), read)
    });
    Some(CameraNoise {
        channels_codes,
        is_hidden: flat as f64 > FLAT_SHARE * places as f64
            || channels_codes.iter().all(|&codes| codes <= 0.0),
    })
}

/// The deviation of noise whose values under 0 came as 0, from the mean and the deviation that are left of it.
///
/// With `a = mean / sigma` before clipping, what is left has
/// `m = sigma (a Q(-a) + phi(a))` and `s² = sigma² ((1 + a²) Q(-a) + a phi(a)) - m²`;
/// `a` is found from `m / s`, which grows with it. Source: moments of a censored normal distribution.
pub fn unclipped_deviation(mean: f64, deviation: f64) -> f64 {
    let deviation = (deviation * deviation - ROUNDING).max(0.0).sqrt();
    if deviation <= 0.0 {
        return 0.0;
    }
    let left = |a: f64| {
        let density = (-0.5 * a * a).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let kept = upper_tail(-a);
        let m = a * kept + density;
        let s = ((1.0 + a * a) * kept + a * density - m * m)
            .max(1e-12)
            .sqrt();
        (m, s)
    };
    let (mut low, mut high) = (-2.0, 8.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        let (m, s) = left(middle);
        if m / s < mean / deviation {
            low = middle;
        } else {
            high = middle;
        }
    }
    deviation / left(high).1
}
