//! Corners of a figure's outline, at a neck or an elbow, that its glow fills deeper than it reaches beside a straight edge.

use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::raster::sides::sides;

/// Size of what lies deeper than glow reaches, a share of the square of that depth, under which it may be a corner. Source:
/// measured; the largest of the demonstration's camera has 0.35, dark clothes have 3 and more.
const LARGEST: f64 = 0.5;
/// How many times as much of a corner touches the figure as lies open, at most. Source: measured; 1.8 to 2.9 in the
/// demonstration's camera, where two smooth edges meet, 4.6 and more in dark clothes, whose texture is ragged.
const MOST_CONTACT: f64 = 3.5;

/// Glow from an outline inwards.
#[derive(Clone, Copy, Debug)]
pub(super) struct GlowCorners<'a> {
    /// The glow as deep as it reaches beside a straight edge.
    pub(super) glow: &'a Runs,
    /// That depth, and how far around a deeper place its outline is looked at, px.
    pub(super) depth: usize,
    pub(super) reach: u32,
}

impl GlowCorners<'_> {
    /// What of the figure lies deeper than the glow, but belongs to it because it is a corner. `ends` is where the glow was cut off;
    /// `goes_on` is true for the pixels deeper in on which it could go on.
    pub(super) fn of(
        self,
        ends: &Runs,
        goes_on: impl Fn(u32, u32) -> bool,
        is_figure: impl Fn(u32, u32) -> bool,
    ) -> Runs {
        let size = ends.size();
        let at = |(x, y): (u32, u32)| (y * size.width() + x) as usize;
        let mut bytes = vec![0_u8; size.area()];
        let runs = ends.as_slice().iter();
        let mut front: Vec<(u32, u32)> = runs
            .flat_map(|run| (run.start..run.end).map(|x| (x, run.y)))
            .collect();
        while let Some(place) = front.pop() {
            for beside in sides(size, place) {
                if bytes[at(beside)] == 0 && goes_on(beside.0, beside.1) {
                    bytes[at(beside)] = 1;
                    front.push(beside);
                }
            }
        }
        let deep = Runs::of_bytes(size, &bytes, |byte| byte == 1);
        let all = self.glow.union(&deep);
        let parts = Components::of(&deep, Neighbours::EIGHT);
        let most = LARGEST * (self.depth * self.depth) as f64;
        let is_corner: Vec<bool> = parts
            .list()
            .iter()
            .map(|part| {
                let (open, contact) = self.outline(&all, part.bounds, &is_figure);
                (part.area as f64) < most && contact <= MOST_CONTACT * open
            })
            .collect();
        deep.filtered(|run, _| is_corner[parts.label_of_run(run)])
    }

    /// How many sides of the glow's pixels around a place lie open, and how many touch what of a figure is no glow.
    fn outline(
        self,
        glow: &Runs,
        place: PixelBox,
        is_figure: impl Fn(u32, u32) -> bool,
    ) -> (f64, f64) {
        let size = glow.size();
        let (left, top) = (
            place.x.saturating_sub(self.reach),
            place.y.saturating_sub(self.reach),
        );
        let (right, bottom) = (place.right() + self.reach, place.bottom() + self.reach);
        let rows = (top..bottom.min(size.height())).flat_map(|y| glow.row(y));
        let (mut open, mut contact) = (0.0, 0.0);
        for run in rows {
            for x in run.start.max(left)..run.end.min(right) {
                for (x, y) in sides(size, (x, run.y)) {
                    if !is_figure(x, y) {
                        open += 1.0;
                    } else if !glow.contains(x, y) {
                        contact += 1.0;
                    }
                }
            }
        }
        (open, contact)
    }
}
