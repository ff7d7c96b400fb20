//! The presenter: the large figure that is lit, with dark clothes as far as they are over the backdrop.

use std::cmp::Reverse;

use super::brightest::Brightest;
use super::ink_glow::ink_glow;
use super::loose_light::without_loose_light;
use super::soft_light::absorb_soft_light;
use super::steep_edge::SolidLight;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// How many deviations over the backdrop a cell is lit at least. Source: chosen.
const LIT_DEVIATIONS: f32 = 4.5;
/// Least share of the frame that a presenter takes. Source: chosen, a person over a third of its height.
const LEAST_SHARE: f64 = 0.015;

/// Least height of a presenter, a share of the frame's. Source: chosen, head and shoulders in a wide shot.
const LEAST_HEIGHT: f64 = 0.3;
/// Radius of the largest circle in a presenter at least, a share of the frame's height. Source: chosen; a trunk that is
/// [`LEAST_HEIGHT`] high with its head is wider, the reflection of a tube is narrower.
const LEAST_RADIUS: f64 = 0.05;
/// How far beside ink its own blur hides what is behind, px in a frame 1080 high. Source: chosen.
const BLUR_PX: u32 = 6;

/// A frame in which the presenter is looked for.
#[derive(Clone, Debug)]
pub struct PresenterLook<'a> {
    camera: &'a CameraRaster,
    backdrop: &'a Backdrop,
    glass_edges: &'a Runs,
    brightest: Brightest,
    solid: SolidLight,
}

impl<'a> PresenterLook<'a> {
    /// Takes a frame, its backdrop, and where a lit edge of the glass hides what is behind it.
    pub fn of(camera: &'a CameraRaster, backdrop: &'a Backdrop, glass_edges: &'a Runs) -> Self {
        let brightest = Brightest::of(camera);
        let solid = SolidLight::of(&brightest, backdrop);
        Self {
            camera,
            backdrop,
            glass_edges,
            brightest,
            solid,
        }
    }

    /// The frame's brightest channel.
    pub fn brightest(&self) -> &Brightest {
        &self.brightest
    }

    /// Finds the presenter: the largest figure that is somebody. What may be ink says nothing about what is behind it: there,
    /// the nearest place that says something decides.
    pub fn find(&self, ink: &Runs) -> Runs {
        let size = self.camera.size();
        let (across, down) = (self.backdrop.cells_across(), self.backdrop.cells_down());
        let cell = self.backdrop.cell_px();
        let backdrop = &self
            .backdrop
            .under(&ink_glow(self.camera, self.backdrop, ink));
        let mut state: Vec<u8> = (0..across * down)
            .map(|i| u8::from(backdrop.off_deviations(i) > LIT_DEVIATIONS))
            .collect();
        // 2: unknown, under ink and under a lit edge of the glass.
        let ink_px = ink.grown(BLUR_PX * size.height() / 1080 + 1);
        for run in ink_px.union(self.glass_edges).as_slice() {
            let row = (run.y / cell) as usize * across;
            state[row + (run.start / cell) as usize..=row + ((run.end - 1) / cell) as usize]
                .fill(2);
        }
        let is_hidden: Vec<bool> = state.iter().map(|&state| state == 2).collect();
        absorb_soft_light(&mut state, backdrop);
        spread(&mut state, across);
        let side = |cells: usize| u32::try_from(cells).unwrap_or(u32::MAX);
        let Ok(cells) = Size::new(side(across), side(down)) else {
            return Runs::none(size);
        };
        let lit = Runs::of_bytes(cells, &state, |byte| byte == 1);
        let parts = Components::of(&lit, Neighbours::EIGHT);
        let area = |part: usize| parts.list()[part].area;
        let least = LEAST_SHARE * (across * down) as f64;
        let mut large: Vec<usize> = (0..parts.list().len())
            .filter(|&part| area(part) as f64 >= least)
            .collect();
        large.sort_by_key(|&part| Reverse(area(part)));
        let small_ink = self.brightest.reduced(ink);
        let mut figures = large.into_iter().filter_map(|part| {
            let figure = lit.filtered(|run, _| parts.label_of_run(run) == part);
            let figure = filled(&largest(&without_loose_light(
                &figure, backdrop, &is_hidden,
            )));
            let height = f64::from(figure.bounds()?.height);
            let is_large = figure.area() as f64 >= least
                && height >= LEAST_HEIGHT * down as f64
                && radius(&figure) >= LEAST_RADIUS * down as f64;
            if !is_large {
                return None;
            }
            let figure = figure.enlarged(cell, size);
            let small_figure = self.brightest.reduced(&figure);
            let is_somebody = self.solid.has_steep_edge(&small_figure, &small_ink);
            is_somebody.then_some(figure)
        });
        figures.next().unwrap_or_else(|| Runs::none(size))
    }
}

/// The largest part.
fn largest(figure: &Runs) -> Runs {
    let parts = Components::of(figure, Neighbours::EIGHT);
    let largest = (0..parts.list().len()).max_by_key(|&part| parts.list()[part].area);
    figure.filtered(|run, _| Some(parts.label_of_run(run)) == largest)
}

/// Radius of the largest circle in a figure.
fn radius(figure: &Runs) -> f64 {
    let whole = PixelBox::of_size(figure.size());
    let depths = Distances::within(whole, figure.as_slice().iter().copied());
    depths.map_or(f64::MAX, |depths| depths.largest_px())
}

/// Unknown cells take what the nearest known one has, by steps to the four sides.
fn spread(state: &mut [u8], across: usize) {
    let mut front: Vec<usize> = (0..state.len()).filter(|&i| state[i] != 2).collect();
    while !front.is_empty() {
        let mut next = Vec::new();
        for i in front {
            let x = i % across;
            let sides = [
                (x > 0).then(|| i - 1),
                (x + 1 < across).then_some(i + 1),
                i.checked_sub(across),
                (i + across < state.len()).then_some(i + across),
            ];
            for side in sides.into_iter().flatten() {
                if state[side] == 2 {
                    state[side] = state[i];
                    next.push(side);
                }
            }
        }
        front = next;
    }
}

/// Holes are filled; the frame's lower edge closes the figure below.
pub(crate) fn filled(figure: &Runs) -> Runs {
    let size = figure.size();
    let last = size.height() - 1;
    let bottom = figure.row(last);
    let span = match (bottom.first(), bottom.last()) {
        (Some(first), Some(last)) => (first.start, last.end),
        _ => (0, 0),
    };
    let mut bytes = vec![1_u8; size.area()];
    for run in figure.as_slice() {
        let row = (run.y * size.width()) as usize;
        bytes[row + run.start as usize..row + run.end as usize].fill(0);
    }
    let outside = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let parts = Components::of(&outside, Neighbours::Four);
    let is_open: Vec<bool> = (0..parts.list().len())
        .map(|i| {
            parts.runs_of(i).iter().any(|run| {
                run.y == 0
                    || run.start == 0
                    || run.end == size.width()
                    || (run.y == last && (run.start < span.0 || run.end > span.1))
            })
        })
        .collect();
    let holes = outside.filtered(|run, _| !is_open[parts.label_of_run(run)]);
    figure.union(&holes)
}
