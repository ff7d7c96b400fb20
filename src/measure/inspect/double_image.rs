//! A second, weaker copy of all strokes at one displacement: what a mirror that is silvered on its back makes.
//!
//! Glow is taken out first, and what is left of it goes out to both sides alike, so a displacement is compared with its
//! opposite. A copy is one only where it holds for strokes all over the frame, with one strength and in their colours.

use rayon::prelude::*;

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_parts::CameraParts;
use super::stroke_light::{STEPS, StrokeLight};
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::statistics::middle::reached_by_weight;

/// Strength of a copy from which it is told, percent of the strokes' contrast. Source: chosen, so that one of 5 % is told.
pub const LEAST_PERCENT: f64 = 4.0;
/// How far off a copy may be, percent of the picture's height. Source: computed; 10 mm of glass are off by 0.9 % where the
/// picture is 1.44 m wide, and by as much more where it is half as wide.
const REACH_PERCENT: f64 = 2.2;
/// Widest edge of strokes that still tells a copy beside them, px. Source: chosen; beyond 5 px the take is spoilt anyway.
const WIDEST_EDGE_PX: f64 = 8.0;
/// Parts of the frame that strokes are told in one by one: a side, px in a frame 1080 high. Source: chosen, a letter or two.
const PART_PX: u32 = 96;
/// Fewest parts that can agree. Source: chosen.
const LEAST_PARTS: usize = 6;
/// Least of a part's strokes whose copy could be seen, a share of those of the part with most. Source: chosen.
const PART_SHARE: f64 = 0.02;
/// Share of the parts, by weight, whose copy is as strong as the median's to within half of it. Source: measured on drawn
/// strokes; copies have 0.93 and more, lines with a fainter one beside each 0.5 to 0.66.
const LEAST_AGREEING: f64 = 0.8;
/// The same share that has half of that at the opposite displacement, at most. Source: the same; copies have 0.02.
const MOST_OPPOSITE: f64 = 0.35;
/// Least likeness of the copy's colour and the strokes': the cosine between both. Source: chosen, 26 degrees; drawn copies
/// have 0.98.
const LEAST_LIKENESS: f64 = 0.9;
/// Angle between the camera's axis and the mirror's normal, degrees, and refractive index of its glass. Source: a folding
/// mirror stands at 45 degrees; 1.52 is soda-lime and crown glass.
const MIRROR_DEGREES: f64 = 45.0;
const GLASS_INDEX: f64 = 1.52;

/// A copy of all strokes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleImage {
    /// How far to the right and down it is off, px of the output.
    pub shift_px: [f64; 2],
    /// Its strength, percent of the strokes' contrast in codes.
    pub strength_percent: f64,
    /// Thickness of the mirror's glass that explains it, mm for each metre that the picture is wide at the strokes.
    pub thickness_mm_per_m: f64,
    /// Around the strokes.
    pub bounds: Option<PixelBox>,
}

/// How far beside the main picture that of a mirror's front is, for a thickness of 1.
///
/// `2 tan(t') cos(i)` with `sin t' = sin i / n`, the separation of the rays that a plane-parallel plate reflects from
/// both faces.
pub fn plate_separation(incidence_degrees: f64, index: f64) -> f64 {
    let incidence = incidence_degrees.to_radians();
    let inside = (incidence.sin() / index).asin();
    2.0 * inside.tan() * incidence.cos()
}

/// Looks for one. None where nothing is written, or not enough beside the presenter.
pub fn measure_double_image(
    camera: &CameraRaster,
    parts: &CameraParts,
    edge_px: Option<f64>,
) -> Option<DoubleImage> {
    let edge_px = edge_px.filter(|&width| width <= WIDEST_EDGE_PX)?;
    let light = StrokeLight::measure(camera, parts, edge_px, REACH_PERCENT)?;
    let least_px = edge_px / f64::from(light.factor) + 1.0;
    let shift = likeliest_shift(&light, least_px)?;
    let strength = light.strength_at(shift)?;
    if 100.0 * strength < LEAST_PERCENT || !agrees(&light, shift, strength) {
        return None;
    }
    let factor = f64::from(light.factor);
    let shift_px = shift.map(|px| factor * px);
    let share = shift_px[0].hypot(shift_px[1]) / f64::from(camera.size().width());
    Some(DoubleImage {
        shift_px,
        strength_percent: 100.0 * strength,
        thickness_mm_per_m: 1000.0 * share / plate_separation(MIRROR_DEGREES, GLASS_INDEX),
        bounds: parts.writing_places.iter().copied().reduce(PixelBox::union),
    })
}

/// Sums over strokes of what is beside them, one displacement off.
#[derive(Clone, Copy, Debug, Default)]
struct Match {
    /// Of products of both.
    shared: i64,
    /// Of squares of the strokes where a copy could be seen.
    strokes: i64,
}

impl Match {
    fn slope(self) -> f64 {
        self.shared as f64 / (self.strokes as f64 * STEPS).max(1.0)
    }
}

