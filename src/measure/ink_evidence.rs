//! How much speaks for a piece over the presenter being ink: weighed by what ink on the glass can and cannot look like.

use super::ink_colors::PALE;
use super::ink_pieces::InkPieces;
use super::piece_shape::InkPiece;

/// Dimmest ink over the presenter, a share of that before the backdrop. Source: measured on drawn frames, 98 % have
/// 0.75 and more, less where a pen is thinner than the blur: ink shines as much wherever it is.
pub const DIMMEST: f64 = 0.67;
/// Share that lies on itself when mirrored at the presenter's middle, from which something is worn, and least height of such
/// a thing, a share of the frame's. Source: measured on drawn frames, 98 % of strokes have 0.85 at most, a
/// circle before the breast has more.
const WORN: f64 = 0.95;
const WORN_LENGTH: f64 = 0.075;
/// Mirrored share and least length of a band round the neck, a share of the frame's height, and most of its box that it fills.
/// Source: measured on drawn frames, 0.3 % of writing over presenters is such.
const BAND: f64 = 0.6;
const BAND_LENGTH: f64 = 0.3;
const BAND_FILL: f64 = 0.16;
/// How many times as far a band spreads one way as the other at least. Source: chosen; a circle spreads alike both ways.
const BAND_ELONGATION: f64 = 1.5;
/// How far a plate fills its box, and how many times as long as wide it is at most. Source: chosen.
const PLATE: (f64, f64) = (0.9, 5.0);
/// The same for the rim of a plate with another field: how far it fills its box, small holes filled, and how many times more
/// slender than spread it is at least, which a bar is not. Source: measured on drawn frames, 0.2 % of writing over presenters is such.
const RIM: (f64, f64) = (0.7, 1.5);
/// Least contrast, a share of the strongest. Source: measured on drawn frames, 99.9 % of written pixels have more.
const FAINT: f64 = 0.3;

/// Length from which a worn thing is as long as one can be, a share of the frame's height. Source: chosen, a lanyard.
const LONG_SHARE: f64 = 0.55;

/// Share of its box from which a piece fills it as a plate does and letters do not. Source: chosen.
const FULL: f64 = 0.6;
/// Natural logarithm of length over width, and widest over usual width, above which neither says more. Source: chosen.
const LONGEST: f64 = 3.0;
const MOST_UNEVEN: f64 = 4.0;

/// How many figures are weighed.
pub const FIGURES: usize = 17;
/// Weights of the figures, for coloured and for pale pieces, and what is added.
///
/// Source: logistic regression on the pieces over presenters in 2208 frames of `examples/writing_score`, two a kind of the
/// seeds 300 to 347, each piece weighed by its share of the writing. What is added is 0.8 and 1.7 more than that gave,
/// because goals ask for more recall than precision.
const WEIGHTS: [[f64; 2]; FIGURES] = [
    [13.2, 9.9],  // brightness
    [-4.1, -0.8], // darker
    [0.0, -2.1],  // mirrored
    [4.5, -0.9],  // worn
    [-9.0, -7.4], // worn times length
    [-2.2, -4.6], // open
    [-1.3, -0.2], // beside other
    [4.0, 3.0],   // slenderness
    [-6.2, -0.9], // hue of skin
    [-6.4, 9.8],  // saturation
    [6.3, -11.2], // saturation at a hue of skin
    [3.7, 2.6],   // fill
    [3.0, 1.8],   // sharpness
    [-0.4, -0.3], // unevenness
    [-2.5, -0.6], // worn times slenderness
    [-8.7, -4.7], // fullness times slenderness
    [0.0, -3.5],  // dark around
];
const ADDED: [f64; 2] = [-15.2, -13.8];
/// What speaks against ink over the presenter where none is before the backdrop, log odds. Source: chosen; a teacher
/// seldom writes over the presenter alone.
const UNSEEN: f64 = 2.0;
/// Most that one piece may say for or against, log odds. Source: chosen.
const MOST_EVIDENCE: f64 = 4.0;

