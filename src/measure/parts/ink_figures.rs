//! What is weighed to tell whether a piece is ink: its own shape and light, and how it stands to presenter and other ink.

use super::ink_colors::PALE;
use super::ink_pieces::InkPieces;
use super::likely_line::is_likely_line;
use super::piece_shape::InkPiece;
use super::symmetry::worn_shares;
use crate::measure::raster::runs::Runs;

/// Share over the presenter up to which a piece is before the backdrop for certain. Source: chosen.
const FREE_SHARE: f64 = 0.05;

/// How many figures there are.
pub const FIGURES: usize = 24;
/// Their names, in order.
pub const NAMES: [&str; FIGURES] = [
    "brightness",
    "strength",
    "darker",
    "open",
    "mirrored",
    "worn",
    "beside_other",
    "slenderness",
    "skin_hue",
    "saturation",
    "fill",
    "sharpness",
    "evenness",
    "dark_around",
    "lit_around",
    "length",
    "width",
    "elongation",
    "glow",
    "over",
    "pale",
    "ink_seen",
    "backing",
    "convexity",
];

/// The figures of a piece: shares 0 to 1, lengths as natural logarithms of shares of the frame's height, ratios as
/// natural logarithms.
pub type Figures = [f64; FIGURES];

/// Measures them for each piece, given how much of each is over the presenter.
pub fn ink_figures(all: &InkPieces, over: &[f64], presenter: &Runs) -> Vec<Figures> {
    let height = f64::from(presenter.size().height());
    let worn = worn_shares(&all.pieces, over, presenter);
    let seen = seen_codes(all, over);
    let full = seen.unwrap_or(0.0).max(all.strongest).max(1.0);
    let flag = |is: bool| f64::from(u8::from(is));
    let measure = |((piece, &over), &worn): ((&InkPiece, &f64), &f64)| {
        [
            (piece.most() / full).min(1.0),
            (piece.strength / all.strongest.max(1.0)).min(1.0),
            piece.darker,
            piece.open,
            piece.mirrored,
            worn,
            piece.beside_other,
            piece.slenderness().max(1.0).ln(),
            flag(piece.has_skin_hue()),
            piece.saturation(all.backdrop),
            piece.fill,
            piece.sharpness,
            piece.widest_px / piece.width_px.max(1.0),
            piece.dark_around,
            piece.lit_around,
            (piece.length_px / height).ln(),
            (piece.widest_px / height).ln(),
            piece.elongation.ln(),
            piece.glow / piece.most().max(1.0),
            over,
            flag(piece.class == PALE),
            flag(seen.is_some()),
            piece.backing,
            piece.convexity,
        ]
    };
    all.pieces
        .iter()
        .zip(over)
        .zip(&worn)
        .map(measure)
        .collect()
}

/// How bright the ink is that lies before the backdrop, largest channel, codes: half of it is brighter. None where there is none.
fn seen_codes(all: &InkPieces, over: &[f64]) -> Option<f64> {
    let lines = all
        .pieces
        .iter()
        .zip(over)
        .filter(|&(piece, &over)| over < FREE_SHARE && is_likely_line(piece, all));
    let mut by_codes: Vec<(f64, u64)> =
        lines.map(|(piece, _)| (piece.most(), piece.area)).collect();
    by_codes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = by_codes.iter().map(|line| line.1).sum::<u64>() / 2;
    let mut below = 0;
    let middle = by_codes.iter().find(|line| {
        below += line.1;
        below > half
    });
    middle.map(|line| line.0)
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
