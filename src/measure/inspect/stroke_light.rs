//! The light of strokes and the light beside them: what a weaker copy of the strokes is looked for in. Takes out
//! their glow, which goes out to all sides alike.

use rayon::prelude::*;

use super::camera_parts::CameraParts;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::box_mean::box_mean;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::statistics::least_squares::LeastSquares;
use crate::pixel::settings::Size;

/// Height that frames are reduced to where they are at least half as high again, px. Source: chosen; a copy that is less
/// than a pixel off there is not seen in a 1080p recording.
const HEIGHT_PX: u32 = 1080;
/// Share of the strongest stroke nearby from which a pixel is a stroke and no copy. Source: chosen; a copy of 40 % in
/// glow of 20 % is none.
const STROKE_SHARE: u32 = 62;
/// How far off the presenter nothing is looked at, px in a frame 1080 high. Source: chosen; the outline is found to
/// within a cell of 8 px.
const PRESENTER_PX: u32 = 16;
/// Deviations of the glow's parts, in a frame 1080 high, px, and by how much their rasters are reduced for it. Source:
/// chosen; every glow between is near a sum of these.
const GLOWS: [(f64, usize); 3] = [(5.0, 2), (14.0, 4), (40.0, 4)];
/// Steps of a code that light beside strokes is counted in. Source: chosen; a quarter of a code is less than noise, and sums stay
/// whole numbers.
pub const STEPS: f64 = 4.0;
/// Most runs of strokes that are looked at. Source: measured on drawn strokes; of as many, noise of 4 codes leaves a
/// strength of 5 % to within a tenth of it.
const MOST_RUNS: usize = 700;

/// Strokes, and what is beside them.
#[derive(Clone, Debug)]
pub struct StrokeLight {
    /// The raster that all of this is in.
    pub size: Size,
    /// Pixels of the output a pixel of it.
    pub factor: u32,
    /// R'G'B' codes.
    pub codes: Vec<[u8; 4]>,
    /// Of strokes with their edges, the strongest channel over the backdrop, codes; 0 beside them.
    pub strokes: Vec<u8>,
    /// Beside strokes, the same less glow, in [`STEPS`] of a code; 0 elsewhere.
    pub beside: Vec<i16>,
    /// 1 beside strokes, where a copy could be seen; else 0.
    pub is_beside: Vec<u8>,
    /// Strokes with their edges, thinned out evenly where there are many.
    pub runs: Vec<Run>,
    /// Strokes with their edges.
    pub near: Runs,
    /// How far a copy may be off, px.
    pub reach_px: i32,
    glows: Vec<Glow>,
    backdrop: f64,
}

/// A blurred raster of strokes.
#[derive(Clone, Debug)]
struct Glow {
    reduced: usize,
    width: usize,
    values: Vec<f32>,
}

impl Glow {
    fn at(&self, x: usize, y: usize) -> f64 {
        f64::from(self.values[y / self.reduced * self.width + x / self.reduced])
    }
}

