//! The result of a check as text for a terminal. Every line makes sense without its colours.

use anstyle::{AnsiColor, Style};

use super::check_document::{CheckDocument, CheckedSlide, SlideVerdict};
use super::paragraph::wrapped;
use super::repeated::{Repeated, alike_findings, on_slides_words, repeated_findings};
use super::words::{
    box_words, camera_words, chain_words, count_words, key_words, measured_words, place_words,
};
use crate::measure::finding::{Finding, Kind, Severity, Verdict};
use crate::pixel::settings::Size;

/// What stands before a finding.
pub(super) const FINDING_INDENT: &str = "  ";
/// What stands before its advice.
pub(super) const ADVICE_INDENT: &str = "        ";

/// Files that are named of those on which something repeats. Source: chosen, two lines of a terminal.
const MOST_NAMED: usize = 4;

/// The whole result: a summary, then every slide. A clean deck is one sentence.
pub fn check_table(document: &CheckDocument, columns: usize) -> String {
    let is_clean = document.unreadable.is_empty()
        && document
            .slides
            .iter()
            .all(|slide| slide.findings.is_empty());
    if is_clean {
        return wrapped(&clean_sentence(document), "", columns)
            + &unanswered_lines(document, columns);
    }
    let mut text = summary(document, columns);
    let repeated = repeated_findings(document);
    text.push_str(&repeated_lines(document, &repeated, columns));
    for slide in &document.slides {
        text.push_str(&slide_lines(
            slide,
            document.output_size(),
            &repeated,
            columns,
        ));
    }
    text
}

/// The cameras that cannot tell what slides cover, a line each.
fn unanswered_lines(document: &CheckDocument, columns: usize) -> String {
    let unclear = painted(SlideVerdict::Unclear.name(), SlideVerdict::Unclear.care());
    let line = |words: &str| {
        let line = format!("{FINDING_INDENT}{unclear}  {words}; {WHAT_FRAME}");
        wrapped(&line, ADVICE_INDENT, columns)
    };
    let cameras = document.unanswered.iter();
    cameras.map(|camera| line(&camera.words)).collect()
}

/// What to do about a camera frame that cannot be judged.
pub(super) const WHAT_FRAME: &str = "`nightglass inspect` says what frame to take";

/// What repeats on many slides, with the advice that then is not said again for each.
fn repeated_lines(document: &CheckDocument, repeated: &[Repeated], columns: usize) -> String {
    if repeated.is_empty() {
        return String::new();
    }
    let mut text = wrapped(REPEATED_HEAD, "", columns);
    for one in repeated {
        let severity = painted(one.severity.name(), severity_verdict(one.severity));
        let head = format!(
            "{FINDING_INDENT}{severity}  {}  {}; {}",
            padded(one.kind),
            on_slides_words(document, &one.slides, MOST_NAMED),
            one.places_words(document.output_size()),
        );
        text.push_str(&wrapped(&head, ADVICE_INDENT, columns));
        text.push_str(&advice_lines(&one.advice_words(), columns));
    }
    text.push('\n');
    text
}

/// What stands over what repeats.
pub(super) const REPEATED_HEAD: &str = "First, what repeats on many slides. Where it comes from the \
                                        theme, change it once, in the layout that all slides share:";

/// A deck on which nothing was found.
fn clean_sentence(document: &CheckDocument) -> String {
    let CheckDocument { key, .. } = document;
    let under = format!(
        "on {} at threshold {} %, softness {} %",
        count_words(document.slides.len(), "slide"),
        key.threshold,
        key.softness
    );
    let painted = |verdict: SlideVerdict| painted(verdict.name(), verdict.care());
    match document.accepted_words() {
        words if !document.unanswered.is_empty() => format!(
            "{}: nothing{} found {under}, but not all could be looked for{}",
            painted(SlideVerdict::Unclear),
            if words.is_some() { " new" } else { "" },
            words.map(|words| format!("; {words}")).unwrap_or_default(),
        ),
        None => format!("{}: nothing found {under}", painted(SlideVerdict::Pass)),
        Some(words) => format!(
            "{}: nothing new found {under}; {} pass, {} accepted; {words}",
            painted(SlideVerdict::Accepted),
            document.count(SlideVerdict::Pass),
            document.count(SlideVerdict::Accepted),
        ),
    }
}

