//! Every function that exists twice, run on the adapter over a table of arguments and compared with
//! the Rust one: all edges, all 8-bit codes, and a few thousand arbitrary values.

use nightglass::gpu::device::Gpu;
use nightglass::gpu::layout::{WORKGROUP_THREADS, code_step};
use nightglass::gpu::shaders::composite_source;
use nightglass::pixel::color::{
    SRGB_ENCODED_KNEE, SRGB_LINEAR_KNEE, expand_video, srgb_decode, srgb_encode, to_u8,
};
use nightglass::pixel::composite::{apply_chain, blend};
use nightglass::pixel::frame::{Frame, PixelFormat, Pixels};
use nightglass::pixel::key::{Luma, Ramp, luma, matte};
use nightglass::pixel::sample::{Source, fetch};
use nightglass::pixel::settings::{Alpha, BlendSpace, CodeRange, Size};
use nightglass::pixel::views::{
    Background, CLIPPED_VALUE, MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE, NEAR_BLACK_LUMA, exposure,
    is_content, kept,
};
use wgpu::util::DeviceExt;

use crate::gpu_frames::Numbers;
use crate::gpu_probe::{Function, ProbeRow, RESULTS_BINDING, ROWS_BINDING};
use crate::harness::{Check, Tally};

/// The text of the probe.
pub(crate) const PROBE: &str = include_str!("../../shaders/probe.wgsl");

/// `pow` is not required to be exact. Source: largest difference seen on llvmpipe 2.4e-7, and what
/// Vulkan grants `log2` in `[0.5, 2]`, 2^-21, times the exponent.
const POW_SOFTWARE: f32 = 1e-6;
const POW_HARDWARE: f32 = 4e-6;
/// What fusing a product and a sum, or dividing to 2.5 ulp as Vulkan grants, may change in values to 1.
const ARITHMETIC_HARDWARE: f32 = 4e-7;

/// How far a result may be off.
#[derive(Clone, Copy, Debug)]
enum Exactness {
    /// Not by a bit on any adapter: comparisons, integers, and greys at the threshold rest on it.
    Bits,
    /// Not by a bit on a software adapter; elsewhere by rounding, times this slope.
    Arithmetic { slope: f32 },
    /// By what `pow` is granted.
    Pow,
}

impl Exactness {
    fn allowed(self, software: bool) -> f32 {
        match (self, software) {
            (Self::Bits, _) | (Self::Arithmetic { .. }, true) => 0.0,
            (Self::Arithmetic { slope }, false) => ARITHMETIC_HARDWARE * slope,
            (Self::Pow, true) => POW_SOFTWARE,
            (Self::Pow, false) => POW_HARDWARE,
        }
    }
}

/// One call with what Rust makes of it.
struct Case {
    row: ProbeRow,
    expected: Vec<f32>,
    exactness: Exactness,
}

const SUM: Exactness = Exactness::Arithmetic { slope: 1.0 };

/// Makes a table.
type Table = fn() -> Vec<Case>;

/// The table of each function.
const TABLES: [(&str, Table); 14] = [
    ("to_code rounds as to_u8", to_code_cases),
    ("expand_video", expand_video_cases),
    ("srgb_decode", srgb_decode_cases),
    ("srgb_encode", srgb_encode_cases),
    ("luma", luma_cases),
    ("matte", matte_cases),
    ("apply_chain", apply_chain_cases),
    ("blend", blend_cases),
    ("every 8-bit code is exactly v / 255", word_cases),
    ("every 16-bit code is exactly v / 65535", words_cases),
    ("read_signal", read_signal_cases),
    ("is_content", is_content_cases),
    ("kept", kept_cases),
    ("exposure", exposure_cases),
];

/// The checks of this file, one a function.
pub(crate) fn checks() -> Vec<Check> {
    let mut checks: Vec<Check> = TABLES
        .into_iter()
        .map(|(name, cases)| {
            Check::new(format!("twins: {name}"), move |gpu| compare(gpu, &cases()))
        })
        .collect();
    checks.push(Check::new("twins: every function has a table", |_| {
        every_function_has_a_table()
    }));
    checks
}

