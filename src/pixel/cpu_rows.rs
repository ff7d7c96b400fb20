//! Rows of a placed layer as `sample.rs` defines them, without a frame in between: source bytes where
//! no arithmetic is due, else a separable resampler that adds up in the same order, columns first.
#![expect(
    clippy::inline_always,
    reason = "vector instructions are only used where a function is part of its caller, which enables them"
)]

use std::ops::Range;

use fearless_simd::{Simd, f32x4, prelude::*};

use super::color::expand_video;
use super::cpu_planes::{eight_bit_frac, sixteen_bit_frac};
use super::frame::Pixels;
use super::placement::Tap;
use super::plan::Layer;
use super::sample::Source;
use super::settings::CodeRange;

/// Rows that are turned together, so that a cache line of the source is used up while it is there.
pub(super) const TURNED_ROWS: usize = 16;
/// Source rows that are kept, scaled across, until output rows have had them.
const KEPT_ROWS: usize = 4;

/// One row of a layer, as wide as the output.
#[derive(Clone, Copy, Debug)]
pub(super) enum Row<'r> {
    /// Codes in full range, their alpha without meaning.
    Bytes(&'r [[u8; 4]]),
    /// R'G'B' 0 to 1, unrounded; the fourth is without meaning.
    Floats(&'r [[f32; 4]]),
}

/// How a layer's rows are made. Decided once a picture, shared by all bands.
#[derive(Debug)]
pub(super) struct Recipe<'a> {
    layer: Option<&'a Layer<'a>>,
    width: usize,
    way: Way<'a>,
    /// Columns that are source pixels one after the other, if the columns do nothing else.
    run: Option<Run>,
    /// Source pixels along a row that any column reads.
    used: Range<usize>,
    /// Output columns with the picture in them; axes have no holes.
    inside: Range<usize>,
}

/// The source's pixels as far as rows can be made of bytes.
#[derive(Clone, Copy, Debug)]
enum Way<'a> {
    /// Nothing there.
    Black,
    /// Every output pixel is a source pixel or black.
    Bytes(&'a [[u8; 4]]),
    /// Anything else.
    Resampled,
}

/// Output columns that take neighbouring source pixels, forwards or backwards; black beside them.
#[derive(Clone, Debug)]
struct Run {
    columns: Range<usize>,
    /// Lowest source pixel.
    first: usize,
    backwards: bool,
}

impl<'a> Recipe<'a> {
    pub(super) fn new(layer: Option<&'a Layer<'a>>, width: usize) -> Self {
        let Some(layer) = layer else {
            return Self {
                layer: None,
                width,
                way: Way::Black,
                run: None,
                used: 0..0,
                inside: 0..0,
            };
        };
        let inside = columns_inside(&layer.placed.columns);
        let taps = layer.placed.columns.iter().filter(|tap| tap.count > 0);
        let start = taps.clone().map(|tap| tap.first).min().unwrap_or(0);
        let end = taps.map(|tap| tap.first + tap.count).max().unwrap_or(0);
        Self {
            layer: Some(layer),
            width,
            way: bytes_of(layer).map_or(Way::Resampled, Way::Bytes),
            run: find_run(&layer.placed.columns, &inside),
            used: start as usize..(end as usize).max(start as usize),
            inside,
        }
    }
}

/// The layer's pixels if its output is made of nothing but them.
fn bytes_of<'a>(layer: &'a Layer<'a>) -> Option<&'a [[u8; 4]]> {
    let Source {
        frame,
        range,
        flattened,
    } = layer.source;
    let whole = |taps: &[Tap]| taps.iter().all(|tap| tap.count <= 1);
    match frame.pixels() {
        Pixels::Rgba8(pixels)
            if range == CodeRange::Full
                && !flattened
                && whole(&layer.placed.columns)
                && whole(&layer.placed.rows) =>
        {
            Some(pixels)
        }
        _ => None,
    }
}

/// From the first tap that is not black to the last.
fn columns_inside(taps: &[Tap]) -> Range<usize> {
    let start = taps.iter().position(|tap| tap.count > 0).unwrap_or(0);
    let last = taps.iter().rposition(|tap| tap.count > 0);
    start..last.map_or(start, |last| last + 1)
}

/// The run that the columns inside are, if they are one.
fn find_run(taps: &[Tap], inside: &Range<usize>) -> Option<Run> {
    let taps = &taps[inside.clone()];
    let (first, last) = (taps.first()?.first, taps.last()?.first);
    let backwards = last < first;
    let expected = |i: u32| {
        if backwards {
            first.checked_sub(i)
        } else {
            Some(first + i)
        }
    };
    (0..)
        .zip(taps)
        .all(|(i, tap)| tap.count == 1 && expected(i) == Some(tap.first))
        .then_some(Run {
            columns: inside.clone(),
            first: first.min(last) as usize,
            backwards,
        })
}