/// What is known of the ink in use from strokes before the backdrop.
#[derive(Clone, Copy, Debug)]
pub struct KnownInk {
    /// How bright it is, largest channel, codes.
    pub codes: f64,
    /// Whether there are strokes before the backdrop at all.
    pub is_seen: bool,
}

impl KnownInk {
    /// Takes it from strokes before the backdrop; where there are none, from what stands out most.
    pub fn of(strokes: &[&InkPiece], all: &InkPieces) -> Self {
        let mut by_codes: Vec<(f64, u64)> = strokes.iter().map(|s| (s.most(), s.area)).collect();
        by_codes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let half = by_codes.iter().map(|stroke| stroke.1).sum::<u64>() / 2;
        let mut below = 0;
        let codes = by_codes.iter().find(|stroke| {
            below += stroke.1;
            below > half
        });
        Self {
            codes: codes.map_or(all.strongest, |stroke| stroke.0),
            is_seen: !strokes.is_empty(),
        }
    }

    /// Brightness of a piece beside that of this ink, and of the frame's strongest contrast.
    fn brightness_share(&self, piece: &InkPiece, all: &InkPieces) -> f64 {
        piece.most() / self.codes.max(all.strongest).max(1.0)
    }
}

/// A piece over the presenter.
#[derive(Clone, Copy, Debug)]
pub struct PieceOver<'a> {
    /// The piece.
    pub piece: &'a InkPiece,
    /// Share of it that lies on itself when mirrored at the presenter's middle, 0 to 1.
    pub worn: f64,
}

impl PieceOver<'_> {
    /// Whether it cannot be ink.
    pub fn is_ruled_out(&self, all: &InkPieces, ink: &KnownInk, height: f64) -> bool {
        let piece = self.piece;
        ink.brightness_share(piece, all) < DIMMEST
            || piece.strength < FAINT * all.strongest
            || (self.worn > WORN && piece.length_px > WORN_LENGTH * height)
            || (self.worn > BAND
                && piece.length_px > BAND_LENGTH * height
                && piece.fill < BAND_FILL
                && piece.elongation > BAND_ELONGATION)
            || (piece.fill > PLATE.0 && piece.slenderness() < PLATE.1)
            || (piece.fill > RIM.0 && piece.slenderness() > RIM.1 * piece.elongation)
    }

    /// The figures that are weighed, in the order of their weights.
    pub fn figures(&self, all: &InkPieces, ink: &KnownInk, height: f64) -> [f64; FIGURES] {
        let piece = self.piece;
        let slender = piece.slenderness().max(1.0).ln().min(LONGEST);
        let skin = f64::from(piece.has_skin_hue());
        let saturation = piece.saturation(all.backdrop);
        [
            ink.brightness_share(piece, all).min(1.0),
            piece.darker,
            piece.mirrored,
            self.worn,
            self.worn * (piece.length_px / height).min(LONG_SHARE),
            piece.open,
            piece.beside_other,
            slender,
            skin,
            saturation,
            skin * saturation,
            piece.fill,
            piece.sharpness,
            (piece.widest_px / piece.width_px.max(1.0)).min(MOST_UNEVEN),
            self.worn * slender,
            (piece.fill - FULL).max(0.0) * slender,
            piece.dark_around,
        ]
    }

    /// Log odds of its being ink, by itself.
    pub fn evidence(&self, all: &InkPieces, ink: &KnownInk, height: f64) -> f64 {
        let kind = usize::from(self.piece.class == PALE);
        let figures = self.figures(all, ink, height);
        let sum: f64 = figures.iter().zip(WEIGHTS).map(|(f, w)| f * w[kind]).sum();
        let unseen = if ink.is_seen { 0.0 } else { UNSEEN };
        (sum + ADDED[kind] - unseen).clamp(-MOST_EVIDENCE, MOST_EVIDENCE)
    }
}
