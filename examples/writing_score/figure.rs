//! People before the backdrop: of many builds, clothes and gestures, with what could be taken for writing.

use tiny_skia::{FillRule, Mask, Path, PathBuilder, Pixmap, Transform};

use crate::album::Album;
use crate::arm::arm;
use crate::board::{Board, oval, scaled, way};
use crate::cap::cap;
use crate::clothes::{Clothes, DYES, front, stripes};
use crate::head::head;
use crate::noise::{layered, smooth};
use crate::print::print;
use crate::random::Random;
use crate::sheet::{Picture, Sheet};

/// A person as drawn: colours times cover, cover, decoys, and places to write over.
#[derive(Debug)]
pub(crate) struct Person {
    pub(crate) light: Picture,
    pub(crate) cover: Sheet,
    pub(crate) decoys: Vec<u8>,
    /// Middle of the face, and half its width.
    pub(crate) face: (f32, f32, f32),
    /// Middle of the chest.
    pub(crate) chest: (f32, f32),
    /// Middle of a raised hand.
    pub(crate) hand: Option<(f32, f32)>,
}

/// Colours of skin, codes. Source: chosen, from dark to pale under warm light.
const SKINS: [[f32; 3]; 6] = [
    [74.0, 46.0, 34.0],
    [112.0, 74.0, 52.0],
    [152.0, 106.0, 80.0],
    [190.0, 140.0, 112.0],
    [214.0, 168.0, 142.0],
    [232.0, 190.0, 168.0],
];
/// Colours of hair.
const HAIRS: [[f32; 3]; 6] = [
    [18.0, 15.0, 14.0],
    [48.0, 32.0, 22.0],
    [96.0, 64.0, 36.0],
    [190.0, 155.0, 100.0],
    [170.0, 168.0, 165.0],
    [130.0, 60.0, 30.0],
];

/// Draws a person. `backdrop` is its code: cloth is never darker, or nobody could tell it. What is printed on cloth may come from the album.
pub(crate) fn person(
    (width, height): (usize, usize),
    clothes: Clothes,
    backdrop: f32,
    album: &Album,
    random: &mut Random,
) -> Option<Person> {
    let (w, h) = (width as f32, height as f32);
    let mut board = Board {
        pixmap: Pixmap::new(width as u32, height as u32)?,
        decoys: vec![0; width * height],
    };
    let a = h * random.between(0.075, 0.125);
    let b = a * random.between(1.22, 1.42);
    let x = w * if random.chance(0.5) {
        random.between(0.2, 0.4)
    } else {
        random.between(0.6, 0.8)
    };
    let y = h * random.between(0.26, 0.42);
    let tone = random.pick(&SKINS);
    let skin = random.near(tone, 10.0);
    let tone = random.pick(&HAIRS);
    let hair = random.near(tone, 8.0);
    let tone = random.pick(&DYES);
    let cloth = match clothes {
        Clothes::Dark => {
            let level = backdrop + random.between(6.0, 22.0);
            random.near([level, level, level + 2.0], 3.0)
        }
        Clothes::Suit => {
            let level = backdrop + random.between(10.0, 40.0);
            random.near([level, level, level + 8.0], 4.0)
        }
        Clothes::White => random.near([205.0, 205.0, 210.0], 18.0),
        Clothes::Coloured | Clothes::Striped => random.near(tone, 15.0),
    };
    let half = a * random.between(2.1, 3.1);
    let shoulder = y + b * random.between(1.45, 1.7);
    // Long hair behind everything.
    let long_hair = random.chance(0.35);
    if long_hair {
        board.fill(oval(x, y + 0.35 * b, a * 1.3, b * 1.45), hair, None);
    }
    // Trunk and arms.
    let trunk = trunk(x, (a, half, shoulder), h + 20.0, random);
    let mut clip = Mask::new(width as u32, height as u32)?;
    clip.fill_path(
        trunk.as_ref()?,
        FillRule::Winding,
        true,
        Transform::identity(),
    );
    board.fill(trunk, cloth, None);
    let side = if random.chance(0.5) { 1.0 } else { -1.0 };
    if clothes == Clothes::Striped {
        stripes(&mut board, &clip, (x, shoulder, half, h), cloth, random);
    }
    if random.chance(0.25) {
        print(&mut board, &clip, (x, a, shoulder), album, random);
    }
    // Neck, then the head.
    board.line(
        way(&[(x, y + 0.5 * b), (x, shoulder)]),
        scaled(skin, 0.8),
        0.95 * a,
        None,
    );
    front(&mut board, clothes, &clip, (x, y, a, b, shoulder), random);
    head(&mut board, (x, y, a, b), skin, hair, random);
    if random.chance(0.15) {
        cap(&mut board, (x, y, a, b), random);
    }
    let hand = random.chance(0.55).then(|| {
        arm(
            &mut board,
            (x + side * half * 0.85, shoulder + 0.7 * a),
            side,
            a,
            skin,
            cloth,
            random,
        )
    });
    Some(shaded(
        board,
        (width, height),
        (x, y, a),
        (x, shoulder + 2.2 * a),
        hand,
        random,
    ))
}