fn every_function_has_a_table() -> Result<Tally, String> {
    let called: Vec<u32> = TABLES
        .iter()
        .flat_map(|(_, cases)| cases())
        .map(|case| case.row.function)
        .collect();
    for (name, function) in Function::ALL {
        if !called.contains(&(function as u32)) {
            return Err(format!("`{name}` is never called"));
        }
    }
    Ok(Tally {
        compared: Function::ALL.len(),
        ..Tally::default()
    })
}
/// Runs a table and compares every result.
fn compare(gpu: &Gpu, cases: &[Case]) -> Result<Tally, String> {
    if cases.is_empty() {
        return Err("no cases".to_owned());
    }
    let rows: Vec<ProbeRow> = cases.iter().map(|case| case.row).collect();
    let results = run_probe(gpu, &rows)?;
    let (mut worst, mut off) = (0.0_f32, 0);
    let mut failures = Vec::new();
    for (case, got) in cases.iter().zip(&results) {
        for (i, expected) in case.expected.iter().enumerate() {
            let difference = (got[i] - expected).abs();
            if got[i].to_bits() != expected.to_bits() && difference > 0.0 || got[i].is_nan() {
                off += 1;
            }
            worst = worst.max(difference);
            let allowed = case.exactness.allowed(gpu.is_software());
            // Written so that a result that is no number fails.
            let within = difference <= allowed;
            if !within {
                failures.push(format!(
                    "[{i}] got {:?}, expected {expected:?}, for {:?}",
                    got[i], case.row
                ));
            }
        }
    }
    if failures.is_empty() {
        Ok(Tally {
            compared: cases.len(),
            note: format!("{off} of {} rows differ, by {worst:e} at most", cases.len()),
            ..Tally::default()
        })
    } else {
        let shown = failures.len().min(5);
        Err(format!(
            "{} results off, {worst:e} at most\n{}",
            failures.len(),
            failures[..shown].join("\n")
        ))
    }
}

/// Runs the probe over rows.
pub(crate) fn run_probe(gpu: &Gpu, rows: &[ProbeRow]) -> Result<Vec<[f32; 4]>, String> {
    let device = &gpu.device;
    let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
        label: Some("probe"),
        source: wgpu::ShaderSource::Wgsl(format!("{}\n{PROBE}", composite_source()).into()),
    });
    let pipeline = device.create_compute_pipeline(&wgpu::ComputePipelineDescriptor {
        label: Some("probe"),
        layout: None,
        module: &module,
        entry_point: Some("probe"),
        compilation_options: wgpu::PipelineCompilationOptions::default(),
        cache: None,
    });
    gpu.check().map_err(|error| error.to_string())?;
    let input = device.create_buffer_init(&wgpu::util::BufferInitDescriptor {
        label: Some("probe rows"),
        contents: bytemuck::cast_slice(rows),
        usage: wgpu::BufferUsages::STORAGE,
    });
    let bytes = rows.len() as u64 * 16;
    let output = device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("probe results"),
        size: bytes,
        usage: wgpu::BufferUsages::STORAGE | wgpu::BufferUsages::COPY_SRC,
        mapped_at_creation: false,
    });
    let staging = device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("probe staging"),
        size: bytes,
        usage: wgpu::BufferUsages::MAP_READ | wgpu::BufferUsages::COPY_DST,
        mapped_at_creation: false,
    });
    let bind_group = device.create_bind_group(&wgpu::BindGroupDescriptor {
        label: Some("probe"),
        layout: &pipeline.get_bind_group_layout(0),
        entries: &[
            wgpu::BindGroupEntry {
                binding: ROWS_BINDING,
                resource: input.as_entire_binding(),
            },
            wgpu::BindGroupEntry {
                binding: RESULTS_BINDING,
                resource: output.as_entire_binding(),
            },
        ],
    });
    let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    let mut pass = encoder.begin_compute_pass(&wgpu::ComputePassDescriptor::default());
    pass.set_pipeline(&pipeline);
    pass.set_bind_group(0, &bind_group, &[]);
    pass.dispatch_workgroups((rows.len() as u32).div_ceil(WORKGROUP_THREADS), 1, 1);
    drop(pass);
    encoder.copy_buffer_to_buffer(&output, 0, &staging, 0, bytes);
    gpu.queue.submit([encoder.finish()]);
    staging.map_async(wgpu::MapMode::Read, .., |result| result.unwrap());
    device.poll(wgpu::PollType::wait_indefinitely()).unwrap();
    gpu.check().map_err(|error| error.to_string())?;
    let mapped = staging.get_mapped_range(..).unwrap();
    Ok(bytemuck::cast_slice(&mapped).to_vec())
}

