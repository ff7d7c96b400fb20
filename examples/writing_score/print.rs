//! Pictures printed on clothes.

use tiny_skia::{FillRule, FilterQuality, Mask, Paint, Path, Pattern, SpreadMode, Transform};

use crate::album::Album;
use crate::board::{Board, bar, oval, polygon};
use crate::clothes::DYES;
use crate::decoy::Decoy;
use crate::random::Random;

/// Prints a picture of the album over the whole cloth or a part of it, or a motif of shapes where the album has none.
pub(crate) fn print(
    board: &mut Board,
    clip: &Mask,
    (x, a, shoulder): (f32, f32, f32),
    album: &Album,
    random: &mut Random,
) {
    let large = random.pick(&[0.3, 1.2]);
    let mut half = || a * random.between(0.1, large);
    let (half_width, half_height) = (half(), half());
    let middle = (
        x + a * random.between(-0.6, 0.6),
        shoulder + a * random.between(1.2, 2.4),
    );
    let Some(picture) = album.print(random) else {
        motif(board, clip, middle, half_width.min(half_height), random);
        return;
    };
    let part = match random.below(5) {
        0 => bar(x - 5.0 * a, shoulder - 2.0 * a, 10.0 * a, 14.0 * a),
        1 => oval(middle.0, middle.1, half_width, half_height),
        _ => bar(
            middle.0 - half_width,
            middle.1 - half_height,
            2.0 * half_width,
            2.0 * half_height,
        ),
    };
    let scale = half_width * random.between(1.0, 4.0) / picture.width() as f32;
    let Some(part) = part else { return };
    let paint = Paint {
        shader: Pattern::new(
            picture.as_ref(),
            SpreadMode::Reflect,
            FilterQuality::Bicubic,
            random.between(0.7, 1.0),
            Transform::from_row(
                scale,
                0.0,
                0.0,
                scale,
                middle.0 - half_width,
                middle.1 - half_height,
            ),
        ),
        ..Paint::default()
    };
    board.decoy(Decoy::Print, |board| {
        board.pixmap.fill_path(
            &part,
            &paint,
            FillRule::Winding,
            Transform::identity(),
            Some(clip),
        );
    });
}

/// Discs, bars and wedges of a few dyes, close together.
fn motif(board: &mut Board, clip: &Mask, (x, y): (f32, f32), half: f32, random: &mut Random) {
    let tones = [random.pick(&DYES), random.pick(&DYES), [225.0; 3]];
    let count = 4 + random.below(12);
    board.decoy(Decoy::Print, |board| {
        for _ in 0..count {
            let (u, v) = (
                x + half * random.between(-1.0, 1.0),
                y + half * random.between(-1.0, 1.0),
            );
            let size = half * random.between(0.1, 0.6);
            let tone = random.pick(&tones);
            let tone = random.near(tone, 25.0);
            board.fill(shape((u, v), size, random), tone, Some(clip));
        }
    });
}

fn shape((x, y): (f32, f32), size: f32, random: &mut Random) -> Option<Path> {
    match random.below(3) {
        0 => oval(x, y, size, size * random.between(0.4, 1.0)),
        1 => bar(x, y, size, size * random.between(0.3, 1.5)),
        _ => polygon(&[
            (x, y - size),
            (x + size * random.between(0.3, 1.0), y + size),
            (x - size * random.between(0.3, 1.0), y + 0.5 * size),
        ]),
    }
}