/// A stretch of a row, moved: where its pixels and those of the strokes are.
fn moved(
    light: &StrokeLight,
    row: u32,
    start: u32,
    end: u32,
    [dx, dy]: [i32; 2],
) -> Option<(usize, usize, usize)> {
    let (width, height) = (light.size.width(), light.size.height());
    let y = row.checked_add_signed(dy).filter(|&y| y < height)?;
    let (width_i, start_i, end_i) = (i64::from(width), i64::from(start), i64::from(end));
    let from = start_i.max(-i64::from(dx));
    let to = end_i.min(width_i - i64::from(dx));
    let length = usize::try_from(to - from)
        .ok()
        .filter(|&length| length > 0)?;
    let stroke = usize::try_from(i64::from(row) * width_i + from).ok()?;
    let beside = usize::try_from(i64::from(y) * width_i + from + i64::from(dx)).ok()?;
    Some((stroke, beside, length))
}

/// Matches all strokes with what is beside them at a displacement.
fn match_at(light: &StrokeLight, shift: [i32; 2]) -> Match {
    let mut sum = Match::default();
    for run in &light.runs {
        let Some((stroke, beside, length)) = moved(light, run.y, run.start, run.end, shift) else {
            continue;
        };
        let strokes = &light.strokes[stroke..stroke + length];
        let besides = &light.beside[beside..beside + length];
        let seen = &light.is_beside[beside..beside + length];
        // 1024 products of a code and some 1000 steps stay below 2^31.
        for ((strokes, besides), seen) in strokes
            .chunks(1024)
            .zip(besides.chunks(1024))
            .zip(seen.chunks(1024))
        {
            let (mut shared, mut squares) = (0_i32, 0_i32);
            for ((&stroke, &beside), &seen) in strokes.iter().zip(besides).zip(seen) {
                let stroke = i32::from(stroke);
                shared += stroke * i32::from(beside);
                squares += stroke * stroke * i32::from(seen);
            }
            sum.shared += i64::from(shared);
            sum.strokes += i64::from(squares);
        }
    }
    sum
}

/// The displacement with most light that is not at its opposite too, between pixels.
///
/// Strokes are wider than two pixels, so every second one is asked first.
fn likeliest_shift(light: &StrokeLight, least_px: f64) -> Option<[f64; 2]> {
    let score = |[dx, dy]: [i32; 2]| {
        if f64::from(dx).hypot(f64::from(dy)) < least_px {
            return 0.0;
        }
        let (own, opposite) = (match_at(light, [dx, dy]), match_at(light, [-dx, -dy]));
        let over = (own.slope() - opposite.slope()).max(0.0);
        over * over * own.strokes.min(opposite.strokes) as f64
    };
    let half = light.reach_px / 2;
    let coarse: Vec<[i32; 2]> = (-half..=half)
        .flat_map(|y| (-half..=half).map(move |x| [2 * x, 2 * y]))
        .collect();
    let [x, y] = best_of(&coarse, score)?;
    let near: Vec<[i32; 2]> = (-2..=2)
        .flat_map(|v| (-2..=2).map(move |u| [x + u, y + v]))
        .collect();
    let [x, y] = best_of(&near, score)?;
    let here = score([x, y]);
    // The top of a parabola through the neighbours.
    let top = |before: [i32; 2], after: [i32; 2]| {
        let (before, after) = (score(before), score(after));
        let bend = before - 2.0 * here + after;
        if before <= 0.0 || after <= 0.0 || bend >= 0.0 {
            0.0
        } else {
            (0.5 * (before - after) / bend).clamp(-0.5, 0.5)
        }
    };
    Some([
        f64::from(x) + top([x - 1, y], [x + 1, y]),
        f64::from(y) + top([x, y - 1], [x, y + 1]),
    ])
}

/// The displacement with the highest score over 0.
fn best_of(shifts: &[[i32; 2]], score: impl Fn([i32; 2]) -> f64 + Sync) -> Option<[i32; 2]> {
    let scores: Vec<f64> = shifts.par_iter().map(|&shift| score(shift)).collect();
    let both = shifts.iter().zip(scores);
    let best = both.max_by(|a, b| a.1.total_cmp(&b.1));
    best.filter(|(_, score)| *score > 0.0)
        .map(|(&shift, _)| shift)
}

/// What a part of the frame says of a copy.
#[derive(Clone, Copy, Debug, Default)]
struct Part {
    own: Match,
    opposite: Match,
    /// Sums of R', G' and B' of the copy over the opposite place, and of the strokes.
    copy: [f64; 3],
    stroke: [f64; 3],
}

