//! Numbers as people type and read them: comma or point, with or without the unit.

use crate::measure::told_apart::told;

/// The number in a text such as `6.5`, `6,5 %` or ` -3 px`; or a sentence on what was expected.
pub fn parse_number(text: &str, unit: &str) -> Result<f64, String> {
    let bare = text.trim();
    let bare = bare.strip_suffix(unit).unwrap_or(bare).trim();
    let pointed = bare.replace(',', ".");
    match pointed.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(format!("expected a number such as 6.5, got `{bare}`")),
    }
}

/// Width and height in a text such as `1920x1080` or `1920 × 1080`.
pub fn parse_size(text: &str) -> Result<[u32; 2], String> {
    let refused = || format!("expected a size such as 1920x1080, got `{}`", text.trim());
    let (width, height) = text.split_once(['x', 'X', '×', '*']).ok_or_else(refused)?;
    match (width.trim().parse(), height.trim().parse()) {
        (Ok(width), Ok(height)) => Ok([width, height]),
        _ => Err(refused()),
    }
}

/// The number with at most so many decimals and no zeros that say nothing.
pub fn format_number(number: f64, max_decimals: usize) -> String {
    told(number, max_decimals)
}
