//! Which pieces before the backdrop are strokes by their colour, their edge and their shape.

use super::ink_colors::PALE;
use super::ink_contrast::WIDEST_STROKE;
use super::ink_pieces::InkPieces;
use super::piece_shape::{InkPiece, SKIN_HUES};

/// How much wider than a stroke a piece is at most where strokes run together. Source: chosen; the angles of an `N` in a
/// thick pen are twice as wide as its lines.
pub const WIDEST_PIECE: f64 = 2.0;
/// How many times as long as wide a line before the backdrop is. Source: chosen; a lit finger alone has less.
const LINE_SLENDERNESS: f64 = 5.0;
/// The same for a pale one of the colour of skin. Source: chosen; a hand with its fingers spread has 6.
const PALE_LINE_SLENDERNESS: f64 = 9.0;
/// Most of a line's rim that goes on beyond it, and how sharp the rim is at least, 0 to 1. Source: chosen.
const CLOSED: f64 = 0.15;
const SHARP: f64 = 0.4;
/// Length up to which something white alone is a speck, a share of the height. Source: chosen; a lamp seen in the glass is shorter
/// than a letter.
const SPECK_SHARE: f64 = 0.02;
/// Share of what is around that is lit where a piece lies over something and not before the backdrop. Source: chosen.
const LIT_SHARE: f64 = 0.6;

/// Whether a piece of which this share is over the presenter is a stroke, in a frame of this height.
pub fn is_free_stroke(piece: &InkPiece, all: &InkPieces, over: f64, height: f64) -> bool {
    if !is_likely_ink(piece, all) {
        return false;
    }
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
fn is_likely_ink(piece: &InkPiece, all: &InkPieces) -> bool {
    let (sharp, open) = if piece.class == PALE {
        (0.3, 0.3)
    } else {
        (0.15, 0.7)
    };
    has_ink_color(piece, all) && piece.sharpness > sharp && piece.open < open
}
