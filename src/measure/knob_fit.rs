//! The scale of a mixer's knobs from what was measured at several of their positions.

use thiserror::Error;

use super::chain_line::least_squares;
use crate::pixel::knobs::KnobScale;

/// A knob's position and what was measured there, percent of white.
pub type KnobPoint = (f64, f64);

/// A scale and how well it fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnobFit {
    /// The scale.
    pub scale: KnobScale,
    /// Largest distance of a measurement from it, percent of white.
    pub miss_percent: f64,
    /// Whether only one position was measured and knob 0 is taken for 0 %.
    pub is_through_zero: bool,
}

/// Why there is no scale.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum KnobFitError {
    /// All at one position, which is 0.
    #[error("the {knob} knob was at 0 in every capture, which tells no scale")]
    OnePosition {
        /// `threshold` or `softness`.
        knob: &'static str,
    },
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
        Some(
            match self {
                Self::OnePosition { .. } => "capture again with that knob elsewhere",
                Self::NotFollowing { .. } => {
                    "check that `--knobs` has one pair, threshold/softness, for each capture in its order"
                }
            }
            .to_owned(),
        )
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
        let (zero, per_step, is_through_zero) = match least_squares(points) {
            Some((per_step, zero)) => (zero, per_step, false),
            None => match points.first() {
                Some(&(position, percent)) if position.abs() > 0.0 => {
                    (0.0, percent / position, true)
                }
                _ => return Err(KnobFitError::OnePosition { knob }),
            },
        };
        let scale = KnobScale::new(zero, per_step).map_err(|_too_flat| not_following())?;
        let miss_percent = points.iter().fold(0.0, |largest, &(position, percent)| {
            f64::max(largest, (scale.percent_from_knob(position) - percent).abs())
        });
        Ok(Self {
            scale,
            miss_percent,
            is_through_zero,
        })
    }
}
