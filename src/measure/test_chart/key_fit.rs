//! The key that explains a keyed chart: threshold, softness, ramp, alpha and dimming.

use thiserror::Error;

use super::keyed_curve::KeyedPoint;
use crate::pixel::key::Ramp;
use crate::pixel::settings::Alpha;

/// Levels of the grey behind that leave room on both sides, percent of white. Source: chosen.
pub const OVER_PERCENT: [f64; 2] = [10.0, 90.0];
/// How far the grey that shows through may be from the level that was named, percent of white.
const MAX_OVER_MISS_PERCENT: f64 = 2.5;
/// Root mean square of what is left over which the fit is called uncertain, percent of white.
/// Source: chosen, three times what noise and JPEG at quality 60 left in simulation.
const UNCERTAIN_PERCENT: f64 = 1.2;
/// Margin of threshold or softness over which it is called so. Source: the half percent that
/// both are to be known within.
const UNCERTAIN_MARGIN_PERCENT: f64 = 0.5;
/// The miss over which it is refused. Source: chosen.
const REFUSED_PERCENT: f64 = 5.0;
/// Largest miss that still pulls on the fit, fraction of white: what is further off is an overlay. Source: chosen.
const MISS_CAP: f64 = 0.06;
/// Steps of the search along threshold and softness, first and after. Source: chosen.
const COARSE_STEPS: u32 = 48;
const FINE_STEPS: u32 = 8;
/// Rounds of narrowing; each is four times finer. Source: 8 rounds leave 0.001 % of white.
const ROUNDS: u32 = 8;
/// How much better a less common explanation must be than the plain one to be taken. Source: chosen.
const BETTER: f64 = 0.97;
/// How much worse another ramp explains the picture where it may be the true one. Source: 150 simulated
/// keys, of which the wrong ramp was up to a third better in those that it was taken for.
const RIVAL: f64 = 1.4;
/// Highest code that is not taken for clipped, fraction of white. Source: chosen.
const UNCLIPPED: f64 = 0.99;

/// How the slide as a whole is dimmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Dimming {
    /// Its colour is multiplied.
    Colour,
    /// Its matte is multiplied, so the camera shows through everywhere.
    Matte,
}

/// What was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyFit {
    /// Luma at and below which the slide is dropped, percent of white.
    pub threshold_percent: f64,
    /// Width of the ramp above, percent of white.
    pub softness_percent: f64,
    /// How far off the threshold may be, percent of white.
    pub threshold_margin_percent: f64,
    /// How far off the softness may be, percent of white.
    pub softness_margin_percent: f64,
    /// Shape of the ramp.
    pub ramp: Ramp,
    /// Whether no other shape explains the picture nearly as well.
    pub is_ramp_certain: bool,
    /// How the colour enters.
    pub alpha: Alpha,
    /// What is dimmed, if anything.
    pub dimming: Dimming,
    /// Factor of the dimming; 1 is none.
    pub dimming_factor: f64,
    /// Root mean square of what the key does not explain, percent of white.
    pub miss_percent: f64,
}

/// Why no key was found.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum KeyFitError {
    /// A grey that leaves no room.
    #[error("`--over` must be between {} and {} percent of white, got {got}", OVER_PERCENT[0], OVER_PERCENT[1])]
    Over {
        /// What was asked for.
        got: f64,
    },
    /// Black does not show the grey.
    #[error(
        "expected the chart's black to show the grey behind at {over:.1} % of white, got {got:.1} %"
    )]
    NotOver {
        /// What was named.
        over: f64,
        /// What the capture has.
        got: f64,
    },
    /// No key explains it.
    #[error(
        "no luma key explains this picture: the best one is {miss:.1} % of white beside it, at most {REFUSED_PERCENT} is taken"
    )]
    NoKey {
        /// What is left.
        miss: f64,
    },
}

impl KeyFitError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        Some(
            match self {
                Self::Over { .. } => "lay the key over a middle grey, such as 50 percent",
                Self::NotOver { .. } => {
                    "switch the key on, name the level of the grey that lies behind, and calibrate the chain first"
                }
                Self::NoKey { .. } => {
                    "switch off colour keys, shadows and transitions, and calibrate the chain without the key first"
                }
            }
            .to_owned(),
        )
    }
}

