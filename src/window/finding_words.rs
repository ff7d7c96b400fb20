//! Findings in plain words: what is wrong, how bad it is, how far beyond its limit.

use crate::measure::finding::{Finding, Severity, Unit};
use crate::measure::told_apart::told_apart;

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
            Unit::Codes => format!("{number} codes"),
            Unit::None => number,
        });
    format!("{measured}, limit {limit}")
}

/// `1 finding`, `3 findings`.
pub fn findings_words(count: usize) -> String {
    if count == 1 {
        "1 finding".to_owned()
    } else {
        format!("{count} findings")
    }
}
