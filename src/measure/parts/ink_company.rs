//! What is weighed about the company of a piece: letters have letters beside them, and one pen writes alike everywhere.

use super::ink_figures::{FIGURES, Figures};
use super::ink_pieces::InkPieces;
use super::piece_shape::InkPiece;

/// Log odds by itself up to which a piece neither is company nor has any. Source: chosen; hardly any ink has so little.
const LEAST_ODDS: f64 = -4.0;
/// Least and most log odds that count. Source: chosen; beyond them nothing is more certain.
const ODDS: (f64, f64) = (-6.0, 8.0);
/// Log odds that stand for company that is not there. Source: chosen, less than any has.
const NOBODY: f64 = -8.0;
/// How far off near and far company is at most, in widths of the wider piece. Source: chosen; letters of a word, words of a line.
const NEAR: f64 = 2.5;
const FAR: f64 = 7.5;
/// How much wider the wider of two strokes of one pen is. Source: chosen.
const SAME_PEN: f64 = 1.6;
/// Log odds up to which company speaks against ink, over which it speaks for it, and over which it is ink. Source: chosen.
const AGAINST: f64 = -2.0;
const FOR: f64 = 1.0;
const INK: f64 = 4.0;
/// Share over the presenter up to which a piece lies before the backdrop. Source: chosen.
const FREE_SHARE: f64 = 0.3;
/// What stands for the nearest colour and width where no ink lies before the backdrop. Source: chosen, more than any difference.
const NO_COLOUR: f64 = 2.0;
const NO_WIDTH: f64 = 3.0;

/// How many figures there are.
pub const COMPANY: usize = 10;
/// Their names, in order.
pub const COMPANY_NAMES: [&str; COMPANY] = [
    "alone",
    "near_alike",
    "near_pen",
    "far",
    "far_class",
    "far_pen",
    "far_for",
    "far_against",
    "ink_color",
    "ink_width",
];

/// The figures of a piece, and then those of its company: the log odds of the piece by itself; the most of near pieces of nearly
/// its colour and of near ones of its width; the most of far ones, of those of its class of colour, and of its width as well;
/// how many far ones speak for ink and against; how near the ink before the backdrop comes to its colour, a share of white, and to
/// its width, natural logarithm of a ratio.
pub type CompanyFigures = [f64; FIGURES + COMPANY];

/// Everything that company is measured in.
#[derive(Clone, Copy, Debug)]
pub struct Company<'a> {
    /// The pieces.
    pub all: &'a InkPieces,
    /// Which of them may be ink at all.
    pub may_be: &'a [bool],
    /// Share of each that is over the presenter, 0 to 1.
    pub over: &'a [f64],
    /// Figures of each.
    pub figures: &'a [Figures],
    /// Log odds of each by itself.
    pub log_odds: &'a [f64],
}

impl Company<'_> {
    /// Measures the company of each piece; none where it can hardly be ink.
    pub fn figures(&self) -> Vec<Option<CompanyFigures>> {
        let all = 0..self.all.pieces.len();
        let heard: Vec<usize> = all
            .clone()
            .filter(|&i| self.may_be[i] && self.log_odds[i] > LEAST_ODDS)
            .collect();
        let mut figures = vec![None; all.len()];
        for &i in &heard {
            let mut both = [0.0; FIGURES + COMPANY];
            both[..FIGURES].copy_from_slice(&self.figures[i]);
            both[FIGURES..].copy_from_slice(&self.company_of(i, &heard));
            figures[i] = Some(both);
        }
        figures
    }

    fn company_of(&self, i: usize, heard: &[usize]) -> [f64; COMPANY] {
        let own = &self.all.pieces[i];
        let (mut near_alike, mut near_pen) = (NOBODY, NOBODY);
        let (mut far, mut far_class, mut far_pen) = (NOBODY, NOBODY, NOBODY);
        let (mut speak_for, mut against) = (0.0, 0.0);
        let (mut color, mut width) = (NO_COLOUR, NO_WIDTH);
        let raise = |most: &mut f64, is: bool, odds: f64| {
            if is {
                *most = most.max(odds);
            }
        };
        for &j in heard.iter().filter(|&&j| j != i) {
            let other = &self.all.pieces[j];
            let odds = self.odds(j);
            let gap = gap_in_widths(own, other);
            let (is_near, is_far) = (gap <= NEAR, gap <= FAR);
            let is_class = own.class == other.class;
            let ratio = width_ratio(own, other);
            let is_pen = ratio < SAME_PEN;
            raise(&mut near_alike, is_near && own.is_alike(other), odds);
            raise(&mut near_pen, is_near && is_pen, odds);
            raise(&mut far, is_far, odds);
            raise(&mut far_class, is_far && is_class, odds);
            raise(&mut far_pen, is_far && is_class && is_pen, odds);
            speak_for += f64::from(u8::from(is_far && odds > FOR));
            against += f64::from(u8::from(is_far && odds < AGAINST));
            if self.over[j] < FREE_SHARE && odds > INK {
                color = color.min(color_difference(own, other));
                width = width.min(ratio.ln());
            }
        }
        let alone = self.odds(i);
        [
            alone, near_alike, near_pen, far, far_class, far_pen, speak_for, against, color, width,
        ]
    }

    fn odds(&self, i: usize) -> f64 {
        self.log_odds[i].clamp(ODDS.0, ODDS.1)
    }
}

/// Whether two pieces are as near each other as the letters of a word.
pub(super) fn are_near(a: &InkPiece, b: &InkPiece) -> bool {
    gap_in_widths(a, b) <= NEAR
}

/// How far the boxes of two pieces are apart, the larger of across and down, in widths of the wider piece.
fn gap_in_widths(a: &InkPiece, b: &InkPiece) -> f64 {
    let gap = |a: (u32, u32), b: (u32, u32)| b.0.saturating_sub(a.1).max(a.0.saturating_sub(b.1));
    let across = gap(
        (a.bounds.x, a.bounds.right()),
        (b.bounds.x, b.bounds.right()),
    );
    let down = gap(
        (a.bounds.y, a.bounds.bottom()),
        (b.bounds.y, b.bounds.bottom()),
    );
    f64::from(across.max(down)) / a.widest_px.max(b.widest_px)
}

/// Width of the wider over that of the narrower, which counts as a pixel at least.
fn width_ratio(a: &InkPiece, b: &InkPiece) -> f64 {
    a.width_px.max(b.width_px) / a.width_px.min(b.width_px).max(1.0)
}

/// The largest difference of a channel, a share of white.
fn color_difference(a: &InkPiece, b: &InkPiece) -> f64 {
    let apart = |c: usize| (a.color[c] - b.color[c]).abs() / 255.0;
    apart(0).max(apart(1)).max(apart(2))
}
