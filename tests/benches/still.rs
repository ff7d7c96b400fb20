//! What `compose` costs beside reading and writing the files: `cargo bench --bench still`.
#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

use std::error::Error;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::files::picture_file::read_picture;
use nightglass::files::picture_output::PictureOutput;
use nightglass::pixel::cpu_engine;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::matte_shares::measure_matte;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::Background;

mod peak;

use peak::run_to_its_end;

/// Runs of each case; the median is printed.
const RUNS: usize = 9;

/// What one run took.
struct Times {
    decode: f64,
    compose: f64,
    encode: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    if !std::env::args().any(|argument| argument == "--bench") {
        println!("still: times are taken by `cargo bench` alone");
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    let path = |name: &str| folder.path().join(name);
    nightglass::files::atomic::write(&path("camera.jpg"), CAMERA.bytes)?;
    nightglass::files::atomic::write(&path("slide.png"), SLIDES[1].bytes)?;
    PictureOutput::create(&path("large.png"), &[])?.write(&enlarged(&CAMERA.frame()?)?)?;

    println!(
        "{:<26} {:>8} {:>8} {:>8} {:>8} {:>8}",
        "still", "read", "compose", "write", "x files", "peak MB"
    );
    for (name, camera) in [
        ("1920x1080 JPEG and PNG", "camera.jpg"),
        ("6144x3456 PNG camera", "large.png"),
    ] {
        let mut runs = Vec::new();
        for _ in 0..RUNS {
            runs.push(run(&path(camera), &path("slide.png"), &path("out.png"))?);
        }
        let median = |part: fn(&Times) -> f64| {
            let mut all: Vec<f64> = runs.iter().map(part).collect();
            all.sort_by(f64::total_cmp);
            all[all.len() / 2]
        };
        let (decode, compose, encode) = (
            median(|t| t.decode),
            median(|t| t.compose),
            median(|t| t.encode),
        );
        let ratio = (decode + compose + encode) / (decode + encode);
        let (_, peak) = run_to_its_end(
            Command::new(env!("CARGO_BIN_EXE_nightglass"))
                .args(["compose", "--engine", "cpu", "--camera", camera])
                .args(["--slide", "slide.png", "--out", "out.png"])
                .current_dir(folder.path()),
        )?;
        let peak = peak.map_or("-".to_owned(), |peak| format!("{peak:.0}"));
        println!("{name:<26} {decode:>8.1} {compose:>8.1} {encode:>8.1} {ratio:>8.3} {peak:>8}");
    }
    println!(
        "\nMilliseconds, median of {RUNS}; x files: the whole over reading and writing alone."
    );
    println!("Peak memory of the program itself, seen every half millisecond; Linux only.");
    println!("Processor engine, default key, written as PNG.");
    Ok(())
}

/// Reads, makes and writes once, and says what each part took in milliseconds.
fn run(camera: &Path, slide: &Path, out: &Path) -> Result<Times, Box<dyn Error>> {
    let started = Instant::now();
    let camera = read_picture(camera)?.frame;
    let slide = read_picture(slide)?.frame;
    let decode = milliseconds(started);
    let started = Instant::now();
    let settings = Settings::default();
    let scene = Scene {
        camera: Some(&camera),
        slide: Some(&slide),
        background: Background::BLACK,
        settings: &settings,
    };
    let plan = Plan::new(&scene);
    let made = cpu_engine::compose(&plan);
    measure_matte(&plan);
    let compose = milliseconds(started);
    let started = Instant::now();
    PictureOutput::create(out, &[])?.write(&made)?;
    let encode = milliseconds(started);
    Ok(Times {
        decode,
        compose,
        encode,
    })
}

fn milliseconds(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

/// The camera of the demonstration at 6144x3456, each pixel repeated.
fn enlarged(camera: &Frame) -> Result<Frame, Box<dyn Error>> {
    let size = Size::new(6144, 3456)?;
    let from = camera.size();
    let nearest = |at: u32, to: u32, of: u32| at * of / to;
    Ok(Frame::from_fn(size, |x, y| {
        let column = nearest(x, size.width(), from.width());
        let row = nearest(y, size.height(), from.height());
        let [r, g, b, _] = camera
            .rgba_frac(row as usize * from.width() as usize + column as usize)
            .map(nightglass::pixel::color::to_u8);
        [r, g, b]
    }))
}
