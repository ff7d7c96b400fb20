//! What checking a deck costs beside reading it: `cargo bench --bench deck`.
#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use nightglass::files::deck::Deck;
use nightglass::files::picture_file::{Picture, read_picture};
use nightglass::files::slide_file::SlideReader;
use nightglass::measure::check::placed_camera::PlacedCamera;
use nightglass::measure::check::slide_check::{CheckedCamera, SlideToCheck, check_slide};
use nightglass::measure::limits::Limits;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Settings;
use rayon::prelude::*;

mod deck_slides;
mod peak;

use deck_slides::{test_picture, write_pdf, write_slides};
use peak::run_to_its_end;

/// Slides that are PNG files, and pages of the PDF.
const SLIDES: usize = 100;
const PAGES: usize = 33;
/// Cores that are used.
const CORES: usize = 2;
/// Runs of each case; the fastest is printed, because other work on the machine only ever slows one.
const RUNS: usize = 3;
/// Ticks a second of the times in `/proc`. Source: `proc(5)`; 100 on every processor that Linux knows.
const TICKS_A_SEC: f64 = 100.0;

/// What a deck took, in milliseconds a slide.
#[derive(Clone, Copy)]
struct Cost {
    /// From start to end, times the cores.
    wall: f64,
    /// Of the processor; none where the system does not tell.
    busy: Option<f64>,
}