/// Makes rows of a layer after a recipe. One for each thread, used for neighbouring rows.
#[derive(Debug)]
pub(super) struct RowMaker<'a> {
    recipe: &'a Recipe<'a>,
    /// Rows of bytes, and which output rows they are.
    bytes: Vec<[u8; 4]>,
    bytes_rows: Range<usize>,
    /// A source row, decoded.
    decoded: Vec<[f32; 4]>,
    kept: [KeptRow; KEPT_ROWS],
    sum: Vec<[f32; 4]>,
}

/// A source row scaled across.
#[derive(Clone, Debug, Default)]
struct KeptRow {
    source_row: Option<usize>,
    pixels: Vec<[f32; 4]>,
}

impl<'a> RowMaker<'a> {
    pub(super) fn new(recipe: &'a Recipe<'a>) -> Self {
        Self {
            recipe,
            bytes: Vec::new(),
            bytes_rows: 0..0,
            decoded: Vec::new(),
            kept: Default::default(),
            sum: Vec::new(),
        }
    }

    /// Output columns of row `y` with the picture in them.
    pub(super) fn inside(&self, y: usize) -> Range<usize> {
        match self.recipe.layer {
            Some(layer) if layer.placed.rows[y].count > 0 => self.recipe.inside.clone(),
            _ => 0..0,
        }
    }

    /// Output row `y`.
    pub(super) fn row<S: Simd>(&mut self, simd: S, y: usize) -> Row<'_> {
        let width = self.recipe.width;
        let row_tap = |layer: &Layer<'_>| layer.placed.rows[y];
        match (self.recipe.layer, self.recipe.way) {
            (Some(layer), Way::Bytes(pixels)) if row_tap(layer).count > 0 => {
                self.byte_row(simd, layer, pixels, y)
            }
            (Some(layer), Way::Resampled) if row_tap(layer).count > 0 => {
                Row::Floats(self.resampled_row(simd, layer, row_tap(layer)))
            }
            _ => {
                self.bytes_rows = 0..0;
                self.bytes.clear();
                self.bytes.resize(width, [0; 4]);
                Row::Bytes(&self.bytes)
            }
        }
    }

    /// A row of source pixels: the source's own, reversed or gathered.
    fn byte_row<S: Simd>(
        &mut self,
        simd: S,
        layer: &Layer<'_>,
        pixels: &'a [[u8; 4]],
        y: usize,
    ) -> Row<'_> {
        let recipe = self.recipe;
        let placed = &layer.placed;
        let width = recipe.width;
        if placed.column_stride == 1
            && let Some(run) = &recipe.run
        {
            let start = placed.rows[y].first as usize * placed.row_stride as usize + run.first;
            let source = &pixels[start..start + run.columns.len()];
            if run.columns.len() == width && !run.backwards {
                return Row::Bytes(source);
            }
            self.bytes.resize(width, [0; 4]);
            let target = &mut self.bytes[run.columns.clone()];
            simd.vectorize(
                #[inline(always)]
                || {
                    if run.backwards {
                        for (target, source) in target.iter_mut().zip(source.iter().rev()) {
                            *target = *source;
                        }
                    } else {
                        target.copy_from_slice(source);
                    }
                },
            );
            return Row::Bytes(&self.bytes);
        }
        if !self.bytes_rows.contains(&y) {
            let end = placed.rows.len().min(y + TURNED_ROWS);
            self.bytes_rows = y..end;
            self.bytes.clear();
            self.bytes.resize(width * (end - y), [0; 4]);
            gather(layer, pixels, y..end, &mut self.bytes);
        }
        let start = (y - self.bytes_rows.start) * width;
        Row::Bytes(&self.bytes[start..start + width])
    }

    /// The weighted sum of source rows, each scaled across first.
    fn resampled_row<S: Simd>(&mut self, simd: S, layer: &Layer<'_>, tap: Tap) -> &[[f32; 4]] {
        if tap.count == 1 {
            let kept = self.keep_row(simd, layer, tap.first as usize);
            return &self.kept[kept].pixels;
        }
        self.sum.clear();
        self.sum.resize(self.recipe.width, [0.0; 4]);
        for (i, source_row) in (0..tap.count).zip(tap.first as usize..) {
            let kept = self.keep_row(simd, layer, source_row);
            let weight = tap.weight(i);
            let (sum, row) = (&mut self.sum, &self.kept[kept].pixels);
            simd.vectorize(
                #[inline(always)]
                || {
                    let row = row.as_flattened();
                    for (sum, value) in sum.as_flattened_mut().iter_mut().zip(row) {
                        *sum += weight * value;
                    }
                },
            );
        }
        &self.sum
    }

    /// Makes sure that a source row is kept, and says where.
    fn keep_row<S: Simd>(&mut self, simd: S, layer: &Layer<'_>, source_row: usize) -> usize {
        let slot = source_row % KEPT_ROWS;
        let kept = &mut self.kept[slot];
        if kept.source_row == Some(source_row) {
            return slot;
        }
        kept.source_row = Some(source_row);
        let recipe = self.recipe;
        match &recipe.run {
            Some(run) if run.columns.len() == recipe.width && !run.backwards => {
                decode(simd, layer, source_row, &recipe.used, &mut kept.pixels);
            }
            _ => {
                decode(simd, layer, source_row, &recipe.used, &mut self.decoded);
                let start = recipe.used.start;
                let columns = &layer.placed.columns;
                scale_across(simd, columns, start, &self.decoded, &mut kept.pixels);
            }
        }
        slot
    }
}

