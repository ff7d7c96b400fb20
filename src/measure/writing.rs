//! Which pieces are writing.

use super::ink_colors::PALE;
use super::ink_contrast::WIDEST_STROKE;
use super::ink_evidence::{DIMMEST, KnownInk, PieceOver};
use super::ink_pieces::InkPieces;
use super::links::Links;
use super::piece_shape::{InkPiece, SKIN_HUES};
use super::runs::Runs;
use super::symmetry::worn_shares;
use crate::pixel::settings::Size;

/// How many times as long as wide a line before the backdrop is. Source: chosen; a lit finger alone has less.
const LINE_SLENDERNESS: f64 = 5.0;
/// The same for a pale one of the colour of skin. Source: chosen; a hand with its fingers spread has 6.
const PALE_LINE_SLENDERNESS: f64 = 9.0;
/// The same for a coloured one of no such colour. Source: chosen; a square has 2.3.
const SHORT_LINE: f64 = 2.8;
/// Share of what is around a pale line that is lit at most. Source: chosen; a light collar on dark clothes has more.
const PALE_LIT: f64 = 0.4;
/// Brightness of a pale line beside the frame's strongest contrast at least. Source: chosen; most of white ink is as bright as
/// ink gets, cloth that the lamps miss is not.
const PALE_BRIGHT: f64 = 0.85;
/// Most of a line's rim that goes on beyond it, and how sharp the rim is at least, 0 to 1. Source: chosen.
const CLOSED: f64 = 0.15;
const SHARP: f64 = 0.4;

/// Log odds from which a piece over the presenter may join strokes nearby. Source: chosen.
const JOINING: f64 = -1.0;
/// Length up to which something white alone is a speck, a share of the height. Source: chosen; a lamp seen in the glass is shorter
/// than a letter.
const SPECK_SHARE: f64 = 0.02;
/// Least length of a group over the presenter, a share of the height. Source: chosen; a badge is shorter than a letter is long.
const GROUP_SHARE: f64 = 0.08;
/// Share of what is around that is lit where a piece lies over something and not before the backdrop. Source: chosen.
pub const LIT_SHARE: f64 = 0.6;
/// How much wider than a stroke a piece is at most where strokes run together. Source: chosen; the angles of an `N` in a
/// thick pen are twice as wide as its lines.
const WIDEST_PIECE: f64 = 2.0;
/// From which share on a piece is over the presenter, and up to which it is before the backdrop for certain. Source: chosen.
const OVER_SHARE: f64 = 0.3;
const FREE_SHARE: f64 = 0.05;

/// Whether a piece has the colour of ink: saturated or white, not that of skin or hair.
fn has_ink_color(piece: &InkPiece, all: &InkPieces) -> bool {
    let bright = piece.most() - all.backdrop;
    // Coral and orange ink have the hues of skin too; skin is no thin line before the
    // backdrop, nor one with a sharp edge all round.
    let long = if piece.class == PALE {
        PALE_LINE_SLENDERNESS
    } else {
        LINE_SLENDERNESS
    };
    let is_line = piece.slenderness() > long
        && (piece.lit_around < LIT_SHARE || piece.open < CLOSED && piece.sharpness > SHARP);
    let bright_enough = if piece.class == PALE { 0.55 } else { 0.35 };
    (!piece.has_skin_color(all.backdrop) || is_line) && bright >= bright_enough * all.strongest
}

/// Whether a piece looks like a stroke of ink wherever it is: no part of something larger, sharp.
pub fn is_likely_ink(piece: &InkPiece, all: &InkPieces) -> bool {
    let (sharp, open) = if piece.class == PALE {
        (0.3, 0.3)
    } else {
        (0.15, 0.7)
    };
    has_ink_color(piece, all) && piece.sharpness > sharp && piece.open < open
}

/// Whether a piece looks like a bright line before the backdrop, whatever the presenter is.
pub fn is_likely_line(piece: &InkPiece, all: &InkPieces) -> bool {
    let (lit, long, bright) = if piece.class == PALE {
        (PALE_LIT, LINE_SLENDERNESS, PALE_BRIGHT)
    } else {
        (LIT_SHARE, SHORT_LINE, DIMMEST)
    };
    piece.lit_around < lit
        && piece.slenderness() > long
        && piece.most() > bright * all.strongest
        && is_likely_ink(piece, all)
}

/// Which of the pieces that may be ink are writing, given the presenter as far as it is known.
pub fn is_writing(all: &InkPieces, may_be: &[bool], presenter: &Runs) -> Vec<bool> {
    let size = presenter.size();
    let pieces = &all.pieces;
    let over: Vec<f64> = pieces
        .iter()
        .map(|piece| share_inside(piece, presenter))
        .collect();
    let height = f64::from(size.height());
    let most_px = WIDEST_PIECE * WIDEST_STROKE * height;
    let mut kept: Vec<bool> = (0..pieces.len())
        .map(|i| {
            may_be[i]
                && over[i] < OVER_SHARE
                && is_likely_ink(&pieces[i], all)
                && is_free_stroke(&pieces[i], all, over[i], height)
        })
        .collect();
    let free = (0..pieces.len()).filter(|&i| kept[i] && over[i] < FREE_SHARE);
    let free: Vec<&InkPiece> = free.map(|i| &pieces[i]).collect();
    let ink = KnownInk::of(&free, all);
    let evidence = evidence_over(all, may_be, &over, &ink, presenter);
    for (kept, evidence) in kept.iter_mut().zip(&evidence) {
        *kept |= evidence.is_some_and(|evidence| evidence > 0.0);
    }
    // Dots, ends and streaks belong to strokes of their colour nearby; twice, so that they reach on.
    for _ in 0..2 {
        let sure: Vec<usize> = (0..kept.len()).filter(|&i| kept[i]).collect();
        for i in 0..kept.len() {
            let piece = &pieces[i];
            let is_possible =
                may_be[i] && (over[i] < OVER_SHARE || evidence[i].is_some_and(|own| own > JOINING));
            if kept[i] || !is_possible || piece.widest_px > most_px || !may_belong(piece, over[i]) {
                continue;
            }
            kept[i] = sure.iter().any(|&j| {
                let alike = if over[i] < 0.1 {
                    belong(piece, &pieces[j])
                } else {
                    piece.is_alike(&pieces[j])
                };
                alike && are_neighbours(piece, &pieces[j])
            });
        }
    }
    drop_small_groups(all, &mut kept, &over, size);
    kept
}

