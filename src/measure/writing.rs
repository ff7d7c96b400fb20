//! Which pieces are writing.

use super::free_stroke::{WIDEST_PIECE, is_free_stroke};
use super::ink_colors::PALE;
use super::ink_contrast::WIDEST_STROKE;
use super::ink_figures::{ink_figures, share_inside};
use super::ink_pieces::InkPieces;
use super::ink_trees::ink_log_odds;
use super::links::Links;
use super::piece_shape::InkPiece;
use super::runs::Runs;
use crate::pixel::settings::Size;

/// Log odds over which a piece over the presenter is ink. Source: chosen on drawn frames and photographs; less finds more of the
/// writing and more that is none.
const INK: f64 = 0.8;
/// The same before the backdrop for what no rule takes for a stroke. Source: chosen; one in a thousand is none.
const FREE_INK: f64 = 2.5;
/// Log odds over which a piece is ink wherever the presenter ends: less may be something bright that is worn. Source: chosen.
pub const SURE_INK: f64 = 3.0;
/// Log odds over which a piece over the presenter may join strokes nearby. Source: chosen likewise.
const JOINING: f64 = 0.4;
/// Least length of a group over the presenter, a share of the height. Source: chosen; a badge is shorter than a letter is long.
const GROUP_SHARE: f64 = 0.08;

/// From which share on a piece is over the presenter. Source: chosen.
const OVER_SHARE: f64 = 0.3;

/// What was made of pieces.
#[derive(Clone, Debug)]
pub struct InkVerdict {
    /// Which are writing.
    pub kept: Vec<bool>,
    /// Which of them are writing wherever the presenter ends.
    pub sure: Vec<bool>,
}

/// Log odds that each piece would be ink if it lay before the backdrop.
pub fn free_log_odds(all: &InkPieces, size: Size) -> Vec<f64> {
    let over = vec![0.0; all.pieces.len()];
    ink_figures(all, &over, &Runs::none(size))
        .iter()
        .map(ink_log_odds)
        .collect()
}

/// Tells which of the pieces that may be ink are writing, given the presenter as far as it is known.
pub fn judge_pieces(all: &InkPieces, may_be: &[bool], presenter: &Runs) -> InkVerdict {
    let pieces = &all.pieces;
    let over: Vec<f64> = pieces
        .iter()
        .map(|piece| share_inside(piece, presenter))
        .collect();
    let height = f64::from(presenter.size().height());
    let most_px = WIDEST_PIECE * WIDEST_STROKE * height;
    let log_odds: Vec<f64> = ink_figures(all, &over, presenter)
        .iter()
        .map(ink_log_odds)
        .collect();
    let reaches = |i: usize, least: f64| may_be[i] && log_odds[i] > least;
    let mut kept: Vec<bool> = (0..pieces.len())
        .map(|i| {
            let is_free = over[i] < OVER_SHARE;
            if is_free && may_be[i] && is_free_stroke(&pieces[i], all, over[i], height) {
                return true;
            }
            reaches(i, if is_free { FREE_INK } else { INK })
        })
        .collect();
    // Dots, ends and streaks belong to strokes of their colour nearby; twice, so that they reach on.
    for _ in 0..2 {
        let known: Vec<usize> = (0..kept.len()).filter(|&i| kept[i]).collect();
        for i in 0..kept.len() {
            let piece = &pieces[i];
            let joins = if over[i] < OVER_SHARE {
                may_be[i] && may_join(piece)
            } else {
                reaches(i, JOINING)
            };
            if kept[i] || !joins || piece.widest_px > most_px {
                continue;
            }
            kept[i] = known.iter().any(|&j| {
                let alike = if over[i] < 0.1 {
                    belong(piece, &pieces[j], all.backdrop)
                } else {
                    piece.is_alike(&pieces[j])
                };
                alike && are_neighbours(piece, &pieces[j])
            });
        }
    }
    drop_small_groups(all, &mut kept, &over, height);
    let sure = (0..kept.len())
        .map(|i| kept[i] && log_odds[i] > SURE_INK)
        .collect();
    InkVerdict { kept, sure }
}

/// Whether a piece before the backdrop could be a remnant of a stroke: coloured, or the white core or end of one.
fn may_join(piece: &InkPiece) -> bool {
    piece.class != PALE || piece.beside_other > 0.3 || piece.lit_around < 0.2
}

/// Whether two pieces are near each other, as letters of a word are.
fn are_neighbours(a: &InkPiece, b: &InkPiece) -> bool {
    let reach = 2.5 * b.widest_px.max(a.widest_px);
    let gap = |a0: u32, a1: u32, b0: u32, b1: u32| {
        f64::from(b0.saturating_sub(a1).max(a0.saturating_sub(b1)))
    };
    gap(a.bounds.x, a.bounds.right(), b.bounds.x, b.bounds.right()) <= reach
        && gap(a.bounds.y, a.bounds.bottom(), b.bounds.y, b.bounds.bottom()) <= reach
}

/// Whether a piece before the backdrop can be of the same ink as another, thinned or mixed; a finger beside green ink is not.
fn belong(a: &InkPiece, b: &InkPiece, backdrop: f64) -> bool {
    let is_pale = a.class == PALE && (b.has_skin_hue() || !a.has_skin_color(backdrop));
    (a.class == b.class || is_pale) && a.most() > 0.35 * b.most()
}

/// What lies alone at the presenter and is no longer than a badge is a badge, or the marker in the hand.
fn drop_small_groups(all: &InkPieces, kept: &mut [bool], over: &[f64], height: f64) {
    let mut links = Links::new(kept.len());
    for i in 0..kept.len() {
        for j in 0..i {
            if kept[i]
                && kept[j]
                && are_neighbours(&all.pieces[i], &all.pieces[j])
                && all.pieces[i].is_alike(&all.pieces[j])
            {
                links.join(i, j);
            }
        }
    }
    let mut lengths = vec![0.0; kept.len()];
    let mut free = vec![false; kept.len()];
    for i in (0..kept.len()).filter(|&i| kept[i]) {
        let root = links.root(i);
        lengths[root] += all.pieces[i].length_px;
        free[root] |= over[i] < 0.03;
    }
    for (i, kept) in kept.iter_mut().enumerate() {
        let root = links.root(i);
        *kept &= free[root] || lengths[root] > GROUP_SHARE * height;
    }
}
