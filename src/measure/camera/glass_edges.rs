//! The lit edges of the glass, where the picture shows them: thin light along a side.

use super::backdrop::Backdrop;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// How far in from a side an edge is looked for, a part of the picture's shorter side. Source: chosen; a picture that shows more
/// beside the glass wastes as much of the writing.
const REACH: f64 = 0.15;
/// Thickest light of an edge, a part of the picture's shorter side. Source: chosen; a pane 10 mm thick is 1 % of a picture 1 m high, its
/// glow is on both sides of it.
const THICK: f64 = 0.045;
/// How far an edge may lean, percent of its length. Source: chosen, 3.4 degrees.
const LEAN_PERCENT: usize = 6;
/// Share of an edge, as far as nothing thicker hides it, that is lit at least, and share of the side that is. Source: chosen.
const LIT_SHARE: f64 = 0.8;
const SIDE_SHARE: f64 = 0.3;
/// How many deviations over the backdrop a cell is lit at least. Source: chosen, as for the presenter.
const LIT_DEVIATIONS: f32 = 4.5;

/// How near to the picture's sides an edge that meets no other ends, percent of its length. Source: chosen.
const END_PERCENT: usize = 3;

/// The pixels around the lit edges, in a picture of this size.
///
/// An edge meets another at a corner, or goes from one side of the picture to the other: a line that is written does neither.
pub fn glass_edges(backdrop: &Backdrop, size: Size) -> Runs {
    let (across, down) = (backdrop.cells_across(), backdrop.cells_down());
    let found: Vec<Edge<'_>> = [(true, false), (true, true), (false, false), (false, true)]
        .into_iter()
        .filter_map(|(is_level, is_far)| {
            let side = Side {
                backdrop,
                is_level,
                is_far,
            };
            side.edge()
        })
        .collect();
    let mut is_edge = vec![0_u8; across * down];
    for edge in &found {
        let crosses = |other: &Edge<'_>| other.side.is_level != edge.side.is_level;
        if edge.goes_across || found.iter().any(crosses) {
            edge.mark(&mut is_edge);
        }
    }
    let cells = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    match Size::new(cells(across), cells(down)) {
        Ok(raster) => {
            Runs::of_bytes(raster, &is_edge, |byte| byte == 1).enlarged(backdrop.cell_px(), size)
        }
        Err(_) => Runs::none(size),
    }
}

/// An edge along a side.
struct Edge<'a> {
    side: Side<'a>,
    /// How far in it is at both ends, cells.
    line: (usize, usize),
    light: Vec<Light>,
    reach: usize,
    /// Whether it goes from one side of the picture to the other.
    goes_across: bool,
}

impl Edge<'_> {
    /// Marks its cells.
    fn mark(&self, is_edge: &mut [u8]) {
        let (length, _) = self.side.extent();
        for along in 0..length {
            for depth in near(depth_at(self.line, along, length), self.reach) {
                if let Light::Thin(from, to) = self.light[along * self.reach + depth] {
                    (from..to).for_each(|depth| is_edge[self.side.cell(along, depth)] = 1);
                }
            }
        }
    }
}

/// What a cell is for an edge along a side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Light {
    Dark,
    /// Light of an edge's thickness, from here to there, counted from the side.
    Thin(usize, usize),
    Thick,
}

/// A side of the picture; places are cells along it and cells in from it.
#[derive(Clone, Copy, Debug)]
struct Side<'a> {
    backdrop: &'a Backdrop,
    /// Whether it is above or below, and not left or right.
    is_level: bool,
    /// Whether it is below or right.
    is_far: bool,
}

impl<'a> Side<'a> {
    /// Cells along it, and cells across the picture from it.
    fn extent(&self) -> (usize, usize) {
        let (across, down) = (self.backdrop.cells_across(), self.backdrop.cells_down());
        if self.is_level {
            (across, down)
        } else {
            (down, across)
        }
    }

