//! The video chain between slide and mixer, as far as a calibration measures it.

use super::settings::{SettingsError, percent_to_frac};

/// What the video chain does to the slide signal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chain {
    gain: f64,
    offset_percent: f64,
    noise_percent: f64,
}

impl Chain {
    /// A chain with a gain of 0.1 to 10, an offset of -100 to 100 and noise of 0 to 100 percent of white.
    pub fn new(gain: f64, offset_percent: f64, noise_percent: f64) -> Result<Self, SettingsError> {
        let allowed = (0.1..=10.0).contains(&gain)
            && (-100.0..=100.0).contains(&offset_percent)
            && (0.0..=100.0).contains(&noise_percent);
        if allowed {
            Ok(Self {
                gain,
                offset_percent,
                noise_percent,
            })
        } else {
            Err(SettingsError::Chain {
                gain,
                offset: offset_percent,
                noise: noise_percent,
            })
        }
    }

    /// Factor on the slide signal; 1 leaves it.
    pub fn gain(&self) -> f64 {
        self.gain
    }

    /// Added to the slide signal, percent of white.
    pub fn offset_percent(&self) -> f64 {
        self.offset_percent
    }

    /// Standard deviation of the chain's noise, percent of white; for measuring only.
    pub fn noise_percent(&self) -> f64 {
        self.noise_percent
    }

    /// Gain and offset as the formulas use them.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the rounding to f32 is what is wanted"
    )]
    pub fn gain_and_offset_frac(&self) -> (f32, f32) {
        (self.gain as f32, percent_to_frac(self.offset_percent))
    }
}
