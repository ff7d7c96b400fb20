//! The outline of the presenter to a pixel or two: from the cells in which the figure was found inwards, through the glow around
//! it, up to where it is really bright. Clothes that have no such edge keep the outline of the cells.

use std::collections::VecDeque;

use super::brightest::Brightest;
use super::glow_corners::GlowCorners;
use super::presenter::filled;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::raster::sides::sides;
use crate::pixel::settings::Size;

/// How deep inside the cells an edge is looked for, px in 540 rows. Source: chosen; a lens's glow that is seen reaches
/// some 15 of them, and cells take in 4 more.
const DEPTH_PX: f64 = 15.0;
/// How far off an edge its glow is told by it, px in 540 rows. Source: chosen, most of the depth.
const REACH_PX: f64 = 12.0;
/// Most that glow has of the brightness of what it is around, both over the backdrop. Source: measured on drawn frames
/// and the demonstration, 12 % 2 px off the edge; half an edge's height is the edge itself.
const GLOW_SHARE: f32 = 0.12;
/// Brightness over the backdrop under which nothing is an edge, codes. Source: chosen; rounding and compression.
const LEAST_CODES: f32 = 2.0;
/// Half the width of what is too thin to be part of a figure, and of what ink may hide of it, px in 540 rows.
/// Source: chosen; a finger is wider than the first, a stroke narrower than the second.
const THIN_PX: f64 = 2.0;
const INK_PX: f64 = 6.0;
/// Least size of a part beside the largest. Source: chosen; a hand is 3 % of head and shoulders.
const LEAST_PART: f64 = 0.02;
/// Least size of a part that only ink parts from the largest, and its least brightness, shares of the largest part's. Source: chosen;
/// what a ring on a face is around is a hundredth of the figure, and as bright as it.
const LEAST_PARTED: f64 = 0.002;
const BRIGHT_PARTED: f32 = 0.75;
/// Size from which a part belongs to the figure however dim, and brightness under which a smaller one is glow that lies apart, both
/// shares of the largest part's. Source: chosen; a hand is as bright as a face, the glow of writing a tenth of it.
const LARGE_PART: f64 = 0.1;
const DIM_PART: f32 = 0.25;

/// The figure with an outline at its edge, given that of the cells and what is written.
pub(crate) fn with_edge(
    figure: &Runs,
    brightest: &Brightest,
    backdrop: &Backdrop,
    ink: &Runs,
) -> Runs {
    if figure.as_slice().is_empty() {
        return figure.clone();
    }
    let scaled = Scaled::new(figure, brightest, backdrop, ink);
    let glow = scaled.glow();
    let figure_in = scaled.figure.without(&glow);
    let whole = scaled.solid(&figure_in);
    if whole.as_slice().is_empty() {
        return figure.clone();
    }
    whole.enlarged(brightest.factor(), figure.size())
}

/// The frame and its masks, small enough to be quick.
struct Scaled<'a> {
    brightest: &'a Brightest,
    size: Size,
    figure: Runs,
    ink: Runs,
    /// The backdrop's brightest channel, codes.
    backdrop: Vec<f32>,
}

impl<'a> Scaled<'a> {
    fn new(figure: &Runs, brightest: &'a Brightest, backdrop: &Backdrop, ink: &Runs) -> Self {
        Self {
            brightest,
            size: brightest.size(),
            figure: brightest.reduced(figure),
            ink: brightest.reduced(ink),
            backdrop: brightest.backdrop(backdrop),
        }
    }