/// Log odds of each piece over the presenter being ink, its own and those of its colour nearby in equal parts; none where it
/// cannot be ink or is before the backdrop.
fn evidence_over(
    all: &InkPieces,
    may_be: &[bool],
    over: &[f64],
    ink: &KnownInk,
    presenter: &Runs,
) -> Vec<Option<f64>> {
    let worn = worn_shares(&all.pieces, over, presenter);
    let height = f64::from(presenter.size().height());
    let own: Vec<Option<f64>> = (0..all.pieces.len())
        .map(|i| {
            let piece = PieceOver {
                piece: &all.pieces[i],
                worn: worn[i],
            };
            let is_judged =
                may_be[i] && over[i] >= OVER_SHARE && !piece.is_ruled_out(all, ink, height);
            is_judged.then(|| piece.evidence(all, ink, height))
        })
        .collect();
    let judged: Vec<usize> = (0..own.len()).filter(|&i| own[i].is_some()).collect();
    let mut evidence = own.clone();
    for &i in &judged {
        let (mut sum, mut area) = (0.0, 0.0);
        for &j in &judged {
            let (a, b) = (&all.pieces[i], &all.pieces[j]);
            if are_neighbours(a, b) && a.is_alike(b) {
                sum += b.area as f64 * own[j].unwrap_or(0.0);
                area += b.area as f64;
            }
        }
        evidence[i] = own[i].map(|own| f64::midpoint(own, sum / area.max(1.0)));
    }
    evidence
}

/// Whether a piece could be a remnant of a stroke.
fn may_belong(piece: &InkPiece, over: f64) -> bool {
    if over < 0.1 {
        piece.class != PALE || piece.beside_other > 0.3 || piece.lit_around < 0.2
    } else {
        piece.class != PALE
            && piece.sharpness > 0.25
            && piece.open < 0.35
            && piece.beside_other < 0.5
    }
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

/// Whether a piece before the backdrop can be of the same ink as another, thinned or mixed.
fn belong(a: &InkPiece, b: &InkPiece) -> bool {
    (a.class == b.class || a.class == PALE) && a.most() > 0.35 * b.most()
}

/// Whether a likely piece before the backdrop is a stroke.
fn is_free_stroke(piece: &InkPiece, all: &InkPieces, over: f64, height: f64) -> bool {
    let most_px = WIDEST_PIECE * WIDEST_STROKE * height;
    if piece.class != PALE {
        return piece.beside_other < 0.5
            && piece.lit_around < LIT_SHARE
            && piece.widest_px < most_px;
    }
    let bright = (piece.most() - all.backdrop) / all.strongest;
    let plate = piece.fill > 0.85 && piece.slenderness() < 5.0;
    let alone = over < 0.2
        && piece.lit_around < 0.15
        && piece.open < 0.15
        && piece.length_px > SPECK_SHARE * height;
    let uniform = piece.widest_px < 1.7 * piece.width_px + 2.0;
    let yellowish = piece.saturation(all.backdrop) > 0.2 && piece.hue() > SKIN_HUES.1;
    let crisp = piece.sharpness > 0.6;
    let (lit, open, long) = match (yellowish, crisp) {
        (true, _) => (1.0, 0.2, 5.0),
        (false, true) => (0.1, 0.07, 3.5),
        (false, false) => (0.1, 0.07, 6.0),
    };
    let stands_out = piece.lit_around <= lit && piece.open < open && piece.sharpness > 0.4;
    alone
        || (piece.slenderness() > long
            && !plate
            && uniform
            && bright > 0.75
            && stands_out
            && piece.beside_other < 0.1)
}

/// What lies alone at the presenter and is no longer than a badge is a badge, or the marker in the hand.
fn drop_small_groups(all: &InkPieces, kept: &mut [bool], over: &[f64], size: Size) {
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
        *kept &= free[root] || lengths[root] > GROUP_SHARE * f64::from(size.height());
    }
}

/// Share of a piece that is in a mask, 0 to 1.
pub fn share_inside(piece: &InkPiece, mask: &Runs) -> f64 {
    let mut inside = 0_u64;
    for run in &piece.runs {
        for other in mask.row(run.y) {
            let common = run
                .end
                .min(other.end)
                .saturating_sub(run.start.max(other.start));
            inside += u64::from(common);
        }
    }
    inside as f64 / piece.area.max(1) as f64
}
