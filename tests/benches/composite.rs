//! How long one composite takes, next to a plain copy of the same bytes. `cargo bench --bench composite`.
#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

#[expect(dead_code, reason = "the checks use the other pictures")]
#[path = "../support/frames.rs"]
mod frames;

use std::hint::black_box;
use std::time::{Duration, Instant};

use frames::{all_in_the_ramp, no_black, size, three_quarters_black};
use nightglass::pixel::cpu_engine::{compose_at, levels};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::key::Ramp;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Alpha, BlendSpace, Key, Placement, Settings, Size};
use nightglass::pixel::views::{Background, View};
use rayon::prelude::*;

/// How long each case is repeated.
const REPEATED_FOR: Duration = Duration::from_millis(700);
/// How often at least.
const LEAST_REPEATS: usize = 15;
/// Rows that a task of the parallel copy takes.
const COPIED_ROWS: usize = 16;

/// Cells of the slides that are black in three quarters of them.
const CELL: (u32, u32) = (48, 40);

/// One line of the table: what is made of which slide.
struct Case<'a> {
    what: &'static str,
    camera: &'a Frame,
    slide: &'a Frame,
    settings: Settings,
}

fn main() {
    for hd_or_more in [Size::HD, size(3840, 2160)] {
        measure_size(hd_or_more);
    }
    println!();
    println!("Median of at least {LEAST_REPEATS} runs into memory that is already there.");
    println!("x par: times a copy on all threads that reads both frames and writes one;");
    println!("x one: times the same copy on one thread.");
    println!("Pictures come from an integer hash: texture in a quarter of the slide's");
    println!("48x40 cells, or in all; in the ramp: every pixel at codes 16 to 25.");
    println!("Default key (threshold 6, softness 4), straight, 8 bit, full range.");
}

/// All engines on one size.
fn measure_size(output: Size) {
    let camera = no_black(output, 11);
    let cells = three_quarters_black(output, CELL, 12);
    let texture = no_black(output, 13);
    let ramp = all_in_the_ramp(output, 14);
    let small = size(output.width() * 2 / 3, output.height() * 2 / 3);
    let small_slide = three_quarters_black(small, CELL, 15);
    let big = size(output.width() * 2, output.height() * 2);
    let big_camera = no_black(big, 16);
    let turned_camera = no_black(output.transposed(), 17);
    let cases = [
        case("three quarters black", &camera, &cells, |_| {}),
        case("no black", &camera, &texture, |_| {}),
        case("all in the ramp", &camera, &ramp, |_| {}),
        case("smooth ramp, no black", &camera, &texture, |s| {
            s.key.ramp = Ramp::Smooth;
        }),
        case("premultiplied, 3/4 black", &camera, &cells, |s| {
            s.key.alpha = Alpha::Premultiplied;
        }),
        case("mirrored camera", &camera, &cells, |s| {
            s.placement.mirror_camera = true;
        }),
        case("turned camera", &turned_camera, &cells, |s| {
            s.placement.turn_camera = nightglass::pixel::settings::Turn::Quarter;
        }),
        case("slide enlarged x1.5", &camera, &small_slide, |_| {}),
        case("camera reduced x0.5", &big_camera, &cells, |s| {
            s.placement.size = Some(output);
        }),
        case("linear light, 3/4 black", &camera, &cells, |s| {
            s.key.blend_space = BlendSpace::Linear;
        }),
        case("linear light, in the ramp", &camera, &ramp, |s| {
            s.key.blend_space = BlendSpace::Linear;
        }),
        case("matte", &camera, &cells, |s| s.view = View::Matte),
        case("kept", &camera, &cells, |s| s.view = View::Kept),
        case("exposure", &camera, &cells, |s| s.view = View::Exposure),
    ];
    let copies = Copies::measure(&camera, &texture);
    println!();
    println!(
        "copy of {}x{}: {:.2} ms on {} threads, {:.2} ms on one",
        output.width(),
        output.height(),
        copies.parallel_ms,
        rayon::current_num_threads(),
        copies.single_ms,
    );
    println!(
        "{:<4} {:<13} {:<9} {:<26} {:>8} {:>6} {:>6}",
        "", "adapter", "size", "what", "ms", "x par", "x one"
    );
    measure_cpu(output, &cases, &copies);
    // Rows of further engines go here: one function like `measure_cpu` for each, over the same cases.
}