    fn cell(&self, along: usize, depth: usize) -> usize {
        let depth = if self.is_far {
            self.extent().1 - 1 - depth
        } else {
            depth
        };
        let (x, y) = if self.is_level {
            (along, depth)
        } else {
            (depth, along)
        };
        y * self.backdrop.cells_across() + x
    }

    /// The edge along it, if there may be one.
    fn edge(self) -> Option<Edge<'a>> {
        let (length, _) = self.extent();
        let reach = self.cells_of(REACH);
        let light = self.light(reach);
        let lean = length * LEAN_PERCENT / 100;
        let lines = (0..reach).flat_map(|from| {
            let to = from.saturating_sub(lean)..(from + lean + 1).min(reach);
            to.map(move |to| (from, to))
        });
        let (_, goes_across, line) = lines
            .filter_map(|line| {
                let (lit, goes_across) = self.lit_cells(line, &light, reach)?;
                Some((lit, goes_across, line))
            })
            .max_by_key(|(lit, ..)| *lit)?;
        Some(Edge {
            side: self,
            line,
            light,
            reach,
            goes_across,
        })
    }

    /// A part of the picture's shorter side in cells, at least one.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few cells"
    )]
    fn cells_of(&self, part: f64) -> usize {
        let (length, depth) = self.extent();
        (part * length.min(depth) as f64).ceil() as usize
    }

    /// The light of each place as far in as `reach`.
    fn light(&self, reach: usize) -> Vec<Light> {
        let (length, whole) = self.extent();
        let thick = self.cells_of(THICK);
        // The glow of an edge is no part of the backdrop here.
        let least = LIT_DEVIATIONS * self.backdrop.deviations_codes()[0];
        let is_lit = |along, depth| self.backdrop.over_codes(self.cell(along, depth)) > least;
        let mut light = vec![Light::Dark; length * reach];
        for (along, row) in light.chunks_mut(reach).enumerate() {
            let mut depth = 0;
            while depth < reach {
                let end = (depth..whole).find(|&depth| !is_lit(along, depth));
                let end = end.unwrap_or(whole);
                let what = if end - depth <= thick {
                    Light::Thin(depth, end)
                } else {
                    Light::Thick
                };
                row[depth..end.min(reach)].fill(what);
                depth = end.max(depth + 1);
            }
        }
        light
    }

    /// How many cells of a line are lit thinly, and whether that or something thicker is at both of its ends; none where it is
    /// no edge.
    fn lit_cells(
        &self,
        line: (usize, usize),
        light: &[Light],
        reach: usize,
    ) -> Option<(usize, bool)> {
        let (length, _) = self.extent();
        let (mut lit, mut hidden) = (0, 0);
        let (mut first, mut last) = (length, 0);
        for along in 0..length {
            let depth = depth_at(line, along, length);
            let row = &light[along * reach..(along + 1) * reach];
            let is_thin = |depth: usize| matches!(row[depth], Light::Thin(..));
            if near(depth, reach).any(is_thin) {
                lit += 1;
            } else if row[depth] == Light::Thick {
                hidden += 1;
            } else {
                continue;
            }
            (first, last) = (first.min(along), along);
        }
        let end = length * END_PERCENT / 100;
        let is_edge = lit as f64 >= LIT_SHARE * (length - hidden) as f64
            && lit as f64 >= SIDE_SHARE * length as f64;
        is_edge.then_some((lit, first <= end && last + 1 + end >= length))
    }
}

/// How far in a line is that leads from one depth to another.
fn depth_at((from, to): (usize, usize), along: usize, length: usize) -> usize {
    let last = (length - 1).max(1);
    (from * (last - along) + to * along + last / 2) / last
}

/// A depth and those beside it.
fn near(depth: usize, reach: usize) -> std::ops::Range<usize> {
    depth.saturating_sub(1)..(depth + 2).min(reach)
}
