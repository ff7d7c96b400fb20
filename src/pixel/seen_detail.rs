//! Where a picture shows something: letters, lines and edges, and what stands out from its ground.

use super::frame::{Frame, Pixels};
use super::label_room::Edges;

/// Rows of a picture over the side of a cell. Source: chosen; half the height of a small letter.
const CELLS_DOWN: u32 = 135;
/// How far the brightest channel within a cell is apart where something is seen, of 255. Source: chosen by eye; over the noise of a
/// camera, under the edges of faint writing.
const EDGE_U8: u8 = 32;
/// How far a cell is from the ground of the picture, the median, where it belongs to something. Source: chosen by eye.
const FLAT_U8: u8 = 40;
/// What a cell of something that is even counts. Source: chosen; clothes are covered before letters are.
const FLAT_WEIGHT: f64 = 0.5;

/// How much of any part of an 8-bit picture shows something.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenDetail {
    cell_px: u32,
    cells: [usize; 2],
    /// Weights of all cells above and left of each corner.
    sums: Vec<f64>,
}

impl SeenDetail {
    /// Looks at a picture; at nothing where it is not an 8-bit one.
    pub fn of(picture: &Frame) -> Self {
        let (width, height) = (picture.size().width(), picture.size().height());
        let cell_px = height.div_ceil(CELLS_DOWN).max(2);
        let cells = [width.div_ceil(cell_px), height.div_ceil(cell_px)].map(|n| n as usize);
        let [across, down] = cells;
        // Least and greatest of the brightest channel in every cell.
        let mut spans = vec![[u8::MAX, u8::MIN]; across * down];
        if let Pixels::Rgba8(pixels) = picture.pixels() {
            let (width, side) = (width as usize, cell_px as usize);
            for (y, row) in pixels.chunks(width).enumerate() {
                let cells = &mut spans[y / side * across..(y / side + 1) * across];
                for (span, part) in cells.iter_mut().zip(row.chunks(side)) {
                    for &[r, g, b, _] in part {
                        // The brightest channel: blue letters are seen too.
                        let value = r.max(g).max(b);
                        *span = [span[0].min(value), span[1].max(value)];
                    }
                }
            }
        }
        let mut lows: Vec<u8> = spans.iter().map(|span| span[0]).collect();
        lows.sort_unstable();
        let ground = lows.get(lows.len() / 2).copied().unwrap_or(0);
        let weight = |&[low, high]: &[u8; 2]| {
            if high.saturating_sub(low) > EDGE_U8 {
                1.0
            } else if low <= high && low.abs_diff(ground) > FLAT_U8 {
                FLAT_WEIGHT
            } else {
                0.0
            }
        };
        let mut sums = vec![0.0; (across + 1) * (down + 1)];
        for (y, row) in spans.chunks(across).enumerate() {
            let mut sum = 0.0;
            for (x, span) in row.iter().enumerate() {
                sum += weight(span);
                sums[(y + 1) * (across + 1) + x + 1] = sums[y * (across + 1) + x + 1] + sum;
            }
        }
        Self {
            cell_px,
            cells,
            sums,
        }
    }

    /// Pixels of a place that show something.
    pub fn seen_px(&self, [left, top, right, bottom]: &Edges) -> f64 {
        let side = f64::from(self.cell_px);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the cells of the picture"
        )]
        let cell = |at: f64, most: usize| at.clamp(0.0, most as f64) as usize;
        let [across, down] = self.cells;
        let (x0, x1) = (
            cell((left / side).floor(), across),
            cell((right / side).ceil(), across),
        );
        let (y0, y1) = (
            cell((top / side).floor(), down),
            cell((bottom / side).ceil(), down),
        );
        let sum = |x: usize, y: usize| self.sums[y * (across + 1) + x];
        (sum(x1, y1) - sum(x0, y1) - sum(x1, y0) + sum(x0, y0)) * side * side
    }
}
