//! Strokes of fluorescent ink on the glass: letters, arrows, circles, underlines and dots.

use tiny_skia::{LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, Transform};

use crate::hand;
use crate::noise::smooth;
use crate::random::Random;
use crate::sheet::{Picture, Sheet};

/// Inks at full strength, codes. Source: chosen, the hues that fluorescent markers are sold in.
pub(crate) const INKS: [[f32; 3]; 11] = [
    [80.0, 250.0, 110.0],
    [250.0, 65.0, 160.0],
    [250.0, 150.0, 35.0],
    [238.0, 238.0, 60.0],
    [248.0, 248.0, 165.0],
    [65.0, 160.0, 252.0],
    [70.0, 230.0, 250.0],
    [240.0, 240.0, 245.0],
    [252.0, 75.0, 60.0],
    [190.0, 95.0, 252.0],
    [190.0, 250.0, 50.0],
];

/// Words of the course on finding one's way by night.
const WORDS: [&str; 14] = [
    "North", "drift", "tide", "045", "kn", "star", "N", "fix", "12:40", "h=3", "Polaris", "k",
    "a=b", "??",
];

/// What lies on the ink side of the glass.
#[derive(Debug)]
pub(crate) struct Glass {
    /// Share of each pixel under ink, streaks taken out.
    pub(crate) cover: Sheet,
    /// Ink light times cover, codes.
    pub(crate) light: Picture,
    /// Pixels that were written on, streaks filled: the truth.
    pub(crate) written: Vec<bool>,
}

/// How strokes are laid.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Manner {
    pub(crate) ink: [f32; 3],
    pub(crate) width_px: f32,
    /// 0 none to 1 nearly dry.
    pub(crate) streaks: f32,
    /// How much of what is behind shows through, 0 to 1.
    pub(crate) sheer: f32,
}

impl Glass {
    pub(crate) fn new(width: usize, height: usize) -> Self {
        Self {
            cover: Sheet::new(width, height),
            light: Picture::new(width, height),
            written: vec![false; width * height],
        }
    }

    /// Draws strokes given as points that are passed smoothly.
    pub(crate) fn draw(
        &mut self,
        strokes: &[Vec<(f32, f32)>],
        manner: Manner,
        random: &mut Random,
    ) {
        let (width, height) = (self.cover.width, self.cover.height);
        let Some(mut pixmap) = Pixmap::new(width as u32, height as u32) else {
            return;
        };
        let mut paint = Paint::default();
        paint.set_color_rgba8(255, 255, 255, 255);
        for points in strokes {
            let Some(path) = curve(points) else { continue };
            let pen = Stroke {
                width: manner.width_px * random.between(0.9, 1.1),
                line_cap: LineCap::Round,
                line_join: LineJoin::Round,
                ..Stroke::default()
            };
            pixmap.stroke_path(&path, &paint, &pen, Transform::identity(), None);
        }
        let (seed, turn) = (random.between(0.0, 900.0), random.between(-0.6, 0.6));
        let (sine, cosine) = turn.sin_cos();
        let fine = random.between(0.2, 0.5);
        for (at, pixel) in pixmap.pixels().iter().enumerate() {
            if pixel.alpha() == 0 {
                continue;
            }
            let alpha = f32::from(pixel.alpha()) / 255.0;
            let (x, y) = ((at % width) as f32, (at / width) as f32);
            let (along, across) = (x * cosine + y * sine, y * cosine - x * sine);
            let thread = smooth(along * 0.02, across * fine, seed);
            let streak = 1.0 - manner.streaks * (1.6 * thread - 0.3).clamp(0.0, 1.0);
            let patch = 0.9 + 0.2 * smooth(x * 0.05, y * 0.05, seed);
            let cover = alpha * (1.0 - manner.sheer) * streak;
            if alpha > 0.5 {
                self.written[at] = true;
            }
            let kept = 1.0 - cover;
            self.cover.values[at] = 1.0 - (1.0 - self.cover.values[at]) * kept;
            for (sheet, ink) in self.light.0.iter_mut().zip(manner.ink) {
                sheet.values[at] = sheet.values[at] * kept + ink * patch * cover;
            }
        }
    }
}

