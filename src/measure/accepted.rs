//! Findings that the user has accepted: they stay quiet from then on.

use super::finding::{Finding, Kind};
use crate::pixel::settings::Size;

/// Overlap of two places, shared over covered area, from which they are the same place.
/// Source: chosen; a finding whose content moved by half of itself is a new one.
const SAME_PLACE: f64 = 0.5;

/// A finding that stays quiet.
#[derive(Clone, Debug, PartialEq)]
pub struct Accepted {
    /// The slide's file name, without folders.
    pub slide: String,
    /// The page, from 1, of a slide that is one of many in its file.
    pub page: Option<u32>,
    /// What was found.
    pub kind: Kind,
    /// Where: x, y, width, height in percent of the output; none for the whole picture.
    pub place_percent: Option<[f64; 4]>,
}

impl Accepted {
    /// Accepts a finding on a slide.
    pub fn new(slide: &str, page: Option<u32>, finding: &Finding, output: Size) -> Self {
        Self {
            slide: slide.to_owned(),
            page,
            kind: finding.kind,
            place_percent: finding.bounds.map(|bounds| bounds.percent_of(output)),
        }
    }

    /// Whether it is this finding on this slide.
    pub fn covers(&self, slide: &str, page: Option<u32>, finding: &Finding, output: Size) -> bool {
        let place = finding.bounds.map(|bounds| bounds.percent_of(output));
        let same_place = match (self.place_percent, place) {
            (None, None) => true,
            (Some(a), Some(b)) => overlap(a, b) >= SAME_PLACE,
            _ => false,
        };
        self.slide == slide && self.page == page && self.kind == finding.kind && same_place
    }
}

/// Shared area over covered area, 0 to 1.
fn overlap(a: [f64; 4], b: [f64; 4]) -> f64 {
    let shared = |axis: usize| {
        let end = (a[axis] + a[axis + 2]).min(b[axis] + b[axis + 2]);
        (end - a[axis].max(b[axis])).max(0.0)
    };
    let both = shared(0) * shared(1);
    let covered = a[2] * a[3] + b[2] * b[3] - both;
    if covered > 0.0 { both / covered } else { 0.0 }
}