fn row(function: Function) -> ProbeRow {
    ProbeRow {
        function: function as u32,
        ..ProbeRow::default()
    }
}

fn four(rgb: [f32; 3]) -> [f32; 4] {
    [rgb[0], rgb[1], rgb[2], 0.0]
}

/// A value with its neighbours on both sides. Next to 0 those are subnormal, which an adapter may
/// flush to 0; half a 16-bit code stands for them.
fn around(v: f32) -> [f32; 3] {
    if v == 0.0 {
        return [-7.6e-6, 0.0, 7.6e-6];
    }
    [v.next_down(), v, v.next_up()]
}

/// All codes and a thousand arbitrary values, each 0 to 1.
fn fractions() -> Vec<f32> {
    let mut numbers = Numbers::new(1);
    (0..=255u8)
        .map(|v| f32::from(v) / 255.0)
        .chain((0..1000).map(|_| numbers.frac()))
        .collect()
}

/// Greys, pure colours and arbitrary ones.
fn colors() -> Vec<[f32; 3]> {
    let mut numbers = Numbers::new(2);
    let corners = (0..8u8).map(|i| [i & 1, i >> 1 & 1, i >> 2].map(f32::from));
    let greys = (0..=255u8).map(|v| [f32::from(v) / 255.0; 3]);
    corners
        .chain(greys)
        .chain((0..1000).map(|_| numbers.color()))
        .collect()
}

fn one_value(
    function: Function,
    exactness: Exactness,
    values: &[f32],
    rust: fn(f32) -> f32,
) -> Vec<Case> {
    values
        .iter()
        .map(|&v| Case {
            row: ProbeRow {
                a: [v; 4],
                ..row(function)
            },
            expected: vec![rust(v)],
            exactness,
        })
        .collect()
}

fn to_code_cases() -> Vec<Case> {
    let mut values = fractions();
    values.extend([-1.0, -0.001, 0.5, 1.001, 2.0]);
    // Half codes belong to the next one up; close to them the product may round either way.
    let halves = (0..255u8).map(|v| (f32::from(v) + 0.5) / 255.0);
    values.extend(halves.flat_map(|v| [v - 1e-6, v + 1e-6]));
    one_value(Function::ToCode, Exactness::Bits, &values, |v| {
        f32::from(to_u8(v))
    })
}

fn expand_video_cases() -> Vec<Case> {
    let mut values = fractions();
    values.extend(around(16.0 / 255.0));
    values.extend(around(235.0 / 255.0));
    one_value(Function::ExpandVideo, SUM, &values, expand_video)
}

fn srgb_decode_cases() -> Vec<Case> {
    let mut values = fractions();
    values.extend(around(SRGB_ENCODED_KNEE));
    one_value(Function::SrgbDecode, Exactness::Pow, &values, srgb_decode)
}

fn srgb_encode_cases() -> Vec<Case> {
    let mut values = fractions();
    values.extend(around(SRGB_LINEAR_KNEE));
    one_value(Function::SrgbEncode, Exactness::Pow, &values, srgb_encode)
}

