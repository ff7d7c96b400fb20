//! What commands print: data on stdout, the rest on stderr. A closed pipe ends the command quietly.

use std::io::{self, Write};

use serde::Serialize;

use super::failure::Failure;
use crate::pixel::key::{Luma, Ramp};
use crate::pixel::settings::{Alpha, BlendSpace, Key};

/// The key as every JSON document has it.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct KeyJson {
    threshold: f64,
    softness: f64,
    ramp: Ramp,
    luma: Luma,
    alpha: Alpha,
    blend_space: BlendSpace,
}

impl From<Key> for KeyJson {
    fn from(key: Key) -> Self {
        Self {
            threshold: key.threshold_percent(),
            softness: key.softness_percent(),
            ramp: key.ramp,
            luma: key.luma,
            alpha: key.alpha,
            blend_space: key.blend_space,
        }
    }
}

/// Prints a text on stdout.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    stdout.write_all(text.as_bytes())?;
    Ok(stdout.flush()?)
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
