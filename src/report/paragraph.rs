//! Paragraphs of a terminal's width.

use textwrap::{Options, WordSeparator, WordSplitter, wrap};

/// Fewest columns that lines are broken to, and most of a paragraph. Source: chosen; longer lines are hard to follow.
const COLUMNS: (usize, usize) = (40, 100);
/// Units that no line begins with.
const UNITS: [&str; 2] = ["%", "px "];

/// A paragraph in lines of at most so many columns, its later lines indented, with a line end. Fewer columns than 40 or
/// more than 100 are not made.
pub fn wrapped(paragraph: &str, indent: &str, columns: usize) -> String {
    broken(paragraph, indent, columns.clamp(COLUMNS.0, COLUMNS.1))
}

/// A text of lines in which those of more columns than this, and than 40, are broken, what follows as far in as they
/// are and two columns more. Words, and what stands between backticks, stay whole and may be longer.
pub fn fitted(text: &str, columns: usize) -> String {
    let columns = columns.max(COLUMNS.0);
    let line = |line: &str| {
        let inside = line.trim_start_matches(' ');
        let indent = " ".repeat(line.len() - inside.len());
        if line.chars().count() <= columns {
            return format!("{line}\n");
        }
        broken(&with_quoted_whole(line), &format!("{indent}  "), columns)
    };
    text.lines().map(line).collect()
}

/// A line in lines of at most so many columns, but for longer words, with a line end.
fn broken(line: &str, indent: &str, columns: usize) -> String {
    let options = Options::new(columns)
        .subsequent_indent(indent)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false);
    // A number stays beside its unit.
    let kept = UNITS.iter().fold(line.to_owned(), |kept, unit| {
        kept.replace(&format!(" {unit}"), &format!("\u{a0}{unit}"))
    });
    let mut text = wrap(&kept, options).join("\n").replace('\u{a0}', " ");
    text.push('\n');
    text
}

/// A line whose spaces between backticks break no line: paths have spaces too.
fn with_quoted_whole(line: &str) -> String {
    let parts: Vec<&str> = line.split('`').collect();
    // A backtick without another belongs to a name.
    if parts.len().is_multiple_of(2) {
        return line.to_owned();
    }
    let whole = parts
        .iter()
        .enumerate()
        .map(|(index, part)| match index % 2 {
            0 => (*part).to_owned(),
            _ => part.replace(' ', "\u{a0}"),
        });
    whole.collect::<Vec<_>>().join("`")
}
