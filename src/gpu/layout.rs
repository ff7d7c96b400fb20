//! What lies where in the buffers that Rust fills and the shaders read, and which pipeline a plan
//! wants. `tests/headless/shader_contract.rs` compares every name, number and offset with `shaders/`.

use bytemuck::{Pod, Zeroable};

use crate::pixel::frame::PixelFormat;
use crate::pixel::placement::{Placed, Tap};
use crate::pixel::plan::{Layer, Plan};
use crate::pixel::sample::Source;
use crate::pixel::settings::{BlendSpace, CodeRange, Size};
use crate::pixel::views::View;

/// The camera, where a function of the shaders takes either source.
pub const SOURCE_CAMERA: u32 = 0;
/// The slide.
pub const SOURCE_SLIDE: u32 = 1;

/// Threads of a workgroup. Source: measured on an H100, 2026-11-25; 128 differ by 3 % at most.
pub const WORKGROUP_THREADS: u32 = 256;
/// Pixels that a thread makes. Source: measured on an H100, one is half as fast.
pub const PIXELS_PER_THREAD: u32 = 2;
/// Pairs of pixels side by side in a tile, 16 x 32 pixels in all, so that 32 neighbouring threads
/// cover 64 bytes of four rows.
/// Source: measured on an H100, 2026-11-25. 16 pairs are 5 % slower for a turned or a much reduced
/// camera at 8K and within 3 % elsewhere; 4 pairs are up to 27 % slower for reduced sources.
pub const TILE_PAIRS: u32 = 8;

/// Pixels come in pairs of at least this many bytes.
const PAIR_BYTES: u64 = 8;

/// How a pass reads a source: the cheapest way that its placement allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u32)]
pub enum Reading {
    /// Not at all: there is none, or the view does not need it.
    None = 0,
    /// Every output pixel is the source pixel of the same index.
    Untouched = 1,
    /// At most one source pixel for an output pixel: mirrored, turned, cropped, letterboxed.
    One = 2,
    /// At most two along each axis: enlarged, or halved.
    Two = 3,
    /// Any number: reduced.
    Many = 4,
}

impl Reading {
    /// Every way.
    pub const ALL: [Self; 5] = [
        Self::None,
        Self::Untouched,
        Self::One,
        Self::Two,
        Self::Many,
    ];

    /// The cheapest way for a placement.
    fn of(placed: &Placed) -> Self {
        if placed.untouched {
            return Self::Untouched;
        }
        let taps = placed.columns.iter().chain(&placed.rows);
        match taps.map(|tap| tap.count).max() {
            None | Some(0 | 1) => Self::One,
            Some(2) => Self::Two,
            Some(_) => Self::Many,
        }
    }

    /// Whether it looks up taps, and so has to know where its pixel lies.
    fn uses_taps(self) -> bool {
        match self {
            Self::None | Self::Untouched => false,
            Self::One | Self::Two | Self::Many => true,
        }
    }
}

/// What does not change within a pass and is compiled into its pipeline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Variant {
    /// What is shown.
    pub view: View,
    /// Where the blend is computed.
    pub blend_space: BlendSpace,
    /// Whether workgroups are tiles.
    pub tiled: bool,
    /// The camera.
    pub camera: SourceVariant,
    /// The slide.
    pub slide: SourceVariant,
}

/// How a source is read and what its codes mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SourceVariant {
    /// How its pixels are found.
    pub reading: Reading,
    /// How they are stored.
    pub format: PixelFormat,
    /// Which codes mean black and white.
    pub range: CodeRange,
    /// Whether alpha is laid over black.
    pub flattened: bool,
}

impl SourceVariant {
    /// A source that is not there.
    const NONE: Self = Self {
        reading: Reading::None,
        format: PixelFormat::Rgba8,
        range: CodeRange::Full,
        flattened: false,
    };

    fn of(layer: Option<&Layer<'_>>, needed: bool) -> Self {
        let Some(Layer {
            source:
                Source {
                    frame,
                    range,
                    flattened,
                },
            placed,
        }) = layer.filter(|_| needed)
        else {
            return Self::NONE;
        };
        Self {
            reading: Reading::of(placed),
            format: frame.format(),
            range: *range,
            flattened: *flattened,
        }
    }
}

