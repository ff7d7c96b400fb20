//! Which pieces of content are photographs or other continuous tone, so that no strokes are sought in them.

use super::pieces::Content;
use super::slide_raster::SlideRaster;
use super::texture::{TEXTURE_REACH_PX, is_texture};

/// Least sides of a photograph, px. Source: chosen; letters have as much texture, those of up to 100 px too.
const LEAST_SIDE_PX: u32 = 32;
/// Share of its box that a photograph covers, at least. Source: chosen; paragraphs cover under 0.4.
const LEAST_FILL: f64 = 0.5;
/// Share of pixels with texture, at least. Source: chosen; of pieces of 100 px and more on the slides of `check_score`,
/// as drawn and as JPEG of quality 90, drawings measured 0.23 at most, and photographs 0.33 and more on slides of 1080
/// lines and over, 0.24 and more on slides of fewer lines, which are enlarged.
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

/// Share of a piece's pixels that are texture. Soft ends of rows do not count, in which a glow or a shadow rises out of
/// the background: compression ripples them.
fn texture_share(raster: &SlideRaster, content: &Content, piece: usize) -> f64 {
    let width = raster.size().width() as usize;
    let rows = TEXTURE_REACH_PX..raster.size().height().saturating_sub(TEXTURE_REACH_PX);
    let reach = TEXTURE_REACH_PX as usize;
    let (mut textured, mut all) = (0_u64, 0_u64);
    let runs = content.runs_of(piece).iter();
    for run in runs.filter(|run| run.y.is_multiple_of(ROW_STEP)) {
        all += u64::from(run.length());
        if !rows.contains(&run.y) {
            continue;
        }
        let row = run.y as usize * width;
        let (from, to) = (run.start as usize, run.end as usize);
        let differences = &content.differences()[row + from..row + to];
        let start = from + soft_end(differences.iter());
        let end = to.saturating_sub(soft_end(differences.iter().rev()));
        // What lies beside the run or at its soft ends does not bend a pixel of it.
        let inner = start + reach..end.saturating_sub(reach);
        let is_textured = |x: &usize| is_texture(raster.codes(), width, row + x);
        textured += inner.filter(is_textured).count() as u64;
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
