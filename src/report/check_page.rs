//! The result of a check as one HTML page that needs nothing else: no network, no scripts.

use maud::{Markup, html};

use super::check_document::{CheckDocument, CheckedSlide, SlideVerdict};
use super::check_table::WHAT_FRAME;
use super::embedded_picture::EmbeddedPicture;
use super::marked::{Mark, draw_marks};
use super::page::{
    badge, column_heads, file_name, page, picture, rated_heading, with_breaks, with_code,
    with_units,
};
use super::repeated::{Repeated, alike_findings, repeated_findings};
use super::words::{
    box_words, camera_words, chain_words, count_words, key_words, kind_words, measured_words,
    place_words, sentence,
};
use crate::measure::finding::Finding;
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// Longest side of its pictures, px. Source: chosen by eye on the demonstration.
const PICTURE_PX: u32 = 960;
/// Most bytes that a slide takes in the page. Source: chosen; a deck of 40 slides can be sent by mail.
pub const SLIDE_BYTES: usize = 150_000;
/// Bytes of a slide's text beside its findings, and of a finding beside its advice. Source: measured on
/// the demonstration, generously rounded up; `tests/headless/check_page.rs` holds pages to the sum.
const TEXT_BYTES: (usize, usize) = (6_000, 900);

/// The pictures of a slide in the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlidePictures {
    /// What is recorded: over the first camera, then over each other that something was found over.
    pub composites: Vec<Composite>,
    /// The slide with a numbered box for every finding; none where there is no finding.
    pub marked: Option<EmbeddedPicture>,
}

/// A slide over a camera frame, with a numbered box for every finding that is about this frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Composite {
    /// The camera frame; none where it is black.
    pub camera: Option<String>,
    /// The picture.
    pub picture: EmbeddedPicture,
}

impl SlidePictures {
    /// Packs composites over these cameras and the slide as it lies on the output, within what a slide may take.
    pub fn new(
        composites: &[(Option<&str>, Frame)],
        slide: &Frame,
        findings: &[Finding],
    ) -> Option<Self> {
        let (base, per_finding) = TEXT_BYTES;
        let of_finding = |finding: &Finding| per_finding + 2 * finding.advice.len();
        let text = base + findings.iter().map(of_finding).sum::<usize>();
        let most_bytes = SLIDE_BYTES.saturating_sub(text) / (composites.len() + 1);
        let marks_of = |is_shown: &dyn Fn(&Finding) -> bool| -> Vec<Mark> {
            let numbered = findings.iter().zip(1..);
            numbered
                .filter(|(finding, _)| is_shown(finding))
                .map(|(finding, number)| Mark {
                    label: number.to_string(),
                    bounds: finding.bounds,
                })
                .collect()
        };
        let embedded = |frame: &Frame, marks: &[Mark]| {
            EmbeddedPicture::new(frame, PICTURE_PX, most_bytes, |picture| {
                draw_marks(picture, slide.size(), marks);
            })
        };
        let composite = |(camera, frame): &(Option<&str>, Frame)| {
            let marks =
                marks_of(&|finding| camera.is_some() && finding.camera.as_deref() == *camera);
            Some(Composite {
                camera: camera.map(str::to_owned),
                picture: embedded(frame, &marks)?,
            })
        };
        let marks = marks_of(&|_| true);
        let marked = if marks.is_empty() {
            None
        } else {
            Some(embedded(slide, &marks)?)
        };
        Some(Self {
            composites: composites.iter().map(composite).collect::<Option<_>>()?,
            marked,
        })
    }
}

/// The whole page. `pictures` are those of the document's slides, in order.
pub fn check_page(document: &CheckDocument, pictures: &[SlidePictures]) -> String {
    let title = format!("Slides under the key: {}", verdict_counts(document));
    let main = html! {
        @if !document.unanswered.is_empty() { (unanswered(document)) }
        (first_things(document, &repeated_findings(document)))
        (summary(document))
        @if !document.unreadable.is_empty() { (unreadable(document)) }
        div #slides {
            @for (index, slide) in document.slides.iter().enumerate() {
                (slide_article(document, slide, index + 1, pictures.get(index)))
            }
        }
    };
    let skip = ("slides", "Skip to the slides");
    page(&title, skip, &head(document), &main)
}

