//! A change of the zones, and whether it can be.

use super::deck_check::SlideId;
use crate::measure::space::zone::{Zone, ZoneKind};

/// Least side that pointer and keys make a zone, percent of the output. Source: chosen; smaller ones cannot be held.
pub(super) const LEAST_SIDE_PERCENT: f64 = 1.0;

/// A new value for a zone, or a zone more or less. Zones are named by their place in the setup.
#[derive(Clone, Debug, PartialEq)]
pub enum ZoneEdit {
    /// A zone for the whole deck: x, y, width, height in percent of the output.
    Add(ZoneKind, [f64; 4]),
    /// Another place, in percent of the output.
    Place(usize, [f64; 4]),
    /// Another name.
    Rename(usize, String),
    /// Another kind.
    Kind(usize, ZoneKind),
    /// For the slide shown alone, or for the whole deck.
    ForSlideShown(usize, bool),
    /// No more.
    Remove(usize),
}

impl ZoneEdit {
    /// Changes the zones; the place of the one that is selected from now on, or why it cannot be.
    pub(super) fn put_into(
        self,
        zones: &mut Vec<Zone>,
        shown: Option<&SlideId>,
    ) -> Result<Option<usize>, String> {
        let index = match &self {
            Self::Add(..) => zones.len(),
            Self::Place(index, _)
            | Self::Rename(index, _)
            | Self::Kind(index, _)
            | Self::ForSlideShown(index, _)
            | Self::Remove(index) => *index,
        };
        if let Self::Add(kind, box_percent) = self {
            let name = new_name(zones);
            zones.push(Zone::new(name, kind, box_percent).map_err(|error| error.to_string())?);
            return Ok(Some(index));
        }
        let Some(zone) = zones.get_mut(index) else {
            return Ok(None);
        };
        match self {
            Self::Add(..) => {}
            Self::Place(_, box_percent) => {
                let mut moved = Zone::new(zone.name.clone(), zone.kind, box_percent)
                    .map_err(|error| error.to_string())?;
                (moved.slide, moved.page) = (zone.slide.take(), zone.page);
                *zone = moved;
            }
            Self::Rename(_, name) if name.trim().is_empty() => {
                return Err("A zone needs a name, so that findings can speak of it.".to_owned());
            }
            Self::Rename(_, name) => name.trim().clone_into(&mut zone.name),
            Self::Kind(_, kind) => zone.kind = kind,
            Self::ForSlideShown(_, true) => {
                let is_named = |slide: &&SlideId| !slide.file_name.is_empty();
                let slide = shown
                    .filter(is_named)
                    .ok_or("There is no slide that the zone could be for.")?;
                zone.slide = Some(slide.file_name.clone());
                zone.page = slide.page;
            }
            Self::ForSlideShown(_, false) => (zone.slide, zone.page) = (None, None),
            Self::Remove(_) => {
                zones.remove(index);
                return Ok(None);
            }
        }
        Ok(Some(index))
    }
}

/// `zone 1`, or the first number that no zone has yet.
fn new_name(zones: &[Zone]) -> String {
    let name = |number: usize| format!("zone {number}");
    let is_taken = |name: &String| zones.iter().any(|zone| zone.name == *name);
    let free = (1..=zones.len()).map(name).find(|name| !is_taken(name));
    free.unwrap_or_else(|| name(zones.len() + 1))
}

/// A box moved by a way, kept inside the output; all in percent of it, to a hundredth.
pub fn moved([x, y, width, height]: [f64; 4], by: [f64; 2]) -> [f64; 4] {
    let along = |start: f64, length: f64, by: f64| {
        hundredth((start + by).clamp(0.0, (100.0 - length).max(0.0)))
    };
    [
        along(x, width, by[0]),
        along(y, height, by[1]),
        width,
        height,
    ]
}

/// A box whose sides were moved by a way: for each axis -1 moves the first side, 1 the last and 0 none. Sides stay inside
/// the output and do not pass each other; all in percent of the output, to a hundredth.
pub fn resized(old: [f64; 4], sides: [i8; 2], by: [f64; 2]) -> [f64; 4] {
    let along = |axis: usize| {
        let (start, end) = (old[axis], old[axis] + old[axis + 2]);
        let least = LEAST_SIDE_PERCENT.min(old[axis + 2]);
        let (start, end) = match sides[axis] {
            0 => return [old[axis], old[axis + 2]],
            side if side < 0 => ((start + by[axis]).clamp(0.0, end - least), end),
            // A hundredth over the edge is what rounding leaves.
            _ => {
                let shortest = start + least;
                (start, (end + by[axis]).clamp(shortest, shortest.max(100.0)))
            }
        };
        let start = hundredth(start);
        [start, hundredth(end - start)]
    };
    let ([x, width], [y, height]) = (along(0), along(1));
    [x, y, width, height]
}

/// The box between two corners, whichever way they were given, cut to the output; none where it is too small to be held.
/// All in percent of the output, to a hundredth.
pub fn spanned(a: [f64; 2], b: [f64; 2]) -> Option<[f64; 4]> {
    let along = |axis: usize| {
        let [a, b] = [a[axis], b[axis]].map(|v| v.clamp(0.0, 100.0));
        let start = hundredth(a.min(b));
        [start, hundredth(a.max(b) - start)]
    };
    let ([x, width], [y, height]) = (along(0), along(1));
    (width.min(height) >= LEAST_SIDE_PERCENT).then_some([x, y, width, height])
}

fn hundredth(percent: f64) -> f64 {
    (100.0 * percent).round() / 100.0
}
