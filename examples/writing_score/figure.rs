//! People before the backdrop: of many builds, clothes and gestures, with what could be taken for writing.

use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Mask, Paint, Path, PathBuilder, Pixmap, Rect, Stroke,
    Transform,
};

use crate::noise::{layered, smooth};
use crate::random::Random;
use crate::sheet::{Picture, Sheet};

/// What is not writing, though it is bright, thin or colourful.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Decoy {
    Eye = 1,
    Teeth = 2,
    Glasses = 3,
    Collar = 4,
    Tie = 5,
    Badge = 6,
    Ribbon = 7,
    Lanyard = 8,
    Stripes = 9,
    Pen = 10,
    Reflection = 11,
    Smear = 12,
}

impl Decoy {
    pub(crate) const ALL: [(Self, &'static str); 12] = [
        (Self::Eye, "eyes"),
        (Self::Teeth, "teeth"),
        (Self::Glasses, "glasses"),
        (Self::Collar, "collar"),
        (Self::Tie, "tie"),
        (Self::Badge, "badge"),
        (Self::Ribbon, "ribbons"),
        (Self::Lanyard, "lanyard"),
        (Self::Stripes, "stripes"),
        (Self::Pen, "pen"),
        (Self::Reflection, "reflection"),
        (Self::Smear, "smear"),
    ];
}

/// What the presenter wears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clothes {
    Dark,
    White,
    Coloured,
    Striped,
    Suit,
}

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
/// Colours of dyed cloth.
const DYES: [[f32; 3]; 8] = [
    [170.0, 40.0, 45.0],
    [215.0, 110.0, 35.0],
    [40.0, 90.0, 170.0],
    [35.0, 120.0, 70.0],
    [120.0, 60.0, 140.0],
    [200.0, 175.0, 60.0],
    [90.0, 130.0, 140.0],
    [205.0, 130.0, 150.0],
];

/// Pixmap and decoys that are drawn on together.
struct Board {
    pixmap: Pixmap,
    decoys: Vec<u8>,
}

impl Board {
    fn fill(&mut self, path: Option<Path>, color: [f32; 3], clip: Option<&Mask>) {
        let Some(path) = path else { return };
        self.pixmap.fill_path(
            &path,
            &paint(color),
            FillRule::Winding,
            Transform::identity(),
            clip,
        );
    }

    fn line(&mut self, path: Option<Path>, color: [f32; 3], width: f32, clip: Option<&Mask>) {
        let Some(path) = path else { return };
        let pen = Stroke {
            width,
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            ..Stroke::default()
        };
        self.pixmap
            .stroke_path(&path, &paint(color), &pen, Transform::identity(), clip);
    }

    /// Does a drawing, and marks what it changed as a decoy.
    fn decoy(&mut self, decoy: Decoy, draw: impl FnOnce(&mut Self)) {
        let before = self.pixmap.clone();
        draw(self);
        let pairs = before.pixels().iter().zip(self.pixmap.pixels());
        for (mark, (before, after)) in self.decoys.iter_mut().zip(pairs) {
            if before != after {
                *mark = decoy as u8;
            }
        }
    }
}

fn paint(color: [f32; 3]) -> Paint<'static> {
    let [r, g, b] = color.map(|code| code.clamp(0.0, 255.0) as u8);
    let mut paint = Paint::default();
    paint.set_color(Color::from_rgba8(r, g, b, 255));
    paint
}

fn oval(x: f32, y: f32, a: f32, b: f32) -> Option<Path> {
    PathBuilder::from_oval(Rect::from_ltrb(x - a, y - b, x + a, y + b)?)
}

fn bar(x: f32, y: f32, width: f32, height: f32) -> Option<Path> {
    Some(PathBuilder::from_rect(Rect::from_xywh(
        x, y, width, height,
    )?))
}

fn polygon(points: &[(f32, f32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let &(x, y) = points.first()?;
    builder.move_to(x, y);
    points[1..].iter().for_each(|&(x, y)| builder.line_to(x, y));
    builder.close();
    builder.finish()
}

fn way(points: &[(f32, f32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let &(x, y) = points.first()?;
    builder.move_to(x, y);
    points[1..].iter().for_each(|&(x, y)| builder.line_to(x, y));
    builder.finish()
}

fn scaled(color: [f32; 3], by: f32) -> [f32; 3] {
    color.map(|code| code * by)
}

/// Draws a person. `backdrop` is its code: cloth is never darker, or nobody could tell it.
pub(crate) fn person(
    (width, height): (usize, usize),
    clothes: Clothes,
    backdrop: f32,
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
    let trunk = {
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
        builder.line_to(x - half * random.between(1.0, 1.15), h + 20.0);
        builder.line_to(x + half * random.between(1.0, 1.15), h + 20.0);
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
    };
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
    // Neck, then the head.
    board.line(
        way(&[(x, y + 0.5 * b), (x, shoulder)]),
        scaled(skin, 0.8),
        0.95 * a,
        None,
    );
    front(&mut board, clothes, &clip, (x, y, a, b, shoulder), random);
    head(&mut board, (x, y, a, b), skin, hair, random);
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

/// Bars over the cloth.
fn stripes(
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
fn front(
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

/// Face, hair, eyes, mouth, perhaps glasses.
#[expect(clippy::too_many_lines, reason = "one thing drawn after the other")]
fn head(
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

/// A raised arm with its hand: the middle of the palm.
fn arm(
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
