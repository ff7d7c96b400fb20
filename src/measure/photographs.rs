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
/// Most difference to the background at the end of a row that is soft, and a fall that ends its rise, 8-bit
/// codes. Source: chosen, a glow begins at the background, and compression of quality 90 ripples by less.
const SOFT_START: u8 = 32;
const SOFT_FALL: u8 = 6;
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

/// Share of a piece's pixels where the row bends a little: `|a - 2 b + c|` of three neighbours. Soft ends of
/// rows do not count, in which a glow or a shadow rises out of the background: compression ripples them.
fn texture_share(raster: &SlideRaster, content: &Content, piece: usize) -> f64 {
    let (mut textured, mut all) = (0_u64, 0_u64);
    let runs = content.runs_of(piece).iter();
    for run in runs.filter(|run| run.y.is_multiple_of(ROW_STEP)) {
        let first = raster.index(run.start, run.y);
        let length = run.length() as usize;
        all += length.saturating_sub(2) as u64;
        let differences = &content.differences()[first..first + length];
        let start = soft_end(differences.iter());
        let end = length - soft_end(differences.iter().rev());
        if start >= end {
            continue;
        }
        for three in raster.codes()[first + start..first + end].windows(3) {
            let code = |i: usize, c: usize| u16::from(three[i][c]);
            let bend = |c: usize| (code(0, c) + code(2, c)).abs_diff(2 * code(1, c));
            let bend = bend(0).max(bend(1)).max(bend(2));
            textured += u64::from(TEXTURE.contains(&bend));
        }
    }
    textured as f64 / all.max(1) as f64
}

/// Pixels over which differences to the background rise from its own value on.
fn soft_end<'a>(differences: impl Iterator<Item = &'a u8>) -> usize {
    let mut most = 0;
    let rising = differences.enumerate().take_while(|&(i, &here)| {
        let begins = i > 0 || here <= SOFT_START;
        let rises = here.saturating_add(SOFT_FALL) >= most;
        most = most.max(here);
        begins && rises
    });
    rising.count()
}
