//! The scale of a mixer's knobs from what was measured at several of their positions.

use thiserror::Error;

use super::chain_line::least_squares;
use crate::pixel::knobs::KnobScale;

/// A knob's position and what was measured there, percent of white.
pub type KnobPoint = (f64, f64);

/// A scale and how well it fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnobFit {
    /// The scale; none where the knob stood at one position only.
    pub scale: Option<KnobScale>,
    /// Largest distance of a measurement from it, or where there is none from the first one, percent of white.
    pub miss_percent: f64,
}

/// Why there is no scale.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum KnobFitError {
    /// The measurements are the same, whatever the knob says.
    #[error(
        "the {knob} did not follow its knob: {from:.1} % of white at one position, {to:.1} % at another"
    )]
    NotFollowing {
        /// `threshold` or `softness`.
        knob: &'static str,
        /// At the first position, percent of white.
        from: f64,
        /// At the last, percent of white.
        to: f64,
    },
}

impl KnobFitError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        let Self::NotFollowing { .. } = self;
        let words =
            "check that `--knobs` has one pair, threshold/softness, for each capture in its order";
        Some(words.to_owned())
    }
}

impl KnobFit {
    /// The scale that fits the points of a knob best.
    pub fn find(knob: &'static str, points: &[KnobPoint]) -> Result<Self, KnobFitError> {
        let not_following = || KnobFitError::NotFollowing {
            knob,
            from: points.first().map_or(0.0, |point| point.1),
            to: points.last().map_or(0.0, |point| point.1),
        };
        let scale = match least_squares(points) {
            Some((per_step, zero)) => {
                let scale = KnobScale::new(zero, per_step);
                Some(scale.map_err(|_too_flat| not_following())?)
            }
            None => None,
        };
        let first = points.first().map_or(0.0, |point| point.1);
        let told = |position| scale.map_or(first, |scale| scale.percent_from_knob(position));
        let miss_percent = points.iter().fold(0.0, |largest, &(position, percent)| {
            f64::max(largest, (told(position) - percent).abs())
        });
        Ok(Self {
            scale,
            miss_percent,
        })
    }
}