impl StrokeLight {
    /// Measures it. `edge_px` is the width of the strokes' edges, `reach_percent` how far copies may be off, of the
    /// height.
    pub fn measure(
        camera: &CameraRaster,
        parts: &CameraParts,
        edge_px: f64,
        reach_percent: f64,
    ) -> Option<Self> {
        let factor = ((camera.size().height() + HEIGHT_PX / 2) / HEIGHT_PX).max(1);
        let (size, codes) = reduced(camera, factor)?;
        let (width, height) = (size.width() as usize, size.height());
        let backdrop = parts.pieces.backdrop;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a code, and a few pixels"
        )]
        let (dark, reach, margin) = (
            backdrop.round() as u8,
            (reach_percent / 100.0 * f64::from(height)).round() as u32,
            (edge_px / f64::from(factor) / 2.0 + 1.0).ceil() as u32,
        );
        let over = |[r, g, b, _]: [u8; 4]| r.max(g).max(b).saturating_sub(dark);
        let light: Vec<u8> = codes.par_iter().map(|&code| over(code)).collect();
        let mut written = vec![0_u8; size.area()];
        paint(&mut written, width, &parts.writing, factor);
        let ink: Vec<u8> = written.iter().zip(&light).map(|(&w, &l)| w * l).collect();
        let nearby = BytePlane::new(size, ink.clone())
            .halved_to_most()
            .dilated(reach as usize / 2);
        let is_stroke: Vec<u8> = ink
            .iter()
            .enumerate()
            .map(|(at, &code)| {
                let near = nearby.row(at / width / 2)[at % width / 2];
                u8::from(code > 0 && 100 * u32::from(code) >= STROKE_SHARE * u32::from(near))
            })
            .collect();
        let near = Runs::of_bytes(size, &is_stroke, |byte| byte == 1).grown(margin);
        let mut strokes = vec![0_u8; size.area()];
        for run in near.as_slice() {
            let row = run.y as usize * width;
            let places = row + run.start as usize..row + run.end as usize;
            strokes[places.clone()].copy_from_slice(&light[places]);
        }
        let mut presenter = vec![0_u8; size.area()];
        paint(&mut presenter, width, &parts.presenter, factor);
        let presenter = Runs::of_bytes(size, &presenter, |byte| byte == 1)
            .grown(PRESENTER_PX * height / HEIGHT_PX + 1);
        let looked_at = near
            .grown(reach + margin)
            .without(&near)
            .without(&presenter);
        let glows = GLOWS
            .into_par_iter()
            .map(|(deviation, reduced)| {
                let deviation = deviation * f64::from(height) / f64::from(HEIGHT_PX);
                blurred(&strokes, size, deviation, reduced)
            })
            .collect();
        let runs = near.as_slice();
        let step = runs.len().div_ceil(MOST_RUNS).max(1);
        let mut light = Self {
            size,
            factor,
            codes,
            strokes,
            beside: vec![0; size.area()],
            is_beside: vec![0; size.area()],
            runs: runs.iter().copied().step_by(step).collect(),
            near: near.clone(),
            reach_px: i32::try_from(reach).unwrap_or(0),
            glows,
            backdrop,
        };
        light.take_glow_out(&looked_at);
        Some(light)
    }

    /// The strongest channel of a pixel over the backdrop, codes, and the glow's parts there.
    fn row_of(&self, at: usize) -> (f64, [f64; 4]) {
        let [r, g, b, _] = self.codes[at];
        let width = self.size.width() as usize;
        let (x, y) = (at % width, at / width);
        let glow = |i: usize| self.glows.get(i).map_or(0.0, |glow| glow.at(x, y));
        let light = f64::from(r.max(g).max(b)) - self.backdrop;
        (light, [glow(0), glow(1), glow(2), 1.0])
    }

    /// Fits the glow's parts to what is beside the strokes, and keeps the rest.
    fn take_glow_out(&mut self, looked_at: &Runs) {
        let width = self.size.width() as usize;
        let mut fit = LeastSquares::<4>::new();
        for run in looked_at.as_slice().iter().filter(|run| run.y % 2 == 0) {
            for x in (run.start..run.end).step_by(2) {
                let (light, parts) = self.row_of(run.y as usize * width + x as usize);
                fit.add(parts, light);
            }
        }
        let Some(factors) = fit.solve() else { return };
        for run in looked_at.as_slice() {
            for x in run.start..run.end {
                let at = run.y as usize * width + x as usize;
                let (light, parts) = self.row_of(at);
                let glow: f64 = factors.iter().zip(parts).map(|(f, part)| f * part).sum();
                #[expect(clippy::cast_possible_truncation, reason = "codes")]
                let steps = (STEPS * (light - glow).clamp(-255.0, 255.0)).round() as i16;
                self.beside[at] = steps;
                self.is_beside[at] = 1;
            }
        }
    }

    /// How strong the copy at `shift` is, a share of the strokes, fitted together with the glow; none where nothing of
    /// it can be seen.
    pub fn strength_at(&self, shift: [f64; 2]) -> Option<f64> {
        let (width, height) = (self.size.width() as usize, self.size.height() as usize);
        let mut fit = LeastSquares::<5>::new();
        for y in (0..height).step_by(2) {
            for x in (0..width).step_by(2) {
                let at = y * width + x;
                if self.is_beside[at] == 1 {
                    let (light, [a, b, c, one]) = self.row_of(at);
                    let copy = self.stroke_at(x as f64 - shift[0], y as f64 - shift[1]);
                    fit.add([a, b, c, one, copy], light);
                }
            }
        }
        fit.solve().map(|factors| factors[4])
    }

    /// The strokes' light between pixels.
    fn stroke_at(&self, x: f64, y: f64) -> f64 {
        let (left, top) = (x.floor(), y.floor());
        let (u, v) = (x - left, y - top);
        let value = |dx: f64, dy: f64| {
            let (x, y) = (left + dx, top + dy);
            let is_inside = x >= 0.0
                && y >= 0.0
                && x < f64::from(self.size.width())
                && y < f64::from(self.size.height());
            if !is_inside {
                return 0.0;
            }
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "just tested"
            )]
            let at = y as usize * self.size.width() as usize + x as usize;
            f64::from(self.strokes[at])
        };
        (1.0 - v) * ((1.0 - u) * value(0.0, 0.0) + u * value(1.0, 0.0))
            + v * ((1.0 - u) * value(0.0, 1.0) + u * value(1.0, 1.0))
    }
}