/// How many slides have which verdict, in one line.
pub fn summary_line(document: &CheckDocument, columns: usize) -> String {
    let mut counts = count_words(document.slides.len(), "slide");
    let is_seldom =
        |verdict: SlideVerdict| matches!(verdict, SlideVerdict::Accepted | SlideVerdict::Unclear);
    let is_told = |verdict: &SlideVerdict| !is_seldom(*verdict) || document.count(*verdict) > 0;
    for (index, verdict) in SlideVerdict::ALL.into_iter().filter(is_told).enumerate() {
        counts.push_str(if index == 0 { ": " } else { ", " });
        let count = document.count(verdict);
        let word = painted(verdict.name(), verdict.care());
        counts.push_str(&format!("{count} {word}"));
    }
    if let Some(accepted) = document.accepted_words() {
        counts.push_str(&format!("; {accepted}"));
    }
    if !document.unreadable.is_empty() {
        counts.push_str(&format!(
            "; {} could not be checked",
            document.unreadable.len()
        ));
    }
    wrapped(&counts, "", columns)
}

/// How many slides have which verdict, and what they were checked under.
fn summary(document: &CheckDocument, columns: usize) -> String {
    let [width, height] = document.output;
    let mut text = summary_line(document, columns);
    text.push_str(&wrapped(&key_words(&document.key), "", columns));
    if let Some(chain) = &document.chain {
        text.push_str(&wrapped(
            &format!("chain {}", chain_words(chain)),
            "",
            columns,
        ));
    }
    let output = format!("output {width}x{height}, {}", camera_words(document));
    text.push_str(&wrapped(&output, "", columns));
    text.push_str(&unanswered_lines(document, columns));
    text.push('\n');
    text
}

/// A slide: its verdict and name, then its findings. Advice that was `told` already is not said again.
pub fn slide_lines(
    slide: &CheckedSlide,
    output: Size,
    told: &[Repeated],
    columns: usize,
) -> String {
    let verdict = painted(slide.verdict.name(), slide.verdict.care());
    let mut head = format!("{verdict}  {}", slide.title());
    if slide.accepted > 0 {
        head.push_str(&format!(" ({} accepted)", slide.accepted));
    }
    let mut text = wrapped(&head, "      ", columns);
    for alike in alike_findings(&slide.findings) {
        for (_, finding) in &alike {
            text.push_str(&finding_head(finding, output, columns));
        }
        let first = alike.first().map(|(_, finding)| finding);
        if let Some(finding) = first.filter(|one| !told.iter().any(|t| t.tells(one))) {
            text.push_str(&advice_lines(&finding.advice, columns));
        }
    }
    text
}

/// A kind's name, as wide as the longest.
fn padded(kind: Kind) -> String {
    let kinds = Kind::ALL.map(|kind| kind.name().len());
    let columns = kinds.into_iter().max().unwrap_or(0);
    format!("{:columns$}", kind.name())
}

/// A finding in a line: severity, kind, place and numbers.
fn finding_head(finding: &Finding, output: Size, columns: usize) -> String {
    let mut place = place_words(finding.bounds, output);
    if let Some(numbers) = box_words(finding.bounds) {
        place.push_str(&format!(", {numbers}"));
    }
    let severity = painted(finding.severity.name(), severity_verdict(finding.severity));
    let mut head = format!(
        "{FINDING_INDENT}{severity}  {}  {place}; {}",
        padded(finding.kind),
        measured_words(finding),
    );
    if let Some(camera) = &finding.camera {
        head.push_str(&format!(", over {camera}"));
    }
    wrapped(&head, ADVICE_INDENT, columns)
}

/// What to do, below what it is about.
fn advice_lines(advice: &str, columns: usize) -> String {
    wrapped(&format!("{ADVICE_INDENT}{advice}"), ADVICE_INDENT, columns)
}

/// The verdict that a finding of this severity alone leads to; information has none to show.
pub(super) fn severity_verdict(severity: Severity) -> Verdict {
    match severity {
        Severity::Info => Verdict::Pass,
        Severity::Warn => Verdict::Warn,
        Severity::Fail => Verdict::Fail,
    }
}

/// A word in the colour of a verdict. Red and green alone would not do: the word says it.
pub(super) fn painted(word: &str, verdict: Verdict) -> String {
    let color = match verdict {
        Verdict::Pass => AnsiColor::Green,
        Verdict::Warn => AnsiColor::Yellow,
        Verdict::Fail => AnsiColor::Red,
    };
    let style = Style::new().bold().fg_color(Some(color.into()));
    format!("{style}{word}{style:#}")
}
