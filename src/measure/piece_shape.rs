//! What a piece that may be ink is like: colour, width, length, how sharply and against what it ends.

use super::components::{Components, Neighbours};
use super::distance::Distances;
use super::finding::PixelBox;
use super::ink_colors::{NOTHING, PALE};
use super::ink_pieces::PieceFrame;
use super::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Sides and corners are looked at every so many pixels of a large rim. Source: chosen, a thousand looks are enough.
const MOST_LOOKS: usize = 1500;
/// How far outside of the rim the picture is looked at, px in a frame 1080 high: just beside it, beyond blur,
/// within its glow, and beyond that. Source: chosen; a lens blurs 2 px, ink glows some 15.
const LOOKS_PX: [f64; 4] = [2.0, 3.0, 5.0, 20.0];
/// Most of a piece that a hole may be to be a hole in a plate and not the inside of a letter. Source: chosen; the
/// round of an `o` is as large as its line where the line is a quarter of its height.
const SMALL_HOLE: f64 = 0.33;
/// Where it is asked whether what is around is lit, px in a frame 1080 high.
const AROUND_PX: f64 = 11.0;

/// A piece of one colour that may be ink.
#[derive(Clone, Debug)]
pub struct InkPiece {
    /// Its class of colour.
    pub class: u8,
    /// Its pixels.
    pub runs: Vec<Run>,
    /// Its box.
    pub bounds: PixelBox,
    /// How many pixels.
    pub area: u64,
    /// Mean R'G'B' of the better half of its pixels, codes.
    pub color: [f64; 3],
    /// Mean contrast of the same, codes.
    pub strength: f64,
    /// Twice the largest distance to its rim, px.
    pub widest_px: f64,
    /// Four times the mean distance to its rim, px: the width of a bar.
    pub width_px: f64,
    /// Area over width, px: the length of a bar.
    pub length_px: f64,
    /// Share of its box that it fills, narrow holes filled, 0 to 1.
    pub fill: f64,
    /// Which way it runs, radians from 0, level, to pi.
    pub direction: f64,
    /// How much longer than wide its spread is, 1 for a disc.
    pub elongation: f64,
    /// Contrast lost over some four pixels at its rim, a share of its strength.
    pub sharpness: f64,
    /// Share of its rim beyond which the picture goes on in the same colour, 0 to 1.
    pub open: f64,
    /// Share of what is around it that is lit and no candidate, 0 to 1.
    pub lit_around: f64,
    /// Share of its rim beyond which another piece's colour begins, 0 to 1.
    pub beside_other: f64,
    /// How much more of its own colour is just beside it than farther off, codes.
    pub glow: f64,
}

impl InkPiece {
    /// Measures a piece; none where it has no pixels.
    pub(super) fn measure(frame: &PieceFrame<'_>, class: u8, runs: Vec<Run>) -> Option<Self> {
        let bounds = runs
            .iter()
            .map(|run| run.bounds())
            .reduce(PixelBox::union)?;
        let area: u64 = runs.iter().map(|run| u64::from(run.length())).sum();
        let width = frame.camera.size().width() as usize;
        let places = || {
            runs.iter().flat_map(move |run| {
                let row = run.y as usize * width;
                row + run.start as usize..row + run.end as usize
            })
        };
        let mut counts = [0_u64; 256];
        places().for_each(|at| counts[usize::from(frame.contrast.strength[at])] += 1);
        let mut below = 0;
        let median = (0..=u8::MAX).find(|&code| {
            below += counts[usize::from(code)];
            2 * below >= area
        })?;
        let (mut sums, mut strong, mut count) = ([0_u64; 3], 0_u64, 0_u64);
        for at in places().filter(|&at| frame.contrast.strength[at] >= median) {
            let code = frame.camera.codes()[at];
            sums.iter_mut()
                .zip(code)
                .for_each(|(sum, code)| *sum += u64::from(code));
            strong += u64::from(frame.contrast.strength[at]);
            count += 1;
        }
        let mean = |sum: u64| sum as f64 / count.max(1) as f64;
        // A pixel more each way, so that the box itself ends the piece; the first row and column shift by it.
        let margin = PixelBox {
            x: 0,
            y: 0,
            width: bounds.width + 2,
            height: bounds.height + 2,
        };
        let shifted = runs.iter().map(|run| Run {
            y: run.y - bounds.y + 1,
            start: run.start - bounds.x + 1,
            end: run.end - bounds.x + 1,
        });
        let distances = Distances::within(margin, shifted)?;
        let solid = without_small_holes(&distances, margin, area)?;
        let solid_area = solid.squared_px().iter().filter(|&&d| d > 0).count() as f64;
        let depths = solid.squared_px().iter().map(|&d| f64::from(d).sqrt());
        let width_px = 4.0 * depths.sum::<f64>() / solid_area - 1.0;
        let (direction, elongation) = spread(&runs, area);
        let strength = mean(strong);
        let rim = Rim::look(frame, class, bounds, &distances, strength);
        Some(Self {
            class,
            bounds,
            area,
            color: sums.map(mean),
            strength,
            widest_px: 2.0 * solid.largest_px() - 1.0,
            width_px,
            length_px: solid_area / width_px.max(1.0),
            fill: solid_area / bounds.area() as f64,
            direction,
            elongation,
            sharpness: rim.sharpness,
            open: rim.open,
            lit_around: rim.lit_around,
            beside_other: rim.beside_other,
            glow: rim.glow,
            runs,
        })
    }

