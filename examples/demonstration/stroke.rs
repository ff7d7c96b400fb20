//! Fluorescent marker strokes on glass: smoothed lines, wobble, dry ends and ink light.

use crate::hand;
use crate::noise::{hash, mix, ramp, smooth, unit};
use crate::vector::{Vector, v};

/// A colour of ink in linear light.
pub(crate) type Ink = Vector;

/// Yellow-green ink.
pub(crate) const LIME: Ink = v(0.62, 1.0, 0.06);
/// Pink-orange ink.
pub(crate) const CORAL: Ink = v(1.0, 0.145, 0.11);
/// Cyan ink.
pub(crate) const CYAN: Ink = v(0.05, 0.80, 1.0);

/// The ink side of the glass: light given off, and how much of what is behind it is hidden.
#[derive(Debug)]
pub(crate) struct Glass {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) light: Vec<Vector>,
    pub(crate) cover: Vec<f32>,
    strokes: i32,
}

/// How a line of handwriting is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Manner {
    /// Height of capitals in pixels.
    pub(crate) size: f32,
    /// Half the width of the marker in pixels.
    pub(crate) pen: f32,
    /// Rise of the baseline in pixels over a pixel.
    pub(crate) climb: f32,
    /// Colour.
    pub(crate) ink: Ink,
}

impl Glass {
    /// A clean glass.
    pub(crate) fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            light: vec![Vector::default(); width * height],
            cover: vec![0.0; width * height],
            strokes: 0,
        }
    }

    /// Writes a line of text from (x, y) on.
    pub(crate) fn write(&mut self, text: &str, x: f32, y: f32, manner: Manner) {
        let mut pen = x;
        for (index, character) in text.chars().enumerate() {
            let Some(letter) = hand::letter(character) else {
                continue;
            };
            let seed = self.strokes * 31 + index as i32;
            let wild = |k: i32| unit(seed, k, 7) - 0.5;
            let size = manner.size * (1.0 + 0.07 * wild(1));
            let slant = 0.13 + 0.07 * wild(2);
            let drift = y - manner.climb * (pen - x) + 0.06 * manner.size * wild(3);
            for (number, stroke) in letter.strokes.iter().enumerate() {
                let placed: Vec<(f32, f32)> = stroke
                    .iter()
                    .enumerate()
                    .map(|(k, &(a, b))| {
                        let k = k as i32 + 40 * number as i32;
                        let a = a + 0.022 * (unit(seed, k, 3) - 0.5);
                        let b = b + 0.022 * (unit(seed, k, 4) - 0.5);
                        (pen + size * (a + slant * b), drift - size * b)
                    })
                    .collect();
                self.line(&placed, manner.pen, manner.ink);
            }
            pen += size * (letter.advance + 0.05 + 0.03 * wild(5));
        }
    }

    /// Draws one smooth stroke through the points.
    pub(crate) fn line(&mut self, points: &[(f32, f32)], pen: f32, ink: Ink) {
        self.strokes += 1;
        let trail = Trail::through(points, self.strokes);
        let [left, top, right, bottom] = trail.bounds(pen + 2.0);
        let (left, right) = span(left, right, self.width);
        let (top, bottom) = span(top, bottom, self.height);
        for row in top..bottom {
            for column in left..right {
                let Some(mark) = trail.mark(column as f32 + 0.5, row as f32 + 0.5, pen) else {
                    continue;
                };
                let at = row * self.width + column;
                let core = mark.depth * mark.depth;
                let colour = ink * mix(0.62, 1.0, core) + v(1.0, 1.0, 1.0) * (0.20 * core * core);
                let lit = colour * (mark.cover * mark.body);
                let old = self.light[at];
                self.light[at] = v(old.x.max(lit.x), old.y.max(lit.y), old.z.max(lit.z));
                self.cover[at] = self.cover[at].max(mark.cover);
            }
        }
    }
}

/// What a stroke leaves at a pixel.
struct Mark {
    /// Share of the pixel under ink.
    cover: f32,
    /// 1 in the middle of the stroke, 0 at its rim.
    depth: f32,
    /// Thickness of the ink.
    body: f32,
}

/// The pen's way: points a pixel or two apart, with the length so far.
struct Trail {
    points: Vec<(f32, f32, f32)>,
    length: f32,
    seed: i32,
}

impl Trail {
    /// Smooths the points; a point given twice stays a corner.
    fn through(points: &[(f32, f32)], seed: i32) -> Self {
        let mut flat: Vec<(f32, f32)> = Vec::new();
        let mut start = 0;
        for k in 1..=points.len() {
            if k == points.len() || near(points[k], points[k - 1]) {
                curve(&points[start..k], &mut flat);
                start = k;
            }
        }
        let mut length = 0.0;
        let mut last = flat.first().copied().unwrap_or_default();
        let points = flat
            .into_iter()
            .map(|(x, y)| {
                length += (x - last.0).hypot(y - last.1);
                last = (x, y);
                let s = seed as f32 * 9.1;
                let shake = 0.7;
                (
                    x + shake * (smooth(length * 0.05, s, 1.0) - 0.5),
                    y + shake * (smooth(length * 0.05, s, 2.0) - 0.5),
                    length,
                )
            })
            .collect();
        Self {
            points,
            length,
            seed,
        }
    }

