//! A camera frame's findings in words that terminal, page and window share.

use super::inspect_document::InspectDocument;
use super::words::{box_words, count_words, place_words, with_unit};
use crate::measure::finding::{Severity, Unit};
use crate::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use crate::measure::inspect::camera_verdict::{CameraVerdict, Unanswered};
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::Size;

/// Go or what is wrong, in a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerdictWords {
    /// How bad it is.
    pub verdict: CameraVerdict,
    /// Go, the worst that is wrong, why it cannot be judged, or what was not there to be looked at.
    pub what: &'static str,
    /// Where the worst is, and how much else there is; what is known all the same; empty where nothing is.
    pub rest: String,
}

impl VerdictWords {
    /// Words for what was found.
    pub fn of(document: &InspectDocument) -> Self {
        let verdict = document.verdict;
        let (what, rest) = match verdict {
            CameraVerdict::Unclear => unclear_words(document),
            CameraVerdict::Pass | CameraVerdict::Warn | CameraVerdict::Fail => {
                let (what, mut rest) =
                    worst_words(document).unwrap_or_else(|| (go_words(document), String::new()));
                if let Some(&why) = document.unanswered.first() {
                    rest.push_str(&format!("; {}", unanswered_words(why)));
                }
                (what, rest)
            }
        };
        Self {
            verdict,
            what,
            rest,
        }
    }
}

/// What the worst warning or failure is, where it is and how much else there is; none where there is none.
fn worst_words(document: &InspectDocument) -> Option<(&'static str, String)> {
    // The last of equal ones is taken, so that is the first in the list.
    let worst = document
        .findings
        .iter()
        .rev()
        .max_by(|a, b| a.severity.cmp(&b.severity).then(b.kind.cmp(&a.kind)))
        .filter(|worst| worst.severity > Severity::Info)?;
    let place = place_words(worst.bounds, size_of(document));
    let more = match document.findings.len() - 1 {
        0 => String::new(),
        others => format!(", and {} more", count_words(others, "finding")),
    };
    Some((kind_words(worst.kind), format!("{place}{more}")))
}

/// Why something cannot be judged.
fn unanswered_words(why: Unanswered) -> &'static str {
    match why {
        Unanswered::TooSmall => "the frame is too small to judge",
        Unanswered::NoBackdrop => "no dark backdrop is seen, so nothing can be judged",
        Unanswered::LitAllOver => "most of the picture is lit, so no presenter can be told",
        Unanswered::BackdropHidden => "too little of the backdrop is seen to judge it",
        Unanswered::NothingSeen => "nothing is seen in the frame, so it cannot be judged",
        Unanswered::NotCompared => "not compared with the last good setup",
    }
}

/// Whether nothing at all can be said of a frame because of this.
pub fn leaves_nothing_to_judge(why: Unanswered) -> bool {
    match why {
        Unanswered::TooSmall | Unanswered::NoBackdrop | Unanswered::NothingSeen => true,
        Unanswered::LitAllOver | Unanswered::BackdropHidden | Unanswered::NotCompared => false,
    }
}

/// Why the frame cannot be judged, and what is known of it all the same.
fn unclear_words(document: &InspectDocument) -> (&'static str, String) {
    let why = document.unanswered.first().copied();
    let what = unanswered_words(why.unwrap_or(Unanswered::NoBackdrop));
    let found = worst_words(document).map(|(what, rest)| format!("{what}, {rest}"));
    let rest = match document.unanswered.as_slice() {
        [Unanswered::NotCompared] => {
            let alone = found.unwrap_or_else(|| go_words(document).to_owned());
            format!("this frame alone: {alone}")
        }
        _ => found.unwrap_or_default(),
    };
    (what, rest)
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
    match (is_written, is_there) {
        (true, true) => "go: nothing that would spoil the take",
        (false, false) => "no fault; take a frame with writing and presenter too",
        (true, false) => "no fault; take a frame with the presenter too",
        (false, true) => "no fault; take a frame with writing too",
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
        CameraKind::WrongWayRound if finding.limit <= 0.0 => "corners of the chart elsewhere",
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