impl KeyFit {
    /// Finds the key from what it made of the chart over a grey of `over_percent`.
    pub fn find(points: &[KeyedPoint], over_percent: f64) -> Result<Self, KeyFitError> {
        let [least, most] = OVER_PERCENT;
        if !(least..=most).contains(&over_percent) {
            return Err(KeyFitError::Over { got: over_percent });
        }
        let over = over_percent / 100.0;
        let darkest: Vec<f64> = points
            .iter()
            .filter(|point| point.slide <= points[0].slide + 1e-9)
            .map(|point| point.out)
            .collect();
        let shown = darkest.iter().sum::<f64>() / darkest.len().max(1) as f64 * 100.0;
        // Premultiplied, a black that the chain raised lies on top of the grey.
        let raised = points.first().map_or(0.0, |black| 100.0 * black.slide);
        let is_near = |expected: f64| (shown - expected).abs() <= MAX_OVER_MISS_PERCENT;
        if points.is_empty() || !(is_near(over_percent) || is_near(over_percent + raised)) {
            return Err(KeyFitError::NotOver {
                over: over_percent,
                got: shown,
            });
        }
        let places = Explanation::ALL.map(|one| (one, search(points, over, one)));
        let (mut explanation, mut place) = places[0];
        for (other, at) in places {
            // Simple explanations come first and are kept unless another is clearly better.
            if at.cost < BETTER * place.cost {
                (explanation, place) = (other, at);
            }
        }
        // As good an explanation with another ramp says how far off this one may be.
        let rivals = places
            .iter()
            .filter(|(other, at)| other.ramp != explanation.ramp && at.cost < RIVAL * place.cost);
        let rival = rivals.min_by(|a, b| a.1.cost.total_cmp(&b.1.cost));
        let weights: f64 = points.iter().map(|point| point.weight).sum();
        let miss_percent = 100.0 * (place.cost / weights).sqrt();
        if miss_percent > REFUSED_PERCENT {
            return Err(KeyFitError::NoKey { miss: miss_percent });
        }
        let margin = |step: [f64; 2]| {
            let alone = margin_percent(points, over, explanation, place, step);
            rival.map_or(alone, |(_, at)| {
                let apart = step[0] * (at.threshold - place.threshold)
                    + step[1] * (at.softness - place.softness);
                alone.max(100.0 * apart.abs())
            })
        };
        Ok(Self {
            threshold_percent: 100.0 * place.threshold,
            softness_percent: 100.0 * place.softness,
            threshold_margin_percent: margin([1.0, 0.0]),
            softness_margin_percent: margin([0.0, 1.0]),
            ramp: explanation.ramp,
            is_ramp_certain: rival.is_none(),
            alpha: explanation.alpha,
            dimming: explanation.dimming,
            dimming_factor: place.factor,
            miss_percent,
        })
    }

    /// Whether the fit is too loose to be relied upon.
    pub fn is_uncertain(&self) -> bool {
        self.miss_percent > UNCERTAIN_PERCENT
            || self.threshold_margin_percent > UNCERTAIN_MARGIN_PERCENT
            || self.softness_margin_percent > UNCERTAIN_MARGIN_PERCENT
    }

    /// The matte at a shade, both fractions.
    pub fn matte(&self, slide: f64) -> f64 {
        matte(
            slide,
            self.threshold_percent / 100.0,
            self.softness_percent / 100.0,
            self.ramp,
        )
    }
}

/// A way in which slide and grey may have been put together.
#[derive(Clone, Copy, Debug)]
struct Explanation {
    ramp: Ramp,
    alpha: Alpha,
    dimming: Dimming,
}

impl Explanation {
    /// All, the plainest first.
    const ALL: [Self; 8] = {
        const fn of(ramp: Ramp, alpha: Alpha, dimming: Dimming) -> Explanation {
            Explanation {
                ramp,
                alpha,
                dimming,
            }
        }
        [
            of(Ramp::Linear, Alpha::Straight, Dimming::Colour),
            of(Ramp::Linear, Alpha::Straight, Dimming::Matte),
            of(Ramp::Smooth, Alpha::Straight, Dimming::Colour),
            of(Ramp::Smooth, Alpha::Straight, Dimming::Matte),
            of(Ramp::Linear, Alpha::Premultiplied, Dimming::Colour),
            of(Ramp::Linear, Alpha::Premultiplied, Dimming::Matte),
            of(Ramp::Smooth, Alpha::Premultiplied, Dimming::Colour),
            of(Ramp::Smooth, Alpha::Premultiplied, Dimming::Matte),
        ]
    };

    /// `out = rest + factor * part` at matte `m`: the factor is the dimming.
    fn parts(self, slide: f64, over: f64, m: f64) -> (f64, f64) {
        match (self.alpha, self.dimming) {
            (Alpha::Straight, Dimming::Colour) => ((1.0 - m) * over, m * slide),
            (Alpha::Straight, Dimming::Matte) => (over, m * (slide - over)),
            (Alpha::Premultiplied, Dimming::Colour) => ((1.0 - m) * over, slide),
            (Alpha::Premultiplied, Dimming::Matte) => (over, slide - m * over),
        }
    }
}

