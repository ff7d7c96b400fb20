//! What all pages share: a frame that needs nothing else, no network and no scripts, and words and pictures in it.

use std::path::Path;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::embedded_picture::EmbeddedPicture;

/// The style of all pages.
const STYLE: &str = include_str!("page.css");
/// Nothing is loaded from anywhere, whatever a name of a file tries.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'";

/// A whole page. `skip` is where the keyboard may jump to at once, and the words that say so.
pub(super) fn page(title: &str, skip: (&str, &str), header: &Markup, main: &Markup) -> String {
    let (target, words) = skip;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href={ "#" (target) } { (words) }
                header { (header) }
                main { (main) }
            }
        }
    };
    page.into_string()
}

/// A heading with how bad it is, a verdict or a severity.
pub(super) fn rated_heading(words: &str, rating: &str) -> Markup {
    html! {
        h3 { (words) " " (badge(rating)) }
    }
}

/// The names over the columns of a table.
pub(super) fn column_heads<const N: usize>(names: [&str; N]) -> Markup {
    html! {
        thead { tr { @for name in names { th scope="col" { (name) } } } }
    }
}

/// A verdict or a severity, framed.
pub(super) fn badge(rating: &str) -> Markup {
    html! { span.verdict.(rating) { (rating) } }
}

/// Words with what stands between grave accents as code, and no number parted from its unit.
pub(super) fn with_code(words: &str) -> Markup {
    html! {
        @for (part, text) in words.split('`').enumerate() {
            @if part % 2 == 0 { (with_units(text)) } @else { code { (with_breaks(text)) } }
        }
    }
}

/// Letters of a name's last part, ending and all, from which it breaks before its ending. Source: chosen, what the
/// column of names holds on a page 400 px wide.
const LONG_PART: usize = 14;

/// The name of a file, or words with one, which breaks between its parts before it breaks within one: after a low line,
/// a hyphen or a slash, and before its ending where the last part is long: a short one goes to the next line as it is.
pub(super) fn with_breaks(name: &str) -> Markup {
    let is_parting = |letter: char| matches!(letter, '_' | '-' | '/' | '\\');
    let begun = name.trim_start_matches(|letter: char| !letter.is_alphanumeric());
    let is_between = |letter: char| is_parting(letter) || letter == ' ';
    let last = begun.rsplit(is_between).next().unwrap_or(begun);
    let is_long = last.chars().count() >= LONG_PART;
    let mut parts = vec![String::new()];
    let ending = name.rfind('.').filter(|_| is_long);
    let mut before = ' ';
    for (at, letter) in name.char_indices() {
        if let Some(part) = parts.last_mut() {
            // The hyphens that a flag begins with part nothing.
            let is_begun = part.contains(char::is_alphanumeric);
            if is_begun && (ending == Some(at) || is_parting(before)) {
                parts.push(String::new());
            }
        }
        if let Some(part) = parts.last_mut() {
            part.push(letter);
        }
        before = letter;
    }
    html! {
        @for (index, part) in parts.iter().enumerate() {
            @if index > 0 { wbr; }
            (part)
        }
    }
}

/// The same words, with units that stay beside their numbers.
pub(super) fn with_units(words: &str) -> String {
    words.replace(" %", "\u{a0}%").replace(" px", "\u{a0}px")
}

/// A picture with its size, so that the page does not jump while it loads.
pub(super) fn picture(picture: &EmbeddedPicture, alternative: &str) -> Markup {
    let (width, height) = (picture.size.width(), picture.size.height());
    html! {
        img src=(picture.data_uri) width=(width) height=(height) alt=(alternative);
    }
}

/// A path without its folders.
pub(super) fn file_name(path: &str) -> String {
    let name = Path::new(path).file_name();
    name.map_or_else(
        || path.to_owned(),
        |name| name.to_string_lossy().into_owned(),
    )
}
