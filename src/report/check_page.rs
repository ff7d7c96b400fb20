//! The result of a check as one HTML page that needs nothing else: no network, no scripts.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::check_document::{CheckDocument, CheckedSlide};
use super::embedded_picture::EmbeddedPicture;
use super::marked::{Mark, draw_marks};
use super::words::{
    box_words, camera_words, chain_words, count_words, key_words, kind_words, measured_words,
    place_words,
};
use crate::measure::finding::{Finding, Verdict};
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// The page's style.
const STYLE: &str = include_str!("check_page.css");
/// Nothing is loaded from anywhere, whatever a name of a file tries.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'";
/// Most bytes that a slide takes in the page. Source: chosen; a deck of 40 slides can be sent by mail.
pub const SLIDE_BYTES: usize = 150_000;
/// Bytes of a slide's text beside its findings, and of a finding beside its advice. Source: measured on
/// the demonstration, generously rounded up; `tests/headless/check_page.rs` holds pages to the sum.
const TEXT_BYTES: (usize, usize) = (6_000, 900);

/// The pictures of a slide in the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlidePictures {
    /// What is recorded.
    pub composite: EmbeddedPicture,
    /// The slide with a numbered box for every finding; none where there is no finding.
    pub marked: Option<EmbeddedPicture>,
}

impl SlidePictures {
    /// Packs the composite and the slide as it lies on the output, within what a slide may take.
    pub fn new(composite: &Frame, slide: &Frame, findings: &[Finding]) -> Option<Self> {
        let (base, per_finding) = TEXT_BYTES;
        let of_finding = |finding: &Finding| per_finding + 2 * finding.advice.len();
        let text = base + findings.iter().map(of_finding).sum::<usize>();
        let most_bytes = SLIDE_BYTES.saturating_sub(text) / 2;
        let marks: Vec<Mark> = findings
            .iter()
            .zip(1..)
            .map(|(finding, number)| Mark {
                number,
                bounds: finding.bounds,
            })
            .collect();
        let composite = EmbeddedPicture::new(composite, most_bytes, |_| {})?;
        let marked = if marks.is_empty() {
            None
        } else {
            let draw = |picture: &mut Frame| draw_marks(picture, slide.size(), &marks);
            Some(EmbeddedPicture::new(slide, most_bytes, draw)?)
        };
        Some(Self { composite, marked })
    }
}

/// The whole page. `pictures` are those of the document's slides, in order.
pub fn check_page(document: &CheckDocument, pictures: &[SlidePictures]) -> String {
    let title = format!("Slides under the key: {}", verdict_counts(document));
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
                a.skip href="#slides" { "Skip to the slides" }
                header { (head(document)) }
                main {
                    (summary(document))
                    @if !document.unreadable.is_empty() { (unreadable(document)) }
                    div #slides {
                        @for (index, slide) in document.slides.iter().enumerate() {
                            (slide_article(document, slide, index + 1, pictures.get(index)))
                        }
                    }
                }
            }
        }
    };
    page.into_string()
}

/// How many slides there are and how they did, and under what.
fn head(document: &CheckDocument) -> Markup {
    let [width, height] = document.output;
    html! {
        h1 { "Slides under the key" }
        p.counts { (verdict_counts(document)) "." }
        @if document.accepted() > 0 {
            p { (count_words(document.accepted(), "finding")) " accepted earlier and not shown." }
        }
        p.under { "Key: " (key_words(&document.key)) "." }
        @if let Some(chain) = &document.chain {
            p.under { "Video chain: " (chain_words(chain)) "." }
        }
        p.under { "Output " (width) "x" (height) " px, " (camera_words(document)) "." }
    }
}

/// `4 slides: 2 pass, 1 warn, 1 fail`, without what there is none of.
fn verdict_counts(document: &CheckDocument) -> String {
    let counts: Vec<String> = [Verdict::Fail, Verdict::Warn, Verdict::Pass]
        .into_iter()
        .map(|verdict| (document.count(verdict), verdict.name()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, name)| format!("{count} {name}"))
        .collect();
    let slides = count_words(document.slides.len(), "slide");
    let unreadable = match document.unreadable.len() {
        0 => String::new(),
        count => format!("; {count} could not be read"),
    };
    if counts.is_empty() {
        format!("{slides}{unreadable}")
    } else {
        format!("{slides}: {}{unreadable}", counts.join(", "))
    }
}

