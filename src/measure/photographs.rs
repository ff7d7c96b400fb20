//! Which pieces of content are photographs or other continuous tone, so that no strokes are sought in them.

use super::pieces::Content;
use super::slide_raster::SlideRaster;

/// Least sides of a photograph, px. Source: chosen; below, letters have as much texture.
const LEAST_SIDE_PX: u32 = 32;
/// Share of its box that a photograph covers, at least. Source: chosen; paragraphs cover under 0.4.
const LEAST_FILL: f64 = 0.5;
/// Steps between neighbours that are shading: neither flat nor an edge, 8-bit codes. Source: chosen.
const SHADING: std::ops::RangeInclusive<u8> = 1..=24;
/// Share of neighbours that differ by shading, at least. Source: measured, photographs of the tests have
/// over 0.5, plates with text saved as JPEG of quality 90 under 0.2.
const LEAST_SHADING: f64 = 0.35;
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
                && shading_share(raster, content, i) >= LEAST_SHADING
        })
        .collect()
}

/// Share of a piece's pixels that differ a little from their right neighbour.
pub fn shading_share(raster: &SlideRaster, content: &Content, piece: usize) -> f64 {
    let (mut shaded, mut all) = (0_u64, 0_u64);
    let runs = content.runs_of(piece).iter();
    for run in runs.filter(|run| run.y.is_multiple_of(ROW_STEP)) {
        let row = raster.index(run.start, run.y)..raster.index(run.start, run.y) + run.length() as usize;
        for pair in raster.codes()[row].windows(2) {
            let step = (0..3).map(|c| pair[0][c].abs_diff(pair[1][c])).max();
            shaded += u64::from(step.is_some_and(|step| SHADING.contains(&step)));
            all += 1;
        }
    }
    shaded as f64 / all.max(1) as f64
}
