//! What is wrong with a line that is no TOML, in words for who writes a setup file and not for who writes parsers.

use super::setup_field::fields;

/// What to do about a line where nothing better is known.
const LINES_HINT: &str =
    "a line is a [section], `key = value` or a # comment; texts stand in quotes";
/// What to do about a backslash in a path.
pub(super) const PATH_HINT: &str =
    "write paths with forward slashes, such as \"C:/lesson/board.png\", or in single quotes";

/// What to do about several values without brackets or quotes.
const VALUES_HINT: &str =
    "write texts in quotes, such as \"1920x1080\", and lists in brackets, such as [0, 0, 100, 85]";

/// What the parser calls a backslash with something behind it that it does not know.
const ESCAPES: [&str; 3] = [
    "missing escaped value",
    "too few unicode value digits",
    "unicode hexadecimal value",
];

/// What was expected at a place of the text and what came, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxWords {
    /// What was expected, and what came.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// Words for what the parser says of a place in the text.
pub(super) fn syntax_words(text: &str, position: usize, parser: &str) -> SyntaxWords {
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
    let (key, value) = line.split_once('=').unwrap_or((&line, ""));
    let (key, value) = (key.trim(), value.split('#').next().unwrap_or("").trim());
    let is = |part: &str| parser.contains(part);
    let mut hint = None;
    let message = if is_number_key(key)
        && let Some(number) = number_with_comma(value)
    {
        hint = Some(format!("write it with a point: `{key} = {number}`"));
        format!("expected a number with a decimal point, got `{value}`")
    } else if !is_number_key(key) && is_numbers(value) {
        hint = Some(VALUES_HINT.to_owned());
        format!("expected a text in quotes or a list in brackets, got `{value}`")
    } else if ESCAPES.into_iter().any(is) {
        hint = Some(PATH_HINT.to_owned());
        let text = text_around(&line, position - line_start);
        format!("expected a text without backslashes, got `{text}`")
    } else if is("string values must be quoted") && word.is_empty() {
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
    };
    SyntaxWords {
        message,
        hint: hint.unwrap_or_else(|| LINES_HINT.to_owned()),
    }
}

/// Whether a key takes a number.
fn is_number_key(key: &str) -> bool {
    fields().any(|spec| spec.key == key && spec.field.is_number())
}

/// A number that was written with a decimal comma, with a point.
fn number_with_comma(value: &str) -> Option<String> {
    let number = value.replacen(',', ".", 1);
    let is_number = value.contains(',') && number.parse::<f64>().is_ok();
    is_number.then_some(number)
}

/// Whether these are several numbers with commas between them and nothing around them.
fn is_numbers(value: &str) -> bool {
    let is_number = |part: &str| part.trim().parse::<f64>().is_ok();
    value.contains(',') && value.split(',').all(is_number)
}

/// The text in double quotes that is around a byte of a line, with its quotes.
fn text_around(line: &str, at: usize) -> &str {
    let (before, after) = line.split_at_checked(at).unwrap_or((line, ""));
    let start = before.rfind('"').unwrap_or(0);
    let end = after.find('"').map_or(line.len(), |end| at + end + 1);
    &line[start..end]
}
