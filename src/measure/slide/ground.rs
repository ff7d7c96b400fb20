//! The slide's background at each place: one colour, or one that changes smoothly (a gradient, a
//! vignette, a texture). Content is what differs from it there.

use std::collections::VecDeque;

use super::slide_raster::SlideRaster;
use super::tiles::{TILE_PX, Tiles};
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// Step to the next pixel up to which a background may change, 8-bit codes. Source: `Background::TOLERANCE`.
const SMOOTH_STEP: u8 = 3;
/// The same where the slide's edge itself is rough. Source: chosen, over paper and cloth of common themes.
const ROUGHEST_STEP: u8 = 16;
/// How far a part that is cut off may be from the background nearest to it, codes. Source: chosen.
const CUT_OFF_CODES: f32 = 6.0;
/// How often parts that are cut off are looked at again. Source: chosen.
const CUT_OFF_ROUNDS: usize = 3;

/// A slide's background.
#[derive(Clone, Debug)]
pub struct Ground {
    flat: [f32; 3],
    surface: Option<Surface>,
    tolerance: u8,
}

/// A colour in codes for each tile.
#[derive(Clone, Debug)]
struct Surface {
    inside: PixelBox,
    columns: usize,
    rows: usize,
    colors: Vec<[f32; 3]>,
}

impl Ground {
    /// A background of one colour, R'G'B' 0 to 1 as it reaches the key.
    pub fn flat(color: [f32; 3]) -> Self {
        Self {
            flat: color.map(|v| 255.0 * v),
            surface: None,
            tolerance: SMOOTH_STEP,
        }
    }

    /// Follows a background of mostly this colour over the slide as far as it changes smoothly and
    /// its luma, in percent, stays up to `brightest`.
    pub fn measure(
        raster: &SlideRaster,
        tiles: &Tiles,
        color: [f32; 3],
        brightest_percent: f64,
    ) -> Self {
        let flat = Self::flat(color);
        let rough = roughness(tiles);
        let limit = rough
            .saturating_add(rough / 2)
            .clamp(SMOOTH_STEP, ROUGHEST_STEP);
        let tolerance = SMOOTH_STEP + rough.min(ROUGHEST_STEP) / 2;
        let dark_enough = |[r, g, b]: [f32; 3]| {
            let luma = g + raster.weights().0 * (r - g) + raster.weights().1 * (b - g);
            f64::from(luma) <= 2.55 * brightest_percent
        };
        let smooth: Vec<u8> = tiles
            .as_slice()
            .iter()
            .map(|tile| u8::from(tile.step <= limit && dark_enough(tile.mean)))
            .collect();
        let Ok(grid) = Size::new(tiles.columns(), tiles.rows()) else {
            return flat;
        };
        let parts = Components::of(
            &Runs::of_bytes(grid, &smooth, |byte| byte == 1),
            Neighbours::Four,
        );
        let is_flat = |color: [f32; 3]| distance(color, flat.flat) <= f32::from(tolerance);
        let Some(known) = background_tiles(tiles, &parts, is_flat) else {
            return flat;
        };
        let means = tiles.as_slice().iter().zip(&known);
        let changes = means
            .clone()
            .any(|(tile, &known)| known && !is_flat(tile.mean));
        Self {
            surface: changes.then(|| Surface::new(tiles, &known)),
            tolerance,
            ..flat
        }
    }

    /// Whether it is one colour all over.
    pub fn is_flat(&self) -> bool {
        self.surface.is_none()
    }

    /// How far a channel may be off and still be background, 8-bit codes.
    pub fn tolerance_codes(&self) -> u8 {
        self.tolerance
    }

    /// Its R'G'B' in codes at an output pixel.
    pub fn color(&self, x: u32, y: u32) -> [f32; 3] {
        match &self.surface {
            None => self.flat,
            Some(surface) => {
                let row = surface.row(y);
                surface.color(&row, x)
            }
        }
    }

    /// Its R'G'B' in codes along columns of an output row.
    pub fn fill_row(&self, y: u32, columns: std::ops::Range<u32>, out: &mut Vec<[f32; 3]>) {
        out.clear();
        match &self.surface {
            None => out.resize(columns.len(), self.flat),
            Some(surface) => {
                let row = surface.row(y);
                out.extend(columns.map(|x| surface.color(&row, x)));
            }
        }
    }
}

impl Surface {
    /// The means of the known tiles; the others get the colour of the nearest known one.
    fn new(tiles: &Tiles, known: &[bool]) -> Self {
        let nearest = nearest_known(tiles, known);
        let colors = nearest
            .into_iter()
            .map(|i| tiles.as_slice()[i].mean)
            .collect();
        Self {
            inside: tiles.inside(),
            columns: tiles.columns() as usize,
            rows: tiles.rows() as usize,
            colors,
        }
    }