/// The frame with every pixel the mean of `factor` by `factor`.
fn reduced(camera: &CameraRaster, factor: u32) -> Option<(Size, Vec<[u8; 4]>)> {
    if factor == 1 {
        return Some((camera.size(), camera.codes().to_vec()));
    }
    let from = camera.size().width() as usize;
    let size = Size::new(
        camera.size().width() / factor,
        camera.size().height() / factor,
    )
    .ok()?;
    let (width, factor) = (size.width() as usize, factor as usize);
    let count = u32::try_from(factor * factor).ok()?;
    let mut codes = vec![[0_u8; 4]; size.area()];
    codes
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(y, row)| {
            for (x, to) in row.iter_mut().enumerate() {
                let mut sums = [0_u32; 4];
                for v in y * factor..(y + 1) * factor {
                    for code in &camera.codes()[v * from + x * factor..][..factor] {
                        for (sum, &code) in sums.iter_mut().zip(code) {
                            *sum += u32::from(code);
                        }
                    }
                }
                *to = sums.map(|sum| u8::try_from((sum + count / 2) / count).unwrap_or(u8::MAX));
            }
        });
    Some((size, codes))
}

/// Sets the bytes of a mask's pixels in a raster that is reduced by `factor`.
fn paint(bytes: &mut [u8], width: usize, mask: &Runs, factor: u32) {
    for run in mask.as_slice().iter().filter(|run| run.y % factor == 0) {
        let row = (run.y / factor) as usize * width;
        let (start, end) = (
            (run.start / factor) as usize,
            (run.end.div_ceil(factor) as usize).min(width),
        );
        if start < end
            && let Some(pixels) = bytes.get_mut(row + start..row + end)
        {
            pixels.fill(1);
        }
    }
}

/// A Gaussian blur at reduced size, three boxes one after the other.
/// Source: Kovesi, Fast Almost-Gaussian Filtering, 2010, equation 3: n boxes of width w have n (w² - 1) / 12 of variance.
fn blurred(strokes: &[u8], size: Size, deviation_px: f64, reduced: usize) -> Glow {
    let (from, rows) = (size.width() as usize, size.height() as usize);
    let (width, height) = (from.div_ceil(reduced), rows.div_ceil(reduced));
    let mut values = vec![0.0_f32; width * height];
    for (y, row) in strokes.chunks(from).enumerate() {
        for (x, &code) in row.iter().enumerate() {
            values[y / reduced * width + x / reduced] += f32::from(code);
        }
    }
    let area = (reduced * reduced) as f32;
    for value in &mut values {
        *value /= area;
    }
    let variance = (deviation_px / reduced as f64).powi(2);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few pixels"
    )]
    let reach = (((4.0 * variance + 1.0).sqrt() - 1.0) / 2.0)
        .round()
        .max(1.0) as usize;
    for _ in 0..3 {
        values = box_mean(&values, width, reach);
    }
    Glow {
        reduced,
        width,
        values,
    }
}
