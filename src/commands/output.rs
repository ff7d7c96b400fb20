//! What commands print: data on stdout, the rest on stderr. A closed pipe changes nothing of how a command ends.

use std::io::{self, Write};

use schemars::{JsonSchema, schema_for};
use serde::Serialize;

use super::failure::Failure;
use super::stderr::say;
pub(super) use crate::report::check_document::{ChainJson, KeyJson};
use crate::report::paragraph::fitted;

/// Columns of a text that goes to no terminal, or has tables of its own width. Source: common practice, no source.
pub(super) const USUAL_COLUMNS: usize = 80;

/// Prints a text on stdout. A reader who goes away has read enough: the work is done all the same.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    let printed = stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush());
    unless_closed(printed)
}

/// Prints a text of lines on stdout, broken where a terminal is narrower.
pub(super) fn print_lines(text: &str) -> Result<(), Failure> {
    match terminal_size::terminal_size_of(io::stdout()) {
        Some((width, _)) => print(&fitted(text, width.0.into())),
        None => print(text),
    }
}

/// Prints a text on stdout, with its colours where it is a terminal that wants them.
pub(super) fn print_styled(text: &str) -> Result<(), Failure> {
    unless_closed(try_print_styled(text))
}

/// The same; a closed pipe is an error, for a command that would go on for nobody.
pub(super) fn try_print_styled(text: &str) -> io::Result<()> {
    let mut stdout = anstream::stdout().lock();
    stdout.write_all(text.as_bytes())?;
    stdout.flush()
}

/// What the system says, but for a closed pipe.
fn unless_closed(printed: io::Result<()>) -> Result<(), Failure> {
    match printed {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        printed => Ok(printed?),
    }
}

/// How wide the text on stdout may be: the terminal's width, else `COLUMNS`, else 80.
pub(super) fn columns() -> usize {
    let terminal = terminal_size::terminal_size_of(io::stdout());
    let set = || std::env::var("COLUMNS").ok()?.parse().ok();
    terminal
        .map(|(width, _)| usize::from(width.0))
        .or_else(set)
        .unwrap_or(USUAL_COLUMNS)
}

/// Prints one JSON document on stdout.
pub(super) fn print_json(document: &impl Serialize) -> Result<(), Failure> {
    let mut text = serde_json::to_string_pretty(document).map_err(Failure::plain)?;
    text.push('\n');
    print(&text)
}

/// Prints the JSON Schema of a document, draft 2020-12, under the name of what prints it.
pub(super) fn print_schema<T: JsonSchema>(of: &str) -> Result<(), Failure> {
    let mut schema = schema_for!(T);
    schema.insert("title".to_owned(), of.into());
    print_json(&schema.to_value())
}

/// Says something beside the data, on stderr.
pub(super) fn note(sentence: &str) {
    say(&format!("{sentence}\n"));
}