/// Whether strokes in most parts of the frame have the copy, in their colour, and not on their other side.
fn agrees(light: &StrokeLight, shift: [f64; 2], strength: f64) -> bool {
    #[expect(clippy::cast_possible_truncation, reason = "a few pixels")]
    let shift = shift.map(|px| px.round() as i32);
    let parts = parts_of(light, shift);
    let most = parts.iter().map(|part| part.own.strokes).max().unwrap_or(0);
    let counted: Vec<(&Part, f64)> = parts
        .iter()
        .filter(|part| part.own.strokes as f64 > PART_SHARE * most as f64)
        .map(|part| (part, (part.own.strokes as f64).sqrt()))
        .collect();
    if counted.len() < LEAST_PARTS {
        return false;
    }
    let all: f64 = counted.iter().map(|(_, weight)| weight).sum();
    let share = |is_it: &dyn Fn(&Part) -> bool| {
        let kept = counted.iter().filter(|(part, _)| is_it(part));
        kept.map(|(_, weight)| weight).sum::<f64>() / all
    };
    let middle = median(&counted);
    let even = share(&|part| (part.slope() - middle).abs() <= 0.5 * middle);
    let opposite = share(&|part| part.opposite.slope() >= 0.5 * middle);
    // Glow that was fitted without the copy took a part of it.
    middle >= strength / 3.0
        && even >= LEAST_AGREEING
        && opposite <= MOST_OPPOSITE
        && likeness(&counted) >= LEAST_LIKENESS
}

/// The slope that half of the weight is under.
fn median(parts: &[(&Part, f64)]) -> f64 {
    let mut slopes: Vec<(f64, f64)> = parts
        .iter()
        .map(|(p, weight)| (p.slope(), *weight))
        .collect();
    slopes.sort_by(|a, b| a.0.total_cmp(&b.0));
    reached_by_weight(&slopes, 0.5).unwrap_or(0.0)
}

/// The cosine between the colours of copy and strokes, over all parts.
fn likeness(parts: &[(&Part, f64)]) -> f64 {
    let sum = |of: &dyn Fn(&Part) -> f64| parts.iter().map(|(part, _)| of(part)).sum::<f64>();
    let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let both = sum(&|part| dot(part.copy, part.stroke));
    let [copies, strokes] = [
        sum(&|part| dot(part.copy, part.copy)),
        sum(&|part| dot(part.stroke, part.stroke)),
    ];
    both / (copies * strokes).sqrt().max(1e-9)
}

impl Part {
    /// How strong the copy is over the opposite place, a share of the strokes.
    fn slope(&self) -> f64 {
        self.own.slope() - self.opposite.slope()
    }
}

/// The parts of the frame, by where the strokes are.
fn parts_of(light: &StrokeLight, shift: [i32; 2]) -> Vec<Part> {
    let width = light.size.width();
    let side = (PART_PX * light.size.height() / 1080).max(16);
    let across = width.div_ceil(side);
    let mut parts = vec![Part::default(); (across * light.size.height().div_ceil(side)) as usize];
    let away = shift.map(|px| -px);
    for run in &light.runs {
        for x in run.start..run.end {
            let part = &mut parts[(run.y / side * across + x / side) as usize];
            let at = |shift| moved(light, run.y, x, x + 1, shift).map(|(_, beside, _)| beside);
            let own = at(shift);
            let opposite = at(away);
            let here = (run.y * width + x) as usize;
            let stroke = i64::from(light.strokes[here]);
            for (sums, place) in [(&mut part.own, own), (&mut part.opposite, opposite)] {
                let Some(place) = place.filter(|&place| light.is_beside[place] == 1) else {
                    continue;
                };
                sums.shared += stroke * i64::from(light.beside[place]);
                sums.strokes += stroke * stroke;
            }
            let seen = |place: Option<usize>| place.filter(|&place| light.is_beside[place] == 1);
            if let (Some(own), Some(opposite)) = (seen(own), seen(opposite)) {
                for c in 0..3 {
                    let code = |at: usize| f64::from(light.codes[at][c]);
                    part.copy[c] += stroke as f64 * (code(own) - code(opposite));
                    part.stroke[c] += stroke as f64 * (code(here) - code(opposite));
                }
            }
        }
    }
    parts
}

/// The finding on it.
pub fn double_image_finding(double: &DoubleImage) -> CameraFinding {
    CameraFinding {
        kind: CameraKind::DoubleImage,
        severity: Severity::Warn,
        bounds: double.bounds,
        measured: double.strength_percent,
        limit: LEAST_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "Every stroke comes a second time, {}, with {:.0} % of its contrast. A mirror that is silvered on its back does \
             that: use a first-surface mirror. At 45 degrees this would be {:.1} mm of glass for each metre that the \
             picture is wide at the writing. If there is no mirror, tilt other glass before the lens, such as a filter, or take it off.",
            shift_words(double.shift_px),
            double.strength_percent,
            double.thickness_mm_per_m,
        ),
    }
}

/// A displacement, such as `6.1 px to the right and 1 px up`.
pub fn shift_words([x, y]: [f64; 2]) -> String {
    let words = |px: f64, names: [&str; 2]| {
        let name = names[usize::from(px > 0.0)];
        (px.abs() >= 0.5).then(|| format!("{:.1} px {name}", px.abs()))
    };
    let across = words(x, ["to the left", "to the right"]);
    let down = words(y, ["up", "down"]);
    let parts: Vec<String> = across.into_iter().chain(down).collect();
    parts.join(" and ")
}
