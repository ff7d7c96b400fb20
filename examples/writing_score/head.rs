//! A head: hair, eyes, mouth, perhaps glasses.

use crate::board::{Board, oval, scaled, way};
use crate::decoy::Decoy;
use crate::random::Random;

/// Face, hair, eyes, mouth, perhaps glasses.
#[expect(clippy::too_many_lines, reason = "one thing drawn after the other")]
pub(crate) fn head(
    board: &mut Board,
    (x, y, a, b): (f32, f32, f32, f32),
    skin: [f32; 3],
    hair: [f32; 3],
    random: &mut Random,
) {
    for side in [-1.0, 1.0] {
        board.fill(
            oval(x + side * a * 0.98, y + 0.05 * b, 0.16 * a, 0.22 * b),
            scaled(skin, 0.85),
            None,
        );
    }
    let bald = random.chance(0.15);
    if !bald {
        board.fill(oval(x, y - 0.18 * b, 1.08 * a, 0.95 * b), hair, None);
    }
    board.fill(
        oval(x, y + 0.05 * b, a * 0.95, b * if bald { 1.0 } else { 0.93 }),
        skin,
        None,
    );
    if !bald {
        board.fill(
            oval(
                x + random.between(-0.2, 0.2) * a,
                y - 0.78 * b,
                0.8 * a,
                0.26 * b,
            ),
            hair,
            None,
        );
    }
    let turn = random.between(-0.12, 0.12) * a;
    for side in [-1.0, 1.0] {
        let (u, v) = (x + side * 0.4 * a + turn, y - 0.02 * b);
        board.decoy(Decoy::Eye, |board| {
            board.fill(oval(u, v, 0.17 * a, 0.085 * a), [215.0, 210.0, 205.0], None);
            board.fill(
                oval(u + 0.3 * turn, v, 0.08 * a, 0.08 * a),
                [50.0, 36.0, 28.0],
                None,
            );
            board.fill(
                oval(u + 0.3 * turn + 0.03 * a, v - 0.03 * a, 0.02 * a, 0.02 * a),
                [250.0; 3],
                None,
            );
        });
        board.line(
            way(&[
                (u - 0.2 * a, v - 0.22 * a),
                (u, v - 0.27 * a),
                (u + 0.2 * a, v - 0.21 * a),
            ]),
            scaled(hair, 0.8),
            0.06 * a,
            None,
        );
    }
    board.line(
        way(&[
            (x + turn, y + 0.05 * b),
            (x + turn + 0.1 * a, y + 0.32 * b),
            (x + turn - 0.08 * a, y + 0.34 * b),
        ]),
        scaled(skin, 0.72),
        0.06 * a,
        None,
    );
    board.fill(
        oval(x + turn, y + 0.55 * b, 0.3 * a, 0.1 * a),
        scaled([skin[0], skin[1] * 0.7, skin[2] * 0.72], 0.85),
        None,
    );
    if random.chance(0.5) {
        board.decoy(Decoy::Teeth, |board| {
            board.fill(
                oval(x + turn, y + 0.545 * b, 0.22 * a, 0.05 * a),
                [225.0, 218.0, 205.0],
                None,
            );
        });
    }
    if random.chance(0.4) {
        let frame = random.pick(&[
            [20.0, 18.0, 18.0],
            [180.0, 150.0, 70.0],
            [190.0, 190.0, 195.0],
            [150.0, 40.0, 40.0],
        ]);
        board.decoy(Decoy::Glasses, |board| {
            for side in [-1.0, 1.0] {
                let (u, v) = (x + side * 0.42 * a + turn, y);
                board.line(oval(u, v, 0.3 * a, 0.22 * a), frame, 0.05 * a, None);
                if random.chance(0.5) {
                    board.line(
                        way(&[(u - 0.12 * a, v + 0.08 * a), (u + 0.05 * a, v - 0.12 * a)]),
                        [235.0, 240.0, 245.0],
                        0.035 * a,
                        None,
                    );
                }
            }
            board.line(
                way(&[(x - 0.12 * a + turn, y), (x + 0.12 * a + turn, y)]),
                frame,
                0.05 * a,
                None,
            );
        });
    }
}
