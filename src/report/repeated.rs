//! What many slides have at the same place: the few things that a reader does first.

use std::collections::BTreeSet;

use super::check_document::{CheckDocument, CheckedSlide};
use super::words::place_words;
use crate::measure::finding::{Finding, Kind, Severity};
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::settings::Size;

/// Slides from which something repeats. Source: chosen; two alike are soon read.
const LEAST_SLIDES: usize = 3;
/// Overlap of two boxes, shared over covered area, from which they are the same place.
/// Source: chosen, as for accepted findings.
const SAME_PLACE: f64 = 0.5;

/// What measured numbers differ by at most where they have one cause, a share of the larger. Source: chosen, over what
/// compression makes of one footer.
const SAME_MEASURE: f64 = 0.1;

/// A kind of finding that several slides have at the same places.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeated {
    /// What was found.
    pub kind: Kind,
    /// How bad it is.
    pub severity: Severity,
    /// Where, each on at least three slides; none for the whole picture.
    pub places: Vec<Option<PixelBox>>,
    /// What most of the findings advise; of as many, the first.
    pub advice: String,
    /// Whether all of them advise that.
    pub all_advise_it: bool,
    /// The slides, by their index in the document, in order.
    pub slides: Vec<usize>,
}

impl Repeated {
    /// Whether a finding is of this kind and advises the same.
    pub fn tells(&self, finding: &Finding) -> bool {
        self.kind == finding.kind && self.advice == finding.advice
    }

    /// Where, in words, such as `top left, bottom`.
    pub fn places_words(&self, output: Size) -> String {
        let mut words: Vec<String> = Vec::new();
        for place in &self.places {
            let place = place_words(*place, output);
            if !words.contains(&place) {
                words.push(place);
            }
        }
        words.join(", ")
    }

    /// What to do.
    pub fn advice_words(&self) -> String {
        if self.all_advise_it {
            self.advice.clone()
        } else {
            format!("For example: {}", self.advice)
        }
    }
}

/// Findings of one kind and measure at one place of several slides.
struct Group<'a> {
    first: &'a Finding,
    findings: Vec<(usize, &'a Finding)>,
}

impl Group<'_> {
    fn takes(&self, finding: &Finding) -> bool {
        let same_place = match (self.first.bounds, finding.bounds) {
            (None, None) => true,
            (Some(a), Some(b)) => overlap(a, b) >= SAME_PLACE,
            _ => false,
        };
        let [most, least] =
            [f64::max, f64::min].map(|of| of(self.first.measured, finding.measured));
        self.first.kind == finding.kind
            && self.first.severity == finding.severity
            && self.first.unit == finding.unit
            && self.first.camera == finding.camera
            && most - least <= SAME_MEASURE * most
            && same_place
    }

    fn slides(&self) -> BTreeSet<usize> {
        self.findings.iter().map(|(slide, _)| *slide).collect()
    }
}

/// What repeats on at least three slides: the worst first, then what most slides have.
pub fn repeated_findings(document: &CheckDocument) -> Vec<Repeated> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    let slides = document.slides.iter().enumerate();
    let findings = slides.flat_map(|(slide, checked)| {
        let findings = checked.findings.iter();
        findings.map(move |finding| (slide, finding))
    });
    for (slide, finding) in findings {
        match groups.iter_mut().find(|group| group.takes(finding)) {
            Some(group) => group.findings.push((slide, finding)),
            None => groups.push(Group {
                first: finding,
                findings: vec![(slide, finding)],
            }),
        }
    }
    groups.retain(|group| group.slides().len() >= LEAST_SLIDES);
    let told_of = |kind: Kind, severity: Severity| {
        let is_such =
            |group: &&Group<'_>| (group.first.kind, group.first.severity) == (kind, severity);
        let groups: Vec<&Group<'_>> = groups.iter().filter(is_such).collect();
        told(kind, severity, &groups)
    };
    let mut repeated: Vec<Repeated> = Kind::ALL
        .into_iter()
        .flat_map(|kind| Severity::ALL.map(|severity| told_of(kind, severity)))
        .flatten()
        .collect();
    repeated.sort_by_key(|r| std::cmp::Reverse((r.severity, r.slides.len())));
    repeated
}