/// How many slides there are and how they did, and under what.
fn head(document: &CheckDocument) -> Markup {
    let [width, height] = document.output;
    html! {
        h1 { "Slides under the key" }
        p.counts { (verdict_counts(document)) "." }
        @if let Some(accepted) = document.accepted_words() {
            p { (with_code(&accepted)) " and not shown." }
        }
        @if let Some(folder) = document.folder() {
            p.under { "Slides of " (with_breaks(&folder.to_string_lossy())) "." }
        }
        p.under { "Key: " (key_words(&document.key)) "." }
        @if let Some(chain) = &document.chain {
            p.under { "Video chain: " (chain_words(chain)) "." }
        }
        p.under { "Output " (width) "x" (height) " px, " (with_breaks(&camera_words(document))) "." }
    }
}

/// `4 slides: 2 pass, 1 warn, 1 fail`, without what there is none of.
fn verdict_counts(document: &CheckDocument) -> String {
    let counts: Vec<String> = SlideVerdict::ALL
        .into_iter()
        .rev()
        .map(|verdict| (document.count(verdict), verdict.name()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, name)| format!("{count} {name}"))
        .collect();
    let slides = count_words(document.slides.len(), "slide");
    let unreadable = match document.unreadable.len() {
        0 => String::new(),
        count => format!("; {count} could not be checked"),
    };
    if counts.is_empty() {
        format!("{slides}{unreadable}")
    } else {
        format!("{slides}: {}{unreadable}", counts.join(", "))
    }
}

