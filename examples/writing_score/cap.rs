//! A cap with a band and an emblem.

use crate::board::{Board, bar, oval, polygon, scaled, way};
use crate::clothes::DYES;
use crate::decoy::Decoy;
use crate::random::Random;

/// Metals and threads that emblems are made of.
const EMBLEMS: [[f32; 3]; 5] = [
    [215.0, 175.0, 75.0],
    [205.0, 205.0, 210.0],
    [235.0, 235.0, 230.0],
    [200.0, 55.0, 50.0],
    [60.0, 110.0, 190.0],
];

/// Draws a cap over the hair; the head is at `(x, y)`, half as wide as `a` and half as high as `b`.
pub(crate) fn cap(board: &mut Board, (x, y, a, b): (f32, f32, f32, f32), random: &mut Random) {
    let cloth = match random.below(3) {
        0 => random.near([24.0, 24.0, 28.0], 8.0),
        1 => random.near([222.0; 3], 15.0),
        _ => random.pick(&DYES),
    };
    let brow = y - 0.45 * b;
    let rise = b * random.between(0.6, 0.9);
    let (band, has_band) = (random.near([215.0; 3], 30.0), random.chance(0.4));
    board.fill(
        oval(x, brow - 0.4 * rise, 1.15 * a, 0.62 * rise),
        cloth,
        None,
    );
    board.fill(
        bar(x - 1.05 * a, brow - 0.35 * rise, 2.1 * a, 0.4 * rise),
        cloth,
        None,
    );
    board.fill(
        oval(x, brow + 0.05 * rise, 1.05 * a, 0.16 * rise),
        scaled(cloth, 0.5),
        None,
    );
    if has_band {
        board.decoy(Decoy::Cap, |board| {
            let across = way(&[
                (x - 1.05 * a, brow - 0.05 * rise),
                (x, brow - 0.12 * rise),
                (x + 1.05 * a, brow - 0.05 * rise),
            ]);
            board.line(across, band, a * random.between(0.05, 0.16), None);
        });
    }
    if random.chance(0.8) {
        emblem(
            board,
            (x, brow - 0.45 * rise),
            a * random.between(0.12, 0.35),
            random,
        );
    }
}

/// A cluster of small shapes in one or two metals: a crest, leaves, an anchor.
fn emblem(board: &mut Board, (x, y): (f32, f32), size: f32, random: &mut Random) {
    let tones = [random.pick(&EMBLEMS), random.pick(&EMBLEMS)];
    let leaves = 2 + random.below(6) as u8;
    let shield = random.between(0.3, 0.6) * size;
    board.decoy(Decoy::Cap, |board| {
        for leaf in 0..leaves {
            let share = f32::from(leaf + 1) / f32::from(leaves);
            for side in [-1.0, 1.0] {
                let end = (
                    x + side * size * share,
                    y + size * random.between(-0.4, 0.4),
                );
                let stem = way(&[(x, y + 0.3 * size), end]);
                board.line(
                    stem,
                    random.near(tones[0], 25.0),
                    size * random.between(0.08, 0.2),
                    None,
                );
            }
        }
        let crest = polygon(&[
            (x - shield, y - shield),
            (x + shield, y - shield),
            (x, y + shield),
        ]);
        if random.chance(0.5) {
            board.fill(crest, random.near(tones[1], 15.0), None);
        } else {
            board.fill(
                oval(x, y, shield, shield),
                random.near(tones[1], 15.0),
                None,
            );
        }
    });
}
