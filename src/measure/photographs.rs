//! Which pieces of content are photographs or other continuous tone, so that no strokes are sought in them.

use super::pieces::Content;
use super::slide_raster::SlideRaster;

/// Least sides of a photograph, px. Source: chosen; below, letters have as much texture.
const LEAST_SIDE_PX: u32 = 32;
/// Share of its box that a photograph covers, at least. Source: chosen; paragraphs cover under 0.4.
const LEAST_FILL: f64 = 0.5;
/// Bends of the values along a row that are texture: neither flat or a smooth gradient, whose bends are
/// rounding, nor an edge, 8-bit codes. Source: chosen.
const TEXTURE: std::ops::RangeInclusive<u16> = 2..=24;
/// Share of pixels with texture, at least. Source: chosen between photographs and JPEG slides of quality 90.
const LEAST_TEXTURE: f64 = 0.3;
/// Rows from one that is looked at to the next. Source: chosen, for speed.
const ROW_STEP: u32 = 3;

/// For each piece, whether it is continuous tone.
pub fn photographs(raster: &SlideRaster, content: &Content) -> Vec<bool> {
    let pieces = content.pieces().iter().enumerate();
    pieces
        .map(|(i, piece)| {
            let side = piece.bounds.width.min(piece.bounds.height);
            side >= LEAST_SIDE_PX
                && piece.area as f64 >= LEAST_FILL * piece.bounds.area() as f64
                && texture_share(raster, content, i) >= LEAST_TEXTURE
        })
        .collect()
}

/// Share of a piece's pixels where the row bends a little: `|a - 2 b + c|` of three neighbours.
fn texture_share(raster: &SlideRaster, content: &Content, piece: usize) -> f64 {
    let (mut textured, mut all) = (0_u64, 0_u64);
    let runs = content.runs_of(piece).iter();
    for run in runs.filter(|run| run.y.is_multiple_of(ROW_STEP)) {
        let first = raster.index(run.start, run.y);
        for three in raster.codes()[first..first + run.length() as usize].windows(3) {
            let code = |i: usize, c: usize| u16::from(three[i][c]);
            let bend = |c: usize| (code(0, c) + code(2, c)).abs_diff(2 * code(1, c));
            let bend = bend(0).max(bend(1)).max(bend(2));
            textured += u64::from(TEXTURE.contains(&bend));
            all += 1;
        }
    }
    textured as f64 / all.max(1) as f64
}