    /// Place between the middles of tiles: the one before, the one after, the share of the one after.
    fn between(at_px: u32, count: usize) -> (usize, usize, f32) {
        let place = ((at_px as f32 + 0.5) / TILE_PX as f32 - 0.5).clamp(0.0, (count - 1) as f32);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the tiles the line above"
        )]
        let before = place as usize;
        (before, (before + 1).min(count - 1), place - before as f32)
    }

    /// The tiles' colours at the height of an output row.
    fn row(&self, y: u32) -> Vec<[f32; 3]> {
        let (above, below, share) = Self::between(y.saturating_sub(self.inside.y), self.rows);
        let tiles = |row: usize| &self.colors[row * self.columns..(row + 1) * self.columns];
        let pairs = tiles(above).iter().zip(tiles(below));
        pairs.map(|(a, b)| mixed(*a, *b, share)).collect()
    }

    /// The colour in a column of such a row.
    fn color(&self, row: &[[f32; 3]], x: u32) -> [f32; 3] {
        let (left, right, share) = Self::between(x.saturating_sub(self.inside.x), self.columns);
        mixed(row[left], row[right], share)
    }
}

/// The median of the largest steps along the slide's edge, 8-bit codes.
fn roughness(tiles: &Tiles) -> u8 {
    let mut counts = [0_u32; 256];
    let places = (0..tiles.rows()).flat_map(|row| (0..tiles.columns()).map(move |c| (c, row)));
    for ((column, row), tile) in places.zip(tiles.as_slice()) {
        if tiles.is_at_edge(column, row) {
            counts[usize::from(tile.step)] += 1;
        }
    }
    let all: u32 = counts.iter().sum();
    let mut below = 0;
    let median = (0..=u8::MAX).find(|&step| {
        below += counts[usize::from(step)];
        2 * below >= all
    });
    median.unwrap_or(0)
}

/// Which tiles are background: the part with most of the background's colour, and what goes on
/// smoothly behind content that cuts it off. None where no tile has that colour.
fn background_tiles(
    tiles: &Tiles,
    parts: &Components,
    is_flat: impl Fn([f32; 3]) -> bool,
) -> Option<Vec<bool>> {
    let columns = tiles.columns() as usize;
    let members = |part: usize| {
        let runs = parts.runs_of(part).iter();
        runs.flat_map(move |run| {
            let start = run.y as usize * columns;
            start + run.start as usize..start + run.end as usize
        })
    };
    let mean = |i: usize| tiles.as_slice()[i].mean;
    let mut known = vec![false; tiles.as_slice().len()];
    let mut is_open = vec![true; parts.list().len()];
    let mut best: Option<(usize, usize)> = None;
    for (part, is_open) in is_open.iter_mut().enumerate() {
        let (mut flat, mut all) = (0, 0);
        for i in members(part) {
            flat += usize::from(is_flat(mean(i)));
            all += 1;
        }
        if flat > best.map_or(0, |(flat, _)| flat) {
            best = Some((flat, part));
        }
        if 2 * flat > all {
            *is_open = false;
            members(part).for_each(|i| known[i] = true);
        }
    }
    let (_, best) = best?;
    is_open[best] = false;
    members(best).for_each(|i| known[i] = true);
    // A background of one colour does not go on in another behind content.
    let one_color = (0..known.len()).all(|i| !known[i] || is_flat(mean(i)));
    if one_color {
        return Some(known);
    }
    for _ in 0..CUT_OFF_ROUNDS {
        let nearest = nearest_known(tiles, &known);
        let mut found = false;
        for (part, is_open) in is_open.iter_mut().enumerate() {
            if !*is_open {
                continue;
            }
            let goes_on = |i: usize| distance(mean(i), mean(nearest[i])) <= CUT_OFF_CODES;
            let (near, all) = members(part).fold((0, 0), |(near, all), i| {
                (near + usize::from(goes_on(i)), all + 1)
            });
            if 2 * near > all {
                *is_open = false;
                found = true;
                members(part).for_each(|i| known[i] = true);
            }
        }
        if !found {
            break;
        }
    }
    Some(known)
}

/// Of each tile the nearest known one, counted in steps to a neighbour.
fn nearest_known(tiles: &Tiles, known: &[bool]) -> Vec<usize> {
    let columns = tiles.columns() as usize;
    let mut nearest: Vec<usize> = (0..known.len()).collect();
    let mut is_done = known.to_vec();
    let mut open: VecDeque<usize> = (0..known.len()).filter(|&i| known[i]).collect();
    while let Some(i) = open.pop_front() {
        let neighbours = [
            (i % columns > 0).then(|| i - 1),
            (i % columns + 1 < columns).then(|| i + 1),
            i.checked_sub(columns),
            (i + columns < known.len()).then_some(i + columns),
        ];
        for next in neighbours.into_iter().flatten() {
            if !is_done[next] {
                is_done[next] = true;
                nearest[next] = nearest[i];
                open.push_back(next);
            }
        }
    }
    nearest
}

/// The largest difference of a channel.
fn distance(a: [f32; 3], b: [f32; 3]) -> f32 {
    (0..3).map(|c| (a[c] - b[c]).abs()).fold(0.0, f32::max)
}

/// A share of the way from one colour to the other.
fn mixed(a: [f32; 3], b: [f32; 3], share: f32) -> [f32; 3] {
    [0, 1, 2].map(|c| a[c] + share * (b[c] - a[c]))
}