fn main() -> Result<(), Box<dyn Error>> {
    if !std::env::args().any(|argument| argument == "--bench") {
        println!("deck: times are taken by `cargo bench` alone");
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    let (slides, pages) = (folder.path().join("slides"), folder.path().join("deck.pdf"));
    std::fs::create_dir(&slides)?;
    write_slides(&slides, SLIDES)?;
    write_pdf(&pages, PAGES)?;
    let camera = test_picture("board_1.jpg");
    let frame = read_picture(&camera)?.frame;
    println!(
        "{:<34} {:>9} {:>9} {:>9} {:>9}",
        "deck", "ms", "busy ms", "x reading", "peak MB"
    );
    rayon::ThreadPoolBuilder::new()
        .num_threads(CORES)
        .build()?
        .install(|| {
            time_deck(&format!("{SLIDES} PNG"), &slides, &camera, &frame)?;
            time_deck(&format!("{PAGES} pages"), &pages, &camera, &frame)
        })?;
    println!(
        "\nMilliseconds a slide and core, the fastest of {RUNS} runs on {CORES} cores: by the clock,"
    );
    println!("and those of the processor, which other work does not count into. All 1920x1080;");
    println!(
        "`read` is decoding a PNG, drawing a page. Peak memory of the program itself; Linux only.\n"
    );
    time_slides(&slides, &frame)
}

/// Times reading, checking and the program itself on a deck.
fn time_deck(name: &str, path: &Path, camera: &Path, frame: &Frame) -> Result<(), String> {
    let deck = Deck::open(&[path.to_owned()]);
    let count = deck.slides.len();
    let placement = Settings::default().placement;
    let timed = |work: &(dyn Fn(&Picture) -> usize + Sync)| {
        fastest(count, || {
            let reader = SlideReader::new(&placement, Some(frame.size()));
            let slides = deck.slides.par_iter();
            slides.try_for_each(|slide| {
                let picture = reader.read(slide).map_err(|error| error.to_string())?;
                black_box(work(&picture));
                Ok(())
            })
        })
    };
    let placed = PlacedCamera::new(frame, &Settings::default(), frame.size());
    let over = [CheckedCamera {
        name: "camera",
        frame,
        placed: &placed,
    }];
    let reading = timed(&|picture| picture.frame.bytes().len())?;
    print_row(&format!("{name}: read"), reading, reading, None);
    let checked = timed(&|picture| count_findings(picture, &[]))?;
    print_row(&format!("{name}: and checked"), checked, reading, None);
    let checked = timed(&|picture| count_findings(picture, &over))?;
    print_row(&format!("{name}: over a camera"), checked, reading, None);
    for camera in [None, Some(camera)] {
        let mut peak: Option<f64> = None;
        let cost = fastest(count, || {
            let mut command = Command::new(env!("CARGO_BIN_EXE_nightglass"));
            command.args(["check", "--json"]).arg(path);
            command.env("RAYON_NUM_THREADS", CORES.to_string());
            if let Some(camera) = camera {
                command.arg("--camera").arg(camera);
            }
            let (ended, held) = run_to_its_end(&mut command).map_err(|error| error.to_string())?;
            peak = held.map(|held| peak.map_or(held, |most| most.max(held)));
            // 1 is a deck on which something was found.
            match ended.code() {
                Some(0 | 1) => Ok(()),
                _ => Err(format!("expected status 0 or 1 of `check`, got {ended}")),
            }
        })?;
        let over = camera.map_or("", |_| " over a camera");
        print_row(&format!("{name}: `check`{over}"), cost, reading, peak);
    }
    Ok(())
}

/// Checks a slide under the usual settings.
fn count_findings(picture: &Picture, cameras: &[CheckedCamera<'_>]) -> usize {
    let checked = check_slide(&SlideToCheck {
        slide: &picture.frame,
        lossy: picture.lossy,
        cameras,
        settings: &Settings::default(),
        limits: &Limits::default(),
        reserved: &[],
        zones: &[],
    });
    checked.findings.len()
}

/// What the fastest of the runs cost, each part for itself.
fn fastest(slides: usize, mut work: impl FnMut() -> Result<(), String>) -> Result<Cost, String> {
    let mut least: Option<Cost> = None;
    for _ in 0..RUNS {
        let (busy, started) = (busy_secs(), Instant::now());
        work()?;
        let wall = started.elapsed().as_secs_f64() * CORES as f64;
        let busy = busy_secs().zip(busy).map(|(after, before)| after - before);
        let a_slide = |secs: f64| 1000.0 * secs / slides as f64;
        let cost = Cost {
            wall: a_slide(wall),
            busy: busy.map(a_slide),
        };
        least = Some(least.map_or(cost, |least| Cost {
            wall: least.wall.min(cost.wall),
            busy: least.busy.zip(cost.busy).map(|(a, b)| a.min(b)),
        }));
    }
    least.ok_or_else(|| "expected at least one run".to_owned())
}

/// Seconds of the processor that this process and those it ran took so far. Source: `proc(5)`, `stat`.
fn busy_secs() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    // The name in parentheses may hold spaces; `utime` to `cstime` are fields 14 to 17 of the line.
    let (_, after_name) = text.rsplit_once(')')?;
    let ticks = after_name.split_whitespace().skip(11).take(4);
    let ticks: Option<f64> = ticks.map(|field| field.parse::<f64>().ok()).sum();
    Some(ticks? / TICKS_A_SEC)
}

fn print_row(name: &str, cost: Cost, reading: Cost, peak: Option<f64>) {
    let or_none = |value: Option<f64>, decimals: usize| {
        value.map_or("-".to_owned(), |value| format!("{value:.decimals$}"))
    };
    println!(
        "{name:<34} {:>9.1} {:>9} {:>9.2} {:>9}",
        cost.wall,
        or_none(cost.busy, 1),
        cost.wall / reading.wall,
        or_none(peak, 0)
    );
}

/// How long the findings of one slide take: what is waited for while a slider is dragged.
fn time_slides(folder: &Path, frame: &Frame) -> Result<(), Box<dyn Error>> {
    println!(
        "{:<34} {:>9} {:>9}",
        "one slide, read before", "median ms", "most ms"
    );
    let placed = PlacedCamera::new(frame, &Settings::default(), frame.size());
    let over = [CheckedCamera {
        name: "camera",
        frame,
        placed: &placed,
    }];
    let mut times = [Vec::new(), Vec::new()];
    for slide in &Deck::open(&[folder.to_owned()]).slides {
        let picture = read_picture(&slide.path)?;
        for (times, cameras) in times.iter_mut().zip([&over[..0], &over[..]]) {
            let once = || {
                let started = Instant::now();
                black_box(count_findings(&picture, cameras));
                started.elapsed().as_secs_f64() * 1000.0
            };
            let least = (0..RUNS).map(|_| once()).min_by(f64::total_cmp);
            times.extend(least);
        }
    }
    for (name, mut times) in ["checked", "checked over a camera"].into_iter().zip(times) {
        times.sort_by(f64::total_cmp);
        let most = times.last().copied().unwrap_or(f64::NAN);
        println!("{name:<34} {:>9.1} {most:>9.1}", times[times.len() / 2]);
    }
    Ok(())
}
