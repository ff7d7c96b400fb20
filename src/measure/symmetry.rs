//! What lies on itself when mirrored at the presenter's middle: collars, ties, lanyards, glasses.

use super::middle::middle_of;
use super::piece_shape::InkPiece;
use super::runs::{Run, Runs};

/// How far the middle of what is worn may be off the figure's, a share of the frame's height, and in how many steps it
/// is sought each way. Source: chosen, half a hand's width.
const OFF_SHARE: f64 = 0.04;
const STEPS: i64 = 8;
/// Least share of a piece that lies over the presenter for it to be worn, 0 to 1. Source: chosen.
const WORN_SHARE: f64 = 0.3;

/// Of each piece the share that lies on its own class when mirrored at the presenter's middle, 0 to 1.
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
    let step = ((OFF_SHARE * f64::from(size.height()) / STEPS as f64).round() as i64).max(1);
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
        .iter()
        .zip(over)
        .map(|(piece, &over)| {
            if over < WORN_SHARE {
                return 0.0;
            }
            (-STEPS..=STEPS)
                .map(|k| share(piece, twice_middle + 2 * k * step))
                .fold(0.0, f64::max)
        })
        .collect()
}

/// Twice the column of the figure's middle: half of its rows have the middle of their longest run left of it.
fn twice_middle(presenter: &Runs) -> Option<i64> {
    let mut middles: Vec<i64> = presenter
        .as_slice()
        .chunk_by(|a, b| a.y == b.y)
        .filter_map(|row| row.iter().max_by_key(|run| run.length()))
        .map(|run: &Run| i64::from(run.start) + i64::from(run.end))
        .collect();
    middle_of(&mut middles, i64::cmp)
}