impl Variant {
    /// The values of the shader's overrides.
    pub fn overrides(&self) -> [(&'static str, f64); 10] {
        let Self {
            view,
            blend_space,
            tiled,
            camera,
            slide,
        } = *self;
        [
            ("VIEW", f64::from(view as u32)),
            ("BLEND_SPACE", f64::from(blend_space as u32)),
            ("TILED", f64::from(u32::from(tiled))),
            ("CAMERA_READING", f64::from(camera.reading as u32)),
            ("CAMERA_FORMAT", f64::from(camera.format as u32)),
            ("CAMERA_RANGE", f64::from(camera.range as u32)),
            ("SLIDE_READING", f64::from(slide.reading as u32)),
            ("SLIDE_FORMAT", f64::from(slide.format as u32)),
            ("SLIDE_RANGE", f64::from(slide.range as u32)),
            ("SLIDE_FLATTENED", f64::from(u32::from(slide.flattened))),
        ]
    }
}

/// A source in the uniform buffer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct SourceParams {
    /// Pixels between neighbours along the source axis that output columns walk.
    pub column_stride: u32,
    /// Pixels between neighbours along the source axis that output rows walk.
    pub row_stride: u32,
    /// Index of the first column's tap.
    pub columns_start: u32,
    /// Index of the first row's tap.
    pub rows_start: u32,
    /// Weight of a pixel that is neither first nor last of a column tap.
    pub column_middle_weight: f32,
    /// Weight of a pixel that is neither first nor last of a row tap.
    pub row_middle_weight: f32,
    /// Distance between neighbouring codes, 0 to 1.
    pub code_step: f32,
    /// Unused.
    pub reserved: u32,
}

/// The uniform buffer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Pixels across.
    pub output_width: u32,
    /// Pixels down.
    pub output_height: u32,
    /// Pixels in all.
    pub output_pixels: u32,
    /// Threads of one row of workgroups, where they lie in a line.
    pub row_threads: u32,
    /// Shape of the matte.
    pub ramp: u32,
    /// How the slide's colour enters.
    pub alpha: u32,
    /// 1 where gain and offset apply.
    pub chained: u32,
    /// Unused.
    pub reserved: u32,
    /// Weight of R'.
    pub kr: f32,
    /// Weight of B'.
    pub kb: f32,
    /// Threshold, 0 to 1.
    pub threshold: f32,
    /// Softness, 0 to 1.
    pub softness: f32,
    /// Factor of the chain.
    pub gain: f32,
    /// Offset of the chain, fraction of white.
    pub offset: f32,
    /// How far a channel may be off the background, 0 to 1.
    pub tolerance: f32,
    /// Unused.
    pub reserved_1: u32,
    /// The slide's background after the chain; the fourth is unused.
    pub background: [f32; 4],
    /// The camera.
    pub camera: SourceParams,
    /// The slide.
    pub slide: SourceParams,
}

/// A tap as the shaders read it: first, count, and the bits of first and last weight. The middle
/// weight is the same all along an axis and stands in [`SourceParams`].
pub type TapWords = [u32; 4];

/// How many workgroups a pass has in both directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    /// Workgroups across.
    pub x: u32,
    /// Workgroups down.
    pub y: u32,
}

/// Everything a pass needs beside the pixels.
#[derive(Clone, Debug)]
pub struct Job {
    /// Which pipeline.
    pub variant: Variant,
    /// The uniform buffer.
    pub params: Params,
    /// The taps of both sources; never empty, since a binding cannot be.
    pub taps: Vec<TapWords>,
    /// How many workgroups.
    pub grid: Grid,
}