    /// The brightest channel, codes.
    pub fn most(&self) -> f64 {
        self.color[0].max(self.color[1]).max(self.color[2])
    }

    /// Saturation, 0 to 1, over a backdrop of this level.
    pub fn saturation(&self, backdrop: f64) -> f64 {
        let least = self.color[0].min(self.color[1]).min(self.color[2]);
        ((self.most() - least) / (self.most() - 0.7 * backdrop).max(8.0)).min(1.0)
    }

    /// Hue, -1 to 5: red 0, green 2, blue 4.
    pub fn hue(&self) -> f64 {
        let [r, g, b] = self.color;
        let (most, least) = (self.most(), r.min(g).min(b));
        let span = (most - least).max(1e-3);
        if most <= r {
            (g - b) / span
        } else if most <= g {
            2.0 + (b - r) / span
        } else {
            4.0 + (r - g) / span
        }
    }

    /// Length over width: 1.8 for a disc, 2.3 for a square, more for strokes.
    pub fn slenderness(&self) -> f64 {
        self.length_px / self.width_px.max(1.0)
    }
}

/// The same with holes filled that are small beside the piece, such as the letters on a badge.
fn without_small_holes(distances: &Distances, bounds: PixelBox, area: u64) -> Option<Distances> {
    let size = Size::new(bounds.width, bounds.height).ok()?;
    let bytes: Vec<u8> = distances
        .squared_px()
        .iter()
        .map(|&d| u8::from(d == 0))
        .collect();
    let outside = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    if outside.as_slice().len() < 3 {
        return Some(distances.clone());
    }
    let parts = Components::of(&outside, Neighbours::Four);
    let is_open = |i: usize| {
        let hole = parts.list()[i];
        // The rim of the box is outside, and one with it.
        hole.bounds.x == 0 || hole.area as f64 > SMALL_HOLE * area as f64
    };
    let filled = outside.filtered(|run, _| is_open(parts.label_of_run(run)));
    let whole = Runs::of_bytes(size, &vec![1; size.area()], |byte| byte == 1);
    Distances::within(bounds, whole.without(&filled).as_slice().iter().copied())
}

