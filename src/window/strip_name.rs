//! What a slide is called where there is little room: without what all slides are called, and cut in the middle.

use egui::{FontId, Painter};

/// Parts of a name end with one of these.
const PARTING: [char; 3] = ['_', '-', ' '];

/// How many bytes all names begin with that tell none of them from the others, whole parts only.
pub fn shared_start(names: &[String]) -> usize {
    let [first, rest @ ..] = names else {
        return 0;
    };
    if rest.is_empty() {
        return 0;
    }
    let alike = |shared: usize, name: &String| {
        let both = first.char_indices().zip(name.chars());
        let differs = both.take(shared).find(|((_, a), b)| a != b);
        differs.map_or_else(|| shared.min(name.len()), |((at, _), _)| at.min(shared))
    };
    let shared = rest.iter().fold(first.len(), alike);
    let start = first.get(..shared).unwrap_or("");
    start.rfind(PARTING).map_or(0, |at| at + 1)
}

/// A name without the bytes that all share, and without the slide's own number, where letters are left.
pub fn telling_part(name: &str, shared: usize, number: usize) -> &str {
    // Those of the ending tell nothing.
    let has_letters = |part: &&str| {
        let stem = part.rsplit_once('.').map_or(*part, |(stem, _)| stem);
        stem.chars().any(char::is_alphabetic)
    };
    let part = name.get(shared..).filter(has_letters).unwrap_or(name);
    let unnumbered = part.trim_start_matches('0');
    let unnumbered = unnumbered.strip_prefix(&number.to_string());
    let unnumbered = unnumbered.and_then(|rest| rest.strip_prefix(PARTING));
    unnumbered.filter(has_letters).unwrap_or(part)
}

/// Words that are no wider than this in points, with an ellipsis in the middle where they were.
pub(super) fn fitted(painter: &Painter, words: &str, font: &FontId, width: f32) -> String {
    let fits = |words: &str| {
        let color = egui::Color32::WHITE;
        let galley = painter.layout_no_wrap(words.to_owned(), font.clone(), color);
        galley.size().x <= width
    };
    let letters: Vec<char> = words.chars().collect();
    if fits(words) {
        return words.to_owned();
    }
    let cut = |kept: usize| -> String {
        let tail = kept / 2;
        let head = letters.iter().take(kept - tail);
        let tail = letters.iter().skip(letters.len() - tail);
        head.chain(['…'].iter()).chain(tail).collect()
    };
    let kept = (1..letters.len()).rev().find(|kept| fits(&cut(*kept)));
    cut(kept.unwrap_or(0))
}
