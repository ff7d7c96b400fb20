//! Light that only touches a figure: reflections, smears and glow beside it.

use crate::measure::camera::backdrop::Backdrop;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::statistics::middle::middle_of;
use crate::measure::statistics::slow_course::place_of;

/// Share of a figure's cells that are as bright as its brightness says, or brighter. Source: chosen; a face is more of most figures.
const BRIGHT_SHARE: f64 = 0.02;
/// From which share of a figure's brightness a cell is part of it wherever it is, and from which where an edge is near. Source:
/// chosen; most reflections are dimmer than half of a face.
const BRIGHT: f32 = 0.5;
const LIT: f32 = 0.25;
/// What brightness changes by at an edge over two cells, a share of the figure's. Source: chosen.
const EDGE: f32 = 0.15;
/// Share of the outline of dim light at least that touches what is bright where it belongs to the figure. Source: chosen; hair and
/// caps have nearly half of it at the face.
const CONTACT: f64 = 0.25;
/// Share of the outline at most along which dim light begins at once, as cloth does, and how much of its middle brightness a cell
/// inside it has there. Source: measured; caps before the backdrop have that along more than 70 %, glow and smears mostly along less.
const SHARP_SHARE: f64 = 0.7;
const AT_ONCE: f32 = 0.6;

/// A figure, in cells of the backdrop, and which of them ink hides.
#[derive(Debug)]
struct Lit<'a> {
    figure: &'a Runs,
    backdrop: &'a Backdrop,
    is_hidden: &'a [bool],
}

/// The same figure without dim light that touches its bright parts at one side only. What reaches the frame's lower edge may be dark
/// clothes and stays.
pub(super) fn without_loose_light(figure: &Runs, backdrop: &Backdrop, is_hidden: &[bool]) -> Runs {
    let lit = Lit {
        figure,
        backdrop,
        is_hidden,
    };
    let size = figure.size();
    let dim = lit.dim();
    let parts = Components::of(&dim, Neighbours::Four);
    let is_loose: Vec<bool> = (0..parts.list().len())
        .map(|part| {
            let runs = parts.runs_of(part);
            let is_low = runs.iter().any(|run| run.y + 1 == size.height());
            !is_low && lit.is_loose(runs, &dim)
        })
        .collect();
    figure.without(&dim.filtered(|run, _| is_loose[parts.label_of_run(run)]))
}

impl Lit<'_> {
    fn cell_at(&self, x: u32, y: u32) -> usize {
        (y * self.figure.size().width() + x) as usize
    }

    fn cells_of(&self, runs: &[Run]) -> impl Iterator<Item = usize> {
        runs.iter().flat_map(move |run| {
            let row = self.cell_at(0, run.y);
            row + run.start as usize..row + run.end as usize
        })
    }

    /// Cells one and two to the left and right and above and below.
    fn cells_beside(&self, cell: usize) -> impl Iterator<Item = usize> {
        let across = self.figure.size().width() as usize;
        let (x, count) = (cell % across, self.is_hidden.len());
        [1, 2].into_iter().flat_map(move |off| {
            let sides = [
                (x >= off).then(|| cell - off),
                (x + off < across).then_some(cell + off),
                cell.checked_sub(off * across),
                (cell + off * across < count).then_some(cell + off * across),
            ];
            sides.into_iter().flatten()
        })
    }

    /// What of the figure is neither bright nor beside a strong edge.
    fn dim(&self) -> Runs {
        let size = self.figure.size();
        let all: Vec<usize> = self.cells_of(self.figure.as_slice()).collect();
        let seen = all.iter().filter(|&&cell| !self.is_hidden[cell]);
        let mut over: Vec<f32> = seen.map(|&cell| self.backdrop.over_codes(cell)).collect();
        over.sort_by(|a, b| b.total_cmp(a));
        let nth = place_of(over.len(), BRIGHT_SHARE);
        let brightness = over.get(nth).copied().unwrap_or(0.0);
        let has_edge = |cell: usize| {
            let own = self.backdrop.over_codes(cell);
            self.cells_beside(cell)
                .filter(|&to| !self.is_hidden[to])
                .any(|to| (self.backdrop.over_codes(to) - own).abs() > EDGE * brightness)
        };
        let mut is_dim = vec![0_u8; size.area()];
        for cell in all {
            let own = self.backdrop.over_codes(cell);
            let is_bright = own >= BRIGHT * brightness || own >= LIT * brightness && has_edge(cell);
            is_dim[cell] = u8::from(self.is_hidden[cell] || !is_bright);
        }
        Runs::of_bytes(size, &is_dim, |byte| byte == 1)
    }

    /// Whether little of the outline of a dim part touches what is bright, and the rest does not begin at once.
    fn is_loose(&self, runs: &[Run], dim: &Runs) -> bool {
        let size = self.figure.size();
        let mut levels: Vec<f32> = self
            .cells_of(runs)
            .map(|cell| self.backdrop.over_codes(cell))
            .collect();
        let middle = middle_of(&mut levels, f32::total_cmp).unwrap_or(0.0);
        let to = |x: u32, y: u32, dx: i32, dy: i32| {
            let place = x.checked_add_signed(dx).zip(y.checked_add_signed(dy));
            place.filter(|&(x, y)| x < size.width() && y < size.height())
        };
        let (mut outline, mut contact, mut free, mut sharp) = (0_u32, 0_u32, 0_u32, 0_u32);
        for run in runs {
            for (x, (dx, dy)) in (run.start..run.end)
                .flat_map(|x| [(-1, 0), (1, 0), (0, -1), (0, 1)].map(|step| (x, step)))
            {
                let next = to(x, run.y, dx, dy);
                if next.is_some_and(|(x, y)| dim.contains(x, y)) {
                    continue;
                }
                outline += 1;
                if next.is_some_and(|(x, y)| self.figure.contains(x, y)) {
                    contact += 1;
                }
                let ends = to(x, run.y, -dx, -dy).zip(to(x, run.y, 2 * dx, 2 * dy));
                if let Some((inside, outside)) =
                    ends.filter(|_| next.is_some_and(|(x, y)| !self.figure.contains(x, y)))
                {
                    let [inside, outside] = [inside, outside]
                        .map(|(x, y)| self.backdrop.over_codes(self.cell_at(x, y)));
                    free += 1;
                    let step = (inside - outside) * middle.signum();
                    sharp += u32::from(step > AT_ONCE * middle.abs());
                }
            }
        }
        let share = |part: u32, whole: u32| f64::from(part) / f64::from(whole.max(1));
        share(contact, outline) < CONTACT && share(sharp, free) < SHARP_SHARE
    }
}