fn luma_cases() -> Vec<Case> {
    let weights = [Luma::Bt709, Luma::Bt601, Luma::Bt2020].map(Luma::weights);
    let mut cases = Vec::new();
    for rgb in colors() {
        let grey = rgb[0].to_bits() == rgb[1].to_bits() && rgb[1].to_bits() == rgb[2].to_bits();
        for (kr, kb) in weights {
            cases.push(Case {
                row: ProbeRow {
                    a: four(rgb),
                    b: [kr, kb, 0.0, 0.0],
                    ..row(Function::Luma)
                },
                expected: vec![luma(rgb, kr, kb)],
                exactness: if grey { Exactness::Bits } else { SUM },
            });
        }
    }
    cases
}

fn matte_cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for t in [0.0, 0.06, 0.2, 0.5, 1.0] {
        for s in [0.0, 0.0001, 0.04, 0.5, 1.0] {
            let mut values = vec![0.0, 1.0];
            values.extend(around(t));
            values.extend(around(t + s));
            values.extend((0..=255u8).map(|v| f32::from(v) / 255.0));
            for y in values {
                for ramp in [Ramp::Linear, Ramp::Smooth] {
                    let at_an_end = s == 0.0 || y <= t;
                    cases.push(Case {
                        row: ProbeRow {
                            a: [y; 4],
                            b: [t, s, 0.0, 0.0],
                            mode: ramp as u32,
                            ..row(Function::Matte)
                        },
                        expected: vec![matte(y, t, s, ramp)],
                        exactness: if at_an_end {
                            Exactness::Bits
                        } else {
                            Exactness::Arithmetic {
                                slope: 1.5 + 1.0 / s.max(0.01),
                            }
                        },
                    });
                }
            }
        }
    }
    cases
}

fn apply_chain_cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for (gain, offset) in [
        (1.0, 0.0),
        (0.1, -1.0),
        (10.0, 1.0),
        (0.92, 0.031),
        (1.1, -0.07),
    ] {
        for rgb in colors() {
            cases.push(Case {
                row: ProbeRow {
                    a: four(rgb),
                    b: [gain, offset, 0.0, 0.0],
                    ..row(Function::ApplyChain)
                },
                expected: apply_chain(rgb, gain, offset).to_vec(),
                exactness: Exactness::Arithmetic { slope: 10.0 },
            });
        }
    }
    cases
}

fn blend_cases() -> Vec<Case> {
    let mut numbers = Numbers::new(3);
    let mut cases = Vec::new();
    for slide in colors() {
        let camera = numbers.color();
        for m in [0.0, 1.0, numbers.frac()] {
            for alpha in [Alpha::Straight, Alpha::Premultiplied] {
                for blend_space in [BlendSpace::Encoded, BlendSpace::Linear] {
                    cases.push(Case {
                        row: ProbeRow {
                            a: four(slide),
                            b: four(camera),
                            c: [m; 4],
                            mode: alpha as u32,
                            mode_2: blend_space as u32,
                            ..row(Function::Blend)
                        },
                        expected: blend(m, slide, camera, alpha, blend_space).to_vec(),
                        exactness: match blend_space {
                            BlendSpace::Encoded => SUM,
                            BlendSpace::Linear => Exactness::Pow,
                        },
                    });
                }
            }
        }
    }
    cases
}

fn word_cases() -> Vec<Case> {
    (0..=255u8)
        .map(|v| {
            let codes = [v, 255 - v, v.wrapping_mul(7), v.wrapping_add(100)];
            Case {
                row: ProbeRow {
                    word: u32::from_le_bytes(codes),
                    a: [code_step(PixelFormat::Rgba8); 4],
                    ..row(Function::RgbaFromWord)
                },
                expected: codes.map(|c| f32::from(c) / 255.0).to_vec(),
                exactness: Exactness::Bits,
            }
        })
        .collect()
}

