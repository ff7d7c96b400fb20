//! A camera frame's findings in words that terminal, page and window share.

use super::inspect_document::InspectDocument;
use super::words::{box_words, count_words, place_words, with_unit};
use crate::measure::camera_finding::{CameraFinding, CameraKind, camera_verdict};
use crate::measure::finding::{Unit, Verdict};
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::Size;

/// Go or what is wrong, in a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerdictWords {
    /// How bad it is.
    pub verdict: Verdict,
    /// Go, the worst that is wrong, or what was not there to be looked at.
    pub what: &'static str,
    /// Where the worst is, and how much else there is; empty where nothing is wrong.
    pub rest: String,
}

impl VerdictWords {
    /// Words for what was found.
    pub fn of(document: &InspectDocument) -> Self {
        let verdict = camera_verdict(&document.findings);
        // The last of equal ones is taken, so that is the first in the list.
        let worst = document
            .findings
            .iter()
            .rev()
            .max_by(|a, b| a.severity.cmp(&b.severity).then(b.kind.cmp(&a.kind)));
        match worst.filter(|_| verdict != Verdict::Pass) {
            None => Self {
                verdict,
                what: go_words(document),
                rest: String::new(),
            },
            Some(worst) => {
                let place = place_words(worst.bounds, size_of(document));
                let others = document.findings.len() - 1;
                let more = match others {
                    0 => String::new(),
                    _ => format!(", and {} more", count_words(others, "finding")),
                };
                Self {
                    verdict,
                    what: kind_words(worst.kind),
                    rest: format!("{place}{more}"),
                }
            }
        }
    }
}

impl VerdictWords {
    /// The line without the verdict itself.
    pub fn line(&self) -> String {
        if self.rest.is_empty() {
            self.what.to_owned()
        } else {
            format!("{}, {}", self.what, self.rest)
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
pub fn size_of(document: &InspectDocument) -> Size {
    let [width, height] = document.output;
    Size::new(width, height).unwrap_or(Size::HD)
}

/// What a kind means, short enough to be read from afar.
pub fn kind_words(kind: CameraKind) -> &'static str {
    match kind {
        CameraKind::WrongWayRound => "the picture is the wrong way round",
        CameraKind::Moved => "not as in the last good setup",
        CameraKind::Reflection => "a reflection in the glass",
        CameraKind::Smear => "the glass is smeared",
        CameraKind::RaisedBlack => "the backdrop is not black",
        CameraKind::DarkClothes => "dark clothes melt into the backdrop",
        CameraKind::Clipped => "too bright",
        CameraKind::FaintWriting => "writing is faint",
        CameraKind::SoftFocus => "out of focus",
        CameraKind::DoubleImage => "strokes come twice",
        CameraKind::ColourCast => "the backdrop has a colour",
        CameraKind::Noise => "the picture is noisy",
    }
}

/// What was measured.
fn quantity(finding: &CameraFinding) -> &'static str {
    match finding.kind {
        CameraKind::Reflection | CameraKind::Smear => "brighter by",
        CameraKind::RaisedBlack => "brighter or uneven by",
        CameraKind::DarkClothes => "melted outline",
        CameraKind::Clipped => "clipped share",
        CameraKind::FaintWriting if finding.unit == Unit::Percent => "light lost",
        CameraKind::FaintWriting => "contrast",
        CameraKind::SoftFocus => "edge width",
        CameraKind::ColourCast => "channels apart by",
        CameraKind::Noise => "deviation",
        CameraKind::Moved => "changed by",
        CameraKind::DoubleImage => "strength",
        CameraKind::WrongWayRound => "agreement that way round",
    }
}

/// What was measured against its limit, such as `brighter by 12.5 %, limit 2 %`.
pub fn measured_words(finding: &CameraFinding) -> String {
    let [measured, limit] =
        told_apart(finding.measured, finding.limit, 2).map(|n| with_unit(n, finding.unit));
    format!("{} {measured}, limit {limit}", quantity(finding))
}

/// Where a finding is, and what was measured against its limit.
pub fn facts_words(finding: &CameraFinding, output: Size) -> String {
    let mut place = place_words(finding.bounds, output);
    if let Some(numbers) = box_words(finding.bounds) {
        place.push_str(&format!(", {numbers}"));
    }
    format!("{place}; {}", measured_words(finding))
}
