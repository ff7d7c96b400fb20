//! What was found in a camera frame as text for a terminal. Every line makes sense without its colours.

use super::check_table::{
    ADVICE_INDENT, COLUMNS, FINDING_INDENT, painted, severity_verdict, wrapped,
};
use super::inspect_document::{InspectDocument, PartJson};
use super::words::{box_words, count_words, place_words, with_unit};
use crate::measure::camera_finding::{CameraFinding, CameraKind, camera_verdict};
use crate::measure::finding::Verdict;
use crate::pixel::settings::Size;

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
    for note in &document.notes {
        text.push_str(&wrapped(&format!("note: {note}"), "      ", columns));
    }
    text
}

/// Go, or the worst that is wrong and how much else.
fn verdict_line(document: &InspectDocument) -> String {
    let verdict = camera_verdict(&document.findings);
    // The last of equal ones is taken, so that is the first in the list.
    let worst = document
        .findings
        .iter()
        .rev()
        .max_by(|a, b| a.severity.cmp(&b.severity).then(b.kind.cmp(&a.kind)));
    let word = painted(verdict.name(), verdict);
    match worst.filter(|_| verdict != Verdict::Pass) {
        None => format!("{word}  {}", go_words(document)),
        Some(worst) => {
            let place = place_words(worst.bounds, size_of(document));
            let others = document.findings.len() - 1;
            let more = match others {
                0 => String::new(),
                _ => format!(", and {} more", count_words(others, "finding")),
            };
            format!("{word}  {}, {place}{more}", kind_words(worst.kind))
        }
    }
}

/// Go, or what was not there to be looked at.
fn go_words(document: &InspectDocument) -> &'static str {
    let camera = &document.camera;
    let is_written = !camera.writing.boxes.is_empty();
    let is_there = !camera.presenter.boxes.is_empty();
    match (camera.backdrop.is_some(), is_written, is_there) {
        (false, false, false) => "nothing can be told from this frame",
        (false, _, _) => "no fault, but too little backdrop to look at",
        (true, true, true) => "go: nothing that would spoil the take",
        (true, false, false) => "no fault; take a frame with writing and presenter too",
        (true, true, false) => "no fault; take a frame with the presenter too",
        (true, false, true) => "no fault; take a frame with writing too",
    }
}

/// The output's size.
fn size_of(document: &InspectDocument) -> Size {
    let [width, height] = document.output;
    Size::new(width, height).unwrap_or(Size::HD)
}

/// What a kind means, short enough to be read from afar.
pub fn kind_words(kind: CameraKind) -> &'static str {
    match kind {
        CameraKind::WrongWayRound => "the picture is the wrong way round",
        CameraKind::Moved => "the camera or the glass has moved",
        CameraKind::Reflection => "a reflection in the glass",
        CameraKind::Smear => "the glass is smeared",
        CameraKind::RaisedBlack => "the backdrop is not black",
        CameraKind::DarkClothes => "dark clothes melt into the backdrop",
        CameraKind::Clipped => "too bright",
        CameraKind::FaintWriting => "writing is hard to see",
        CameraKind::SoftFocus => "out of focus",
        CameraKind::DoubleImage => "strokes come twice",
        CameraKind::ColourCast => "the backdrop has a colour",
        CameraKind::Noise => "the picture is noisy",
    }
}

/// What was measured.
fn quantity(kind: CameraKind) -> &'static str {
    match kind {
        CameraKind::Reflection | CameraKind::Smear => "brighter by",
        CameraKind::RaisedBlack => "brighter or uneven by",
        CameraKind::DarkClothes => "melted outline",
        CameraKind::Clipped => "clipped share",
        CameraKind::FaintWriting => "contrast",
        CameraKind::SoftFocus => "edge width",
        CameraKind::ColourCast => "channels apart by",
        CameraKind::Noise => "deviation",
        CameraKind::Moved => "off by",
        CameraKind::WrongWayRound | CameraKind::DoubleImage => "measured",
    }
}

/// A finding: severity, kind, place and numbers, then the advice below.
fn finding_lines(finding: &CameraFinding, document: &InspectDocument, columns: usize) -> String {
    let kind_columns = CameraKind::ALL
        .map(|kind| kind.name().len())
        .into_iter()
        .max()
        .unwrap_or(0);
    let mut place = place_words(finding.bounds, size_of(document));
    if let Some(numbers) = box_words(finding.bounds) {
        place.push_str(&format!(", {numbers}"));
    }
    let severity = painted(finding.severity.name(), severity_verdict(finding.severity));
    let head = format!(
        "{FINDING_INDENT}{severity}  {:kind_columns$}  {place}; {} {}, limit {}",
        finding.kind.name(),
        quantity(finding.kind),
        with_unit(finding.measured.to_string(), finding.unit),
        with_unit(finding.limit.to_string(), finding.unit),
    );
    let mut text = wrapped(&head, ADVICE_INDENT, columns);
    text.push_str(&wrapped(
        &format!("{ADVICE_INDENT}{}", finding.advice),
        ADVICE_INDENT,
        columns,
    ));
    text
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
