//! Findings in plain words: what is wrong, how bad it is, how far beyond its limit.

use super::number_text::format_number;
use crate::measure::finding::{Finding, Kind, Severity, Unit};

/// What is wrong, as a heading.
pub fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::NotDark => "Bright background",
        Kind::Haze => "Background shows as haze",
        Kind::Hole => "Hole in what is solid",
        Kind::KeyedOut => "Content is dropped",
        Kind::HalfKeyed => "Content goes half transparent",
        Kind::DarkEdge => "Dark edge",
        Kind::Hairline => "Lines too thin",
        Kind::SmallText => "Text too small",
        Kind::OutsideSafe => "Outside the safe area",
        Kind::Contrast => "Hard to see over the camera",
        Kind::CoversWriting => "Covers writing",
        Kind::CloseToWriting => "Close to writing",
        Kind::CoversPresenter => "Covers the presenter",
        Kind::Zone => "Against a zone",
    }
}

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
    let words = |value: f64| {
        let number = format_number(value, 2);
        match finding.unit {
            Unit::Percent => format!("{number} %"),
            Unit::Px => format!("{number} px"),
            Unit::Ratio => format!("{number} to 1"),
            Unit::Codes => format!("{number} codes"),
            Unit::None => number,
        }
    };
    format!(
        "{}, limit {}",
        words(finding.measured),
        words(finding.limit)
    )
}

/// `1 finding`, `3 findings`.
pub fn findings_words(count: usize) -> String {
    if count == 1 {
        "1 finding".to_owned()
    } else {
        format!("{count} findings")
    }
}
