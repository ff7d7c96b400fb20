//! What people wear: stripes, collar, tie.

use tiny_skia::Mask;

use crate::board::{Board, bar, polygon, scaled, way};
use crate::decoy::Decoy;
use crate::random::Random;
use crate::worn::worn;

/// What the presenter wears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clothes {
    Dark,
    White,
    Coloured,
    Striped,
    Suit,
}

/// Colours of dyed cloth.
pub(crate) const DYES: [[f32; 3]; 8] = [
    [170.0, 40.0, 45.0],
    [215.0, 110.0, 35.0],
    [40.0, 90.0, 170.0],
    [35.0, 120.0, 70.0],
    [120.0, 60.0, 140.0],
    [200.0, 175.0, 60.0],
    [90.0, 130.0, 140.0],
    [205.0, 130.0, 150.0],
];

/// Bars over the cloth.
pub(crate) fn stripes(
    board: &mut Board,
    clip: &Mask,
    (x, top, half, bottom): (f32, f32, f32, f32),
    cloth: [f32; 3],
    random: &mut Random,
) {
    let other = if random.chance(0.5) {
        [225.0; 3]
    } else {
        scaled(cloth, 0.35)
    };
    let (period, share) = (random.between(9.0, 60.0), random.between(0.25, 0.6));
    let level = random.chance(0.6);
    board.decoy(Decoy::Stripes, |board| {
        let (from, to) = if level {
            (top - half, bottom)
        } else {
            (x - 1.3 * half, x + 1.3 * half)
        };
        let mut at = from;
        while at < to {
            let path = if level {
                bar(x - 1.4 * half, at, 2.8 * half, period * share)
            } else {
                bar(at, top - half, period * share, bottom)
            };
            board.fill(path, other, Some(clip));
            at += period;
        }
    });
}

/// Collar and tie, and what is worn over them.
pub(crate) fn front(
    board: &mut Board,
    clothes: Clothes,
    clip: &Mask,
    (x, y, a, b, shoulder): (f32, f32, f32, f32, f32),
    random: &mut Random,
) {
    let low = shoulder + a * random.between(1.2, 2.4);
    if clothes == Clothes::Suit || random.chance(0.3) {
        let shirt = random.near([222.0, 222.0, 226.0], 15.0);
        board.decoy(Decoy::Collar, |board| {
            board.fill(
                polygon(&[
                    (x - 0.55 * a, shoulder - 0.35 * a),
                    (x, low),
                    (x + 0.55 * a, shoulder - 0.35 * a),
                ]),
                shirt,
                None,
            );
            board.line(
                way(&[
                    (x - 0.5 * a, y + 0.95 * b),
                    (x - 0.1 * a, shoulder + 0.3 * a),
                ]),
                scaled(shirt, 1.05),
                0.13 * a,
                None,
            );
            board.line(
                way(&[
                    (x + 0.5 * a, y + 0.95 * b),
                    (x + 0.1 * a, shoulder + 0.3 * a),
                ]),
                scaled(shirt, 1.05),
                0.13 * a,
                None,
            );
        });
        if random.chance(0.6) {
            let dye = random.pick(&DYES);
            board.decoy(Decoy::Tie, |board| {
                board.fill(
                    polygon(&[
                        (x - 0.1 * a, shoulder),
                        (x - 0.2 * a, low),
                        (x, low + 0.6 * a),
                        (x + 0.2 * a, low),
                        (x + 0.1 * a, shoulder),
                    ]),
                    dye,
                    None,
                );
            });
        }
    }
    worn(board, clip, (x, a, shoulder), random);
}
