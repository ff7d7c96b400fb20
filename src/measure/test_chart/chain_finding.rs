//! What is wrong with a chain, in numbers and in words.

use schemars::JsonSchema;
use serde::Serialize;

use super::calibration::{BEND_PERCENT, Calibration, percent_from_codes};
use super::chart::Edge;
use super::chart_edges::EdgeLoss;
use super::range_mistake::Range;
use crate::measure::finding::{Severity, Unit};
use crate::pixel::settings::Turn;

/// Loss from which an edge counts, percent of the side: what lies inside action safe must survive.
/// Source: EBU R 95, action-safe area.
const SAFE_MARGIN_PERCENT: f64 = 3.5;
/// Loss that is worth knowing, percent of the side. Source: chosen, a few pixels.
const SMALL_LOSS_PERCENT: f64 = 0.3;
/// Cast from which it counts, percent of white. Source: chosen, seen on greys side by side.
const CAST_PERCENT: f64 = 1.5;
/// Noise from which it counts, percent of white. Source: chosen; black plus what one pixel in 20 frames
/// exceeds is then about the usual threshold.
const NOISE_PERCENT: f64 = 1.0;
/// Border from which a picture does not fill the frame, percent of a side. Source: chosen.
const BORDER_PERCENT: f64 = 1.0;
/// Tilt that no cable makes, degrees. Source: chosen, over what finding the markers is off by.
const TILT_DEGREES: f64 = 0.25;
/// Difference of both scales from which circles are no circles, percent. Source: chosen by eye.
const STRETCH_PERCENT: f64 = 1.0;

/// What is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChainKind {
    /// Mirrored or turned.
    WrongWayRound,
    /// A mistake of range.
    Range,
    /// Gain or offset that no mistake of range explains.
    Levels,
    /// Dark steps that come as one.
    Crushed,
    /// Bright steps that come as one.
    Clipped,
    /// No straight line between sent and captured.
    Bent,
    /// Greys that are not neutral.
    Cast,
    /// An edge that loses something.
    EdgeLost,
    /// Circles become ellipses.
    Stretched,
    /// The chart does not fill the picture.
    Border,
    /// The chart is askew in the picture.
    Tilted,
    /// Noise that makes black flicker under a usual threshold.
    Noise,
}

/// Something wrong with the chain.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChainFinding {
    /// What.
    pub kind: ChainKind,
    /// How bad.
    pub severity: Severity,
    /// What was measured, in `unit`.
    pub measured: f64,
    /// The limit that it crossed, in `unit`.
    pub limit: f64,
    /// What both are counted in.
    pub unit: Unit,
    /// What it means and what to do, in sentences.
    pub advice: String,
}

/// All that is wrong, the worst first.
pub fn chain_findings(found: &Calibration) -> Vec<ChainFinding> {
    let mut findings = Vec::new();
    findings.extend(way_round(found));
    findings.extend(range(found));
    findings.extend(ends(found));
    findings.extend(bend(found));
    findings.extend(cast(found));
    findings.extend(noise(found));
    findings.extend(placing(found));
    findings.extend(geometry(found));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    findings
}

fn way_round(found: &Calibration) -> Option<ChainFinding> {
    let reading = &found.reading;
    let turned = format!("turned {} degrees clockwise", reading.turn.degrees());
    let what = match (reading.turn, reading.is_mirrored) {
        (Turn::None, false) => return None,
        (Turn::None, true) => "mirrored left-right".to_owned(),
        (_, false) => turned,
        (_, true) => format!("{turned} and then mirrored"),
    };
    Some(ChainFinding {
        kind: ChainKind::WrongWayRound,
        severity: Severity::Fail,
        measured: reading.turn.degrees().into(),
        limit: 0.0,
        unit: Unit::None,
        advice: if (reading.turn, reading.is_mirrored) == (Turn::None, true) {
            format!(
                "The slide comes {what}. Switch that off where the slide enters the mixer, or set \
                 `mirror_slide` if it is meant."
            )
        } else {
            format!(
                "The slide comes {what}. Set the computer's display and the mixer's input to landscape, \
                 neither turned nor flipped."
            )
        },
    })
}

