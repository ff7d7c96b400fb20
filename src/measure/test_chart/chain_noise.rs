//! The noise of a chain: how far pixels of one shade differ, and the threshold that lies above it.

use super::capture::Capture;
use super::chart::PatchRole;
use super::chart_reading::ChartReading;
use super::jpeg_noise::{JpegGrid, jpeg_noise};
use super::patch_reading::PatchReading;
use crate::measure::statistics::middle::middle_of;
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// How many deviations a patch keeps from black and white so that its noise is whole.
/// Source: a normal distribution clipped 3 deviations off loses 1 % of its variance at most.
const CLEAR_DEVIATIONS: f64 = 3.0;
/// Pixels of a frame that may still exceed the threshold floor. Source: chosen, one in 20 frames.
const EXPECTED_PIXELS: f64 = 0.05;
/// Steps of halving. Source: 60 halvings of 40 leave less than an `f64` holds.
const HALVINGS: u32 = 60;

/// The chain's noise, in 8-bit codes, standard deviation of luma.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChainNoise {
    /// Over all steps that are neither crushed nor clipped.
    pub luma_codes: f64,
    /// Over those up to a quarter of white; none where all of them are crushed.
    pub dark_codes: Option<f64>,
    /// Over those from three quarters of white; none where all of them are clipped.
    pub bright_codes: Option<f64>,
    /// Whether it was worked out from the coefficients of a JPEG file, which hides part of it.
    pub from_jpeg: bool,
    /// Whether the file is a JPEG whose compression took so much of the noise that it reads too low.
    pub is_hidden: bool,
}

/// Measures the noise. With a JPEG file's grid, what its compression took away is put back.
pub fn measure_chain_noise(
    frame: &Frame,
    reading: &ChartReading,
    patches: &[PatchReading],
    jpeg: Option<&JpegGrid>,
) -> ChainNoise {
    let capture = Capture::new(frame);
    let clear = clear_patches(patches);
    let pooled = |wanted: &dyn Fn(f64) -> bool| {
        let some: Vec<&PatchReading> = clear
            .iter()
            .copied()
            .filter(|patch| wanted(f64::from(patch.sent_u8[0])))
            .collect();
        pooled_deviation(&some, capture.rounding_variance())
    };
    let luma_codes = pooled(&|_| true).unwrap_or(0.0);
    let noise = ChainNoise {
        luma_codes,
        dark_codes: pooled(&|sent| sent <= 64.0),
        bright_codes: pooled(&|sent| sent >= 191.0),
        from_jpeg: false,
        is_hidden: jpeg.is_some(),
    };
    let by_grid = jpeg.and_then(|grid| {
        let is_clear = |sent: u8, role: PatchRole| {
            clear
                .iter()
                .any(|patch| patch.sent_u8[0] == sent && patch.role == role)
        };
        jpeg_noise(capture, reading, grid, is_clear)
    });
    match by_grid {
        Some(codes) => {
            let share = |of: Option<f64>| of.map(|_| codes);
            ChainNoise {
                luma_codes: codes,
                dark_codes: share(noise.dark_codes),
                bright_codes: share(noise.bright_codes),
                from_jpeg: true,
                is_hidden: false,
            }
        }
        None => noise,
    }
}

/// The neutral patches whose noise neither black nor white cuts.
fn clear_patches(patches: &[PatchReading]) -> Vec<&PatchReading> {
    let mut all: Vec<f64> = patches
        .iter()
        .filter(|patch| patch.is_grey() && (32.0..224.0).contains(&patch.luma_codes))
        .map(|patch| patch.luma_deviation_codes)
        .collect();
    let typical = middle_of(&mut all, f64::total_cmp).unwrap_or(0.0);
    let margin = CLEAR_DEVIATIONS * typical + 1.0;
    patches
        .iter()
        .filter(|patch| {
            patch.is_grey()
                && patch
                    .mean_codes
                    .iter()
                    .all(|code| (margin..=255.0 - margin).contains(code))
        })
        .collect()
}

/// The deviation over patches, without the largest and smallest tenth, and without what rounding adds:
/// `sqrt(var_luma (1 - rounding / var_channel))`, right both where the channels' noise is one and where
/// each has its own.
fn pooled_deviation(patches: &[&PatchReading], rounding: f64) -> Option<f64> {
    if patches.is_empty() {
        return None;
    }
    let mut sorted = patches.to_vec();
    sorted.sort_by(|a, b| a.luma_deviation_codes.total_cmp(&b.luma_deviation_codes));
    let cut = sorted.len() / 10;
    let kept = &sorted[cut..sorted.len() - cut];
    let (mut pixels, mut luma, mut channels) = (0.0, 0.0, 0.0);
    for patch in kept {
        let count = f64::from(patch.pixels);
        let square = |deviation: f64| deviation * deviation;
        pixels += count;
        luma += count * square(patch.luma_deviation_codes);
        let [r, g, b] = patch.deviation_codes.map(square);
        channels += count * (r + g + b) / 3.0;
    }
    let (luma, channels) = (luma / pixels, channels / pixels);
    if channels <= rounding {
        return Some(0.0);
    }
    Some((luma * (1.0 - rounding / channels)).sqrt())
}

/// The factor on the noise that one pixel of a flat frame exceeds in 20 frames, one-sided:
/// `Q(k) = expected / pixels`. Source: the normal distribution; 5.458 for 1920x1080.
pub fn false_alarm_deviations(output: Size) -> f64 {
    let wanted = EXPECTED_PIXELS / output.area() as f64;
    let (mut low, mut high) = (0.0, 40.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if 0.5 * libm::erfc(middle / std::f64::consts::SQRT_2) > wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
