//! What is worn over clothes: lanyard, cords, ribbons, badges.

use tiny_skia::{Mask, Path, Transform};

use crate::board::{Board, bar, oval, polygon, way};
use crate::clothes::DYES;
use crate::decoy::Decoy;
use crate::random::Random;

/// Bright colours of enamel, ribbon and plastic.
const BRIGHT: [[f32; 3]; 8] = [
    [230.0, 50.0, 60.0],
    [50.0, 150.0, 235.0],
    [60.0, 190.0, 90.0],
    [240.0, 200.0, 50.0],
    [235.0, 235.0, 230.0],
    [240.0, 240.0, 240.0],
    [240.0, 130.0, 40.0],
    [215.0, 70.0, 160.0],
];

/// Draws what hangs from the neck and what is pinned on; `a` is half the width of the face.
pub(crate) fn worn(
    board: &mut Board,
    clip: &Mask,
    (x, a, shoulder): (f32, f32, f32),
    random: &mut Random,
) {
    if random.chance(0.15) {
        lanyard(board, clip, (x, a, shoulder), random);
    } else if random.chance(0.1) {
        cords(board, clip, (x, a, shoulder), random);
    }
    let side = if random.chance(0.7) { 1.0 } else { -1.0 };
    if random.chance(0.4) {
        let middle = (
            x + side * a * random.between(1.2, 1.7),
            shoulder + a * random.between(1.3, 2.0),
        );
        ribbons(board, clip, middle, a, random);
    }
    if random.chance(0.4) {
        let middle = (
            x - side * a * random.between(0.7, 1.5),
            shoulder + a * random.between(1.3, 2.4),
        );
        badge(board, clip, middle, a, random);
    }
}

/// A dye or something brighter.
fn colour(random: &mut Random) -> [f32; 3] {
    let tone = if random.chance(0.7) {
        random.pick(&BRIGHT)
    } else {
        random.pick(&DYES)
    };
    random.near(tone, 12.0)
}

/// A band round the neck down to a point or a bow, with a card or a pendant at its end.
fn lanyard(board: &mut Board, clip: &Mask, (x, a, shoulder): (f32, f32, f32), random: &mut Random) {
    let dye = colour(random);
    let card = random.near([225.0, 225.0, 228.0], 20.0);
    let width = a * random.between(0.035, 0.14);
    let end = (
        x + a * random.between(-0.15, 0.15),
        shoulder + a * random.between(1.4, 3.2),
    );
    let out = a * random.between(0.45, 0.7);
    let has_card = random.chance(0.7);
    let (across, down) = (a * random.between(0.5, 0.9), a * random.between(0.6, 1.2));
    board.decoy(Decoy::Lanyard, |board| {
        for side in [-1.0, 1.0] {
            let bend = (
                x + side * 0.6 * out,
                shoulder + 0.5 * (end.1 - shoulder) - 0.1 * a,
            );
            board.line(
                way(&[(x + side * out, shoulder - 0.2 * a), bend, end]),
                dye,
                width,
                Some(clip),
            );
        }
        if has_card {
            let left = end.0 - across / 2.0;
            board.fill(bar(left, end.1, across, down), card, Some(clip));
            board.fill(
                bar(
                    left + 0.1 * across,
                    end.1 + 0.15 * down,
                    0.8 * across,
                    0.3 * down,
                ),
                dye,
                Some(clip),
            );
        } else {
            board.fill(
                oval(end.0, end.1, 1.6 * width, 1.9 * width),
                card,
                Some(clip),
            );
        }
    });
}

/// Two cords that hang from a hood.
fn cords(board: &mut Board, clip: &Mask, (x, a, shoulder): (f32, f32, f32), random: &mut Random) {
    let tone = random.near([215.0; 3], 30.0);
    let width = a * random.between(0.05, 0.1);
    board.decoy(Decoy::Lanyard, |board| {
        for side in [-1.0, 1.0] {
            let top = (x + side * a * 0.3, shoulder + 0.1 * a);
            let end = (
                x + side * a * random.between(0.3, 0.5),
                shoulder + a * random.between(0.9, 1.7),
            );
            let bend = (
                f32::midpoint(top.0, end.0) + side * 0.05 * a,
                f32::midpoint(top.1, end.1),
            );
            board.line(way(&[top, bend, end]), tone, width, Some(clip));
        }
    });
}

/// Rows of short bars of several colours, side by side.
fn ribbons(board: &mut Board, clip: &Mask, middle: (f32, f32), a: f32, random: &mut Random) {
    let size = a * random.between(0.09, 0.2);
    let width = a * random.between(0.6, 1.4);
    let gap = random.pick(&[1.0, 1.1, 1.25]);
    let rows = 1 + random.below(4) as u8;
    let left = middle.0 - width / 2.0;
    board.decoy(Decoy::Ribbon, |board| {
        for row in 0..rows {
            let top = middle.1 + size * gap * f32::from(row);
            let mut at = left;
            while at < left + width {
                let step = size * random.between(0.3, 1.3);
                board.fill(bar(at, top, step, size), colour(random), Some(clip));
                at += step;
            }
        }
    });
}

/// A plate, a disc, a shield or a kerchief, with or without dark lines of text or a rim.
fn badge(board: &mut Board, clip: &Mask, (x, y): (f32, f32), a: f32, random: &mut Random) {
    let color = colour(random);
    let other = if random.chance(0.6) {
        [30.0; 3]
    } else {
        colour(random)
    };
    let (across, down) = (a * random.between(0.25, 0.5), a * random.between(0.1, 0.3));
    let round = a * random.between(0.1, 0.26);
    let lines = random.below(3) as u8;
    let tilt = Transform::from_rotate_at(random.between(-12.0, 12.0), x, y);
    let turned = |path: Option<Path>| path.and_then(|path| path.transform(tilt));
    let kind = random.below(10);
    let inner = random.between(0.5, 0.8);
    board.decoy(Decoy::Badge, |board| match kind {
        0..=2 => {
            board.fill(oval(x, y, round, round), color, Some(clip));
            if lines > 0 {
                board.fill(oval(x, y, inner * round, inner * round), other, Some(clip));
            }
        }
        3 => {
            let shield = polygon(&[
                (x - round, y - round),
                (x + round, y - round),
                (x + round, y + 0.3 * round),
                (x, y + 1.3 * round),
                (x - round, y + 0.3 * round),
            ]);
            board.fill(shield, color, Some(clip));
        }
        4 => {
            let kerchief = polygon(&[
                (x - round, y),
                (x - 0.3 * round, y - 1.1 * round),
                (x + 0.2 * round, y - 0.3 * round),
                (x + 0.6 * round, y - 0.9 * round),
                (x + round, y),
            ]);
            board.fill(kerchief, color, Some(clip));
        }
        _ => {
            let plate = bar(x - across, y - down, 2.0 * across, 2.0 * down);
            board.fill(turned(plate), color, Some(clip));
            for line in 0..lines {
                let at = y - down + 2.0 * down * f32::from(line + 1) / f32::from(lines + 1);
                let text = way(&[(x - 0.8 * across, at), (x + inner * across, at)]);
                board.line(turned(text), other, 0.3 * down, Some(clip));
            }
        }
    });
}
