//! What a capture of the test chart tells of the chain between computer and recorder.

use schemars::JsonSchema;
use serde::Serialize;

use super::chain_line::{ChainLine, fit_chain_line, levelled_steps};
use super::chain_noise::{ChainNoise, measure_chain_noise};
use super::chart_edges::{EdgeLoss, measure_edges};
use super::chart_reading::ChartReading;
use super::chart_reading_error::ChartReadingError;
use super::jpeg_noise::JpegGrid;
use super::patch_reading::{PatchReading, read_patches};
use super::range_mistake::Range;
use crate::pixel::chain::Chain;
use crate::pixel::frame::Frame;
use crate::pixel::settings::SettingsError;

/// Bend from which a line is none, percent of white. Source: chosen, over what rounding and compression do.
pub const BEND_PERCENT: f64 = 2.0;

/// What the chain does, measured.
#[derive(Clone, Debug)]
pub struct Calibration {
    /// Where the chart lies and which way round.
    pub reading: ChartReading,
    /// What every edge loses, in the order left, top, right, bottom.
    pub edges: [EdgeLoss; 4],
    /// Levels of luma.
    pub line: ChainLine,
    /// Levels of R', G' and B'.
    pub channels: [ChainLine; 3],
    /// Which mistake of range there is.
    pub range: Range,
    /// Noise.
    pub noise: ChainNoise,
    /// Darkest steps of the fine wedge that come as one shade; 0 where all can be told apart.
    pub crushed_steps: u32,
    /// Brightest steps of the coarse wedge that come as one shade; 0 where all can be told apart.
    pub clipped_steps: u32,
    /// Every patch.
    pub patches: Vec<PatchReading>,
}

/// How far neutral greys are from neutral, percent of white: R' G' B' less luma.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cast {
    /// At a dark grey, a tenth of white.
    pub dark_percent: [f64; 3],
    /// At white.
    pub white_percent: [f64; 3],
}

impl Calibration {
    /// Measures a capture. `jpeg` is the grid of the JPEG file that it came from, if it did.
    pub fn measure(frame: &Frame, jpeg: Option<&JpegGrid>) -> Result<Self, ChartReadingError> {
        let reading = ChartReading::find(frame)?;
        let patches = read_patches(frame, &reading);
        let noise = measure_chain_noise(frame, &reading, &patches, jpeg);
        let fit = |value: &dyn Fn(&PatchReading) -> f64| {
            fit_chain_line(&patches, value, noise.luma_codes)
                .map_err(|usable| ChartReadingError::Levels { usable })
        };
        let line = fit(&|patch| patch.luma_codes)?;
        let channels = [
            fit(&|patch| patch.mean_codes[0])?,
            fit(&|patch| patch.mean_codes[1])?,
            fit(&|patch| patch.mean_codes[2])?,
        ];
        let (crushed_steps, clipped_steps) = levelled_steps(&line);
        // A curve is no mistake of range, however near to one its straight part comes.
        let range = match Range::of(line.gain, line.offset_codes, line.crushed_to_code) {
            named if named != Range::Correct && is_bent(&line) => Range::Other,
            range => range,
        };
        Ok(Self {
            edges: measure_edges(frame, &reading),
            range,
            reading,
            line,
            channels,
            noise,
            crushed_steps,
            clipped_steps,
            patches,
        })
    }

    /// Whether levels follow a curve rather than a line.
    pub fn is_bent(&self) -> bool {
        is_bent(&self.line)
    }

    /// Offset of the chain, percent of white.
    pub fn offset_percent(&self) -> f64 {
        percent_from_codes(self.line.offset_codes)
    }

    /// Noise of the chain, percent of white.
    pub fn noise_percent(&self) -> f64 {
        percent_from_codes(self.noise.luma_codes)
    }

    /// The chain as the setup has it, rounded to what a person can read: no figure moves by more than
    /// 0.005 % of white.
    pub fn chain(&self) -> Result<Chain, SettingsError> {
        Chain::new(
            rounded(self.line.gain, 4),
            rounded(self.offset_percent(), 3),
            rounded(self.noise_percent(), 3),
        )
    }

    /// The colour cast of the greys.
    pub fn cast(&self) -> Cast {
        let beside_luma = |sent_code: f64| {
            let luma = self.line.captured_code(sent_code);
            self.channels
                .map(|channel| percent_from_codes(channel.captured_code(sent_code) - luma))
        };
        Cast {
            dark_percent: beside_luma(25.5),
            white_percent: beside_luma(255.0),
        }
    }

    /// Luma of the slide's black after the chain, percent of white.
    pub fn black_percent(&self) -> f64 {
        let crushed = self.line.captured_code(self.line.crushed_to_code);
        percent_from_codes(crushed).max(0.0)
    }

    /// The lowest threshold that noise on black does not cross, percent of white, when noise counts
    /// `deviations` times.
    pub fn threshold_floor_percent(&self, deviations: f64) -> f64 {
        self.black_percent() + deviations * self.noise_percent()
    }
}

fn is_bent(line: &ChainLine) -> bool {
    percent_from_codes(line.bend_codes) > BEND_PERCENT
}

/// 8-bit codes in percent of white.
pub fn percent_from_codes(codes: f64) -> f64 {
    codes / 2.55
}

/// A number with so many decimals; zero has no sign.
pub fn rounded(value: f64, decimals: i32) -> f64 {
    let factor = 10_f64.powi(decimals);
    (value * factor).round() / factor + 0.0
}
