//! What is said beside the data, on stderr.

use std::io::{self, Write};

use crate::report::paragraph::fitted;

/// Says a text of lines, broken where stderr is a terminal that is narrower.
pub(super) fn say(text: &str) {
    let text = match terminal_size::terminal_size_of(io::stderr()) {
        Some((width, _)) => fitted(text, width.0.into()),
        None => text.to_owned(),
    };
    // Nobody listens where stderr is closed, and nothing depends on it.
    let _ignored = io::stderr().write_all(text.as_bytes());
}
