//! What was found in a camera frame as text for a terminal. Every line makes sense without its colours.

use super::camera_numbers::{CameraNumber, camera_numbers};
use super::check_table::{ADVICE_INDENT, FINDING_INDENT, painted, severity_verdict};
use super::inspect_document::InspectDocument;
use super::inspect_words::{VerdictWords, facts_words, size_of};
use super::paragraph::wrapped;
use super::words::box_words;
use crate::measure::finding::Severity;
use crate::measure::inspect::camera_finding::{CameraFinding, CameraKind};

/// Columns that names of numbers take. Source: chosen, those of the longest and two.
const NAME_COLUMNS: usize = 24;
/// Findings of one kind that stand in a terminal; the others are counted. Source: chosen, lamps of a room are fewer.
const MOST_OF_A_KIND: usize = 6;

/// The frame in a few lines: go or what is wrong, the findings, every number, then what cannot be told.
pub fn inspect_text(document: &InspectDocument, columns: usize) -> String {
    let [width, height] = document.output;
    let camera = &document.camera;
    let mut text = wrapped(&verdict_line(document), "      ", columns);
    for alike in document.findings.chunk_by(|a, b| a.kind == b.kind) {
        let (shown, others) = alike.split_at(alike.len().min(MOST_OF_A_KIND));
        for (place, finding) in shown.iter().enumerate() {
            let is_told = shown[..place]
                .iter()
                .any(|one| one.advice == finding.advice);
            text.push_str(&finding_lines(finding, is_told, document, columns));
        }
        text.push_str(&others_line(others, columns));
    }
    text.push('\n');
    text.push_str(&wrapped(
        &format!("{}, looked at in {width}x{height}", camera.file),
        "  ",
        columns,
    ));
    for number in camera_numbers(document) {
        text.push_str(&number_lines(&number, columns));
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

/// How many more of a kind there are, and how bad.
fn others_line(others: &[CameraFinding], columns: usize) -> String {
    let Some(kind) = others.first().map(|finding| finding.kind) else {
        return String::new();
    };
    let counts: Vec<String> = [Severity::Fail, Severity::Warn, Severity::Info]
        .into_iter()
        .filter_map(|severity| {
            let count = others.iter().filter(|one| one.severity == severity).count();
            (count > 0).then(|| format!("{count} {}", severity.name()))
        })
        .collect();
    let words = format!(
        "{FINDING_INDENT}and {} more of {}: {}; `--report` and `--json` have them all",
        others.len(),
        kind.name(),
        counts.join(", "),
    );
    wrapped(&words, ADVICE_INDENT, columns)
}

/// A finding: severity, kind, place and numbers, then the advice below where it was not told already.
fn finding_lines(
    finding: &CameraFinding,
    is_told: bool,
    document: &InspectDocument,
    columns: usize,
) -> String {
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
    if !is_told {
        let advice = format!("{ADVICE_INDENT}{}", finding.advice);
        text.push_str(&wrapped(&advice, ADVICE_INDENT, columns));
    }
    text
}

/// A number beside what is good, and a line for each of its places.
fn number_lines(number: &CameraNumber, columns: usize) -> String {
    let good = number.good.as_ref().map(|good| format!(" (good: {good})"));
    let line = format!(
        "{:NAME_COLUMNS$}{}{}",
        number.name,
        number.measured,
        good.unwrap_or_default()
    );
    let indent = " ".repeat(NAME_COLUMNS);
    let mut text = wrapped(&line, &indent, columns);
    for words in number
        .places
        .iter()
        .filter_map(|&place| box_words(Some(place)))
    {
        text.push_str(&format!("{indent}{words}\n"));
    }
    text
}