/// A place in the search with what it costs.
#[derive(Clone, Copy, Debug)]
struct Place {
    threshold: f64,
    softness: f64,
    factor: f64,
    cost: f64,
}

/// The same formula as the key's own, in `f64`.
fn matte(luma: f64, threshold: f64, softness: f64, ramp: Ramp) -> f64 {
    if softness <= 0.0 {
        return if luma > threshold { 1.0 } else { 0.0 };
    }
    let m = ((luma - threshold) / softness).clamp(0.0, 1.0);
    match ramp {
        Ramp::Linear => m,
        Ramp::Smooth => m * m * (3.0 - 2.0 * m),
    }
}

/// What a threshold and a softness cost with the best dimming.
fn judge(
    points: &[KeyedPoint],
    over: f64,
    explanation: Explanation,
    [threshold, softness]: [f64; 2],
) -> Place {
    let (mut with, mut own) = (0.0, 0.0);
    for point in points.iter().filter(|point| point.out < UNCLIPPED) {
        let m = matte(point.slide, threshold, softness, explanation.ramp);
        let (rest, part) = explanation.parts(point.slide, over, m);
        with += point.weight * (point.out - rest) * part;
        own += point.weight * part * part;
    }
    let factor = if own > 1e-6 {
        (with / own).clamp(0.05, 1.5)
    } else {
        1.0
    };
    let mut cost = 0.0;
    for point in points {
        let m = matte(point.slide, threshold, softness, explanation.ramp);
        let (rest, part) = explanation.parts(point.slide, over, m);
        let expected = (rest + factor * part).clamp(0.0, 1.0);
        let miss = (point.out - expected).abs().min(MISS_CAP);
        cost += point.weight * miss * miss;
    }
    Place {
        threshold,
        softness,
        factor,
        cost,
    }
}

/// The cheapest threshold and softness: a net over all, then ever finer nets around the best.
fn search(points: &[KeyedPoint], over: f64, explanation: Explanation) -> Place {
    let mut best = judge(points, over, explanation, [0.0, 0.0]);
    let try_at = |best: &mut Place, threshold: f64, softness: f64| {
        if (0.0..=1.0).contains(&threshold) && (0.0..=1.0).contains(&softness) {
            let place = judge(points, over, explanation, [threshold, softness]);
            if place.cost < best.cost {
                *best = place;
            }
        }
    };
    // Thresholds are mostly low and softnesses small: squares crowd the net there.
    let share = |step: u32| (f64::from(step) / f64::from(COARSE_STEPS)).powi(2);
    for t in 0..=COARSE_STEPS {
        for s in 0..=COARSE_STEPS {
            try_at(&mut best, share(t), share(s));
        }
    }
    let mut reach = [
        (2.0 * best.threshold.sqrt() / f64::from(COARSE_STEPS)).max(0.004),
        (2.0 * best.softness.sqrt() / f64::from(COARSE_STEPS)).max(0.004),
    ];
    for _ in 0..ROUNDS {
        // The net follows the best until that lies inside of it.
        for _ in 0..4 {
            let centre = best;
            for t in 0..=FINE_STEPS {
                for s in 0..=FINE_STEPS {
                    let offset = |step: u32| 2.0 * f64::from(step) / f64::from(FINE_STEPS) - 1.0;
                    try_at(
                        &mut best,
                        centre.threshold + reach[0] * offset(t),
                        centre.softness + reach[1] * offset(s),
                    );
                }
            }
            if best.cost >= centre.cost {
                break;
            }
        }
        reach = reach.map(|reach| reach / 4.0);
    }
    best
}

/// How far a place can move along `step` before it costs as much more as two deviations would.
fn margin_percent(
    points: &[KeyedPoint],
    over: f64,
    explanation: Explanation,
    place: Place,
    step: [f64; 2],
) -> f64 {
    // Rounding alone leaves a third of a code: no fit is surer than that.
    let floor = 0.3_f64.powi(2) / 255.0_f64.powi(2);
    let variance = (place.cost / (points.len() as f64 - 4.0).max(1.0)).max(floor * 0.1);
    let mut far = 0.0;
    for sign in [-1.0, 1.0] {
        for tick in 1..=200 {
            let distance = f64::from(tick) * 0.0005;
            let moved = [
                place.threshold + sign * distance * step[0],
                (place.softness + sign * distance * step[1]).max(0.0),
            ];
            if judge(points, over, explanation, moved).cost > place.cost + 4.0 * variance {
                break;
            }
            far = f64::max(far, distance);
        }
    }
    100.0 * far
}
