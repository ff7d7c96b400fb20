//! Squares of 8 x 8 slide pixels: how far codes step from pixel to pixel in each.

use super::slide_raster::SlideRaster;
use crate::measure::raster::pixel_box::PixelBox;

/// Side of a tile, px. Source: ITU-T T.81, blocks of 8 x 8 samples, so that a tile is a block or four of them meet in it.
pub const TILE_PX: u32 = 8;

/// One tile.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tile {
    /// The largest step of a channel to the pixel on the right or below, 8-bit codes.
    pub step: u8,
    /// Pixels that differ from the one on the right or below.
    pub changes: u8,
    /// Mean R'G'B' in codes, of every second pixel each way.
    pub mean: [f32; 3],
}

/// The tiles of a slide, from its top left pixel on; those at the right and at the bottom may be cut.
#[derive(Clone, Debug)]
pub struct Tiles {
    inside: PixelBox,
    columns: u32,
    rows: u32,
    list: Vec<Tile>,
}

impl Tiles {
    /// Measures the tiles; none where no slide lies on the output.
    pub fn measure(raster: &SlideRaster) -> Option<Self> {
        let inside = raster.inside()?;
        let columns = inside.width.div_ceil(TILE_PX);
        let rows = inside.height.div_ceil(TILE_PX);
        let mut tiles = vec![Tile::default(); columns as usize * rows as usize];
        let row_of = |y: u32| {
            let start = raster.index(inside.x, y);
            &raster.codes()[start..start + inside.width as usize]
        };
        let mut steps = vec![0; 4 * inside.width as usize];
        for y in 0..inside.height {
            let row = row_of(inside.y + y);
            let below = row_of(inside.y + (y + 1).min(inside.height - 1));
            fill_steps(row.as_flattened(), below.as_flattened(), &mut steps);
            let first = (y / TILE_PX) as usize * columns as usize;
            let tiles = &mut tiles[first..first + columns as usize];
            for (tile, steps) in tiles.iter_mut().zip(steps.chunks(4 * TILE_PX as usize)) {
                let largest = steps.iter().fold(0, |a: u8, &b| a.max(b));
                if largest > 0 {
                    tile.step = tile.step.max(largest);
                    let pixels = steps.as_chunks::<4>().0;
                    let changes = pixels.iter().filter(|step| **step != [0; 4]).count();
                    tile.changes += u8::try_from(changes).unwrap_or(u8::MAX);
                }
            }
            if y % 2 == 0 {
                for (tile, codes) in tiles.iter_mut().zip(row.chunks(TILE_PX as usize)) {
                    for code in codes.iter().step_by(2) {
                        for (sum, &channel) in tile.mean.iter_mut().zip(code) {
                            *sum += f32::from(channel);
                        }
                    }
                }
            }
        }
        let mut measured = Self {
            inside,
            columns,
            rows,
            list: tiles,
        };
        measured.divide_means();
        Some(measured)
    }

    /// Sums become means.
    fn divide_means(&mut self) {
        let looked_at = |at: u32, side: u32| (side - at * TILE_PX).min(TILE_PX).div_ceil(2);
        for row in 0..self.rows {
            for column in 0..self.columns {
                let across = looked_at(column, self.inside.width);
                let count = across * looked_at(row, self.inside.height);
                let tile = &mut self.list[(row * self.columns + column) as usize];
                tile.mean = tile.mean.map(|sum| sum / count as f32);
            }
        }
    }

    /// The slide's place on the output.
    pub fn inside(&self) -> PixelBox {
        self.inside
    }

    /// Tiles across.
    pub fn columns(&self) -> u32 {
        self.columns
    }

    /// Tiles down.
    pub fn rows(&self) -> u32 {
        self.rows
    }

    /// All tiles, row by row.
    pub fn as_slice(&self) -> &[Tile] {
        &self.list
    }

    /// Whether a tile is at the slide's edge.
    pub fn is_at_edge(&self, column: u32, row: u32) -> bool {
        column == 0 || row == 0 || column + 1 == self.columns || row + 1 == self.rows
    }
}

/// The larger step of each byte, to the pixel on the right and to the one below.
fn fill_steps(row: &[u8], below: &[u8], steps: &mut [u8]) {
    let right = row.get(4..).unwrap_or(&[]);
    let last = right.len();
    for (((step, &here), &right), &below) in steps.iter_mut().zip(row).zip(right).zip(below) {
        *step = here.abs_diff(right).max(here.abs_diff(below));
    }
    for ((step, &here), &below) in steps.iter_mut().zip(row).zip(below).skip(last) {
        *step = here.abs_diff(below);
    }
}