fn words_cases() -> Vec<Case> {
    (0..=u16::MAX)
        .step_by(4)
        .map(|v| {
            let codes = [v, v + 1, v + 2, v + 3];
            Case {
                row: ProbeRow {
                    word: u32::from(codes[0]) | u32::from(codes[1]) << 16,
                    word_2: u32::from(codes[2]) | u32::from(codes[3]) << 16,
                    a: [code_step(PixelFormat::Rgba16); 4],
                    ..row(Function::RgbaFromWords)
                },
                expected: codes.map(|c| f32::from(c) / 65_535.0).to_vec(),
                exactness: Exactness::Bits,
            }
        })
        .collect()
}

fn read_signal_cases() -> Vec<Case> {
    let mut numbers = Numbers::new(4);
    let size = Size::new(64, 64).unwrap();
    let pixels: Vec<[u8; 4]> = (0..size.area()).map(|_| numbers.codes()).collect();
    let frame = Frame::new(size, Pixels::Rgba8(pixels)).unwrap();
    let mut cases = Vec::new();
    for range in [CodeRange::Full, CodeRange::Video] {
        for flattened in [false, true] {
            let source = Source {
                frame: &frame,
                range,
                flattened,
            };
            for index in 0..size.area() {
                cases.push(Case {
                    row: ProbeRow {
                        a: frame.rgba_frac(index),
                        mode: range as u32,
                        flag: u32::from(flattened),
                        ..row(Function::ReadSignal)
                    },
                    expected: fetch(&source, index).to_vec(),
                    exactness: SUM,
                });
            }
        }
    }
    cases
}

fn is_content_cases() -> Vec<Case> {
    let mut cases = Vec::new();
    let background = [0.2, 0.25, 0.5];
    for tolerance in [0.0, 0.03125, Background::TOLERANCE] {
        for channel in 0..3 {
            for edge in [-tolerance, tolerance] {
                for v in around(background[channel] + edge) {
                    let mut slide = background;
                    slide[channel] = v;
                    let content = is_content(slide, background, tolerance);
                    cases.push(Case {
                        row: ProbeRow {
                            a: four(slide),
                            b: four(background),
                            c: [tolerance; 4],
                            ..row(Function::IsContent)
                        },
                        expected: vec![if content { 1.0 } else { 0.0 }],
                        exactness: Exactness::Bits,
                    });
                }
            }
        }
    }
    cases
}

fn kept_cases() -> Vec<Case> {
    let mut numbers = Numbers::new(5);
    let mut mattes = vec![0.0, 0.5, 1.0];
    mattes.extend(around(MATTE_DROPPED_BELOW));
    mattes.extend(around(MATTE_SOLID_ABOVE));
    let mut cases = Vec::new();
    for m in mattes {
        for (x, y) in (0..12).flat_map(|y| (0..6).map(move |x| (x, y))) {
            for content in [false, true] {
                let slide = numbers.color();
                let key_luma = numbers.frac();
                cases.push(Case {
                    row: ProbeRow {
                        x,
                        y,
                        a: four(slide),
                        b: [key_luma, m, 0.0, 0.0],
                        flag: u32::from(content),
                        ..row(Function::Kept)
                    },
                    expected: kept(x, y, slide, key_luma, m, content).to_vec(),
                    exactness: SUM,
                });
            }
        }
    }
    cases
}

fn exposure_cases() -> Vec<Case> {
    let mut values = vec![0.0, 0.5, 1.0];
    values.extend(around(NEAR_BLACK_LUMA));
    values.extend(around(CLIPPED_VALUE));
    let mut cases = Vec::new();
    for camera in [[0.0; 3], [1.0; 3], [1.0, 1.0, 0.9], [CLIPPED_VALUE; 3]] {
        for &grey in &values {
            for (x, y) in (0..17).flat_map(|y| (0..17).map(move |x| (x, y))) {
                cases.push(Case {
                    row: ProbeRow {
                        x,
                        y,
                        a: four(camera),
                        b: [grey; 4],
                        ..row(Function::Exposure)
                    },
                    expected: exposure(x, y, camera, grey).to_vec(),
                    exactness: Exactness::Bits,
                });
            }
        }
    }
    cases
}