/// What repeats on many slides and is done first.
fn first_things(document: &CheckDocument, repeated: &[Repeated]) -> Markup {
    if repeated.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="first" {
            h2 #first { "What to do first" }
            p { "This repeats on many slides. Where it comes from the theme, change it once, in the layout that all slides share." }
            ul.findings {
                @for one in repeated {
                    li {
                        div {
                            (rated_heading(kind_words(one.kind), one.severity.name()))
                            p.advice { (with_code(&one.advice_words())) }
                            p.facts {
                                (one.kind.name()) "; " (one.places_words(document.output_size())) "; "
                                @if one.slides.len() == document.slides.len() {
                                    "on all " (one.slides.len()) " slides"
                                } @else {
                                    "on " (one.slides.len()) " slides: "
                                    @for (place, slide) in one.slides.iter().enumerate() {
                                        @if place > 0 { ", " }
                                        a href={ "#slide-" (slide + 1) } { (slide + 1) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// All slides in a table that leads to each.
fn summary(document: &CheckDocument) -> Markup {
    html! {
        section aria-labelledby="summary" {
            h2 #summary { "Summary" }
            table {
                caption { "Every slide with its verdict. A name leads to the slide." }
                (column_heads(["Slide", "Verdict", "Findings"]))
                tbody {
                    @for (slide, number) in document.slides.iter().zip(1..) {
                        tr {
                            th scope="row" { a href={ "#slide-" (number) } { (number) ".\u{a0}" (with_breaks(&title(document, slide))) } }
                            td.verdict-cell { (badge(slide.verdict.name())) }
                            td { (findings_in_short(slide)) }
                        }
                    }
                }
            }
        }
    }
}

/// A slide's name within the folder of the deck, and its page.
fn title(document: &CheckDocument, slide: &CheckedSlide) -> String {
    let name = document.name_of(slide);
    match slide.page {
        Some(page) => format!("{name}, page {page}"),
        None => name,
    }
}

/// How often each kind was found, in the words of the findings, such as `Content disappears (2), Dark edge`.
fn findings_in_short(slide: &CheckedSlide) -> String {
    let mut kinds: Vec<_> = slide.findings.iter().map(|finding| finding.kind).collect();
    kinds.sort_unstable();
    let runs = kinds.chunk_by(|a, b| a == b);
    let mut parts: Vec<String> = runs
        .filter_map(|run| Some((run.len(), run.first()?)))
        .map(|(count, kind)| match count {
            1 => kind_words(*kind).to_owned(),
            _ => format!("{} ({count})", kind_words(*kind)),
        })
        .collect();
    if slide.accepted > 0 {
        parts.push(format!("{} accepted", slide.accepted));
    }
    if parts.is_empty() {
        "none".to_owned()
    } else {
        parts.join(", ")
    }
}

/// The cameras that cannot tell what slides cover, and why.
fn unanswered(document: &CheckDocument) -> Markup {
    html! {
        section aria-labelledby="unanswered" {
            h2 #unanswered { "What cannot be told" }
            ul {
                @for one in &document.unanswered {
                    li { (with_code(&sentence(&one.words))) "; " (with_code(WHAT_FRAME)) "." }
                }
            }
        }
    }
}

/// What could not be read, and why.
fn unreadable(document: &CheckDocument) -> Markup {
    html! {
        section aria-labelledby="unreadable" {
            h2 #unreadable { "Not checked" }
            ul {
                @for one in &document.unreadable {
                    li {
                        @if let Some(page) = one.page { "page " (page) ": " }
                        (with_code(&one.error))
                    }
                }
            }
        }
    }
}

/// A slide: its pictures, then its findings by number.
fn slide_article(
    document: &CheckDocument,
    slide: &CheckedSlide,
    number: usize,
    pictures: Option<&SlidePictures>,
) -> Markup {
    let id = format!("slide-{number}");
    let heading = format!("{id}-heading");
    let is_found = !slide.findings.is_empty();
    html! {
        article.slide.found[is_found] id=(id) aria-labelledby=(heading) {
            div.top {
                h2 id=(heading) { (number) ". " (with_breaks(&title(document, slide))) " " (badge(slide.verdict.name())) }
                @if let Some(pictures) = pictures { (figures(document, slide, pictures)) }
            }
            @if is_found {
                ul.findings {
                    @for alike in alike_findings(&slide.findings) {
                        (finding_item(&alike, document.output_size()))
                    }
                }
            } @else {
                p { (nothing_words(slide)) }
            }
            @if slide.accepted > 0 {
                p.facts { (count_words(slide.accepted, "finding")) " accepted earlier and not shown." }
            }
            p.back { a href="#summary" { "Back to the summary" } }
        }
    }
}

/// What stands where there is no finding.
fn nothing_words(slide: &CheckedSlide) -> &'static str {
    match (slide.verdict, slide.accepted) {
        (SlideVerdict::Unclear, 0) => "Nothing found, but not all could be looked for.",
        (SlideVerdict::Unclear, _) => {
            "Nothing found beside what was accepted, but not all could be looked for."
        }
        (_, 0) => "Nothing found.",
        _ => "Nothing found beside what was accepted.",
    }
}

/// The composite and the marked slide.
fn figures(document: &CheckDocument, slide: &CheckedSlide, pictures: &SlidePictures) -> Markup {
    let title = title(document, slide);
    let over = |composite: &Composite| match &composite.camera {
        None => "over black, as there is no camera".to_owned(),
        Some(camera) => format!("over {}", file_name(camera)),
    };
    let is_found_over = |composite: &Composite| {
        let camera = &composite.camera;
        camera.is_some() && slide.findings.iter().any(|one| one.camera == *camera)
    };
    html! {
        div.pictures.one[pictures.marked.is_none()] {
            @for composite in &pictures.composites {
                figure {
                    (picture(&composite.picture, &format!("Composite of {title} {}", over(composite))))
                    figcaption {
                        "What is recorded: the slide under the key, " (with_breaks(&over(composite)))
                        @if is_found_over(composite) { ", with numbers for what was found over it" }
                        "."
                    }
                }
            }
            @if let Some(marked) = &pictures.marked {
                figure {
                    (picture(marked, &marked_words(&title, slide, document.output_size())))
                    figcaption { "The slide. Numbers lead to the findings below." }
                }
            }
        }
    }
}

/// What the marked slide shows, for who cannot see it.
fn marked_words(title: &str, slide: &CheckedSlide, output: Size) -> String {
    let boxes: Vec<String> = slide
        .findings
        .iter()
        .zip(1..)
        .map(|(finding, number)| {
            let place = place_words(finding.bounds, output);
            format!("{number} {}, {place}", kind_words(finding.kind))
        })
        .collect();
    format!("{title} with numbered boxes: {}", boxes.join("; "))
}

/// Findings of one kind with the same advice: what is wrong and what to do, and for each where and how much.
fn finding_item(alike: &[(usize, &Finding)], output: Size) -> Markup {
    let Some((_, first)) = alike.first() else {
        return html! {};
    };
    html! {
        li {
            div {
                (rated_heading(kind_words(first.kind), first.severity.name()))
                p.advice { (with_code(&first.advice)) }
                @for (number, finding) in alike {
                    p.facts {
                        span.number { (number) } " "
                        (finding.kind.name()) "; " (place_words(finding.bounds, output))
                        @if let Some(numbers) = box_words(finding.bounds) { ", " (with_units(&numbers)) }
                        "; " (with_units(&measured_words(finding)))
                        @if let Some(camera) = &finding.camera { ", over " (with_breaks(&file_name(camera))) }
                    }
                }
            }
        }
    }
}