/// What is written at a place, `size` px high: strokes.
pub(crate) fn figure(
    kind: u32,
    (x, y): (f32, f32),
    size: f32,
    random: &mut Random,
) -> Vec<Vec<(f32, f32)>> {
    let wobble = 0.02 * size;
    let mut shake = |p: (f32, f32)| {
        (
            p.0 + random.between(-wobble, wobble),
            p.1 + random.between(-wobble, wobble),
        )
    };
    match kind {
        // A circle, not quite closed.
        0 => {
            let turn = (0..=18).map(|k| 0.36 * k as f32 - 1.4);
            vec![
                turn.map(|t| {
                    shake((
                        x + size * (0.6 + 0.6 * t.cos()),
                        y - size * (0.5 + 0.5 * t.sin()),
                    ))
                })
                .collect(),
            ]
        }
        // An arrow.
        1 => {
            let tip = (x + 2.2 * size, y - 0.6 * size);
            vec![
                vec![shake((x, y)), shake((x + size, y - 0.4 * size)), tip],
                vec![
                    shake((tip.0 - 0.4 * size, tip.1 - 0.25 * size)),
                    tip,
                    shake((tip.0 - 0.3 * size, tip.1 + 0.4 * size)),
                ],
            ]
        }
        // An underline and a dot.
        2 => {
            let dot = (x + 2.6 * size, y - 0.1 * size);
            vec![
                vec![
                    shake((x, y)),
                    shake((x + 0.9 * size, y + 0.05 * size)),
                    shake((x + 2.2 * size, y - 0.06 * size)),
                ],
                vec![dot, (dot.0 + 0.5, dot.1 + 0.5)],
            ]
        }
        // A wave.
        3 => vec![
            (0..12)
                .map(|k| {
                    shake((
                        x + 0.25 * size * k as f32,
                        y - size * (0.4 + 0.35 * (k as f32 * 1.3).sin()),
                    ))
                })
                .collect(),
        ],
        // A cross.
        4 => vec![
            vec![shake((x, y)), shake((x + 0.8 * size, y - size))],
            vec![shake((x, y - size)), shake((x + 0.8 * size, y))],
        ],
        _ => word((x, y), size, random),
    }
}

/// A word, `size` px high.
fn word((x, y): (f32, f32), size: f32, random: &mut Random) -> Vec<Vec<(f32, f32)>> {
    let text = random.pick(&WORDS);
    let slant = random.between(-0.1, 0.35);
    let wide = random.between(0.75, 1.3);
    let climb = random.between(-0.12, 0.12);
    let mut strokes = Vec::new();
    let mut pen = x;
    for letter in text.chars().filter_map(hand::letter) {
        for stroke in &letter.strokes {
            let mut place = |&(a, b): &(f32, f32)| {
                let wobble = 0.02;
                let (a, b) = (
                    a + random.between(-wobble, wobble),
                    b + random.between(-wobble, wobble),
                );
                (
                    pen + size * (wide * a + slant * b),
                    y - size * b + climb * (pen - x),
                )
            };
            let points: Vec<(f32, f32)> = stroke.iter().map(&mut place).collect();
            if points.len() == 1 {
                let (a, b) = points[0];
                strokes.push(vec![(a, b), (a + 0.5, b + 0.5)]);
            } else if !points.is_empty() {
                strokes.push(points);
            }
        }
        pen += size * (wide * letter.advance + random.between(0.05, 0.12));
    }
    strokes
}

/// A smooth path through points. Source: Catmull-Rom spline as cubics, tangents a sixth of the chord.
fn curve(points: &[(f32, f32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let &(x, y) = points.first()?;
    builder.move_to(x, y);
    let at = |i: isize| points[i.clamp(0, points.len() as isize - 1) as usize];
    for i in 1..points.len() as isize {
        let (a, b, c, d) = (at(i - 2), at(i - 1), at(i), at(i + 1));
        builder.cubic_to(
            b.0 + (c.0 - a.0) / 6.0,
            b.1 + (c.1 - a.1) / 6.0,
            c.0 - (d.0 - b.0) / 6.0,
            c.1 - (d.1 - b.1) / 6.0,
            c.0,
            c.1,
        );
    }
    builder.finish()
}
