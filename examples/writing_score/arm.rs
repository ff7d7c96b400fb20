//! A raised arm, perhaps with a watch at its wrist and a pen in its hand.

use crate::board::{Board, oval, scaled, way};
use crate::clothes::DYES;
use crate::decoy::Decoy;
use crate::random::Random;

/// A raised arm with its hand: the middle of the palm.
pub(crate) fn arm(
    board: &mut Board,
    from: (f32, f32),
    side: f32,
    a: f32,
    skin: [f32; 3],
    cloth: [f32; 3],
    random: &mut Random,
) -> (f32, f32) {
    let elbow = (
        from.0 + side * a * random.between(0.5, 1.2),
        from.1 + a * random.between(1.0, 1.8),
    );
    let palm = (
        elbow.0 + side * a * random.between(-0.3, 1.4),
        elbow.1 - a * random.between(1.9, 3.0),
    );
    let wrist = (
        palm.0 * 0.82 + elbow.0 * 0.18,
        palm.1 * 0.82 + elbow.1 * 0.18,
    );
    board.line(way(&[from, elbow]), cloth, 0.95 * a, None);
    board.line(way(&[elbow, wrist]), cloth, 0.72 * a, None);
    board.line(way(&[wrist, palm]), skin, 0.5 * a, None);
    if random.chance(0.3) {
        watch(board, wrist, palm, a, random);
    }
    board.fill(oval(palm.0, palm.1, 0.4 * a, 0.44 * a), skin, None);
    for k in 0..5_u8 {
        let turn = side * (0.32 * f32::from(k) - 0.75) + random.between(-0.06, 0.06);
        let length = a * if k == 0 {
            0.7
        } else {
            random.between(0.75, 1.0)
        };
        let tip = (palm.0 + length * turn.sin(), palm.1 - length * turn.cos());
        board.line(
            way(&[palm, tip]),
            scaled(skin, random.between(0.9, 1.05)),
            0.17 * a,
            None,
        );
    }
    if random.chance(0.4) {
        let cap = random.pick(&[
            [240.0, 60.0, 150.0],
            [70.0, 220.0, 110.0],
            [245.0, 150.0, 40.0],
            [250.0, 230.0, 70.0],
            [70.0, 170.0, 245.0],
            [235.0; 3],
        ]);
        board.decoy(Decoy::Pen, |board| {
            let end = (palm.0 - side * 0.75 * a, palm.1 - 0.6 * a);
            board.line(
                way(&[(palm.0 + side * 0.3 * a, palm.1 + 0.3 * a), end]),
                [60.0; 3],
                0.15 * a,
                None,
            );
            board.line(
                way(&[(palm.0 - side * 0.55 * a, palm.1 - 0.42 * a), end]),
                cap,
                0.13 * a,
                None,
            );
        });
    }
    palm
}

/// A strap across the forearm, with a dial on it.
fn watch(board: &mut Board, wrist: (f32, f32), palm: (f32, f32), a: f32, random: &mut Random) {
    let (dx, dy) = (palm.0 - wrist.0, palm.1 - wrist.1);
    let length = dx.hypot(dy).max(1.0);
    let across = (-dy / length * 0.26 * a, dx / length * 0.26 * a);
    let strap = random.pick(&DYES);
    let dial = random.chance(0.6).then(|| random.near([215.0; 3], 30.0));
    let width = a * random.between(0.08, 0.22);
    board.decoy(Decoy::Watch, |board| {
        board.line(
            way(&[
                (wrist.0 - across.0, wrist.1 - across.1),
                (wrist.0 + across.0, wrist.1 + across.1),
            ]),
            strap,
            width,
            None,
        );
        if let Some(dial) = dial {
            board.fill(oval(wrist.0, wrist.1, 0.14 * a, 0.14 * a), dial, None);
        }
    });
}
