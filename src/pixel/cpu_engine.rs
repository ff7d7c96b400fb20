//! The fast engine for the processor: bands of rows on all cores, vector instructions chosen at run time.
//! Judged by `reference.rs` in `tests/headless/cpu_engine.rs`.

use fearless_simd::{Level, Simd, dispatch};
use rayon::prelude::*;

use super::cpu_kernel::{
    KeyNumbers, composite_bytes, composite_planes, copy_bytes, matte_greys, matte_row, round_planes,
};
use super::cpu_planes::{Planes, SPARE_PX};
use super::cpu_rows::{Recipe, Row, RowMaker, TURNED_ROWS};
use super::frame::Frame;
use super::key::luma;
use super::plan::Plan;
use super::views::{View, exposure, is_content, kept};

/// Rows that one task makes. As many as are turned together, so that none is gathered for nothing.
const BAND_ROWS: usize = TURNED_ROWS;

/// The picture that a plan describes, 8-bit R'G'B'.
pub fn compose(plan: &Plan<'_>) -> Frame {
    let mut pixels = vec![[0; 4]; plan.output.area()];
    compose_into(plan, &mut pixels);
    Frame::from_opaque(plan.output, pixels)
}

/// The picture that a plan describes, into memory that is already there.
///
/// # Panics
///
/// If `out` is not `plan.output.area()` long.
pub fn compose_into(plan: &Plan<'_>, out: &mut [[u8; 4]]) {
    compose_at(Level::new(), plan, out);
}

/// [`compose_into`] with the instructions of a given level, for tests and measurements.
///
/// # Panics
///
/// If `out` is not `plan.output.area()` long.
pub fn compose_at(level: Level, plan: &Plan<'_>, out: &mut [[u8; 4]]) {
    assert_eq!(out.len(), plan.output.area(), "pixels of the output");
    let width = plan.output.width() as usize;
    let recipes = Recipes::new(plan);
    out.par_chunks_mut(width * BAND_ROWS)
        .enumerate()
        .for_each_init(
            || Bands::new(plan, &recipes),
            |bands, (band, rows)| {
                dispatch!(level, simd => {
                    for (y, out) in (band * BAND_ROWS..).zip(rows.chunks_mut(width)) {
                        bands.view_row(simd, y, out);
                    }
                });
            },
        );
}

/// [`compose`] on this thread alone, for callers that have work of their own on every core.
pub fn compose_here(plan: &Plan<'_>) -> Frame {
    let mut pixels = vec![[0; 4]; plan.output.area()];
    let level = Level::new();
    let recipes = Recipes::new(plan);
    let mut bands = Bands::new(plan, &recipes);
    let width = plan.output.width() as usize;
    for (y, out) in pixels.chunks_mut(width).enumerate() {
        dispatch!(level, simd => bands.view_row(simd, y, out));
    }
    Frame::from_opaque(plan.output, pixels)
}

/// Hands over the 8-bit codes of each output row of the slide signal, rounded as the view `slide` is, on
/// this thread, from the top.
pub fn for_each_slide_row(plan: &Plan<'_>, mut take: impl FnMut(&[[u8; 4]])) {
    let slide = Plan {
        view: View::Slide,
        ..plan.clone()
    };
    let level = Level::new();
    let recipes = Recipes::new(&slide);
    let mut bands = Bands::new(&slide, &recipes);
    let mut codes = vec![[0; 4]; slide.output.width() as usize];
    for y in 0..slide.output.height() as usize {
        dispatch!(level, simd => bands.view_row(simd, y, &mut codes));
        take(&codes);
    }
}

/// Hands over the matte of each output row, which comes from the unrounded slide signal, on this thread,
/// from the top.
pub fn for_each_matte_row(plan: &Plan<'_>, mut take: impl FnMut(&[f32])) {
    let level = Level::new();
    let recipes = Recipes::new(plan);
    let mut bands = Bands::new(plan, &recipes);
    let width = plan.output.width() as usize;
    for y in 0..plan.output.height() as usize {
        dispatch!(level, simd => bands.fill_mattes(simd, y));
        take(&bands.mattes[..width]);
    }
}

/// Adds up what `count` makes of the matte of each output row; whole numbers, so the order is all one.
pub(super) fn sum_matte_rows<const N: usize>(
    plan: &Plan<'_>,
    count: impl Fn(&[f32]) -> [u64; N] + Sync,
) -> [u64; N] {
    let level = Level::new();
    let (width, height) = (plan.output.width() as usize, plan.output.height() as usize);
    let recipes = Recipes::new(plan);
    let add = |a: [u64; N], b: [u64; N]| std::array::from_fn(|i| a[i] + b[i]);
    (0..height.div_ceil(BAND_ROWS))
        .into_par_iter()
        .map_init(
            || Bands::new(plan, &recipes),
            |bands, band| {
                let end = height.min((band + 1) * BAND_ROWS);
                (band * BAND_ROWS..end).fold([0; N], |sum, y| {
                    dispatch!(level, simd => bands.fill_mattes(simd, y));
                    add(sum, count(&bands.mattes[..width]))
                })
            },
        )
        .reduce(|| [0; N], add)
}

/// The names of the vector levels this machine has, best first, and the levels.
pub fn levels() -> Vec<(&'static str, Level)> {
    let best = Level::new();
    #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
    let all = [
        ("AVX-512", best.as_avx512().map(Simd::level)),
        ("AVX2", best.as_avx2().map(Simd::level)),
        ("SSE4.2", best.as_sse4_2().map(Simd::level)),
        ("SSE2", best.as_sse2().map(Simd::level)),
    ];
    #[cfg(target_arch = "aarch64")]
    let all = [("NEON", best.as_neon().map(Simd::level))];
    #[cfg(not(any(target_arch = "x86", target_arch = "x86_64", target_arch = "aarch64")))]
    let all = [("baseline", Some(best))];
    all.into_iter()
        .filter_map(|(name, level)| Some((name, level?)))
        .collect()
}

