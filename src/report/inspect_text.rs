//! What was found in a camera frame as text for a terminal.

use super::inspect_document::{InspectDocument, PartJson};
use super::words::box_words;

/// The frame in a few lines: what each part takes and where it is, then what cannot be told.
pub fn inspect_text(document: &InspectDocument) -> String {
    let [width, height] = document.output;
    let camera = &document.camera;
    let mut text = format!("{}, looked at in {width}x{height}\n", camera.file);
    text.push_str(&part_lines("writing", &camera.writing));
    text.push_str(&part_lines("presenter", &camera.presenter));
    for note in &document.notes {
        text.push_str(&format!("note: {note}\n"));
    }
    text
}

/// A part: its share of the picture, and a line for each of its boxes.
fn part_lines(name: &str, part: &PartJson) -> String {
    let mut text = format!("{name:<10} {:.2} % of the picture\n", part.percent);
    for words in part
        .boxes
        .iter()
        .filter_map(|&place| box_words(Some(place)))
    {
        text.push_str(&format!("             {words}\n"));
    }
    text
}
