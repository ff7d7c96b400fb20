//! `calibrate --keyed`: the key that a mixer really applies, and the scale of its knobs.

use std::path::PathBuf;

use schemars::JsonSchema;
use serde::Serialize;

use super::calibrate::read_capture;
use super::failure::Failure;
use super::output::{USUAL_COLUMNS, note};
use crate::measure::calibration::rounded;
use crate::measure::key_fit::{Dimming, KeyFit, KeyFitError};
use crate::measure::keyed_curve::{KeyedPoint, read_keyed_curve};
use crate::measure::knob_fit::{KnobFit, KnobFitError};
use crate::pixel::chain::Chain;
use crate::pixel::key::Ramp;
use crate::pixel::knobs::{KnobScale, Knobs};
use crate::pixel::settings::Alpha;
use crate::report::paragraph::wrapped;

/// Distance of a capture from the scale of the knobs over which the scale is not used, percent of white.
/// Source: chosen; each fit is within 0.5 in simulation, so two may differ by 1.
const KNOBS_MISS_PERCENT: f64 = 1.0;
/// Dimming under which there is none worth a word.
const DIMMED: f64 = 0.985;

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

/// What `nightglass calibrate --keyed --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct KeyedReport {
    /// The version of this document's form.
    #[schemars(extend("const" = 1))]
    schema: u32,
    /// Level of the grey behind the key, percent of white.
    over: f64,
    /// The captures in order.
    captures: Vec<KeyedCapture>,
    /// The scale of the mixer's knobs; null without positions of them.
    knobs: Option<KnobsJson>,
    /// The setup file that got `[knobs]`; null where nothing was written.
    pub(super) written: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct KeyedCapture {
    /// The file.
    capture: String,
    /// What the knobs said, threshold and softness; null where that was not told.
    knobs: Option<[f64; 2]>,
    /// Percent of white.
    threshold: f64,
    /// How far it may be off, percent of white.
    threshold_margin: f64,
    /// Percent of white.
    softness: f64,
    /// How far it may be off, percent of white.
    softness_margin: f64,
    /// Shape of the matte between dropped and solid.
    ramp: Ramp,
    /// Whether no other shape explains the capture nearly as well.
    ramp_certain: bool,
    /// How the slide's colour enters.
    alpha: Alpha,
    /// How the slide as a whole is dimmed; null where it is not.
    dimming: Option<DimmingJson>,
    /// How far the fit is from the capture on average, percent of white.
    miss: f64,
    /// Whether the fit is too loose to be relied upon.
    uncertain: bool,
    /// Every step of the chart.
    steps: Vec<KeyedStep>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct DimmingJson {
    /// What is dimmed.
    of: Dimming,
    /// What is left of it, 0 to 1.
    factor: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct KeyedStep {
    /// Luma at the key, percent of white.
    luma: f64,
    /// As captured, percent of white.
    out: f64,
    /// Matte of the fitted key there.
    matte: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct KnobsJson {
    /// What the threshold knob's 0 stands for, percent of white.
    threshold_zero: f64,
    /// What each step of it adds.
    threshold_step: f64,
    /// What the softness knob's 0 stands for, percent of white.
    softness_zero: f64,
    /// What each step of it adds.
    softness_step: f64,
    /// How far a capture is from this scale at most, percent of white.
    miss: f64,
    /// Whether the knob stood at one position only, so that its 0 is taken for 0 %.
    threshold_through_zero: bool,
    /// The same for softness.
    softness_through_zero: bool,
}

/// What was found in all captures.
pub(super) struct KeyedResult {
    pub(super) report: KeyedReport,
    /// The scale, where knob positions were given.
    pub(super) knobs: Option<Knobs>,
    /// Whether a fit is too loose to be relied upon, or knob positions tell no scale.
    pub(super) is_uncertain: bool,
}

impl KeyedResult {
    /// These scales for a setup: one that was not measured, because its knob stood still, is no reason to lose the
    /// setup's.
    pub(super) fn knobs_beside(&self, knobs: Knobs, setup: Option<Knobs>) -> Knobs {
        let (Some(told), Some(setup)) = (&self.report.knobs, setup) else {
            return knobs;
        };
        let keep = |name: &str, is_through_zero: bool, measured, kept| {
            if !is_through_zero || measured == kept {
                return measured;
            }
            note(&format!(
                "the {name} knob stood at one position only, so the setup's scale of it stays"
            ));
            kept
        };
        Knobs {
            threshold: keep(
                "threshold",
                told.threshold_through_zero,
                knobs.threshold,
                setup.threshold,
            ),
            softness: keep(
                "softness",
                told.softness_through_zero,
                knobs.softness,
                setup.softness,
            ),
        }
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
        capture_json(path.to_string_lossy().into_owned(), knobs, points, fit)
    });
    Ok(KeyedResult {
        report: KeyedReport {
            schema: 1,
            over: over_percent,
            captures: captures.collect(),
            knobs: scale.map(|(threshold, softness)| KnobsJson {
                threshold_zero: threshold.scale.zero_percent(),
                threshold_step: threshold.scale.per_step_percent(),
                softness_zero: softness.scale.zero_percent(),
                softness_step: softness.scale.per_step_percent(),
                miss: threshold.miss_percent.max(softness.miss_percent),
                threshold_through_zero: threshold.is_through_zero,
                softness_through_zero: softness.is_through_zero,
            }),
            written: None,
        },
        knobs: match scale {
            Some((threshold, softness)) => Some(Knobs {
                threshold: readable(threshold.scale)?,
                softness: readable(softness.scale)?,
            }),
            None => None,
        },
        is_uncertain: (positions.len() >= 2 && !is_moved)
            || fits.iter().any(|(_, _, fit)| fit.is_uncertain())
            || scale.is_some_and(|(threshold, softness)| {
                threshold.miss_percent.max(softness.miss_percent) > KNOBS_MISS_PERCENT
            }),
    })
}

/// The scale with as many decimals as a person reads in the setup; knobs go to some hundreds, so a step
/// needs more of them than its start.
fn readable(scale: KnobScale) -> Result<KnobScale, Failure> {
    let zero_percent = rounded(scale.zero_percent(), 3);
    let per_step_percent = rounded(scale.per_step_percent(), 5);
    Ok(KnobScale::new(zero_percent, per_step_percent)?)
}

fn capture_json(
    capture: String,
    knobs: Option<[f64; 2]>,
    points: &[KeyedPoint],
    fit: &KeyFit,
) -> KeyedCapture {
    let steps = points.iter().filter(|point| point.weight >= 1.0);
    KeyedCapture {
        capture,
        knobs,
        threshold: fit.threshold_percent,
        threshold_margin: fit.threshold_margin_percent,
        softness: fit.softness_percent,
        softness_margin: fit.softness_margin_percent,
        ramp: fit.ramp,
        ramp_certain: fit.is_ramp_certain,
        alpha: fit.alpha,
        dimming: (fit.dimming_factor < DIMMED).then_some(DimmingJson {
            of: fit.dimming,
            factor: fit.dimming_factor,
        }),
        miss: fit.miss_percent,
        uncertain: fit.is_uncertain(),
        steps: steps
            .map(|point| KeyedStep {
                luma: 100.0 * point.slide,
                out: 100.0 * point.out,
                matte: fit.matte(point.slide),
            })
            .collect(),
    }
}

impl KeyedReport {
    /// The report as text.
    pub(super) fn text(&self) -> String {
        let mut text = String::new();
        for capture in &self.captures {
            text.push_str(&format!(
                "{}: threshold {:.1} %, softness {:.1} % of white\n",
                capture.capture, capture.threshold, capture.softness
            ));
            text.push_str(&format!(
                "  ramp {}, alpha {}, the fit misses by {:.2} % of white on average\n",
                ramp_word(capture.ramp),
                alpha_word(capture.alpha),
                capture.miss
            ));
            if let Some(dimming) = &capture.dimming {
                let what = match dimming.of {
                    Dimming::Colour => "the slide's colours are dimmed",
                    Dimming::Matte => "the whole slide is transparent",
                };
                text.push_str(&format!(
                    "  {what}: {:.0} % is left\n",
                    100.0 * dimming.factor
                ));
            }
            if capture.uncertain {
                let why = if capture.ramp_certain {
                    ""
                } else {
                    "a linear and a smooth ramp explain it as well, so "
                };
                text.push_str(&wrapped(&format!("  uncertain: {why}the threshold may be off by {:.1}, the softness by {:.1} % of \
                         white; record without compression and noise, and with more softness",
                        capture.threshold_margin, capture.softness_margin
                    ), "  ", USUAL_COLUMNS));
            }
        }
        match &self.knobs {
            Some(knobs) => text.push_str(&knobs.text(self.captures.len())),
            None => text.push_str(&wrapped("no knob scale: two or more captures at different positions, and `--knobs` with what \
                 the knobs said, give one", "", USUAL_COLUMNS)),
        }
        text.push_str(&match &self.written {
            Some(path) => format!("\nwrote [knobs] into {path}\n"),
            None => "\nnothing was written\n".to_owned(),
        });
        text
    }
}

impl KnobsJson {
    /// The scales, and how far they are to be trusted after so many captures.
    fn text(&self, captures: usize) -> String {
        let mut text = format!(
            "\nthreshold knob: 0 is {:.2} %, each step {:+.3} % of white\n\
                     softness knob: 0 is {:.2} %, each step {:+.3} % of white\n",
            self.threshold_zero, self.threshold_step, self.softness_zero, self.softness_step
        );
        for (knob, is_through_zero) in [
            ("threshold", self.threshold_through_zero),
            ("softness", self.softness_through_zero),
        ] {
            if is_through_zero {
                text.push_str(&wrapped(&format!(
                                "the {knob} knob stood at one position only, so its 0 is taken for 0 % {knob}"
                            ), "", USUAL_COLUMNS));
            }
        }
        let is_still = self.threshold_through_zero && self.softness_through_zero;
        text.push_str(&if is_still && self.miss <= KNOBS_MISS_PERCENT {
                    wrapped("uncertain: neither knob moved between the captures, which tells no scale; capture again \
                         with the knobs elsewhere", "", USUAL_COLUMNS)
                } else if self.miss > KNOBS_MISS_PERCENT {
                    wrapped(&format!(
                            "uncertain: a capture is {:.2} % of white beside these scales, over the limit of \
                             {KNOBS_MISS_PERCENT} %; check that `--knobs` has one pair, threshold/softness, for \
                             each capture in its order",
                            self.miss
                        ), "", USUAL_COLUMNS)
                } else if captures == 2 && !self.threshold_through_zero {
                    "a third capture at other positions would check these scales\n".to_owned()
                } else {
                    format!(
                        "the captures are up to {:.2} % of white beside these scales\n",
                        self.miss
                    )
                });
        text
    }
}

fn ramp_word(ramp: Ramp) -> &'static str {
    match ramp {
        Ramp::Linear => "linear",
        Ramp::Smooth => "smooth",
    }
}

fn alpha_word(alpha: Alpha) -> &'static str {
    match alpha {
        Alpha::Straight => "straight",
        Alpha::Premultiplied => "premultiplied",
    }
}
