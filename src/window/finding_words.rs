//! Findings in plain words: what is wrong, how bad it is, how far beyond its limit.

use crate::measure::finding::{Finding, Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::Size;
use crate::report::words::{place_words, sentence};

/// How bad it is, in one word.
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Info => "info",
        Severity::Warn => "warn",
        Severity::Fail => "fail",
    }
}

/// What was measured against its limit, such as `4.2 %, limit 3 %`.
pub fn measured_words(finding: &Finding) -> String {
    let [measured, limit] =
        told_apart(finding.measured, finding.limit, 2).map(|number| match finding.unit {
            Unit::Percent => format!("{number} %"),
            Unit::Px => format!("{number} px"),
            Unit::Ratio => format!("{number} to 1"),
            Unit::Codes => format!("{number} of 255"),
            Unit::None => number,
        });
    format!("{measured}, limit {limit}")
}

/// Where a finding is: in words, and in pixels of the output that no line break takes apart.
pub fn place_sentence(bounds: Option<PixelBox>, output: Size) -> String {
    let place = sentence(&place_words(bounds, output));
    match bounds {
        None => format!("{place}."),
        Some(PixelBox {
            x,
            y,
            width,
            height,
        }) => format!("{place}, {width}\u{a0}×\u{a0}{height}\u{a0}px at\u{a0}{x},\u{a0}{y}."),
    }
}

/// `1 finding`, `3 findings`.
pub fn findings_words(count: usize) -> String {
    if count == 1 {
        "1 finding".to_owned()
    } else {
        format!("{count} findings")
    }
}
