//! Which pieces are writing.

use super::ink_colors::PALE;
use super::ink_company::Company;
use super::ink_figures::{ink_figures, share_inside};
use super::ink_pieces::InkPieces;
use super::ink_trees::{company_log_odds, own_log_odds};
use super::likely_line::is_likely_line;
use super::lone_marks::{FREE_SHARE, without_lone_marks};
use super::piece_shape::InkPiece;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// Log odds over which a piece with its company is ink. Source: chosen on drawn frames and photographs; less finds more of the
/// writing and more that is none.
const INK: f64 = 1.6;
/// Area under which a piece over the presenter must have more log odds, a share of the height squared: as many more as the natural
/// logarithm of how many times smaller it is. Source: chosen likewise; what is small shows little, and badges, medals and ribbons
/// fall to small pieces.
const SMALL_AREA: f64 = 0.0003;
/// Share of its box that a plate with letters in it fills, how many times as long as its spread the line is that it would be if it were
/// one, and log odds over which it is one. Source: chosen; no ink in 1011 drawn frames is like that with so few.
const PLATE_FILL: f64 = 0.7;
const PLATE_FOLDS: f64 = 3.0;
const PLATE_INK: f64 = 4.0;
/// Log odds of a piece by itself over which it is ink wherever the presenter ends: less may be something bright that is worn.
/// Source: chosen.
pub const SURE_INK: f64 = 3.0;
/// How many times as long as wide a coloured line before the backdrop is that is ink whatever speaks against it. Source: chosen;
/// ruled and level it fills its box as a badge does.
const RULED: f64 = 8.0;

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
        .map(own_log_odds)
        .collect()
}

/// Log odds over which a piece with its company is ink, with this share of it over the presenter, in a frame of this height.
pub fn least_log_odds(piece: &InkPiece, over: f64, height_px: u32) -> f64 {
    let is_plate = piece.fill > PLATE_FILL && piece.slenderness() > PLATE_FOLDS * piece.elongation;
    let least = if is_plate { PLATE_INK } else { INK };
    if over < FREE_SHARE {
        return least;
    }
    let small_px = SMALL_AREA * f64::from(height_px).powi(2);
    let smaller = small_px / piece.area as f64;
    least.max(INK + smaller.ln())
}

/// Tells which of the pieces that may be ink are writing, given the presenter as far as it is known.
pub fn judge_pieces(all: &InkPieces, may_be: &[bool], presenter: &Runs) -> InkVerdict {
    let over: Vec<f64> = all
        .pieces
        .iter()
        .map(|piece| share_inside(piece, presenter))
        .collect();
    let figures = ink_figures(all, &over, presenter);
    let log_odds: Vec<f64> = figures.iter().map(own_log_odds).collect();
    let company = Company {
        all,
        may_be,
        over: &over,
        figures: &figures,
        log_odds: &log_odds,
    };
    let is_ruled = |piece: &InkPiece, over: f64| {
        over < FREE_SHARE
            && piece.class != PALE
            && piece.slenderness() > RULED
            && is_likely_line(piece, all)
    };
    let height = presenter.size().height();
    let kept: Vec<bool> = company
        .figures()
        .iter()
        .enumerate()
        .map(|(i, both)| {
            let least = least_log_odds(&all.pieces[i], over[i], height);
            both.as_ref()
                .is_some_and(|both| company_log_odds(both) > least)
                || may_be[i] && is_ruled(&all.pieces[i], over[i])
        })
        .collect();
    let kept = without_lone_marks(all, &kept, &over, presenter.size());
    let sure = kept
        .iter()
        .zip(&log_odds)
        .map(|(&kept, &odds)| kept && odds > SURE_INK)
        .collect();
    InkVerdict { kept, sure }
}