/// All slides in a table that leads to each.
fn summary(document: &CheckDocument) -> Markup {
    html! {
        section aria-labelledby="summary" {
            h2 #summary { "Summary" }
            table {
                caption { "Every slide with its verdict. A name leads to the slide." }
                thead { tr {
                    th scope="col" { "Slide" }
                    th scope="col" { "Verdict" }
                    th scope="col" { "Findings" }
                } }
                tbody {
                    @for (slide, number) in document.slides.iter().zip(1..) {
                        tr {
                            th scope="row" { a href={ "#slide-" (number) } { (number) ". " (slide.title()) } }
                            td.verdict-cell { (verdict_badge(slide.verdict)) }
                            td { (findings_in_short(slide)) }
                        }
                    }
                }
            }
        }
    }
}

/// How often each kind was found, such as `2 keyed-out, 1 haze`.
fn findings_in_short(slide: &CheckedSlide) -> String {
    let mut kinds: Vec<_> = slide.findings.iter().map(|finding| finding.kind).collect();
    kinds.sort_unstable();
    let runs = kinds.chunk_by(|a, b| a == b);
    let mut parts: Vec<String> = runs
        .filter_map(|run| Some((run.len(), run.first()?)))
        .map(|(count, kind)| match count {
            1 => kind.name().to_owned(),
            _ => format!("{count} {}", kind.name()),
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

/// What could not be read, and why.
fn unreadable(document: &CheckDocument) -> Markup {
    html! {
        section aria-labelledby="unreadable" {
            h2 #unreadable { "Not checked" }
            ul {
                @for one in &document.unreadable { li { (one.error) } }
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
            h2 id=(heading) { (number) ". " (slide.title()) " " (verdict_badge(slide.verdict)) }
            @if let Some(pictures) = pictures { (figures(document, slide, pictures)) }
            @if is_found {
                ol.findings {
                    @for (finding, number) in slide.findings.iter().zip(1..) {
                        (finding_item(finding, number, document.output_size()))
                    }
                }
            } @else {
                p { "Nothing found." }
            }
            @if slide.accepted > 0 {
                p.facts { (count_words(slide.accepted, "finding")) " accepted earlier and not shown." }
            }
            p.back { a href="#summary" { "Back to the summary" } }
        }
    }
}

/// The composite and the marked slide.
fn figures(document: &CheckDocument, slide: &CheckedSlide, pictures: &SlidePictures) -> Markup {
    let first_camera = document.cameras.first();
    let over = first_camera.map_or_else(
        || "over black, as there is no camera".to_owned(),
        |camera| format!("over {camera}"),
    );
    let title = slide.title();
    html! {
        div.pictures.one[pictures.marked.is_none()] {
            figure {
                (picture(&pictures.composite, &format!("Composite of {title} {over}")))
                figcaption { "What is recorded: the slide under the key, " (over) "." }
            }
            @if let Some(marked) = &pictures.marked {
                figure {
                    (picture(marked, &marked_words(slide, document.output_size())))
                    figcaption { "The slide. Numbers lead to the findings below." }
                }
            }
        }
    }
}

/// What the marked slide shows, for who cannot see it.
fn marked_words(slide: &CheckedSlide, output: Size) -> String {
    let boxes: Vec<String> = slide
        .findings
        .iter()
        .zip(1..)
        .map(|(finding, number)| {
            let place = place_words(finding.bounds, output);
            format!("{number} {}, {place}", finding.kind.name())
        })
        .collect();
    format!(
        "{} with numbered boxes: {}",
        slide.title(),
        boxes.join("; ")
    )
}

/// A picture with its size, so that the page does not jump while it loads.
fn picture(picture: &EmbeddedPicture, alternative: &str) -> Markup {
    let (width, height) = (picture.size.width(), picture.size.height());
    html! {
        img src=(picture.data_uri) width=(width) height=(height) alt=(alternative);
    }
}

/// A finding: what is wrong, where and how much, and what to do.
fn finding_item(finding: &Finding, number: usize, output: Size) -> Markup {
    html! {
        li {
            span.number { (number) }
            div {
                h3 {
                    (kind_words(finding.kind)) " "
                    span.verdict.(finding.severity.name()) { (finding.severity.name()) }
                }
                p.advice { (finding.advice) }
                p.facts {
                    (finding.kind.name()) "; " (place_words(finding.bounds, output))
                    @if let Some(numbers) = box_words(finding.bounds) { ", " (numbers) }
                    "; " (measured_words(finding))
                    @if let Some(camera) = &finding.camera { ", over " (camera) }
                }
            }
        }
    }
}

/// The word for a verdict, framed.
fn verdict_badge(verdict: Verdict) -> Markup {
    html! { span.verdict.(verdict.name()) { (verdict.name()) } }
}