    /// Left, top, right and bottom of the trail, `reach` wider on each side.
    fn bounds(&self, reach: f32) -> [f32; 4] {
        let start = [f32::MAX, f32::MAX, 0.0, 0.0];
        self.points.iter().fold(start, |[l, t, r, b], &(x, y, _)| {
            [
                l.min(x - reach),
                t.min(y - reach),
                r.max(x + reach),
                b.max(y + reach),
            ]
        })
    }

    /// Nearest point of the trail: distance, signed side, length so far.
    fn nearest(&self, x: f32, y: f32) -> (f32, f32, f32) {
        let mut best = (f32::MAX, 0.0, 0.0);
        for pair in self.points.windows(2) {
            let ((ax, ay, s), (bx, by, _)) = (pair[0], pair[1]);
            let (dx, dy) = (bx - ax, by - ay);
            let square = (dx * dx + dy * dy).max(1e-6);
            let t = (((x - ax) * dx + (y - ay) * dy) / square).clamp(0.0, 1.0);
            let (ex, ey) = (x - ax - dx * t, y - ay - dy * t);
            let d = ex.hypot(ey);
            if d < best.0 {
                best = (
                    d,
                    (dx * ey - dy * ex) / square.sqrt(),
                    s + t * square.sqrt(),
                );
            }
        }
        best
    }

    /// The ink at a pixel, if any.
    fn mark(&self, x: f32, y: f32, pen: f32) -> Option<Mark> {
        let (distance, side, way) = self.nearest(x, y);
        if distance > pen + 2.0 {
            return None;
        }
        let s = self.seed as f32 * 13.7;
        let width = pen * (0.90 + 0.22 * smooth(way * 0.03, s, 5.0))
            - 0.12 * pen * ramp(self.length * 0.6, self.length, way);
        let rough = 0.9 * (smooth(x * 0.35, y * 0.35, s) - 0.5);
        let mut cover = ramp(width + 0.9, width - 0.9, distance + rough);
        let threads = smooth(side * 0.75 + s, way * 0.030, 8.0);
        let dryness = 0.30 + 0.70 * (hash(self.seed, 1, 1) % 100) as f32 / 100.0;
        let tail = (self.length * 0.45).min(70.0);
        let dry = dryness * ramp(self.length - tail, self.length + 4.0, way);
        cover *= 1.0 - dry * ramp(0.36, 0.62, threads);
        let body = 0.86
            + 0.26 * (smooth(side * 0.6 + s, way * 0.045, 3.0) - 0.5)
            + 0.12 * ramp(9.0, 0.0, way);
        let depth = (1.0 - distance / width.max(0.5)).clamp(0.0, 1.0).sqrt();
        (cover > 0.003).then_some(Mark { cover, depth, body })
    }
}

/// Whole pixels between two edges, held inside of 0..limit.
fn span(low: f32, high: f32, limit: usize) -> (usize, usize) {
    let high = (high.ceil().max(0.0) as usize).min(limit);
    ((low.floor().max(0.0) as usize).min(high), high)
}

/// Whether two points are the same one.
fn near(a: (f32, f32), b: (f32, f32)) -> bool {
    (a.0 - b.0).hypot(a.1 - b.1) < 4.0
}

/// Adds a Catmull-Rom curve through the points, steps about two pixels long.
fn curve(points: &[(f32, f32)], out: &mut Vec<(f32, f32)>) {
    let Some(&last) = points.last() else { return };
    for k in 0..points.len() - 1 {
        let p1 = points[k];
        let p2 = points[k + 1];
        let p0 = if k == 0 { p1 } else { points[k - 1] };
        let p3 = points.get(k + 2).copied().unwrap_or(p2);
        let steps = ((p2.0 - p1.0).hypot(p2.1 - p1.1) / 2.0).ceil().max(1.0) as usize;
        for step in 0..steps {
            let t = step as f32 / steps as f32;
            out.push((
                spline(p0.0, p1.0, p2.0, p3.0, t),
                spline(p0.1, p1.1, p2.1, p3.1, t),
            ));
        }
    }
    out.push(last);
}

/// One coordinate of a Catmull-Rom curve.
fn spline(a: f32, b: f32, c: f32, d: f32, t: f32) -> f32 {
    0.5 * (2.0 * b
        + (c - a) * t
        + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
        + (3.0 * b - a - 3.0 * c + d) * t * t * t)
}
