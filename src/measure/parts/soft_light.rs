//! Light that no figure gives: what changes slowly from the backdrop on, as glow, folds and soft reflections do.

use crate::measure::camera::backdrop::Backdrop;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// Share of the cells that something with an edge has at least. Source: chosen, a fifth of the smallest presenter.
const LEAST_SHARE: f64 = 0.003;
/// Share of an outline from which it is an edge, and no slow change. Source: chosen; reflections have hardly any.
const EDGE_SHARE: f64 = 0.25;
/// Cells that the rim of something takes at most: its blur, and light from behind. Source: chosen.
const MOST_RIM_CELLS: isize = 3;
/// Along how many cells dark clothes touch the rest of a figure at least. Source: chosen; a neck is twice as wide.
const LEAST_CONTACT_CELLS: u32 = 6;

/// Steps to the eight neighbours of a cell.
const AROUND: [(isize, isize); 8] = [
    (-1, 0),
    (1, 0),
    (0, -1),
    (0, 1),
    (-1, -1),
    (1, -1),
    (-1, 1),
    (1, 1),
];

/// The cell some steps from another; none beyond the frame.
fn cell_at(cell: usize, (dx, dy): (isize, isize), across: usize, count: usize) -> Option<usize> {
    let (x, y) = (
        (cell % across).checked_add_signed(dx)?,
        (cell / across).checked_add_signed(dy)?,
    );
    (x < across && y < count / across).then_some(y * across + x)
}

/// Makes backdrop, 0, of the lit cells, 1, that are soft light. Others, 2, stay and say nothing.
///
/// What goes over as a whole although much of its outline is an edge and it touches the largest thing that stays was reached
/// through a weak place, and comes back: dark clothes.
pub fn absorb_soft_light(state: &mut [u8], backdrop: &Backdrop) {
    let before = state.to_vec();
    absorb(state, backdrop);
    let across = backdrop.cells_across();
    let side = |cells: usize| u32::try_from(cells).unwrap_or(u32::MAX);
    let Ok(size) = Size::new(side(across), side(backdrop.cells_down())) else {
        return;
    };
    let is_gone: Vec<u8> = (0..state.len())
        .map(|cell| u8::from(before[cell] == 1 && state[cell] == 0))
        .collect();
    let gone = Runs::of_bytes(size, &is_gone, |byte| byte == 1);
    let is_figure = largest(size, state);
    let parts = Components::of(&gone, Neighbours::EIGHT);
    for (index, part) in parts.list().iter().enumerate() {
        if (part.area as f64) < LEAST_SHARE * state.len() as f64 {
            continue;
        }
        let cells = cells_of(&parts, index, across);
        if is_clothes(&cells, &before, state, &is_figure, across) {
            for cell in cells {
                state[cell] = 1;
            }
        }
    }
}

/// The cells of a part.
fn cells_of(parts: &Components, index: usize, across: usize) -> Vec<usize> {
    let runs = parts.runs_of(index);
    runs.iter()
        .flat_map(|run| (run.start..run.end).map(|x| run.y as usize * across + x as usize))
        .collect()
}

/// Which cells are the largest lit thing.
fn largest(size: Size, state: &[u8]) -> Vec<bool> {
    let lit = Runs::of_bytes(size, state, |byte| byte == 1);
    let parts = Components::of(&lit, Neighbours::EIGHT);
    let mut is_largest = vec![false; state.len()];
    let largest = (0..parts.list().len()).max_by_key(|&part| parts.list()[part].area);
    for cell in largest.map_or_else(Vec::new, |part| {
        cells_of(&parts, part, size.width() as usize)
    }) {
        is_largest[cell] = true;
    }
    is_largest
}

/// Whether absorbed cells touch the largest thing that stayed, and much of their outline is an edge: a rim of cells that
/// stayed, with the backdrop close behind.
fn is_clothes(
    part: &[usize],
    before: &[u8],
    state: &[u8],
    is_figure: &[bool],
    across: usize,
) -> bool {
    let (mut outline, mut edge, mut contact) = (0_u32, 0_u32, 0_u32);
    for &cell in part {
        for (dx, dy) in [(-1, 0), (1, 0), (0, -1), (0, 1)] {
            let to = |steps| cell_at(cell, (steps * dx, steps * dy), across, state.len());
            let Some(next) = to(1) else { continue };
            match (before[next], state[next]) {
                (0, _) => outline += 1,
                (1, 1) => {
                    let is_rim = (2..=MOST_RIM_CELLS + 1)
                        .any(|steps| to(steps).is_some_and(|at| before[at] == 0));
                    outline += u32::from(is_rim);
                    edge += u32::from(is_rim);
                    contact += u32::from(is_figure[next]);
                }
                _ => {}
            }
        }
    }
    contact >= LEAST_CONTACT_CELLS && f64::from(edge) > EDGE_SHARE * f64::from(outline)
}

/// What changes slowly from the backdrop on is no edge of a figure: glow, folds, soft reflections.
///
/// A cell goes over to the backdrop where it is like all of the backdrop's cells next to it and, a little
/// less, like those behind them; one weak place in an outline is not enough.
fn absorb(state: &mut [u8], backdrop: &Backdrop) {
    let across = backdrop.cells_across();
    let count = state.len();
    let to = |cell, dx, dy| cell_at(cell, (dx, dy), across, count);
    let mut front: Vec<usize> = (0..state.len()).filter(|&i| state[i] == 0).collect();
    while !front.is_empty() {
        let mut gone = Vec::new();
        for &i in &front {
            for (dx, dy) in AROUND {
                let Some(next) = to(i, dx, dy).filter(|&next| state[next] == 1) else {
                    continue;
                };
                let (mut beside, mut is_slow) = (0, true);
                for (u, v) in AROUND {
                    for (steps, factor) in [(1, 0.7), (2, 1.0), (3, 1.3)] {
                        let Some(other) =
                            to(next, u * steps, v * steps).filter(|&other| state[other] == 0)
                        else {
                            break;
                        };
                        beside += u32::from(steps == 1);
                        is_slow &= backdrop.is_slow_change(other, next, factor);
                    }
                }
                if beside >= 2 && is_slow {
                    state[next] = 0;
                    gone.push(next);
                }
            }
        }
        front = gone;
    }
}
