//! What `calibrate --keyed` tells: the key of each capture and the scale of the knobs, as text and as JSON.

use schemars::JsonSchema;
use serde::Serialize;

use super::output::USUAL_COLUMNS;
use crate::measure::test_chart::key_fit::{Dimming, KeyFit};
use crate::measure::test_chart::keyed_curve::KeyedPoint;
use crate::measure::test_chart::knob_fit::KnobFit;
use crate::pixel::key::Ramp;
use crate::pixel::settings::Alpha;
use crate::report::paragraph::wrapped;

/// Distance of a capture from the scale of the knobs over which the scale is not used, percent of white.
/// Source: chosen; each fit is within 0.5 in simulation, so two may differ by 1.
const KNOBS_MISS_PERCENT: f64 = 1.0;
/// Factor of the dimming from which on there is none worth a word. Source: chosen; the fit is within 0.01 in simulation,
/// so that none may look like 0.99.
const DIMMED: f64 = 0.985;

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
    pub(super) knobs: Option<KnobsJson>,
    /// The setup file that got `[knobs]`; null where nothing was written.
    pub(super) written: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct KeyedCapture {
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
pub(super) struct KnobsJson {
    /// What the threshold knob's 0 stands for, percent of white; null where it stood at one position only.
    threshold_zero: Option<f64>,
    /// What each step of it adds; null likewise.
    threshold_step: Option<f64>,
    /// What the softness knob's 0 stands for, percent of white; null likewise.
    softness_zero: Option<f64>,
    /// What each step of it adds; null likewise.
    softness_step: Option<f64>,
    /// How far a capture is from these scales at most, percent of white.
    miss: f64,
}

impl KeyedReport {
    /// What was found, before it is written anywhere.
    pub(super) fn new(
        over: f64,
        captures: Vec<KeyedCapture>,
        scale: Option<(KnobFit, KnobFit)>,
    ) -> Self {
        Self {
            schema: 1,
            over,
            captures,
            knobs: scale.map(KnobsJson::from),
            written: None,
        }
    }

    /// The report as text.
    pub(super) fn text(&self) -> String {
        let mut text: String = self.captures.iter().map(KeyedCapture::text).collect();
        text += &match &self.knobs {
            Some(knobs) => knobs.text(self.captures.len()),
            None => paragraph(
                "no knob scale: two or more captures at different positions, \
                 and `--knobs` with what the knobs said, give one",
            ),
        };
        text += &match &self.written {
            Some(path) => format!("\nwrote [knobs] into {path}\n"),
            None => "\nnothing was written\n".to_owned(),
        };
        text
    }
}

impl KeyedCapture {
    /// What was found in the capture of this name, with what the knobs said.
    pub(super) fn new(
        capture: String,
        knobs: Option<[f64; 2]>,
        points: &[KeyedPoint],
        fit: &KeyFit,
    ) -> Self {
        let steps = points.iter().filter(|point| point.weight >= 1.0);
        Self {
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

    /// Its lines of the report.
    fn text(&self) -> String {
        let mut text = format!(
            "{}: threshold {:.1} %, softness {:.1} % of white\n",
            self.capture, self.threshold, self.softness
        );
        text += &format!(
            "  ramp {}, alpha {}, the fit misses by {:.2} % of white on average\n",
            ramp_word(self.ramp),
            alpha_word(self.alpha),
            self.miss
        );
        if let Some(dimming) = &self.dimming {
            let what = match dimming.of {
                Dimming::Colour => "the slide's colours are dimmed",
                Dimming::Matte => "the whole slide is transparent",
            };
            let left_percent = 100.0 * dimming.factor;
            text += &format!("  {what}: {left_percent:.0} % is left\n");
        }
        if self.uncertain {
            let why = if self.ramp_certain {
                ""
            } else {
                "a linear and a smooth ramp explain it as well, so "
            };
            let told = format!(
                "  uncertain: {why}the threshold may be off by {:.1}, the softness by {:.1} % of white; \
                 record without compression and noise, and with more softness",
                self.threshold_margin, self.softness_margin
            );
            text += &wrapped(&told, "  ", USUAL_COLUMNS);
        }
        text
    }
}

impl From<(KnobFit, KnobFit)> for KnobsJson {
    fn from((threshold, softness): (KnobFit, KnobFit)) -> Self {
        Self {
            threshold_zero: threshold.scale.map(|scale| scale.zero_percent()),
            threshold_step: threshold.scale.map(|scale| scale.per_step_percent()),
            softness_zero: softness.scale.map(|scale| scale.zero_percent()),
            softness_step: softness.scale.map(|scale| scale.per_step_percent()),
            miss: threshold.miss_percent.max(softness.miss_percent),
        }
    }
}

impl KnobsJson {
    /// The scales, and how far they are to be trusted after so many captures.
    fn text(&self, captures: usize) -> String {
        let scale = |knob: &str, zero: Option<f64>, step: Option<f64>| match (zero, step) {
            (Some(zero), Some(step)) => {
                format!("{knob} knob: 0 is {zero:.2} %, each step {step:+.3} % of white\n")
            }
            _ => paragraph(&format!(
                "the {knob} knob stood at one position only, which tells no scale of it"
            )),
        };
        let mut text = "\n".to_owned();
        text += &scale("threshold", self.threshold_zero, self.threshold_step);
        text += &scale("softness", self.softness_zero, self.softness_step);
        let is_still = self.threshold_step.is_none() && self.softness_step.is_none();
        text + &if self.is_torn() {
            paragraph(&format!(
                "uncertain: a capture is {:.2} % of white beside these scales, \
                 over the limit of {KNOBS_MISS_PERCENT} %; check that `--knobs` has one pair, \
                 threshold/softness, for each capture in its order",
                self.miss
            ))
        } else if is_still {
            paragraph(
                "uncertain: neither knob moved between the captures, which tells no scale; \
                 capture again with the knobs elsewhere",
            )
        } else if captures == 2 {
            paragraph("a third capture at other positions would check these scales")
        } else {
            let miss = self.miss;
            paragraph(&format!(
                "the captures are up to {miss:.2} % of white beside these scales"
            ))
        }
    }

    /// Whether a capture is too far beside these scales for them to be used.
    pub(super) fn is_torn(&self) -> bool {
        self.miss > KNOBS_MISS_PERCENT
    }
}

/// Lines of a paragraph, none of them indented.
fn paragraph(words: &str) -> String {
    wrapped(words, "", USUAL_COLUMNS)
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
