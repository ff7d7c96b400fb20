//! What `calibrate` prints: the answer first, then what it rests on.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::output::USUAL_COLUMNS;
use crate::measure::finding::Severity;
use crate::measure::test_chart::calibration::{Calibration, Cast, percent_from_codes, rounded};
use crate::measure::test_chart::chain_finding::ChainFinding;
use crate::measure::test_chart::chain_noise::false_alarm_deviations;
use crate::measure::test_chart::chart::PatchRole;
use crate::measure::test_chart::chart_edges::EdgeLoss;
use crate::measure::test_chart::range_mistake::Range;
use crate::pixel::frame::Frame;
use crate::report::paragraph::wrapped;

/// What `nightglass calibrate --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct ChainReport<'a> {
    /// The version of this document's form.
    #[schemars(extend("const" = 1))]
    schema: u32,
    /// The file.
    capture: String,
    /// Width and height of the capture, px.
    output: [u32; 2],
    /// Width and height of the chart as it was sent, px.
    chart: [u32; 2],
    /// Degrees that it was turned clockwise.
    turned: u32,
    /// Whether it was flipped left-right.
    mirrored: bool,
    /// What each edge loses.
    edges: Vec<EdgeJson>,
    /// What the chain does to levels.
    chain: ChainNumbers,
    /// Which mistake of range that is.
    range: Range,
    /// How far greys are from neutral.
    cast: Cast,
    /// Dark steps that come as one.
    crushed: LevelledJson,
    /// Bright steps that come as one.
    clipped: LevelledJson,
    /// The noise.
    noise: NoiseJson,
    /// The lowest threshold that keeps this noise from flickering.
    threshold_floor: FloorJson,
    /// Every patch, as sent and as captured.
    steps: Vec<StepJson>,
    /// What is wrong, the worst first.
    findings: &'a [ChainFinding],
    /// The setup file that got `[chain]`; null where nothing was written.
    written: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct EdgeJson {
    /// Which edge.
    edge: &'static str,
    /// Pixels of the chart that are cut off.
    lost_px: f64,
    /// The same in percent of the side.
    lost_percent: f64,
    /// Width of a dark bar beside the picture, px of the capture.
    bar_px: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct ChainNumbers {
    /// What the signal is multiplied by.
    gain: f64,
    /// What is added then, percent of white.
    offset: f64,
    /// One standard deviation, percent of white.
    noise: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct LevelledJson {
    /// Steps of the wedge that are one shade.
    steps: u32,
    /// Where it begins or ends, percent of white as sent.
    at_percent: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct NoiseJson {
    /// One standard deviation, 8-bit codes.
    codes: f64,
    /// The same in percent of white.
    percent: f64,
    /// The same over dark patches; null where it is not known.
    dark_percent: Option<f64>,
    /// The same over bright patches; null where it is not known.
    bright_percent: Option<f64>,
    /// Whether it was worked out despite JPEG compression.
    from_jpeg: bool,
    /// Whether compression hides some of it.
    hidden_by_jpeg: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct FloorJson {
    /// None where compression hides the noise.
    percent: Option<f64>,
    /// How often the noise is counted.
    deviations: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct StepJson {
    /// Which part of the chart.
    part: &'static str,
    /// As sent, 8-bit codes.
    sent: [u8; 3],
    /// As captured, 8-bit codes.
    captured: [f64; 3],
    /// One standard deviation, 8-bit codes.
    noise: f64,
}

impl<'a> ChainReport<'a> {
    pub(super) fn new(
        capture: &Path,
        frame: &Frame,
        found: &Calibration,
        findings: &'a [ChainFinding],
        written: Option<&Path>,
    ) -> Self {
        let chart = found.reading.chart.size();
        let deviations = false_alarm_deviations(frame.size());
        let edge = |edge: &EdgeLoss| EdgeJson {
            edge: edge.edge.name(),
            lost_px: edge.lost_px,
            lost_percent: edge.lost_percent,
            bar_px: edge.bar_px,
        };
        let percent = |codes: Option<f64>| codes.map(percent_from_codes);
        Self {
            schema: 1,
            capture: capture.to_string_lossy().into_owned(),
            output: [frame.size().width(), frame.size().height()],
            chart: [chart.width(), chart.height()],
            turned: found.reading.turn.degrees(),
            mirrored: found.reading.is_mirrored,
            edges: found.edges.iter().map(edge).collect(),
            chain: ChainNumbers {
                gain: found.line.gain,
                offset: found.offset_percent(),
                noise: found.noise_percent(),
            },
            range: found.range,
            cast: found.cast(),
            crushed: LevelledJson {
                steps: found.crushed_steps,
                at_percent: percent_from_codes(found.line.crushed_to_code),
            },
            clipped: LevelledJson {
                steps: found.clipped_steps,
                at_percent: percent_from_codes(found.line.clipped_from_code),
            },
            noise: NoiseJson {
                codes: found.noise.luma_codes,
                percent: found.noise_percent(),
                dark_percent: percent(found.noise.dark_codes),
                bright_percent: percent(found.noise.bright_codes),
                from_jpeg: found.noise.from_jpeg,
                hidden_by_jpeg: found.noise.is_hidden,
            },
            threshold_floor: FloorJson {
                percent: (!found.noise.is_hidden)
                    .then(|| found.threshold_floor_percent(deviations)),
                deviations,
            },
            steps: found
                .patches
                .iter()
                .map(|patch| StepJson {
                    part: match patch.role {
                        PatchRole::Fine => "fine",
                        PatchRole::Coarse => "coarse",
                        PatchRole::Grey => "grey",
                        PatchRole::Bar => "bar",
                    },
                    sent: patch.sent_u8,
                    captured: patch.mean_codes,
                    noise: patch.luma_deviation_codes,
                })
                .collect(),
            findings,
            written: written.map(|path| path.to_string_lossy().into_owned()),
        }
    }
}

/// The report as text.
pub(super) fn chain_text(report: &ChainReport<'_>, found: &Calibration) -> String {
    let mut text = String::new();
    let worst = report.findings.iter().map(|finding| finding.severity).max();
    let answer = match worst {
        None | Some(Severity::Info) => "The chain is fine.".to_owned(),
        Some(_) => {
            let count = report
                .findings
                .iter()
                .filter(|finding| finding.severity != Severity::Info)
                .count();
            let things = if count == 1 { "thing is" } else { "things are" };
            format!("{count} {things} wrong with the chain.")
        }
    };
    text.push_str(&answer);
    text.push('\n');
    for finding in report.findings {
        let word = match finding.severity {
            Severity::Info => "note",
            Severity::Warn => "warn",
            Severity::Fail => "FAIL",
        };
        text.push_str(&wrapped(
            &format!("  {word}  {}", finding.advice),
            "        ",
            USUAL_COLUMNS,
        ));
    }
    let chain = &report.chain;
    text.push_str(&format!(
        "\nlevels     {}: gain {:.3}, offset {:+.1} % of white\n",
        found.range.name(),
        chain.gain,
        rounded(chain.offset, 1)
    ));
    text.push_str(&format!(
        "ends       black comes as {:.1} %, white as {:.1} % of white\n",
        found.black_percent(),
        percent_from_codes(found.line.captured_code(found.line.clipped_from_code)).min(100.0)
    ));
    text.push_str(&noise_text(&report.noise));
    let [red, green, blue] = report.cast.white_percent.map(|percent| rounded(percent, 1));
    text.push_str(&format!(
        "greys      at white red {red:+.1}, green {green:+.1}, blue {blue:+.1} % beside neutral\n"
    ));
    text.push_str(&format!(
        "way round  {}\n",
        match (report.turned, report.mirrored) {
            (0, false) => "as sent".to_owned(),
            (0, true) => "mirrored".to_owned(),
            (turn, false) => format!("turned {turn} degrees clockwise"),
            (turn, true) => format!("turned {turn} degrees clockwise, then mirrored"),
        }
    ));
    let lost: Vec<String> = report
        .edges
        .iter()
        .map(|edge| format!("{} {:.0}", edge.edge, edge.lost_px))
        .collect();
    let most = report
        .edges
        .iter()
        .map(|edge| edge.lost_percent)
        .fold(0.0, f64::max);
    text.push_str(&format!(
        "cut off    {} px, at most {most:.1} % of a side\n",
        lost.join(", ")
    ));
    text.push_str(&format!(
        "scale      {}x{} sent, {}x{} captured: {:.1} % across, {:.1} % down\n",
        report.chart[0],
        report.chart[1],
        report.output[0],
        report.output[1],
        100.0 * found.reading.scales[0],
        100.0 * found.reading.scales[1]
    ));
    let threshold = match report.threshold_floor.percent {
        Some(percent) => format!(
            "threshold  at least {percent:.1} %: black plus {:.1} times the noise; there one pixel of a \
             black slide flickers in 20 frames",
            report.threshold_floor.deviations
        ),
        None => format!(
            "threshold  over {:.1} %, which is black; how far over is not known, because the noise is not",
            found.black_percent()
        ),
    };
    text.push_str(&wrapped(&threshold, "           ", USUAL_COLUMNS));
    text.push_str(&match &report.written {
        Some(path) if worst.is_some_and(|worst| worst > Severity::Info) => {
            let sentence = format!(
                "wrote [chain] into {path}; mend what is wrong, then measure again, and it is replaced"
            );
            format!("\n{}", wrapped(&sentence, "", USUAL_COLUMNS))
        }
        Some(path) => format!("\nwrote [chain] into {path}\n"),
        None => "\nnothing was written\n".to_owned(),
    });
    text
}

/// How noisy the chain is, and how far that can be told.
fn noise_text(noise: &NoiseJson) -> String {
    let percent = noise.percent;
    match (noise.from_jpeg, noise.hidden_by_jpeg) {
        (true, _) => {
            format!("noise      {percent:.2} % of white, worked out despite the JPEG compression\n")
        }
        (_, true) => wrapped(
            &format!(
                "noise      at least {percent:.2} % of white; JPEG compression hides the rest, a capture as \
                 PNG shows it"
            ),
            "           ",
            USUAL_COLUMNS,
        ),
        _ => format!("noise      {percent:.2} % of white\n"),
    }
}