/// Shoulders and what is below them, down to `low`.
fn trunk(
    x: f32,
    (a, half, shoulder): (f32, f32, f32),
    low: f32,
    random: &mut Random,
) -> Option<Path> {
    let mut builder = PathBuilder::new();
    builder.move_to(x - 0.45 * a, shoulder - 0.35 * a);
    builder.cubic_to(
        x - 1.1 * a,
        shoulder - 0.1 * a,
        x - half,
        shoulder + 0.1 * a,
        x - half,
        shoulder + 1.2 * a,
    );
    builder.line_to(x - half * random.between(1.0, 1.15), low);
    builder.line_to(x + half * random.between(1.0, 1.15), low);
    builder.line_to(x + half, shoulder + 1.2 * a);
    builder.cubic_to(
        x + half,
        shoulder + 0.1 * a,
        x + 1.1 * a,
        shoulder - 0.1 * a,
        x + 0.45 * a,
        shoulder - 0.35 * a,
    );
    builder.close();
    builder.finish()
}

/// Lights the drawing: fall-off, folds, weave and pores, a rim, and the focus of the lens.
fn shaded(
    board: Board,
    (width, height): (usize, usize),
    face: (f32, f32, f32),
    chest: (f32, f32),
    hand: Option<(f32, f32)>,
    random: &mut Random,
) -> Person {
    let mut light = Picture::new(width, height);
    let mut cover = Sheet::new(width, height);
    let (from_left, folds, weave) = (
        random.between(-0.35, 0.35),
        random.between(0.1, 0.35),
        random.between(0.02, 0.12),
    );
    let (seed, below) = (random.between(0.0, 900.0), random.between(0.0, 0.45));
    for (at, pixel) in board.pixmap.pixels().iter().enumerate() {
        if pixel.alpha() == 0 {
            continue;
        }
        let (x, y) = ((at % width) as f32, (at / width) as f32);
        let across = ((x - face.0) / (3.0 * face.2)).clamp(-1.0, 1.0);
        let down = ((y - face.1) / height as f32).clamp(0.0, 1.0);
        let fold = layered(x * 0.012, y * 0.008, seed, 3) - 0.5;
        let fine = smooth(x * 0.55, y * 0.55, seed) - 0.5;
        let shade = (1.0 + from_left * across)
            * (1.0 - below * down)
            * (1.0 + 2.0 * folds * fold + 2.0 * weave * fine);
        cover.values[at] = f32::from(pixel.alpha()) / 255.0;
        let codes = [pixel.red(), pixel.green(), pixel.blue()];
        for (sheet, code) in light.0.iter_mut().zip(codes) {
            sheet.values[at] = f32::from(code) * shade;
        }
    }
    let rim = random.chance(0.6).then(|| random.between(20.0, 90.0));
    if let Some(strength) = rim {
        let soft = cover.blurred(random.between(2.0, 5.0));
        for at in 0..cover.values.len() {
            let edge = cover.values[at] * (1.0 - soft.values[at]) * 2.0;
            for (sheet, tint) in light.0.iter_mut().zip([0.85, 0.95, 1.0]) {
                sheet.values[at] += strength * tint * edge;
            }
        }
    }
    let focus = random.between(0.5, 2.2);
    Person {
        light: light.blurred(focus),
        cover: cover.blurred(focus),
        decoys: board.decoys,
        face,
        chest,
        hand,
    }
}