/// How the rows of both layers are made.
struct Recipes<'a> {
    camera: Recipe<'a>,
    slide: Recipe<'a>,
}

impl<'a> Recipes<'a> {
    fn new(plan: &'a Plan<'_>) -> Self {
        let width = plan.output.width() as usize;
        Self {
            camera: Recipe::new(plan.camera.as_ref(), width),
            slide: Recipe::new(plan.slide.as_ref(), width),
        }
    }
}

/// What a thread keeps from row to row.
struct Bands<'a> {
    plan: &'a Plan<'a>,
    key: KeyNumbers,
    camera: RowMaker<'a>,
    slide: RowMaker<'a>,
    camera_planes: Planes,
    slide_planes: Planes,
    mattes: Vec<f32>,
}

impl<'a> Bands<'a> {
    fn new(plan: &'a Plan<'a>, recipes: &'a Recipes<'a>) -> Self {
        Self {
            plan,
            key: KeyNumbers::new(plan),
            camera: RowMaker::new(&recipes.camera),
            slide: RowMaker::new(&recipes.slide),
            camera_planes: Planes::default(),
            slide_planes: Planes::default(),
            mattes: Vec::new(),
        }
    }

    /// Output row `y` of the view.
    fn view_row<S: Simd>(&mut self, simd: S, y: usize, out: &mut [[u8; 4]]) {
        match self.plan.view {
            View::Composite => self.composite_row(simd, y, out),
            View::Matte => {
                self.fill_slide(simd, y);
                matte_greys(simd, &self.key, &self.slide_planes, out);
            }
            View::Camera => match self.camera.row(simd, y) {
                Row::Bytes(row) => copy_bytes(simd, row, out),
                row @ Row::Floats(_) => {
                    fill(simd, &mut self.camera_planes, row);
                    round_planes(simd, &self.camera_planes, out);
                }
            },
            View::Slide => {
                if let (Row::Bytes(row), None) = (self.slide.row(simd, y), self.plan.chain) {
                    copy_bytes(simd, row, out);
                } else {
                    self.fill_slide(simd, y);
                    round_planes(simd, &self.slide_planes, out);
                }
            }
            View::Kept => self.kept_row(simd, y, out),
            View::Exposure => self.exposure_row(simd, y, out),
        }
    }

    fn composite_row<S: Simd>(&mut self, simd: S, y: usize, out: &mut [[u8; 4]]) {
        let camera = self.camera.row(simd, y);
        let slide = self.slide.row(simd, y);
        if let (Row::Bytes(camera), Row::Bytes(slide), None) = (camera, slide, self.plan.chain) {
            composite_bytes(simd, &self.key, camera, slide, out);
            return;
        }
        fill(simd, &mut self.camera_planes, camera);
        fill(simd, &mut self.slide_planes, slide);
        self.apply_chain(simd);
        composite_planes(
            simd,
            &self.key,
            &self.camera_planes,
            &self.slide_planes,
            out,
        );
    }

    fn kept_row<S: Simd>(&mut self, simd: S, y: usize, out: &mut [[u8; 4]]) {
        self.fill_mattes(simd, y);
        let Plan {
            kr,
            kb,
            background,
            tolerance,
            ..
        } = *self.plan;
        let row = row_u32(y);
        let inside = self.slide.inside(y);
        let mattes = &self.mattes;
        self.slide_planes.replace(
            simd,
            out.len(),
            #[inline(always)]
            |x, slide| {
                let content =
                    inside.contains(&(x as usize)) && is_content(slide, background, tolerance);
                let luma = luma(slide, kr, kb);
                kept(x, row, slide, luma, mattes[x as usize], content)
            },
        );
        round_planes(simd, &self.slide_planes, out);
    }

    fn exposure_row<S: Simd>(&mut self, simd: S, y: usize, out: &mut [[u8; 4]]) {
        let camera = self.camera.row(simd, y);
        fill(simd, &mut self.camera_planes, camera);
        let Plan { kr, kb, .. } = *self.plan;
        let row = row_u32(y);
        self.camera_planes.replace(
            simd,
            out.len(),
            #[inline(always)]
            |x, camera| exposure(x, row, camera, luma(camera, kr, kb)),
        );
        round_planes(simd, &self.camera_planes, out);
    }

    /// The slide signal of row `y`.
    fn fill_slide<S: Simd>(&mut self, simd: S, y: usize) {
        let slide = self.slide.row(simd, y);
        fill(simd, &mut self.slide_planes, slide);
        self.apply_chain(simd);
    }

    /// The matte of row `y`, and the slide signal it comes from.
    fn fill_mattes<S: Simd>(&mut self, simd: S, y: usize) {
        self.fill_slide(simd, y);
        let width = self.plan.output.width() as usize;
        self.mattes.resize(width + SPARE_PX, 0.0);
        matte_row(simd, &self.key, &self.slide_planes, &mut self.mattes);
    }

    fn apply_chain<S: Simd>(&mut self, simd: S) {
        if let Some((gain, offset)) = self.plan.chain {
            self.slide_planes.apply_chain(simd, gain, offset);
        }
    }
}

/// A row taken apart.
fn fill<S: Simd>(simd: S, planes: &mut Planes, row: Row<'_>) {
    match row {
        Row::Bytes(row) => planes.fill_from_bytes(simd, row),
        Row::Floats(row) => planes.fill_from_floats(simd, row),
    }
}

/// The row as the views count it.
fn row_u32(y: usize) -> u32 {
    u32::try_from(y).unwrap_or(u32::MAX)
}