impl Job {
    /// What a plan comes to on an adapter with this many workgroups a dimension.
    pub fn new(plan: &Plan<'_>, workgroups_per_dimension: u32) -> Self {
        let Plan {
            output,
            camera,
            slide,
            kr,
            kb,
            threshold,
            softness,
            ramp,
            alpha,
            blend_space,
            chain,
            background,
            tolerance,
            view,
        } = plan;
        let (needs_camera, needs_slide, needs_position) = match view {
            View::Composite => (true, true, false),
            View::Matte | View::Slide => (false, true, false),
            View::Camera => (true, false, false),
            View::Kept => (false, true, true),
            View::Exposure => (true, false, true),
        };
        let camera_variant = SourceVariant::of(camera.as_ref(), needs_camera);
        let slide_variant = SourceVariant::of(slide.as_ref(), needs_slide);
        let positioned = needs_position
            || camera_variant.reading.uses_taps()
            || slide_variant.reading.uses_taps();
        let tiled = positioned && output.width().is_multiple_of(PIXELS_PER_THREAD);
        let mut taps = Vec::new();
        let mut params_of = |layer: &Option<Layer<'_>>, variant: SourceVariant| SourceParams {
            code_step: code_step(variant.format),
            ..match layer {
                Some(layer) if variant.reading.uses_taps() => push_taps(&mut taps, &layer.placed),
                _ => SourceParams::default(),
            }
        };
        let camera_params = params_of(camera, camera_variant);
        let slide_params = params_of(slide, slide_variant);
        if taps.is_empty() {
            taps.push(TapWords::default());
        }
        let (gain, offset) = chain.unwrap_or((1.0, 0.0));
        let [r, g, b] = *background;
        let (grid, row_threads) = if tiled {
            (tiles(*output), 0)
        } else {
            line(*output, workgroups_per_dimension)
        };
        Self {
            variant: Variant {
                view: *view,
                blend_space: *blend_space,
                tiled,
                camera: camera_variant,
                slide: slide_variant,
            },
            params: Params {
                output_width: output.width(),
                output_height: output.height(),
                output_pixels: output.width() * output.height(),
                row_threads,
                ramp: *ramp as u32,
                alpha: *alpha as u32,
                chained: u32::from(chain.is_some()),
                reserved: 0,
                kr: *kr,
                kb: *kb,
                threshold: *threshold,
                softness: *softness,
                gain,
                offset,
                tolerance: *tolerance,
                reserved_1: 0,
                background: [r, g, b, 0.0],
                camera: camera_params,
                slide: slide_params,
            },
            taps,
            grid,
        }
    }
}

/// Workgroups as tiles over the output.
fn tiles(output: Size) -> Grid {
    Grid {
        x: output.width().div_ceil(TILE_PAIRS * PIXELS_PER_THREAD),
        y: output.height().div_ceil(WORKGROUP_THREADS / TILE_PAIRS),
    }
}

/// Workgroups in a line that is broken where a dimension ends, and the threads of one such row.
fn line(output: Size, workgroups_per_dimension: u32) -> (Grid, u32) {
    let pixels = output.width() * output.height();
    let workgroups = pixels
        .div_ceil(PIXELS_PER_THREAD)
        .div_ceil(WORKGROUP_THREADS);
    let y = workgroups.div_ceil(workgroups_per_dimension.max(1));
    let x = workgroups.div_ceil(y);
    (Grid { x, y }, x * WORKGROUP_THREADS)
}

/// Appends both lists of a placement.
fn push_taps(taps: &mut Vec<TapWords>, placed: &Placed) -> SourceParams {
    let Placed {
        columns,
        rows,
        column_stride,
        row_stride,
        untouched: _,
    } = placed;
    let mut push = |axis: &[Tap]| {
        let start = taps.len();
        taps.extend(axis.iter().map(tap_words));
        #[expect(
            clippy::cast_possible_truncation,
            reason = "four axes of at most MAX_SIDE_PX taps"
        )]
        let start = start as u32;
        start
    };
    SourceParams {
        column_stride: *column_stride,
        row_stride: *row_stride,
        columns_start: push(columns),
        rows_start: push(rows),
        column_middle_weight: middle_weight(columns),
        row_middle_weight: middle_weight(rows),
        ..SourceParams::default()
    }
}

/// Distance between neighbouring codes, 0 to 1.
pub fn code_step(format: PixelFormat) -> f32 {
    match format {
        PixelFormat::Rgba8 => 1.0 / 255.0,
        PixelFormat::Rgba16 => 1.0 / 65_535.0,
    }
}

/// A tap without its middle weight.
fn tap_words(tap: &Tap) -> TapWords {
    let Tap {
        first,
        count,
        first_weight,
        middle_weight: _,
        last_weight,
    } = *tap;
    [first, count, first_weight.to_bits(), last_weight.to_bits()]
}

/// The middle weight of the taps that have one.
fn middle_weight(axis: &[Tap]) -> f32 {
    axis.iter()
        .find(|tap| tap.count > 2)
        .map_or(0.0, |tap| tap.middle_weight)
}

/// Bytes of a buffer of pixels, padded to whole pairs.
pub fn pixel_bytes(size: Size, format: PixelFormat) -> u64 {
    let bytes = match format {
        PixelFormat::Rgba8 => 4,
        PixelFormat::Rgba16 => 8,
    };
    (size.area() as u64 * bytes).next_multiple_of(PAIR_BYTES)
}
