//! Zones: named rectangles of the output that slides keep out of, keep in, or are written on in.

use thiserror::Error;

use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// What a zone is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum ZoneKind {
    /// Slides have no content in it.
    KeepOut,
    /// Slides have no content outside of it, or of the others of this kind.
    KeepIn,
    /// Writing over the slide is meant there.
    WriteHere,
}

/// A box that no zone can have.
#[derive(Clone, Debug, Error, PartialEq)]
#[error(
    "the box of a zone must have x and y from 0 to 100 and sides of 0.1 to 100 percent, and end inside the output, got {got:?}"
)]
pub struct ZoneError {
    got: [f64; 4],
}

/// A named rectangle, for the deck or one slide.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// What findings call it.
    pub name: String,
    /// What it is for.
    pub kind: ZoneKind,
    /// x, y, width, height in percent of the output.
    box_percent: [f64; 4],
    /// The file name of the one slide that it is for, without folders; none for the whole deck.
    pub slide: Option<String>,
    /// The page, from 1, of that slide where it is one of many in its file.
    pub page: Option<u32>,
}

impl Zone {
    /// A zone for the whole deck; [`ZoneError`] where the box, x, y, width, height in percent of the output, is not inside.
    pub fn new(name: String, kind: ZoneKind, box_percent: [f64; 4]) -> Result<Self, ZoneError> {
        let [x, y, width, height] = box_percent;
        let place = 0.0..=100.0;
        let side = 0.1..=100.0;
        // A hundredth over the edge is what rounding to a hundredth leaves.
        let ends = |start: f64, length: f64| start + length <= 100.01;
        let is_inside =
            place.contains(&x) && place.contains(&y) && ends(x, width) && ends(y, height);
        if is_inside && side.contains(&width) && side.contains(&height) {
            Ok(Self {
                name,
                kind,
                box_percent,
                slide: None,
                page: None,
            })
        } else {
            Err(ZoneError { got: box_percent })
        }
    }

    /// x, y, width, height in percent of the output.
    pub fn box_percent(&self) -> [f64; 4] {
        self.box_percent
    }

    /// Whether it is for this slide.
    pub fn is_for(&self, slide: &str, page: Option<u32>) -> bool {
        let same_slide = self.slide.as_deref().is_none_or(|own| own == slide);
        same_slide && (self.page.is_none() || self.page == page)
    }

    /// The pixels that it covers; its edges lie at the nearest whole pixel, and it has one pixel at least.
    pub fn bounds(&self, output: Size) -> PixelBox {
        let [x, y, width, height] = self.box_percent;
        let (left, right) = ends(x, width, output.width());
        let (top, bottom) = ends(y, height, output.height());
        PixelBox {
            x: left,
            y: top,
            width: right - left,
            height: bottom - top,
        }
    }
}

/// Where zones let no slide lie: in those to keep out of, and outside those to keep in, if there are any.
pub fn closed_by_zones(zones: &[Zone], output: Size) -> Runs {
    let boxes = |kind: ZoneKind| {
        let of_kind = zones.iter().filter(|zone| zone.kind == kind);
        let boxes: Vec<PixelBox> = of_kind.map(|zone| zone.bounds(output)).collect();
        Runs::of_boxes(output, boxes)
    };
    let closed = boxes(ZoneKind::KeepOut);
    let open = boxes(ZoneKind::KeepIn);
    if open.as_slice().is_empty() {
        closed
    } else {
        let whole = Runs::of_boxes(output, [PixelBox::of_size(output)]);
        closed.union(&whole.without(&open))
    }
}

/// The zones that are for the whole deck.
pub fn zones_of_deck(zones: &[Zone]) -> Vec<Zone> {
    let of_deck = |zone: &&Zone| zone.slide.is_none() && zone.page.is_none();
    zones.iter().filter(of_deck).cloned().collect()
}

/// The zones that are for a slide.
pub fn zones_for(zones: &[Zone], slide: &str, page: Option<u32>) -> Vec<Zone> {
    let is_for = |zone: &&Zone| zone.is_for(slide, page);
    zones.iter().filter(is_for).cloned().collect()
}

/// First pixel and the one after the last of a stretch in percent of a side.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "edges lie inside the output"
)]
fn ends(start: f64, length: f64, side: u32) -> (u32, u32) {
    let edge = |percent: f64| (percent / 100.0 * f64::from(side) + 0.5).floor() as u32;
    let first = edge(start).min(side - 1);
    (first, edge(start + length).clamp(first + 1, side))
}