    /// The pixels from the outline inwards that are dim beside something bright close by. Where they go on and on, there is
    /// no edge, and they are clothes.
    fn glow(&self) -> Runs {
        let whole = PixelBox::of_size(self.size);
        let none = Runs::none(self.size);
        let Some(depths) = Distances::within(whole, self.figure.as_slice().iter().copied()) else {
            return none;
        };
        let near = self.brightest.codes().dilated(self.brightest.px(REACH_PX));
        let depth = self.brightest.px(DEPTH_PX);
        let deepest = u32::try_from(depth * depth).unwrap_or(u32::MAX);
        let at = |(x, y): (u32, u32)| (y * self.size.width() + x) as usize;
        let is_dim = |i: usize| {
            let over = |plane: &BytePlane| f32::from(plane.bytes()[i]) - self.backdrop[i];
            over(self.brightest.codes()) < LEAST_CODES.max(GLOW_SHARE * over(&near))
        };
        let squared = depths.squared_px();
        let mut glow = vec![0_u8; self.size.area()];
        let all = (0..self.size.height()).flat_map(|y| (0..self.size.width()).map(move |x| (x, y)));
        let mut front: VecDeque<(u32, u32)> = all
            .filter(|&place| squared[at(place)] == 1 && is_dim(at(place)))
            .collect();
        for &place in &front {
            glow[at(place)] = 1;
        }
        let mut is_endless = false;
        while let Some(place) = front.pop_front() {
            for beside in sides(self.size, place) {
                let next = at(beside);
                if glow[next] == 0 && squared[next] > 0 && is_dim(next) {
                    if squared[next] > deepest {
                        glow[at(place)] = 2;
                        is_endless = true;
                    } else {
                        glow[next] = 1;
                        front.push_back(beside);
                    }
                }
            }
        }
        let mask = Runs::of_bytes(self.size, &glow, |byte| byte > 0);
        if !is_endless {
            return mask;
        }
        let endless = Runs::of_bytes(self.size, &glow, |byte| byte == 2);
        let reach = u32::try_from(depth + depth / 2).unwrap_or(u32::MAX);
        let beside_ink = u32::try_from(self.brightest.px(INK_PX)).unwrap_or(u32::MAX);
        let ink = self.ink.grown(beside_ink);
        let goes_on = |x: u32, y: u32| {
            squared[at((x, y))] > deepest && (is_dim(at((x, y))) || ink.contains(x, y))
        };
        let is_figure = |x: u32, y: u32| squared[at((x, y))] > 0;
        let corners = GlowCorners {
            glow: &mask,
            depth,
            reach,
        }
        .of(&endless, goes_on, is_figure);
        let endless = endless.without(&corners.grown(1));
        mask.union(&corners).without(&endless.grown(reach))
    }

    /// The parts of a figure that are more than slivers, with what ink hides between them.
    fn solid(&self, figure: &Runs) -> Runs {
        let bare = figure.without(&self.ink);
        let opened = self.plane_of(&bare).opened(self.brightest.px(THIN_PX));
        let bare = Runs::of_bytes(self.size, opened.bytes(), |byte| byte == 1);
        let parts = Components::of(&bare, Neighbours::EIGHT);
        let areas: Vec<f64> = parts.list().iter().map(|part| part.area as f64).collect();
        let largest = (0..areas.len()).max_by(|&a, &b| areas[a].total_cmp(&areas[b]));
        let (area, brightness) = largest.map_or((0.0, 0.0), |largest| {
            (areas[largest], self.brightness(parts.runs_of(largest)))
        });
        let reach = self.brightest.px(INK_PX);
        let main = bare.filtered(|run, _| Some(parts.label_of_run(run)) == largest);
        let beyond_ink = main.grown(u32::try_from(2 * reach).unwrap_or(u32::MAX));
        let is_figure: Vec<bool> = (0..areas.len())
            .map(|part| {
                let runs = parts.runs_of(part);
                let share = areas[part] / area;
                let is_bright = |part: f32| self.brightness(runs) >= part * brightness;
                let is_near = || {
                    Runs::of_runs(self.size, runs)
                        .intersection(&beyond_ink)
                        .area()
                        > 0
                };
                share >= LARGE_PART
                    || share >= LEAST_PART && is_bright(DIM_PART)
                    || share >= LEAST_PARTED && is_bright(BRIGHT_PARTED) && is_near()
            })
            .collect();
        let bare = bare.filtered(|run, _| is_figure[parts.label_of_run(run)]);
        let closed = self.plane_of(&bare).dilated(reach).eroded(reach);
        let closed = Runs::of_bytes(self.size, closed.bytes(), |byte| byte == 1);
        let hidden = figure.intersection(&self.ink).intersection(&closed);
        filled(&bare.union(&hidden))
    }

    /// Mean brightness over the backdrop, codes.
    fn brightness(&self, runs: &[Run]) -> f32 {
        let (mut sum, mut count) = (0.0, 0.0);
        for run in runs {
            let row = (run.y * self.size.width()) as usize;
            for at in row + run.start as usize..row + run.end as usize {
                sum += f32::from(self.brightest.codes().bytes()[at]) - self.backdrop[at];
                count += 1.0;
            }
        }
        sum / f32::max(count, 1.0)
    }

    fn plane_of(&self, mask: &Runs) -> BytePlane {
        let mut bytes = vec![0_u8; self.size.area()];
        for run in mask.as_slice() {
            let row = (run.y * self.size.width()) as usize;
            bytes[row + run.start as usize..row + run.end as usize].fill(1);
        }
        BytePlane::new(self.size, bytes)
    }
}