/// Direction of the longer axis of a shape and the ratio of both, by its second moments.
fn spread(runs: &[Run], area: u64) -> (f64, f64) {
    let (mut x, mut y, mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for run in runs {
        let (n, v) = (f64::from(run.length()), f64::from(run.y));
        let middle = f64::from(run.start) + (n - 1.0) / 2.0;
        x += n * middle;
        y += n * v;
        xx += n * (middle * middle + (n * n - 1.0) / 12.0);
        yy += n * v * v;
        xy += n * middle * v;
    }
    let n = area as f64;
    let (x, y) = (x / n, y / n);
    let (xx, yy, xy) = (
        xx / n - x * x + 1.0 / 12.0,
        yy / n - y * y + 1.0 / 12.0,
        xy / n - x * y,
    );
    let root = ((xx - yy).powi(2) / 4.0 + xy * xy).sqrt();
    let middle = f64::midpoint(xx, yy);
    let direction = (0.5 * (2.0 * xy).atan2(xx - yy)).rem_euclid(std::f64::consts::PI);
    (
        direction,
        ((middle + root) / (middle - root).max(1e-6)).sqrt(),
    )
}

/// What is seen from a piece's rim.
#[derive(Debug, Default)]
struct Rim {
    sharpness: f64,
    open: f64,
    lit_around: f64,
    beside_other: f64,
    glow: f64,
}

impl Rim {
    /// Looks outwards to the four sides from pixels of the rim.
    fn look(
        frame: &PieceFrame<'_>,
        class: u8,
        bounds: PixelBox,
        distances: &Distances,
        strength: f64,
    ) -> Self {
        let size = frame.camera.size();
        let (width, height) = (i64::from(size.width()), i64::from(size.height()));
        let scale = f64::from(size.height()) / 1080.0;
        #[expect(clippy::cast_possible_truncation, reason = "a few pixels")]
        let px = |at_1080: f64| ((at_1080 * scale).round() as i64).max(1);
        let [beside, beyond, near, far] = LOOKS_PX.map(px);
        let around = px(AROUND_PX);
        let at = |x: i64, y: i64| {
            let inside = (0..width).contains(&x) && (0..height).contains(&y);
            inside.then(|| usize::try_from(y * width + x).unwrap_or(0))
        };
        let color = |at: usize| {
            let [r, g, b, _] = frame.camera.codes()[at];
            [r, g, b].map(f64::from)
        };
        let most = |color: [f64; 3]| color[0].max(color[1]).max(color[2]);
        let lit = frame.backdrop + 0.25 * strength;
        let box_width = (bounds.width + 2) as usize;
        let squared = distances.squared_px();
        let rims: Vec<usize> = (0..squared.len()).filter(|&i| squared[i] == 1).collect();
        let every = rims.len() / MOST_LOOKS + 1;
        let (mut steep, mut open, mut others, mut looks) = (0.0, 0_u32, 0_u32, 0_u32);
        let (mut bright, mut free) = (0_u32, 0_u32);
        let (mut glow, mut glows) = (0.0, 0_u32);
        for &i in rims.iter().step_by(every) {
            let x = i64::from(bounds.x) + whole(i % box_width) - 1;
            let y = i64::from(bounds.y) + whole(i / box_width) - 1;
            for (dx, dy, outside) in [
                (-1, 0, i - 1),
                (1, 0, i + 1),
                (0, -1, i - box_width),
                (0, 1, i + box_width),
            ] {
                if squared[outside] != 0 {
                    continue;
                }
                let to = |reach: i64| at(x + reach * dx, y + reach * dy);
                let (Some(inside), Some(next), Some(out)) = (to(-1), to(beside), to(beyond)) else {
                    continue;
                };
                looks += 1;
                let value = |at: usize| f64::from(frame.contrast.strength[at]);
                steep += (value(inside) - value(next)).max(0.0);
                let own = color(inside);
                let other = color(out);
                let apart = (0..3)
                    .map(|c| (own[c] - other[c]).abs())
                    .fold(0.0, f64::max);
                open += u32::from(4.0 * apart < most(own));
                others += u32::from(frame.classes[out] > PALE && frame.classes[out] != class);
                let is_free = |at: usize| frame.classes[at] == NOTHING;
                if let Some(place) = to(around).filter(|&place| is_free(place)) {
                    free += 1;
                    bright += u32::from(most(color(place)) > lit);
                }
                if let (Some(near), Some(far)) = (to(near), to(far))
                    && is_free(near)
                    && is_free(far)
                {
                    let share = own.map(|code| code / most(own).max(1.0));
                    let mean = (share[0] + share[1] + share[2]) / 3.0;
                    let along =
                        |color: [f64; 3]| (0..3).map(|c| color[c] * (share[c] - mean)).sum::<f64>();
                    glow += along(color(near)) - along(color(far));
                    glows += 1;
                }
            }
        }
        let share = |part: u32, all: u32| f64::from(part) / f64::from(all.max(1));
        Self {
            sharpness: steep / f64::from(looks.max(1)) / strength.max(1.0),
            open: share(open, looks),
            lit_around: share(bright, free),
            beside_other: share(others, looks),
            glow: glow / f64::from(glows.max(1)),
        }
    }
}

/// A column or row, which fits easily.
fn whole(place: usize) -> i64 {
    i64::try_from(place).unwrap_or(i64::MAX)
}
