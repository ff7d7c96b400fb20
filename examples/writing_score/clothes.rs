//! What people wear: stripes, collar, tie, lanyard, ribbons, badge.

use tiny_skia::Mask;

use crate::board::{Board, bar, oval, polygon, scaled, way};
use crate::decoy::Decoy;
use crate::random::Random;

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

/// Collar, tie, badge, ribbons, lanyard, buttons.
#[expect(clippy::too_many_lines, reason = "one thing drawn after the other")]
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
    if random.chance(0.1) {
        let dye = random.pick(&[
            [230.0, 50.0, 60.0],
            [50.0, 150.0, 235.0],
            [60.0, 190.0, 90.0],
            [240.0, 200.0, 50.0],
        ]);
        board.decoy(Decoy::Lanyard, |board| {
            let end = (x + 0.05 * a, shoulder + 2.6 * a);
            for side in [-1.0, 1.0] {
                board.line(
                    way(&[
                        (x + side * 0.6 * a, shoulder - 0.2 * a),
                        (x + side * 0.35 * a, shoulder + 1.2 * a),
                        end,
                    ]),
                    dye,
                    0.1 * a,
                    Some(clip),
                );
            }
            board.fill(
                bar(x - 0.35 * a, shoulder + 2.6 * a, 0.8 * a, 1.05 * a),
                [225.0, 225.0, 228.0],
                Some(clip),
            );
            board.fill(
                bar(x - 0.25 * a, shoulder + 2.75 * a, 0.6 * a, 0.3 * a),
                dye,
                Some(clip),
            );
        });
    }
    if random.chance(0.4) {
        let (left, top) = (
            x + a * random.between(0.8, 1.2),
            shoulder + a * random.between(1.3, 2.0),
        );
        let size = a * random.between(0.1, 0.16);
        board.decoy(Decoy::Ribbon, |board| {
            for row in 0..3_u8 {
                let mut at = left;
                while at < left + 1.3 * a {
                    let step = size * random.between(0.3, 1.2);
                    let bright = [
                        [225.0, 35.0, 50.0],
                        [240.0, 215.0, 70.0],
                        [235.0; 3],
                        [60.0, 110.0, 215.0],
                        [60.0, 170.0, 90.0],
                    ];
                    let color = random.pick(&bright);
                    board.fill(
                        bar(at, top + size * 1.1 * f32::from(row), step, size),
                        color,
                        Some(clip),
                    );
                    at += step;
                }
            }
        });
    }
    if random.chance(0.4) {
        let (left, top) = (
            x - a * random.between(1.0, 1.7),
            shoulder + a * random.between(1.3, 2.3),
        );
        let color = random.pick(&[
            [235.0, 235.0, 230.0],
            [245.0, 205.0, 60.0],
            [220.0, 45.0, 50.0],
            [240.0; 3],
        ]);
        let round = random.chance(0.4);
        board.decoy(Decoy::Badge, |board| {
            if round {
                board.fill(oval(left, top, 0.16 * a, 0.16 * a), color, Some(clip));
            } else {
                board.fill(bar(left, top, 0.75 * a, 0.24 * a), color, Some(clip));
                board.line(
                    way(&[
                        (left + 0.1 * a, top + 0.12 * a),
                        (left + 0.6 * a, top + 0.12 * a),
                    ]),
                    [30.0; 3],
                    0.06 * a,
                    Some(clip),
                );
            }
        });
    }
}
