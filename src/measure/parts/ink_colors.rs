//! Which inks a frame has: the hues that its saturated narrow things gather around.

use crate::measure::camera::camera_raster::CameraRaster;

/// Saturation from which a pixel has a hue of its own. Source: chosen between skin, up to 0.55 under warm
/// light, and pale inks, and the paler of the saturated inks.
pub const COLOURED_SATURATION: f32 = 0.45;
/// The class of pixels that are no ink's.
pub const NOTHING: u8 = 0;
/// The class of white and pale pixels; those of hues follow.
pub const PALE: u8 = 1;
/// Steps around the circle of hues. Source: chosen, 7.5 degrees.
const BINS: usize = 48;
/// What of the lesser of two peaks the valley between them leaves at most, where they are two. Source: chosen; two normal
/// peaks of equal height that are three deviations apart have one of 0.65.
const VALLEY: f64 = 0.6;
/// Least share of all coloured pixels that a hue has. Source: chosen; less is noise between two others.
const LEAST_SHARE: f64 = 0.004;

/// Saturation, 0 to 1, and hue, 0 to 6 with red 0, green 2, blue 4, of a code over a dark backdrop.
pub fn saturation_and_hue([r, g, b, _]: [u8; 4], backdrop: f32) -> (f32, f32) {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    let span = f32::from(most - least);
    let saturation = span / (f32::from(most) - 0.7 * backdrop).max(8.0);
    let [red, green, blue] = [r, g, b].map(f32::from);
    let hue = if most == least {
        0.0
    } else if most == r {
        ((green - blue) / span).rem_euclid(6.0)
    } else if most == g {
        2.0 + (blue - red) / span
    } else {
        4.0 + (red - green) / span
    };
    (saturation.min(1.0), hue)
}

/// The classes of a frame's candidate pixels.
#[derive(Clone, Debug)]
pub struct InkColors {
    /// Of each step of hue its class.
    class_of_bin: [u8; BINS],
    backdrop: f32,
}

impl InkColors {
    /// Finds the hues of candidate pixels, given by their places.
    pub fn find(
        camera: &CameraRaster,
        candidates: impl Iterator<Item = usize>,
        backdrop: f32,
    ) -> Self {
        let mut counts = [0.0_f64; BINS];
        for at in candidates {
            let (saturation, hue) = saturation_and_hue(camera.codes()[at], backdrop);
            if saturation >= COLOURED_SATURATION {
                counts[bin_of(hue)] += 1.0;
            }
        }
        let total: f64 = counts.iter().sum();
        // Weights 1 2 1: neighbours are one hue with noise on it.
        let smooth: [f64; BINS] = std::array::from_fn(|i| {
            (counts[(i + BINS - 1) % BINS] + 2.0 * counts[i] + counts[(i + 1) % BINS]) / 4.0
        });
        Self {
            class_of_bin: classes(&smooth, LEAST_SHARE * total),
            backdrop,
        }
    }

    /// The class of a pixel's colour.
    pub fn class_of(&self, code: [u8; 4]) -> u8 {
        let (saturation, hue) = saturation_and_hue(code, self.backdrop);
        if saturation < COLOURED_SATURATION {
            PALE
        } else {
            self.class_of_bin[bin_of(hue)]
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "0 to 48"
)]
fn bin_of(hue: f32) -> usize {
    ((hue / 6.0 * BINS as f32) as usize).min(BINS - 1)
}

/// Peaks take the steps around them, up to the valleys.
fn classes(counts: &[f64; BINS], least: f64) -> [u8; BINS] {
    let next = |i: usize| (i + 1) % BINS;
    let before = |i: usize| (i + BINS - 1) % BINS;
    let is_peak = |&i: &usize| {
        counts[i] > least && counts[i] >= counts[before(i)] && counts[i] > counts[next(i)]
    };
    let mut peaks: Vec<usize> = (0..BINS).filter(is_peak).collect();
    // Two peaks without a valley between them are one: the lesser goes.
    let lowest = |from: usize, to: usize| {
        let steps = (to + BINS - from) % BINS;
        (0..=steps)
            .map(|k| counts[(from + k) % BINS])
            .fold(f64::MAX, f64::min)
    };
    while peaks.len() > 1 {
        let pair = (0..peaks.len()).find(|&k| {
            let (a, b) = (peaks[k], peaks[(k + 1) % peaks.len()]);
            lowest(a, b) > VALLEY * counts[a].min(counts[b])
        });
        let Some(k) = pair else { break };
        let other = (k + 1) % peaks.len();
        let lesser = if counts[peaks[k]] < counts[peaks[other]] {
            k
        } else {
            other
        };
        peaks.remove(lesser);
    }
    let mut classes = [PALE + 1; BINS];
    for (bin, class) in classes.iter_mut().enumerate() {
        let apart = |peak: usize| {
            let steps = bin.abs_diff(peak);
            steps.min(BINS - steps)
        };
        let nearest = (0..peaks.len()).min_by_key(|&k| apart(peaks[k]));
        *class = PALE + 1 + u8::try_from(nearest.unwrap_or(0)).unwrap_or(0);
    }
    classes
}
