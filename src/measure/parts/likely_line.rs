//! What looks like a bright line before the backdrop while nothing is known of the presenter yet.

use super::ink_colors::PALE;
use super::ink_pieces::InkPieces;
use super::piece_shape::InkPiece;

/// How many times as long as wide a line is whose colour is that of skin. Source: chosen; a lit finger alone has
/// less, a hand with its fingers spread has 6.
const COLOURED_SKIN: f64 = 5.0;
const PALE_SKIN: f64 = 9.0;
/// The same for a pale line, and for a coloured one, of no such colour. Source: chosen; a square has 2.3.
const PALE_LINE: f64 = 5.0;
const COLOURED_LINE: f64 = 2.8;
/// Share of what is around that is lit at most. Source: chosen; a light collar on dark clothes has more.
const PALE_LIT: f64 = 0.4;
const COLOURED_LIT: f64 = 0.6;
/// Brightness beside the frame's strongest contrast at least. Source: chosen; most of white ink is as bright as
/// ink gets, cloth that the lamps miss is not.
const PALE_BRIGHT: f64 = 0.85;
const COLOURED_BRIGHT: f64 = 0.67;
/// How sharp its rim is at least, and most of it that goes on beyond, 0 to 1. Source: chosen.
const PALE_RIM: (f64, f64) = (0.3, 0.3);
const COLOURED_RIM: (f64, f64) = (0.15, 0.7);

/// Whether a piece looks like a bright line before the backdrop, whatever the presenter is.
pub fn is_likely_line(piece: &InkPiece, all: &InkPieces) -> bool {
    let is_pale = piece.class == PALE;
    let of = |pale: f64, coloured: f64| if is_pale { pale } else { coloured };
    let (sharp, open) = if is_pale { PALE_RIM } else { COLOURED_RIM };
    // Coral and orange ink have the hues of skin too; skin is no thin line before the backdrop.
    let long = if piece.has_skin_color(all.backdrop) {
        of(PALE_SKIN, COLOURED_SKIN)
    } else {
        of(PALE_LINE, COLOURED_LINE)
    };
    piece.slenderness() > long
        && piece.lit_around < of(PALE_LIT, COLOURED_LIT)
        && piece.most() > of(PALE_BRIGHT, COLOURED_BRIGHT) * all.strongest
        && piece.sharpness > sharp
        && piece.open < open
}
