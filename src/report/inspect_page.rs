//! What was found in a camera frame as one HTML page that needs nothing else: no network, no scripts.

use maud::{Markup, html};

use super::camera_numbers::camera_numbers;
use super::embedded_picture::EmbeddedPicture;
use super::inspect_document::InspectDocument;
use super::inspect_words::{VerdictWords, facts_words, kind_words, size_of};
use super::marked_camera::{mark_camera, outline_words};
use super::page::{
    badge, column_heads, file_name, page, picture, with_breaks, with_code, with_units,
};
use super::words::{place_words, sentence};
use crate::measure::inspect::camera_finding::CameraFinding;
use crate::measure::inspect::camera_parts::CameraParts;
use crate::measure::inspect::camera_verdict::Unanswered;
use crate::pixel::frame::Frame;

/// Longest side of the picture, px. Source: chosen; edges and noise are still seen.
const PICTURE_PX: u32 = 1600;
/// Most bytes that it takes. Source: chosen; the page can be sent by mail.
pub const PICTURE_BYTES: usize = 600_000;

/// The marked frame as the page has it. None where there is nothing to pack.
pub fn page_picture(
    camera: &Frame,
    document: &InspectDocument,
    parts: &CameraParts,
) -> Option<EmbeddedPicture> {
    EmbeddedPicture::new(camera, PICTURE_PX, PICTURE_BYTES, |picture| {
        mark_camera(picture, document, parts);
    })
}

/// The whole page.
pub fn inspect_page(document: &InspectDocument, marked: Option<&EmbeddedPicture>) -> String {
    let words = VerdictWords::of(document);
    let (verdict, words) = (words.verdict.name(), words.line());
    let name = file_name(&document.camera.file);
    let [width, height] = document.output;
    let header = html! {
        h1 { "The camera frame " (with_breaks(&name)) }
        p.counts { (badge(verdict)) " " (sentence(&words)) "." }
        p.under { (with_breaks(&document.camera.file)) ", looked at in " (width) "x" (height) " px." }
    };
    let main = html! {
        section.frame aria-labelledby="findings" {
            @if let Some(marked) = marked { (figure(document, marked, &name)) }
            div.beside {
                h2 #findings { "What to do" }
                @if document.findings.is_empty() { p { (nothing_words(document)) } }
                @else {
                    ul.findings {
                        @for (number, finding) in (1..).zip(&document.findings) {
                            (finding_item(document, finding, number))
                        }
                    }
                }
            }
        }
        @if !document.notes.is_empty() {
            section aria-labelledby="notes" {
                h2 #notes { "What this frame cannot tell" }
                ul {
                    @for note in &document.notes { li { (with_code(&sentence(note))) "." } }
                }
            }
        }
        (numbers(document))
    };
    let title = format!("{name}: {verdict}, {words}");
    page(&title, ("findings", "Skip to the findings"), &header, &main)
}

/// What stands where there is no finding.
fn nothing_words(document: &InspectDocument) -> &'static str {
    match document.unanswered.as_slice() {
        [] => "Nothing found.",
        [Unanswered::NotCompared] => {
            "Nothing found in this frame alone; why it was not compared stands below."
        }
        _ => "This frame cannot be judged; why stands below, with the frame to take instead.",
    }
}

/// The marked frame.
fn figure(document: &InspectDocument, marked: &EmbeddedPicture, name: &str) -> Markup {
    let boxes: Vec<String> = (1..)
        .zip(&document.findings)
        .filter(|(_, finding)| finding.bounds.is_some())
        .map(|(number, finding)| {
            let place = place_words(finding.bounds, size_of(document));
            format!("{number} {}, {place}", kind_words(finding.kind))
        })
        .collect();
    let (boxes_words, caption) = if boxes.is_empty() {
        ("no boxes".to_owned(), "Nothing to mark in the picture.")
    } else {
        let list = format!("numbered boxes: {}", boxes.join("; "));
        (list, "Numbers lead to the findings.")
    };
    html! {
        figure {
            (picture(marked, &format!("{name} with {boxes_words}")))
            figcaption { (caption) @if let Some(words) = outline_words(document) { " " (words) } }
        }
    }
}

/// A finding: what is wrong, what to do, where and how much.
fn finding_item(document: &InspectDocument, finding: &CameraFinding, number: usize) -> Markup {
    html! {
        li {
            div {
                h3 {
                    span.number { (number) } " " (sentence(kind_words(finding.kind))) " "
                    (badge(finding.severity.name()))
                }
                p.advice { (with_code(&finding.advice)) }
                p.facts {
                    (finding.kind.name()) "; "
                    (with_units(&facts_words(finding, size_of(document))))
                }
            }
        }
    }
}

/// What was measured, and what is good.
fn numbers(document: &InspectDocument) -> Markup {
    html! {
        section aria-labelledby="numbers" {
            h2 #numbers { "What was measured" }
            table {
                caption { "Every number with what it is where nothing is wrong." }
                (column_heads(["Of what", "Measured", "Good"]))
                tbody {
                    @for number in camera_numbers(document) {
                        tr {
                            th scope="row" { (sentence(&number.name)) }
                            td { (with_units(&number.measured)) }
                            td { (with_units(&number.good.unwrap_or_default())) }
                        }
                    }
                }
            }
        }
    }
}
