//! Parts of a picture gathered to places, so that a reader gets a handful of findings.

use super::pixel_box::PixelBox;
use super::runs::Run;

/// Parts that are compared with one another at most; of more, the largest. Source: chosen, a million pairs.
const MOST_PARTS: usize = 1024;

/// Pixels that belong together.
#[derive(Clone, Debug)]
pub(crate) struct Place {
    bounds: PixelBox,
    runs: Vec<Run>,
    area: u64,
}

impl Place {
    /// A place of these runs with the box around them.
    pub(crate) fn new(bounds: PixelBox, runs: Vec<Run>) -> Self {
        let area = runs.iter().map(|run| u64::from(run.length())).sum();
        Self { bounds, runs, area }
    }

    /// The box around it.
    pub(crate) fn bounds(&self) -> PixelBox {
        self.bounds
    }

    /// Its runs, in no order.
    pub(crate) fn runs(&self) -> &[Run] {
        &self.runs
    }

    /// Its pixels.
    pub(crate) fn area(&self) -> u64 {
        self.area
    }

    /// Adds another place.
    pub(crate) fn take_in(&mut self, other: Self) {
        self.bounds = self.bounds.union(other.bounds);
        self.runs.extend(other.runs);
        self.area += other.area;
    }
}

/// Pixels between two boxes, across or down, whichever is more; 0 where they touch or overlap.
pub(crate) fn gap_px(a: PixelBox, b: PixelBox) -> u32 {
    let along = |a: (u32, u32), b: (u32, u32)| a.0.max(b.0).saturating_sub(a.1.min(b.1));
    let across = along((a.x, a.right()), (b.x, b.right()));
    across.max(along((a.y, a.bottom()), (b.y, b.bottom())))
}

/// Groups of parts that are alike and at most `gap` pixels apart, directly or over others.
pub(crate) fn gathered<T>(
    mut parts: Vec<T>,
    gap: u32,
    place: impl Fn(&T) -> &Place,
    alike: impl Fn(&T, &T) -> bool,
) -> Vec<Vec<T>> {
    parts.sort_by_key(|part| std::cmp::Reverse(place(part).area()));
    parts.truncate(MOST_PARTS);
    let mut group_of: Vec<usize> = (0..parts.len()).collect();
    for i in 0..parts.len() {
        for j in 0..i {
            let apart = gap_px(place(&parts[i]).bounds(), place(&parts[j]).bounds());
            if group_of[i] != group_of[j] && apart <= gap && alike(&parts[i], &parts[j]) {
                let (from, to) = (group_of[i].max(group_of[j]), group_of[i].min(group_of[j]));
                for group in &mut group_of {
                    if *group == from {
                        *group = to;
                    }
                }
            }
        }
    }
    let mut groups: Vec<Vec<T>> = parts.iter().map(|_| Vec::new()).collect();
    for (part, group) in parts.into_iter().zip(group_of) {
        groups[group].push(part);
    }
    groups.retain(|group| !group.is_empty());
    groups
}
