//! The scale of a real mixer's knobs: what a knob value is in percent of white.

use super::settings::{Key, SettingsError};

/// One knob: `percent = zero + per_step * knob`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnobScale {
    zero_percent: f64,
    per_step_percent: f64,
}

impl KnobScale {
    /// A scale with a finite zero from -1000 to 1000 percent and a step of 0.0001 to 1000 percent either way.
    pub fn new(zero_percent: f64, per_step_percent: f64) -> Result<Self, SettingsError> {
        let allowed = (-1000.0..=1000.0).contains(&zero_percent)
            && (0.0001..=1000.0).contains(&per_step_percent.abs());
        if allowed {
            Ok(Self {
                zero_percent,
                per_step_percent,
            })
        } else {
            Err(SettingsError::KnobScale {
                zero: zero_percent,
                per_step: per_step_percent,
            })
        }
    }

    /// What knob value 0 means, percent of white.
    pub fn zero_percent(&self) -> f64 {
        self.zero_percent
    }

    /// What one step of the knob adds, percent of white.
    pub fn per_step_percent(&self) -> f64 {
        self.per_step_percent
    }

    /// The knob value for a percentage.
    pub fn knob_from_percent(&self, percent: f64) -> f64 {
        (percent - self.zero_percent) / self.per_step_percent
    }

    /// The percentage of a knob value.
    pub fn percent_from_knob(&self, knob: f64) -> f64 {
        self.zero_percent + self.per_step_percent * knob
    }
}

/// The scales of the knobs of the key, those that are known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Knobs {
    /// The threshold's knob.
    pub threshold: Option<KnobScale>,
    /// The softness's knob.
    pub softness: Option<KnobScale>,
}

impl Knobs {
    /// A key on those knobs whose scale is known, threshold and softness.
    pub fn of_key(&self, key: &Key) -> [Option<f64>; 2] {
        [
            (self.threshold, key.threshold_percent()),
            (self.softness, key.softness_percent()),
        ]
        .map(|(scale, percent)| scale.map(|scale| scale.knob_from_percent(percent)))
    }
}