/// Output rows of source pixels, any stride. Columns outermost: along them a turned source is contiguous.
fn gather(layer: &Layer<'_>, pixels: &[[u8; 4]], rows: Range<usize>, out: &mut [[u8; 4]]) {
    let placed = &layer.placed;
    let width = placed.columns.len();
    let rows = &placed.rows[rows];
    for (x, column) in placed.columns.iter().enumerate() {
        if column.count == 0 {
            continue;
        }
        let start = column.first as usize * placed.column_stride as usize;
        for (i, row) in rows.iter().enumerate() {
            if row.count > 0 {
                let index = start + row.first as usize * placed.row_stride as usize;
                out[i * width + x] = pixels[index];
            }
        }
    }
}

/// The `used` pixels of a source row: expanded and flattened. Twin: `sample.rs: fetch`.
fn decode<S: Simd>(
    simd: S,
    layer: &Layer<'_>,
    source_row: usize,
    used: &Range<usize>,
    out: &mut Vec<[f32; 4]>,
) {
    let Source {
        frame,
        range,
        flattened,
    } = layer.source;
    let stride = layer.placed.column_stride as usize;
    let start = source_row * layer.placed.row_stride as usize + used.start * stride;
    out.resize(used.len(), [0.0; 4]);
    let video = range == CodeRange::Video;
    match frame.pixels() {
        Pixels::Rgba8(pixels) => fill(simd, out, &pixels[start..], stride, eight_bit_frac),
        Pixels::Rgba16(pixels) => fill(simd, out, &pixels[start..], stride, sixteen_bit_frac),
    }
    simd.vectorize(
        #[inline(always)]
        || {
            if video {
                for [r, g, b, _] in out.iter_mut() {
                    [*r, *g, *b] = [*r, *g, *b].map(expand_video);
                }
            }
            if flattened {
                for [r, g, b, a] in out {
                    [*r, *g, *b] = [*r * *a, *g * *a, *b * *a];
                }
            }
        },
    );
}

/// Every `stride`-th source pixel, converted.
#[inline(always)]
fn fill<S: Simd, C: Copy>(
    simd: S,
    out: &mut [[f32; 4]],
    source: &[[C; 4]],
    stride: usize,
    frac: impl Fn(C) -> f32,
) {
    simd.vectorize(
        #[inline(always)]
        || {
            if stride == 1 {
                let codes = source.as_flattened();
                for (out, code) in out.as_flattened_mut().iter_mut().zip(codes) {
                    *out = frac(*code);
                }
            } else {
                for (out, pixel) in out.iter_mut().zip(source.iter().step_by(stride)) {
                    let [r, g, b, a] = *pixel;
                    *out = [frac(r), frac(g), frac(b), frac(a)];
                }
            }
        },
    );
}

/// A source row scaled across; `start` is the source pixel that `row` begins with.
fn scale_across<S: Simd>(
    simd: S,
    columns: &[Tap],
    start: usize,
    row: &[[f32; 4]],
    out: &mut Vec<[f32; 4]>,
) {
    out.resize(columns.len(), [0.0; 4]);
    simd.vectorize(
        #[inline(always)]
        || {
            for (tap, out) in columns.iter().zip(out) {
                *out = [0.0; 4];
                let Some(first) = (tap.first as usize).checked_sub(start) else {
                    continue;
                };
                let pixels = &row[first..first + tap.count as usize];
                if let [first, rest @ ..] = pixels {
                    let mut sum = f32x4::from_slice(simd, first) * tap.first_weight;
                    if let [middle @ .., last] = rest {
                        for pixel in middle {
                            sum += f32x4::from_slice(simd, pixel) * tap.middle_weight;
                        }
                        sum += f32x4::from_slice(simd, last) * tap.last_weight;
                    }
                    sum.store_slice(out);
                }
            }
        },
    );
}
