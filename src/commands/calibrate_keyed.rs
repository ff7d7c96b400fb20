//! `calibrate --keyed`: the key that a mixer really applies, and the scale of its knobs.

use std::path::PathBuf;

use super::calibrate::read_capture;
use super::failure::Failure;
use super::keyed_report::{KeyedCapture, KeyedReport, KnobsJson};
use super::output::note;
use crate::measure::test_chart::calibration::rounded;
use crate::measure::test_chart::key_fit::{KeyFit, KeyFitError};
use crate::measure::test_chart::keyed_curve::read_keyed_curve;
use crate::measure::test_chart::knob_fit::{KnobFit, KnobFitError};
use crate::pixel::chain::Chain;
use crate::pixel::knobs::{KnobScale, Knobs};

/// Positions of the threshold's and the softness's knob.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct KnobPair(f64, f64);

/// Reads `12/40`.
pub(super) fn knob_pair(written: &str) -> Result<KnobPair, String> {
    let numbers = written.split_once('/').and_then(|(threshold, softness)| {
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|v| v.is_finite());
        Some(KnobPair(number(threshold)?, number(softness)?))
    });
    numbers.ok_or_else(|| "expected threshold/softness, such as 12/40".to_owned())
}

impl From<KeyFitError> for Failure {
    fn from(error: KeyFitError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<KnobFitError> for Failure {
    fn from(error: KnobFitError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

/// What was found in all captures.
pub(super) struct KeyedResult {
    pub(super) report: KeyedReport,
    /// The scale, where knob positions were given.
    pub(super) knobs: Option<Knobs>,
    /// Whether a fit is too loose to be relied upon, or knob positions tell no scale.
    pub(super) is_uncertain: bool,
}

/// These scales for a setup: one that was not measured, because its knob stood still, is no reason to lose the
/// setup's.
pub(super) fn knobs_beside(knobs: Knobs, setup: Option<Knobs>) -> Knobs {
    let setup = setup.unwrap_or_default();
    let keep = |name: &str, measured: Option<KnobScale>, kept: Option<KnobScale>| {
        if measured.is_none() && kept.is_some() {
            note(&format!(
                "the {name} knob stood at one position only, so the setup's scale of it stays"
            ));
        }
        measured.or(kept)
    };
    Knobs {
        threshold: keep("threshold", knobs.threshold, setup.threshold),
        softness: keep("softness", knobs.softness, setup.softness),
    }
}

/// Measures the key in every capture.
pub(super) fn measure(
    captures: &[PathBuf],
    over_percent: f64,
    positions: &[KnobPair],
    chain: Option<Chain>,
) -> Result<KeyedResult, Failure> {
    if !positions.is_empty() && positions.len() != captures.len() {
        return Err(Failure::with_hint(
            anyhow::anyhow!(
                "expected one pair of `--knobs` for each capture, got {} for {}",
                positions.len(),
                captures.len()
            ),
            Some(
                "write threshold/softness for each in order, such as `--knobs 12/40,20/40`"
                    .to_owned(),
            ),
        ));
    }
    if let Some(chain) = chain {
        note(&format!(
            "using the chain of the setup: gain {:.3}, offset {:.1} %",
            chain.gain(),
            chain.offset_percent()
        ));
    }
    let mut fits = Vec::new();
    for path in captures {
        let named = |failure: Failure| failure.context(format!("cannot use `{}`", path.display()));
        let read = read_capture(path)?;
        let points =
            read_keyed_curve(&read.frame, chain).map_err(|error| named(Failure::from(error)))?;
        let fit =
            KeyFit::find(&points, over_percent).map_err(|error| named(Failure::from(error)))?;
        fits.push((path, points, fit));
    }
    let moved = |knob: fn(&KnobPair) -> f64| {
        let mut positions = positions.iter().map(knob);
        let first = positions.next();
        positions.any(|position| Some(position) != first)
    };
    let is_moved = moved(|p| p.0) || moved(|p| p.1);
    let scale = if positions.len() >= 2 {
        let points = |knob: fn(&KnobPair) -> f64, percent: fn(&KeyFit) -> f64| -> Vec<(f64, f64)> {
            positions
                .iter()
                .zip(&fits)
                .map(|(position, (_, _, fit))| (knob(position), percent(fit)))
                .collect()
        };
        let threshold = KnobFit::find("threshold", &points(|p| p.0, |fit| fit.threshold_percent))?;
        let softness = KnobFit::find("softness", &points(|p| p.1, |fit| fit.softness_percent))?;
        Some((threshold, softness))
    } else {
        None
    };
    let captures = fits.iter().enumerate().map(|(index, (path, points, fit))| {
        let knobs = positions.get(index).map(|pair| [pair.0, pair.1]);
        KeyedCapture::new(path.to_string_lossy().into_owned(), knobs, points, fit)
    });
    let report = KeyedReport::new(over_percent, captures.collect(), scale);
    let is_torn = report.knobs.as_ref().is_some_and(KnobsJson::is_torn);
    Ok(KeyedResult {
        report,
        knobs: match scale {
            Some((threshold, softness)) => Some(Knobs {
                threshold: threshold.scale.map(readable).transpose()?,
                softness: softness.scale.map(readable).transpose()?,
            }),
            None => None,
        },
        is_uncertain: (positions.len() >= 2 && !is_moved)
            || fits.iter().any(|(_, _, fit)| fit.is_uncertain())
            || is_torn,
    })
}

/// The scale with as many decimals as a person reads in the setup; knobs go to some hundreds, so a step
/// needs more of them than its start.
fn readable(scale: KnobScale) -> Result<KnobScale, Failure> {
    let zero_percent = rounded(scale.zero_percent(), 3);
    let per_step_percent = rounded(scale.per_step_percent(), 5);
    Ok(KnobScale::new(zero_percent, per_step_percent)?)
}
