//! What commands print: data on stdout, the rest on stderr. A closed pipe ends the command quietly.

use std::io::{self, Write};

use serde::Serialize;

use super::failure::Failure;
pub(super) use crate::report::check_document::{ChainJson, KeyJson};

/// Columns of a text that goes to no terminal. Source: common practice, no source.
const DEFAULT_COLUMNS: usize = 80;

/// Prints a text on stdout.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    stdout.write_all(text.as_bytes())?;
    Ok(stdout.flush()?)
}

/// Prints a text on stdout, with its colours where it is a terminal that wants them.
pub(super) fn print_styled(text: &str) -> Result<(), Failure> {
    let mut stdout = anstream::stdout().lock();
    stdout.write_all(text.as_bytes())?;
    Ok(stdout.flush()?)
}

/// How wide the text on stdout may be: the terminal's width, else `COLUMNS`, else 80.
pub(super) fn columns() -> usize {
    let terminal = terminal_size::terminal_size_of(io::stdout());
    let set = || std::env::var("COLUMNS").ok()?.parse().ok();
    terminal
        .map(|(width, _)| usize::from(width.0))
        .or_else(set)
        .unwrap_or(DEFAULT_COLUMNS)
}

/// Prints one JSON document on stdout.
pub(super) fn print_json(document: &impl Serialize) -> Result<(), Failure> {
    let mut text = serde_json::to_string_pretty(document).map_err(Failure::plain)?;
    text.push('\n');
    print(&text)
}

/// Says something beside the data, on stderr.
pub(super) fn note(sentence: &str) {
    // Nobody listens where stderr is closed, and nothing depends on it.
    let _ignored = writeln!(io::stderr(), "{sentence}");
}
