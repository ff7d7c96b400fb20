//! What is wrong with a line that is no TOML, in words for who writes a setup file and not for who writes parsers.

/// What was expected at a place of the text, and what came.
pub(super) fn syntax_words(text: &str, position: usize, parser: &str) -> String {
    let before = text.get(..position).unwrap_or(text);
    let after = text.get(position..).unwrap_or_default();
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let rest = after.lines().next().unwrap_or_default();
    let line = format!("{}{rest}", &before[line_start..]);
    let word = rest
        .split([',', ']', '#'])
        .next()
        .unwrap_or_default()
        .trim();
    let key = line.split('=').next().unwrap_or_default().trim();
    let is = |part: &str| parser.contains(part);
    if is("string values must be quoted") && word.is_empty() {
        format!("expected a value after `{key} =`, got none")
    } else if is("string values must be quoted") {
        format!("expected a number, true, false or a text in quotes, got `{word}`")
    } else if is("unclosed table") {
        "expected a `]` after the section's name".to_owned()
    } else if is("unclosed array") {
        "expected a `]` at the end of the list".to_owned()
    } else if is("invalid basic string") || is("invalid literal string") {
        "expected a quote at the end of the text".to_owned()
    } else if is("key with no value") {
        format!("expected `key = value` or a [section], got `{key}`")
    } else if is("duplicate key") {
        format!("expected each key once, got `{key}` again")
    } else {
        format!("expected TOML, {}", parser.replace('\n', ", "))
    }
}
