//! What a piece that may be ink is like: colour, width, length, and what `piece_rim` sees around it.

use super::ink_pieces::PieceFrame;
use super::piece_rim::Rim;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::hull::hull_area;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Most of a piece that a hole may be to be a hole in a plate and not the inside of a letter. Source: chosen; the
/// round of an `o` is as large as its line where the line is a quarter of its height.
const SMALL_HOLE: f64 = 0.33;
/// How far the channels of one ink, or one cloth, are apart, a share of the largest. Source: chosen; a lamp from one side.
const ALIKE: f64 = 0.25;
/// Hues of skin, -1 to 5, and its saturation. Source: chosen; skin from dark to pale under warm and cold light.
pub const SKIN_HUES: (f64, f64) = (-0.25, 0.85);
const SKIN_SATURATION: (f64, f64) = (0.12, 0.62);

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
    /// Share of its rim beyond which it is brighter than itself, other ink left out, 0 to 1.
    pub darker: f64,
    /// Share of it that lies on itself when mirrored left to right in its box, 0 to 1.
    pub mirrored: f64,
    /// Share of what is around it that is as dark as the backdrop and no candidate, 0 to 1.
    pub dark_around: f64,
    /// How large the even area is that it lies on, natural logarithm of a share of the frame's height squared; 0 where there is none.
    pub backing: f64,
    /// Share of the smallest convex shape around it that it fills, narrow holes filled, 0 to 1.
    pub convexity: f64,
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
        let (strength, color) = (mean(strong), sums.map(mean));
        let rim = Rim::look(frame, class, bounds, &distances, strength, color);
        Some(Self {
            class,
            bounds,
            area,
            color,
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
            darker: rim.darker,
            dark_around: rim.dark_around,
            backing: rim.backing,
            convexity: (solid_area / hull_area(&runs)).min(1.0),
            mirrored: mirrored(&runs, bounds, area),
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

    /// Whether it has the hue of skin or of hair, however saturated.
    pub fn has_skin_hue(&self) -> bool {
        (SKIN_HUES.0..SKIN_HUES.1).contains(&self.hue())
    }

    /// Whether it has the colour of skin or of hair, over a backdrop of this level.
    pub fn has_skin_color(&self, backdrop: f64) -> bool {
        self.has_skin_hue()
            && (SKIN_SATURATION.0..SKIN_SATURATION.1).contains(&self.saturation(backdrop))
    }

    /// Whether it has nearly the same colour as another.
    pub fn is_alike(&self, other: &Self) -> bool {
        let is_near = |c: usize| (self.color[c] - other.color[c]).abs() < ALIKE * other.most();
        self.class == other.class && (0..3).all(is_near)
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

/// Share of a shape that lies on itself when mirrored left to right in its box.
fn mirrored(runs: &[Run], bounds: PixelBox, area: u64) -> f64 {
    let ends = bounds.x + bounds.right();
    let mut common = 0_u64;
    for row in runs.chunk_by(|a, b| a.y == b.y) {
        for a in row {
            for b in row {
                let (start, end) = (ends - b.end, ends - b.start);
                common += u64::from(a.end.min(end).saturating_sub(a.start.max(start)));
            }
        }
    }
    common as f64 / area as f64
}
