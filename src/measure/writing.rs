//! Which pieces are writing.

use super::ink_colors::PALE;
use super::ink_pieces::InkPieces;
use super::piece_shape::InkPiece;
use super::runs::Runs;

/// Hues of skin, -1 to 5, and its saturation. Source: chosen; skin from dark to pale under warm and cold light.
const SKIN_HUES: (f64, f64) = (-0.25, 0.85);
const SKIN_SATURATION: (f64, f64) = (0.12, 0.66);

/// Whether a piece has the colour of ink: saturated or white, not that of skin or hair.
pub fn looks_like_ink(piece: &InkPiece, all: &InkPieces) -> bool {
    let bright = piece.most() - all.backdrop;
    let saturation = piece.saturation(all.backdrop);
    let is_skin = (SKIN_HUES.0..SKIN_HUES.1).contains(&piece.hue())
        && (SKIN_SATURATION.0..SKIN_SATURATION.1).contains(&saturation);
    let bright_enough = if piece.class == PALE { 0.55 } else { 0.35 };
    !is_skin && bright >= bright_enough * all.strongest && piece.sharpness > 0.3 && piece.open < 0.15
}

/// Which of the pieces are writing, given the presenter as far as it is known.
pub fn is_writing(all: &InkPieces, presenter: &Runs) -> Vec<bool> {
    let is_ink = |piece: &InkPiece| looks_like_ink(piece, all) && is_stroke(piece, all, share_inside(piece, presenter));
    let mut kept: Vec<bool> = all.pieces.iter().map(is_ink).collect();
    // Dots and short ends belong to strokes of their colour nearby.
    let near = |a: &InkPiece, b: &InkPiece| {
        let reach = 2.5 * b.widest_px.max(a.widest_px);
        let gap = |a0: u32, a1: u32, b0: u32, b1: u32| f64::from(b0.saturating_sub(a1).max(a0.saturating_sub(b1)));
        a.class == b.class
            && gap(a.bounds.x, a.bounds.right(), b.bounds.x, b.bounds.right()) <= reach
            && gap(a.bounds.y, a.bounds.bottom(), b.bounds.y, b.bounds.bottom()) <= reach
    };
    let sure: Vec<usize> = (0..kept.len()).filter(|&i| kept[i]).collect();
    for i in 0..kept.len() {
        let piece = &all.pieces[i];
        let alike = |other: &InkPiece| (0..3).all(|c| (piece.color[c] - other.color[c]).abs() < 0.2 * other.most());
        if !kept[i] && piece.sharpness > 0.25 && piece.open < 0.3 {
            kept[i] = sure.iter().any(|&j| near(piece, &all.pieces[j]) && alike(&all.pieces[j]));
        }
    }
    kept
}

fn is_stroke(piece: &InkPiece, all: &InkPieces, over: f64) -> bool {
    if piece.class == PALE {
        let alone = over < 0.2 && piece.lit_around < 0.15;
        return alone || (piece.slenderness() > 8.0 && piece.most() - all.backdrop > 0.85 * all.strongest && piece.open < 0.06);
    }
    if over < 0.5 {
        return true;
    }
    piece.slenderness() > 2.8 && piece.open < 0.1 && piece.saturation(all.backdrop) > 0.55
}

/// Share of a piece that is in a mask, 0 to 1.
pub fn share_inside(piece: &InkPiece, mask: &Runs) -> f64 {
    let mut inside = 0_u64;
    for run in &piece.runs {
        for other in mask.row(run.y) {
            let common = run.end.min(other.end).saturating_sub(run.start.max(other.start));
            inside += u64::from(common);
        }
    }
    inside as f64 / piece.area.max(1) as f64
}
