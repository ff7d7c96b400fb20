//! What was found in a camera frame as text for a terminal. Every line makes sense without its colours.

use super::check_table::{
    ADVICE_INDENT, COLUMNS, FINDING_INDENT, painted, severity_verdict, wrapped,
};
use super::inspect_document::{InspectDocument, LikeJson, PartJson};
use super::inspect_words::{VerdictWords, facts_words, size_of};
use super::words::box_words;
use crate::measure::camera_finding::{CameraFinding, CameraKind};

/// The frame in a few lines: go or what is wrong, every finding, what each part takes and where it is, then what cannot
/// be told.
pub fn inspect_text(document: &InspectDocument, columns: usize) -> String {
    let columns = columns.clamp(COLUMNS.0, COLUMNS.1);
    let [width, height] = document.output;
    let camera = &document.camera;
    let mut text = wrapped(&verdict_line(document), "      ", columns);
    for finding in &document.findings {
        text.push_str(&finding_lines(finding, document, columns));
    }
    text.push('\n');
    text.push_str(&wrapped(
        &format!("{}, looked at in {width}x{height}", camera.file),
        "  ",
        columns,
    ));
    text.push_str(&part_lines("writing", &camera.writing));
    text.push_str(&part_lines("presenter", &camera.presenter));
    if let Some(level) = camera.backdrop {
        text.push_str(&format!("backdrop   {level} % of white"));
        if let Some([r, g, b]) = camera.noise {
            text.push_str(&format!(", noise {r}, {g}, {b} codes in red, green, blue"));
        }
        text.push('\n');
    }
    let edges = [
        ("the writing", camera.writing_edge),
        ("the presenter", camera.presenter_edge),
    ];
    let edges: Vec<String> = edges
        .iter()
        .filter_map(|(of, px)| Some(format!("{:.1} px of {of}", (*px)?)))
        .collect();
    if !edges.is_empty() {
        text.push_str(&format!("edges      {}\n", edges.join(", ")));
    }
    if let Some(like) = &camera.like {
        text.push_str(&wrapped(&like_line(like), "           ", columns));
    }
    for note in &document.notes {
        text.push_str(&wrapped(&format!("note: {note}"), "      ", columns));
    }
    text
}

/// Go, or the worst that is wrong and how much else.
fn verdict_line(document: &InspectDocument) -> String {
    let words = VerdictWords::of(document);
    let verdict = painted(words.verdict.name(), words.verdict.care());
    format!("{verdict}  {}", words.line())
}

/// A finding: severity, kind, place and numbers, then the advice below.
fn finding_lines(finding: &CameraFinding, document: &InspectDocument, columns: usize) -> String {
    let kind_columns = CameraKind::ALL
        .map(|kind| kind.name().len())
        .into_iter()
        .max()
        .unwrap_or(0);
    let severity = painted(finding.severity.name(), severity_verdict(finding.severity));
    let head = format!(
        "{FINDING_INDENT}{severity}  {:kind_columns$}  {}",
        finding.kind.name(),
        facts_words(finding, size_of(document)),
    );
    let mut text = wrapped(&head, ADVICE_INDENT, columns);
    text.push_str(&wrapped(
        &format!("{ADVICE_INDENT}{}", finding.advice),
        ADVICE_INDENT,
        columns,
    ));
    text
}

/// What changed since the last good setup, what is not known left out.
fn like_line(like: &LikeJson) -> String {
    let mut words = Vec::new();
    match like.shift {
        [Some(x), Some(y)] => words.push(format!("moved {x:+.1} px across, {y:+.1} px down")),
        [Some(x), None] => words.push(format!("moved {x:+.1} px across")),
        [None, Some(y)] => words.push(format!("moved {y:+.1} px down")),
        [None, None] => {}
    }
    if let Some((zoom, turn)) = like.zoom_percent.zip(like.rotation_degrees) {
        words.push(format!("zoom {zoom:+.2} %, turned {turn:+.2} degrees"));
    }
    if let Some((stops, [r, g, b])) = like.exposure_stops.zip(like.light) {
        words.push(format!(
            "light {stops:+.2} stops, red {r:.2}, green {g:.2}, blue {b:.2} times"
        ));
    }
    if words.is_empty() {
        words.push("nothing that can be told has changed".to_owned());
    }
    format!("since then {}", words.join("; "))
}

/// A part: its share of the picture, and a line for each of its boxes.
fn part_lines(name: &str, part: &PartJson) -> String {
    let mut text = format!("{name:<10} {:.2} % of the picture\n", part.percent);
    for words in part
        .boxes
        .iter()
        .filter_map(|&place| box_words(Some(place)))
    {
        text.push_str(&format!("             {words}\n"));
    }
    text
}
