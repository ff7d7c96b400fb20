//! What of a frame may stand still, as luma over its slow course, at several sizes.

use super::still_luma::StillLuma;
use super::still_map::StillMap;
use super::way_round::WayRound;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::box_mean::box_mean;
use crate::measure::raster::runs::Runs;

/// Longest side of the largest plane, px. Source: chosen; a pixel of it is two of a 1080p frame, and what stands still is
/// soft or can be told to a tenth of it.
const LONGEST_SIDE: usize = 960;
/// Shorter side under which no plane is halved again, px. Source: chosen.
const LEAST_SIDE: usize = 60;
/// How far around a place its slow course is taken, a part of the longer side. Source: chosen; a soft reflection is smaller.
const COURSE_PART: usize = 10;
/// Share of a plane's pixel that has to stand still. Source: chosen.
const LEAST_STILL: f32 = 0.99;
/// Deviation that is left of noise in structure. Source: the squares of `1 2 1` over `1 1 1 1 1`, 0.17 each way.
const NOISE_LEFT: f32 = 0.17;
/// How many deviations over the noise a thing is, and codes. Source: chosen; steps of compression are a code.
const STRUCTURE_DEVIATIONS: f32 = 6.0;
const STRUCTURE_CODES: f32 = 0.8;

/// Codes from which on brightness does not count for more. Source: chosen, 10 % of white, a strong reflection.
const MOST_JUDGED: f32 = 25.5;

/// Luma over its slow course, where something may stand still.
#[derive(Clone, Debug)]
pub(crate) struct StillPlane {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// The frame's middle, in pixels here.
    pub(crate) centre: [f64; 2],
    /// Pixels of the frame along a side of a pixel here.
    pub(crate) scale: f64,
    /// Luma over its slow course, codes; not a number where nothing stands still.
    pub(crate) codes: Vec<f32>,
    /// Luma with its slow course, in the same way.
    whole: Vec<f32>,
    /// Deviation of the noise in `codes` before they were smoothed.
    pub(crate) noise: f32,
}

/// A place with something to see, counted from the middle, in pixels of its plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StillPoint {
    pub(crate) at: [f32; 2],
    pub(crate) code: f32,
    pub(crate) slope: [f32; 2],
}

impl StillPlane {
    /// The planes of a frame, the largest first. `covered` is what does not stand still.
    pub(crate) fn pyramid(camera: &CameraRaster, covered: &Runs) -> Vec<Self> {
        let size = camera.size();
        let frame = [size.width(), size.height()].map(f64::from);
        let longest = size.width().max(size.height()) as usize;
        let mut scale = longest.div_ceil(LONGEST_SIDE).max(1);
        let mut reduced = StillLuma::of(camera, covered, scale);
        let mut planes = Vec::new();
        loop {
            planes.push(Self::over_its_course(
                &reduced,
                frame.map(|v| v / (2.0 * scale as f64)),
                scale,
            ));
            if reduced.width.min(reduced.height) / 2 < LEAST_SIDE {
                return planes;
            }
            reduced = reduced.halved();
            scale *= 2;
        }
    }

    /// The plane with the slow course left in it.
    ///
    /// The mean around a place is taken by what is in sight, so that it is another where the same thing is nearer to the
    /// picture's side or to what covers it; a map that is fitted without it falls short by up to a tenth.
    pub(crate) fn whole(&self) -> Self {
        Self {
            codes: self.whole.clone(),
            ..self.clone()
        }
    }

    /// The plane as it is when the frame lies another way round.
    pub(crate) fn lying(&self, way: WayRound) -> Self {
        let (width, height) = if way.is_on_its_side() {
            (self.height, self.width)
        } else {
            (self.width, self.height)
        };
        let sides = [self.width, self.height];
        let turned = |values: &[f32]| {
            let mut out = Vec::with_capacity(values.len());
            for y in 0..height {
                out.extend((0..width).map(|x| {
                    let [u, v] = way.source(sides, x, y);
                    values[v * self.width + u]
                }));
            }
            out
        };
        // Where the centre comes from is a whole pixel's source moved by the rest of a pixel, the same way round.
        let [cx, cy] = self.centre;
        let (mx, my) = (self.width as f64 - cx, self.height as f64 - cy);
        let centre = match way {
            WayRound::Same => [cx, cy],
            WayRound::Mirrored => [mx, cy],
            WayRound::Flipped => [cx, my],
            WayRound::HalfTurn => [mx, my],
            WayRound::QuarterTurn => [my, cx],
            WayRound::ThreeQuarterTurn => [cy, mx],
            WayRound::QuarterTurnMirrored => [cy, cx],
            WayRound::ThreeQuarterTurnMirrored => [my, mx],
        };
        Self {
            width,
            height,
            centre,
            codes: turned(&self.codes),
            whole: turned(&self.whole),
            ..*self
        }
    }

