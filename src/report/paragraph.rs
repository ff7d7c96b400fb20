//! Paragraphs of a terminal's width.

use textwrap::{Options, WordSplitter, wrap};

/// Fewest and most columns of a text. Source: chosen; longer lines are hard to follow.
const COLUMNS: (usize, usize) = (40, 100);
/// Units that no line begins with.
const UNITS: [&str; 2] = ["%", "px "];

/// A paragraph in lines of at most so many columns, its later lines indented, with a line end. Fewer columns than 40 or
/// more than 100 are not made.
pub fn wrapped(paragraph: &str, indent: &str, columns: usize) -> String {
    let options = Options::new(columns.clamp(COLUMNS.0, COLUMNS.1))
        .subsequent_indent(indent)
        .word_splitter(WordSplitter::NoHyphenation);
    // A number stays beside its unit.
    let kept = UNITS.iter().fold(paragraph.to_owned(), |kept, unit| {
        kept.replace(&format!(" {unit}"), &format!("\u{a0}{unit}"))
    });
    let mut text = wrap(&kept, options).join("\n").replace('\u{a0}', " ");
    text.push('\n');
    text
}

/// A text of lines in which those of more columns than this are broken, what follows as far in as they are and two
/// columns more.
pub fn fitted(text: &str, columns: usize) -> String {
    let line = |line: &str| {
        let inside = line.trim_start_matches(' ');
        let indent = " ".repeat(line.len() - inside.len());
        if line.chars().count() <= columns.clamp(COLUMNS.0, COLUMNS.1) {
            return format!("{line}\n");
        }
        wrapped(line, &format!("{indent}  "), columns)
    };
    text.lines().map(line).collect()
}
