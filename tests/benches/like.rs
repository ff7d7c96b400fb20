//! What comparing a camera frame with one of the last good setup costs: `cargo bench --bench like`.
#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

use std::error::Error;
use std::time::Instant;

use nightglass::files::demonstration::CAMERA;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_look::CameraLook;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::inspect::like_report::compare_like;
use nightglass::measure::inspect::seen_like::SeenLike;
use nightglass::measure::still::still_pair::PairFault;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Settings, Size};

/// Runs of each part; the median is printed.
const RUNS: usize = 9;
/// How far the camera has moved, px.
const MOVED_PX: [u32; 2] = [7, 4];

fn main() -> Result<(), Box<dyn Error>> {
    if !std::env::args().any(|argument| argument == "--bench") {
        println!("like: times are taken by `cargo bench` alone");
        return Ok(());
    }
    let good = CAMERA.frame()?;
    let size = good.size();
    let today = moved(&good);
    let raster = CameraRaster::new(&today);
    let settings = Settings::default();
    let find = || {
        find_camera_parts(&CameraStills {
            camera: &raster,
            empty: None,
            before: None,
        })
    };
    let see = || SeenLike::place(&good, size, &settings, size);
    let parts = find();
    let like = see().map_err(PairFault::words)?;
    let report = compare_like(&raster, &parts, &like).map_err(PairFault::words)?;
    println!("{size}: {:?} px moved", report.measure.shift_px);
    let look = |like| CameraLook::at(&today, &raster, parts.clone(), like);
    let rows: [(&str, &dyn Fn()); 5] = [
        ("once: lay out and look at the last good frame", &|| {
            drop(see());
        }),
        ("find writing and presenter", &|| drop(find())),
        ("compare with the last good frame", &|| {
            drop(compare_like(&raster, &parts, &like));
        }),
        ("all findings, compared", &|| drop(look(Some(Ok(&like))))),
        ("all findings, alone", &|| drop(look(None))),
    ];
    for (name, work) in rows {
        let mut times: Vec<f64> = (0..RUNS)
            .map(|_| {
                let start = Instant::now();
                work();
                1000.0 * start.elapsed().as_secs_f64()
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("{name:<46} {:>8.1}", times[RUNS / 2]);
    }
    println!("\nMilliseconds, median of {RUNS}.");
    Ok(())
}

/// The frame farther right and lower, its left and upper edge repeated.
fn moved(frame: &Frame) -> Frame {
    let size: Size = frame.size();
    let [dx, dy] = MOVED_PX;
    Frame::from_fn(size, |x, y| {
        let (x, y) = (x.saturating_sub(dx), y.saturating_sub(dy));
        let at = 4 * (y * size.width() + x) as usize;
        [0, 1, 2].map(|c| frame.bytes()[at + c])
    })
}
