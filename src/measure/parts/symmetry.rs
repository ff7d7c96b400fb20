//! What lies on itself when mirrored at the middle of the presenter's head: collars, ties, lanyards, glasses.

use rayon::prelude::*;

use super::piece_shape::InkPiece;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::statistics::middle::middle_of;

/// How far the middle of what is worn may be off the head's, a share of the frame's height, sought
/// in steps of a pixel. Source: chosen, half a hand's width.
const OFF_SHARE: f64 = 0.04;
/// The upper part of a figure in which its head is, a share of its height. Source: chosen; head and shoulders are half of what is
/// seen of a presenter, or more.
const HEAD_SHARE: f64 = 0.35;
/// Least share of a piece that lies over the presenter for it to be worn, 0 to 1. Source: chosen.
const WORN_SHARE: f64 = 0.3;

/// Of each piece the share that lies on its own class when mirrored at the middle of the presenter's head, 0 to 1.
pub fn worn_shares(pieces: &[InkPiece], over: &[f64], presenter: &Runs) -> Vec<f64> {
    let Some(twice_middle) = twice_middle(presenter) else {
        return vec![0.0; pieces.len()];
    };
    let size = presenter.size();
    let width = i64::from(size.width());
    let most = pieces.iter().map(|piece| piece.class).max().unwrap_or(0);
    let masks: Vec<Runs> = (0..=most)
        .map(|class| {
            let of_class = pieces.iter().filter(|piece| piece.class == class);
            Runs::of_runs(size, of_class.flat_map(|piece| &piece.runs))
        })
        .collect();
    #[expect(clippy::cast_possible_truncation, reason = "a share of a height")]
    let reach = (OFF_SHARE * f64::from(size.height())).round() as i64;
    let share = |piece: &InkPiece, ends: i64| {
        let mut common = 0_i64;
        for run in &piece.runs {
            let (start, end) = (ends - i64::from(run.end), ends - i64::from(run.start));
            if end <= 0 || start >= width {
                continue;
            }
            for other in masks[usize::from(piece.class)].row(run.y) {
                let (from, to) = (i64::from(other.start), i64::from(other.end));
                common += (end.min(to) - start.max(from)).max(0);
            }
        }
        common as f64 / piece.area as f64
    };
    pieces
        .par_iter()
        .zip(over)
        .map(|(piece, &over)| {
            if over < WORN_SHARE {
                return 0.0;
            }
            (-reach..=reach)
                .map(|off| share(piece, twice_middle + 2 * off))
                .fold(0.0, f64::max)
        })
        .collect()
}

/// Twice the column of the head's middle: half of the rows of the figure's upper part have the middle of their longest run left of
/// it. Further down an arm on one side moves the middle of the figure, but not of what is worn.
fn twice_middle(presenter: &Runs) -> Option<i64> {
    let runs = presenter.as_slice();
    let (top, bottom) = (runs.first()?.y, runs.last()?.y);
    let height = f64::from(bottom - top + 1);
    let is_upper = |run: &&Run| f64::from(run.y - top) < HEAD_SHARE * height;
    let upper: Vec<Run> = runs.iter().filter(is_upper).copied().collect();
    let mut middles: Vec<i64> = upper
        .chunk_by(|a, b| a.y == b.y)
        .filter_map(|row| row.iter().max_by_key(|run| run.length()))
        .map(|run: &Run| i64::from(run.start) + i64::from(run.end))
        .collect();
    middle_of(&mut middles, i64::cmp)
}