fn range(found: &Calibration) -> Option<ChainFinding> {
    let (kind, advice) = match found.range {
        Range::Correct => return None,
        // What is said of the bend says it all.
        Range::Other if found.is_bent() => return None,
        Range::Expanded | Range::ExpandedTwice => (
            ChainKind::Range,
            "A full-range signal is taken for a video-range one, so darks are crushed and brights \
             clipped. Set the computer's output to limited (video) range, or the mixer's input to \
             full range; one of the two, not both.",
        ),
        Range::Compressed | Range::CompressedTwice => (
            ChainKind::Range,
            "The signal is squeezed into video range and never stretched again, so black comes as \
             grey and lies over the camera as haze. Set the computer's output to full range, or the \
             mixer's input to limited (video) range; one of the two, not both.",
        ),
        Range::BlacksClipped => (
            ChainKind::Crushed,
            "Levels are right, but the darkest are cut off. Look for a setting that limits the signal \
             to video levels.",
        ),
        Range::Other => (
            ChainKind::Levels,
            "No mistake of range explains it. Put brightness, contrast and gain at the mixer's input, \
             and the computer's display settings, to neutral.",
        ),
    };
    let (measured, limit, unit) = match found.range {
        Range::Other => (found.line.gain, 1.0, Unit::Ratio),
        Range::BlacksClipped => (found.line.crushed_to_code, 0.0, Unit::Codes),
        named => (found.line.gain, named.mark().0, Unit::Ratio),
    };
    Some(ChainFinding {
        kind,
        severity: Severity::Fail,
        measured,
        limit,
        unit,
        advice: advice.to_owned(),
    })
}

fn ends(found: &Calibration) -> Vec<ChainFinding> {
    let mut findings = Vec::new();
    let line = &found.line;
    if found.crushed_steps > 0 && found.range != Range::BlacksClipped {
        findings.push(ChainFinding {
            kind: ChainKind::Crushed,
            severity: Severity::Warn,
            measured: percent_from_codes(line.crushed_to_code),
            limit: 0.0,
            unit: Unit::Percent,
            advice: format!(
                "Everything up to {:.1} % of white comes as black: the {} darkest steps of the near-black \
                 wedge are one shade.",
                percent_from_codes(line.crushed_to_code),
                found.crushed_steps
            ),
        });
    }
    if found.clipped_steps > 0 {
        findings.push(ChainFinding {
            kind: ChainKind::Clipped,
            severity: Severity::Warn,
            measured: percent_from_codes(line.clipped_from_code),
            limit: 100.0,
            unit: Unit::Percent,
            advice: format!(
                "Everything from {:.1} % of white comes as white: the {} brightest steps are one shade.",
                percent_from_codes(line.clipped_from_code),
                found.clipped_steps
            ),
        });
    }
    findings
}

fn bend(found: &Calibration) -> Option<ChainFinding> {
    let measured = percent_from_codes(found.line.bend_codes);
    found.is_bent().then(|| ChainFinding {
        kind: ChainKind::Bent,
        severity: Severity::Fail,
        measured,
        limit: BEND_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "Levels follow a curve, up to {measured:.1} % of white beside a straight line, so gain and \
             offset only hold roughly. Look for a gamma, contrast or picture-mode setting."
        ),
    })
}

fn noise(found: &Calibration) -> Option<ChainFinding> {
    let measured = found.noise_percent();
    (measured > NOISE_PERCENT).then(|| ChainFinding {
        kind: ChainKind::Noise,
        severity: Severity::Warn,
        measured,
        limit: NOISE_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "The signal is noisy, {measured:.1} % of white, so that black flickers under a low threshold. \
             Send the slide by cable, digitally, and switch off gain at the mixer's input."
        ),
    })
}

