//! Two numbers in words: what was measured and its limit never read the same where they differ.

/// Most decimals that are written. Source: chosen; what still reads the same then is the same.
const MOST_DECIMALS: usize = 6;

/// Both numbers with at most `decimals` decimals, more where they would read the same, and without
/// zeros that say nothing.
pub fn told_apart(measured: f64, limit: f64, decimals: usize) -> [String; 2] {
    let both = |decimals: usize| [measured, limit].map(|number| told(number, decimals));
    let apart = (decimals..=MOST_DECIMALS)
        .map(both)
        .find(|[measured, limit]| measured != limit);
    apart.unwrap_or_else(|| both(decimals))
}

/// A number with at most so many decimals and without zeros that say nothing.
pub fn told(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let text = match text.split_once('.') {
        Some(_) => text.trim_end_matches('0').trim_end_matches('.'),
        None => &text,
    };
    if text == "-0" { "0" } else { text }.to_owned()
}