/// What repeats of one kind that is as bad, as one.
fn told(kind: Kind, severity: Severity, groups: &[&Group<'_>]) -> Option<Repeated> {
    let mut advice: Vec<(&str, usize)> = Vec::new();
    for (_, finding) in groups.iter().flat_map(|group| &group.findings) {
        match advice.iter_mut().find(|(text, _)| *text == finding.advice) {
            Some((_, count)) => *count += 1,
            None => advice.push((&finding.advice, 1)),
        }
    }
    let usual = advice.iter().rev().max_by_key(|(_, count)| *count)?;
    let slides: BTreeSet<usize> = groups.iter().flat_map(|group| group.slides()).collect();
    Some(Repeated {
        kind,
        severity,
        places: groups.iter().map(|group| group.first.bounds).collect(),
        advice: usual.0.to_owned(),
        all_advise_it: advice.len() == 1,
        slides: slides.into_iter().collect(),
    })
}

/// Shared area over covered area, 0 to 1.
fn overlap(a: PixelBox, b: PixelBox) -> f64 {
    let shared = a.intersection(b).map_or(0, PixelBox::area);
    shared as f64 / (a.area() + b.area() - shared) as f64
}

/// A slide's findings with their numbers, from 1: those of one kind that advise the same together, so that
/// it is said once.
pub fn alike_findings(findings: &[Finding]) -> Vec<Vec<(usize, &Finding)>> {
    let is_alike = |a: &Finding, b: &Finding| {
        a.kind == b.kind && a.severity == b.severity && a.advice == b.advice
    };
    let mut groups: Vec<Vec<(usize, &Finding)>> = Vec::new();
    for (number, finding) in (1..).zip(findings) {
        let known = groups
            .iter_mut()
            .find(|group| group.iter().all(|(_, other)| is_alike(other, finding)));
        match known {
            Some(group) => group.push((number, finding)),
            None => groups.push(vec![(number, finding)]),
        }
    }
    groups
}

/// On which slides of a document: `on all 31 slides`, or how many and which.
pub fn on_slides_words(document: &CheckDocument, slides: &[usize], most: usize) -> String {
    if slides.len() == document.slides.len() {
        return format!("on all {} slides", slides.len());
    }
    let named = slides_words(document, slides, most);
    format!("on {} slides: {named}", slides.len())
}

/// Slides of a document in a few words, such as `pages 1-4, 9 of deck.pdf`, or `a.png, b.png and 3 more`.
fn slides_words(document: &CheckDocument, slides: &[usize], most: usize) -> String {
    let slides: Vec<&CheckedSlide> = slides
        .iter()
        .filter_map(|&slide| document.slides.get(slide))
        .collect();
    let mut parts: Vec<String> = Vec::new();
    for same_file in slides.chunk_by(|a, b| a.slide == b.slide && a.page.is_some()) {
        let pages: Vec<u32> = same_file.iter().filter_map(|slide| slide.page).collect();
        let name = same_file.first().map(|slide| document.name_of(slide));
        let name = name.unwrap_or_default();
        parts.push(match pages.as_slice() {
            [] => name,
            [page] => format!("page {page} of {name}"),
            pages => format!("pages {} of {name}", ranges_words(pages)),
        });
    }
    let left_out = parts.len().saturating_sub(most);
    parts.truncate(most);
    let named = parts.join(", ");
    match left_out {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}

/// Numbers in order, with neighbours as ranges: `1-4, 9`.
fn ranges_words(numbers: &[u32]) -> String {
    let ranges = numbers.chunk_by(|a, b| a + 1 == *b);
    let words: Vec<String> = ranges
        .filter_map(|range| {
            let (first, last) = (range.first()?, range.last()?);
            Some(match range.len() {
                1 => first.to_string(),
                2 => format!("{first}, {last}"),
                _ => format!("{first}-{last}"),
            })
        })
        .collect();
    words.join(", ")
}