/// What tells that the picture is not the signal alone, full screen.
fn placing(found: &Calibration) -> Vec<ChainFinding> {
    let mut findings = Vec::new();
    let [across, down] = filled_percent(found);
    let border = 100.0 - across.min(down);
    if border > BORDER_PERCENT {
        findings.push(ChainFinding {
            kind: ChainKind::Border,
            severity: Severity::Warn,
            measured: border,
            limit: BORDER_PERCENT,
            unit: Unit::Percent,
            advice: format!(
                "The chart fills only {across:.0} % of the picture's width and {down:.0} % of its height. \
                 Show it full screen, at the size that the mixer works in, with nothing beside it."
            ),
        });
    }
    let tilt = found.reading.tilt_degrees();
    if tilt > TILT_DEGREES {
        findings.push(ChainFinding {
            kind: ChainKind::Tilted,
            severity: Severity::Warn,
            measured: tilt,
            limit: TILT_DEGREES,
            unit: Unit::None,
            advice: format!(
                "The chart is askew by {tilt:.1} degrees, which no cable does. Take a still of the signal \
                 itself, not a photograph of a screen."
            ),
        });
    }
    findings
}

/// How much of the picture's width and height the chart fills, as it was drawn, percent.
fn filled_percent(found: &Calibration) -> [f64; 2] {
    let reading = &found.reading;
    [[Edge::Left, Edge::Right], [Edge::Top, Edge::Bottom]].map(|pair| {
        let ends = found.edges.iter().filter(|edge| pair.contains(&edge.edge));
        let (lost, bar) = ends.fold((0.0, 0.0), |(lost, bar), edge| {
            (lost + edge.lost_px, bar + edge.bar_px)
        });
        let axis = usize::from(pair[0] == Edge::Top);
        let shown = (reading.side_px(pair[0]) - lost) * reading.scales[axis];
        100.0 * shown / (shown + bar)
    })
}

fn cast(found: &Calibration) -> Option<ChainFinding> {
    let cast = found.cast();
    let all = cast.dark_percent.into_iter().chain(cast.white_percent);
    let measured = all.fold(0.0, |largest: f64, v| largest.max(v.abs()));
    (measured > CAST_PERCENT).then(|| ChainFinding {
        kind: ChainKind::Cast,
        severity: Severity::Warn,
        measured,
        limit: CAST_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "Greys are not neutral: up to {measured:.1} % of white beside it. Look for a colour \
             temperature, night-light or colour setting on the way."
        ),
    })
}

fn geometry(found: &Calibration) -> Vec<ChainFinding> {
    let mut findings = Vec::new();
    let is_over = |edge: &&EdgeLoss| edge.lost_percent > SAFE_MARGIN_PERCENT;
    let lost = |severity: Severity, measured: f64, advice: String| ChainFinding {
        kind: ChainKind::EdgeLost,
        severity,
        measured,
        limit: SAFE_MARGIN_PERCENT,
        unit: Unit::Percent,
        advice,
    };
    findings.extend(found.edges.iter().filter(is_over).map(|edge| {
        let advice = format!(
            "The {} edge loses {:.1} px, {:.1} % of the side. Switch off overscan and zoom; until then \
             keep content further inside.",
            edge.edge.name(),
            edge.lost_px,
            edge.lost_percent,
        );
        lost(Severity::Fail, edge.lost_percent, advice)
    }));
    let small = found.edges.iter().filter(|edge| !is_over(edge));
    let most = small.map(|edge| edge.lost_percent).fold(0.0, f64::max);
    if most > SMALL_LOSS_PERCENT {
        let advice = format!(
            "Up to {most:.1} % of a side is cut off at the edges. Content inside the safe area is not \
             touched."
        );
        findings.push(lost(Severity::Info, most, advice));
    }
    let [sx, sy] = found.reading.scales;
    let measured = 100.0 * (sx / sy - 1.0);
    if measured.abs() > STRETCH_PERCENT {
        findings.push(ChainFinding {
            kind: ChainKind::Stretched,
            severity: Severity::Warn,
            measured,
            limit: STRETCH_PERCENT,
            unit: Unit::Percent,
            advice: format!(
                "The picture is {:.1} % {} than it was sent, so circles are none. Send the shape that \
                 the recorder has, or let the mixer keep proportions.",
                measured.abs(),
                if measured > 0.0 { "wider" } else { "narrower" }
            ),
        });
    }
    findings
}