/// The rows of the processor: the best vector level on every case, the others on two.
fn measure_cpu(output: Size, cases: &[Case<'_>], copies: &Copies) {
    for (rank, (level_name, level)) in levels().into_iter().enumerate() {
        let adapter = format!("{level_name} x{}", rayon::current_num_threads());
        let shown = if rank == 0 { cases.len() } else { 3 };
        for case in &cases[..shown] {
            let plan = case.plan();
            let mut out = vec![[0; 4]; plan.output.area()];
            let ms = median_ms(|| compose_at(level, black_box(&plan), &mut out));
            black_box(&out);
            print_row("cpu", &adapter, output, case.what, ms, copies);
        }
    }
}

/// One line.
fn print_row(engine: &str, adapter: &str, output: Size, what: &str, ms: f64, copies: &Copies) {
    println!(
        "{engine:<4} {adapter:<13} {:<9} {what:<26} {ms:>8.2} {:>6.2} {:>6.2}",
        format!("{}x{}", output.width(), output.height()),
        ms / copies.parallel_ms,
        ms / copies.single_ms,
    );
}

/// A case with the default settings, changed.
fn case<'a>(
    what: &'static str,
    camera: &'a Frame,
    slide: &'a Frame,
    change: impl Fn(&mut Settings),
) -> Case<'a> {
    let mut settings = Settings {
        key: Key::default(),
        placement: Placement::default(),
        ..Settings::default()
    };
    change(&mut settings);
    Case {
        what,
        camera,
        slide,
        settings,
    }
}

impl Case<'_> {
    fn plan(&self) -> Plan<'_> {
        Plan::new(&Scene {
            camera: Some(self.camera),
            slide: Some(self.slide),
            background: Background::BLACK,
            settings: &self.settings,
        })
    }
}

/// What copying costs: both frames read, one written.
struct Copies {
    parallel_ms: f64,
    single_ms: f64,
}

impl Copies {
    fn measure(a: &Frame, b: &Frame) -> Self {
        let (a, b) = (words(a), words(b));
        let mut out = vec![0_u32; a.len()];
        let rows = COPIED_ROWS * 1920;
        let single_ms = median_ms(|| copy_both(black_box(&a), black_box(&b), &mut out));
        let parallel_ms = median_ms(|| {
            out.par_chunks_mut(rows)
                .zip(a.par_chunks(rows).zip(b.par_chunks(rows)))
                .for_each(|(out, (a, b))| copy_both(a, b, out));
        });
        black_box(&out);
        Self {
            parallel_ms,
            single_ms,
        }
    }
}

/// The least that can be done with two frames: a word of each, one written.
fn copy_both(a: &[u32], b: &[u32], out: &mut [u32]) {
    for ((out, a), b) in out.iter_mut().zip(a).zip(b) {
        *out = a | b;
    }
}

/// The pixels of an 8-bit frame as words.
fn words(frame: &Frame) -> Vec<u32> {
    match frame.pixels() {
        Pixels::Rgba8(pixels) => pixels.iter().map(|p| u32::from_ne_bytes(*p)).collect(),
        Pixels::Rgba16(_) => Vec::new(),
    }
}

/// The median time of many runs, in milliseconds, after one that does not count.
fn median_ms(mut run: impl FnMut()) -> f64 {
    run();
    let begun = Instant::now();
    let mut times = Vec::new();
    while times.len() < LEAST_REPEATS || begun.elapsed() < REPEATED_FOR {
        let start = Instant::now();
        run();
        times.push(start.elapsed());
    }
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64() * 1e3
}