    /// Code and slope at a place counted from the middle, linear between pixels; none where nothing stands still.
    pub(crate) fn at(&self, [x, y]: [f64; 2]) -> Option<(f32, [f32; 2])> {
        let (x, y) = (x + self.centre[0] - 0.5, y + self.centre[1] - 0.5);
        if !(1.0..self.width as f64 - 2.0).contains(&x)
            || !(1.0..self.height as f64 - 2.0).contains(&y)
        {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "inside of the plane"
        )]
        let (u, v, fx, fy) = (
            x as usize,
            y as usize,
            (x - x.floor()) as f32,
            (y - y.floor()) as f32,
        );
        let i = v * self.width + u;
        let mix = |i: usize| {
            let row = |i: usize| self.codes[i] + fx * (self.codes[i + 1] - self.codes[i]);
            row(i) + fy * (row(i + self.width) - row(i))
        };
        let slope = [
            0.5 * (mix(i + 1) - mix(i - 1)),
            0.5 * (mix(i + self.width) - mix(i - self.width)),
        ];
        let code = mix(i);
        let is_seen = !(code + slope[0] + slope[1]).is_nan();
        is_seen.then_some((code, slope))
    }

    /// Every place with something to see that is `reach` px or less from it, and how many of them are things themselves.
    pub(crate) fn points(&self, reach: usize) -> (Vec<StillPoint>, usize) {
        let seen: Vec<f32> = self
            .codes
            .iter()
            .map(|code| if code.is_nan() { 0.0 } else { *code })
            .collect();
        let blurred = box_mean(&seen, self.width, 2);
        let least = STRUCTURE_CODES.max(STRUCTURE_DEVIATIONS * NOISE_LEFT * self.noise);
        let is_thing: Vec<f32> = blurred
            .iter()
            .zip(&self.codes)
            .map(|(thing, code)| f32::from(u8::from(!code.is_nan() && thing.abs() > least)))
            .collect();
        let things = is_thing.iter().filter(|&&is| is > 0.0).count();
        let near = box_mean(&is_thing, self.width, reach);
        let mut points = Vec::new();
        for y in 1..self.height.saturating_sub(1) {
            for x in 1..self.width.saturating_sub(1) {
                let i = y * self.width + x;
                let slope = [
                    0.5 * (self.codes[i + 1] - self.codes[i - 1]),
                    0.5 * (self.codes[i + self.width] - self.codes[i - self.width]),
                ];
                let code = self.codes[i];
                if near[i] > 1e-6 && !(code + slope[0] + slope[1]).is_nan() {
                    #[expect(clippy::cast_possible_truncation, reason = "a place in the plane")]
                    let at = [
                        (x as f64 + 0.5 - self.centre[0]) as f32,
                        (y as f64 + 0.5 - self.centre[1]) as f32,
                    ];
                    points.push(StillPoint { at, code, slope });
                }
            }
        }
        (points, things)
    }
}

/// Correlation of what is at these points with what another plane has where a map takes them, and at how many of them it
/// has something.
pub(crate) fn correlation(
    points: &[StillPoint],
    other: &StillPlane,
    map: &StillMap,
) -> (f64, usize) {
    let mut sums = [0.0_f64; 5];
    let mut count = 0_usize;
    for point in points {
        let Some((code, _)) = other.at(map.apply(point.at.map(f64::from))) else {
            continue;
        };
        let (a, b) = (judged(point.code), judged(code));
        for (sum, term) in sums.iter_mut().zip([a, b, a * a, b * b, a * b]) {
            *sum += term;
        }
        count += 1;
    }
    (correlation_of(sums, count), count)
}

/// A code as agreement is judged by: what is very bright is as likely a hand or a face that was not found as anything else.
pub(crate) fn judged(code: f32) -> f64 {
    f64::from(code.clamp(-MOST_JUDGED, MOST_JUDGED))
}

/// Correlation by the sums of `a`, `b`, `a²`, `b²` and `a b`.
pub(super) fn correlation_of([a, b, aa, bb, ab]: [f64; 5], count: usize) -> f64 {
    let n = count.max(1) as f64;
    let spread = ((aa - a * a / n) * (bb - b * b / n)).max(0.0).sqrt();
    if spread > 1e-9 {
        (ab - a * b / n) / spread
    } else {
        0.0
    }
}

impl StillPlane {
    /// Smoothed, less the mean around each place, both by what stands still alone.
    fn over_its_course(of: &StillLuma, centre: [f64; 2], scale: usize) -> Self {
        let is_still: Vec<f32> = of
            .still
            .iter()
            .map(|&still| f32::from(u8::from(still > LEAST_STILL)))
            .collect();
        let seen: Vec<f32> = of
            .luma
            .iter()
            .zip(&is_still)
            .map(|(luma, still)| luma * still)
            .collect();
        let reach = of.width.max(of.height) / COURSE_PART;
        let wide = |values: &[f32]| box_mean(values, of.width, reach);
        let (course, weight) = (wide(&seen), wide(&is_still));
        let (near, near_weight) = (softened(&seen, of.width), softened(&is_still, of.width));
        let whole: Vec<f32> = (0..seen.len())
            .map(|i| {
                if is_still[i] > 0.0 {
                    near[i] / near_weight[i]
                } else {
                    f32::NAN
                }
            })
            .collect();
        let codes = (0..seen.len())
            .map(|i| whole[i] - course[i] / weight[i])
            .collect();
        Self {
            width: of.width,
            height: of.height,
            centre,
            scale: scale as f64,
            codes,
            whole,
            noise: of.noise(&is_still),
        }
    }
}

/// `1 2 1` both ways; outside of the plane is nothing.
fn softened(values: &[f32], width: usize) -> Vec<f32> {
    let height = values.len() / width;
    let mut across = vec![0.0_f32; values.len()];
    for (out, row) in across.chunks_mut(width).zip(values.chunks(width)) {
        for x in 0..width {
            let left = if x > 0 { row[x - 1] } else { 0.0 };
            let right = if x + 1 < width { row[x + 1] } else { 0.0 };
            out[x] = 0.25 * (left + right) + 0.5 * row[x];
        }
    }
    let mut out = vec![0.0_f32; values.len()];
    for y in 0..height {
        for x in 0..width {
            let i = y * width + x;
            let up = if y > 0 { across[i - width] } else { 0.0 };
            let down = if y + 1 < height {
                across[i + width]
            } else {
                0.0
            };
            out[i] = 0.25 * (up + down) + 0.5 * across[i];
        }
    }
    out
}
