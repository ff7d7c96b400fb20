//! Adapter time of a pass: `cargo bench --bench gpu [-- PART-OF-A-NAME...]`.
//!
//! `GB/s` counts the bytes of every picture that the pass reads and of the one that it writes, once.
//! `x plain` is the time over that of the plain composite of the same output size, `x byte` the time
//! a byte over that of the plain composite, for what reads more than a picture of the output's size.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a benchmark prints its table"
)]

use std::env;
use std::process::ExitCode;

use nightglass::gpu::compositor::Compositor;
use nightglass::gpu::device::Gpu;
use nightglass::gpu::layout::pixel_bytes;
use nightglass::pixel::frame::{Frame, PixelFormat, Pixels};
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{BlendSpace, CodeRange, Settings, Size, Turn};
use nightglass::pixel::views::{Background, View};

mod gpu_time;

use gpu_time::{Waker, time_passes};

/// Output sizes, from high definition to 8K.
const SIZES: [(u32, u32); 3] = [(1920, 1080), (3840, 2160), (7680, 4320)];
/// Timed passes on hardware, after as many that are not counted.
const PASSES: u32 = 200;
/// The same on a software adapter.
const SOFTWARE_PASSES: u32 = 5;

/// One row of the table.
struct Case {
    name: &'static str,
    camera: Frame,
    slide: Frame,
    settings: Settings,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    if !arguments.iter().any(|a| a == "--bench") {
        println!("gpu: times are taken by `cargo bench` alone");
        return ExitCode::SUCCESS;
    }
    let wanted: Vec<&String> = arguments.iter().filter(|a| !a.starts_with('-')).collect();
    match table(&wanted) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("error: {message}");
            ExitCode::FAILURE
        }
    }
}

fn table(wanted: &[&String]) -> Result<(), String> {
    let gpu = Gpu::open().map_err(|error| error.to_string())?;
    let passes = if gpu.is_software() {
        SOFTWARE_PASSES
    } else {
        PASSES
    };
    println!("adapter: {}", gpu.adapter_name());
    println!("adapter time of a pass, median and fastest of {passes}\n");
    println!(
        "{:<27} {:<9} {:>9} {:>7} {:>5} {:>7} {:>6}",
        "what", "output", "median ms", "fastest", "GB/s", "x plain", "x byte"
    );
    // Threads of a software adapter do not rest.
    let waker = (!gpu.is_software()).then(|| Waker::new(&gpu));
    // A software adapter takes minutes for the larger ones, and nobody works with it there.
    let sizes = if gpu.is_software() { 1 } else { SIZES.len() };
    for (width, height) in SIZES.into_iter().take(sizes) {
        let size = Size::new(width, height).map_err(|error| error.to_string())?;
        let mut plain = None;
        for make in CASES {
            let case = make(size);
            let label = format!("{} {width}x{height}", case.name);
            let is_plain = plain.is_none();
            if !is_plain && !wanted.is_empty() && !wanted.iter().any(|w| label.contains(*w)) {
                continue;
            }
            let (median, fastest, bytes) = match time(&gpu, &case, passes, waker.as_ref()) {
                Ok(times) => times,
                Err(message) if is_plain => return Err(message),
                Err(message) => {
                    println!("{:<27} {width}x{height} not timed: {message}", case.name);
                    continue;
                }
            };
            let a_byte = median / bytes as f64;
            let (plain_median, plain_byte) = *plain.get_or_insert((median, a_byte));
            println!(
                "{:<27} {:<9} {median:>9.4} {fastest:>7.4} {:>5.0} {:>7.2} {:>6.2}",
                case.name,
                format!("{width}x{height}"),
                1e-6 / a_byte,
                median / plain_median,
                a_byte / plain_byte,
            );
        }
        println!();
    }
    Ok(())
}

/// Median and fastest milliseconds, and the bytes that the pass moves.
fn time(
    gpu: &Gpu,
    case: &Case,
    passes: u32,
    waker: Option<&Waker>,
) -> Result<(f64, f64, u64), String> {
    let plan = Plan::new(&Scene {
        camera: Some(&case.camera),
        slide: Some(&case.slide),
        background: Background::BLACK,
        settings: &case.settings,
    });
    let mut compositor = Compositor::new(gpu).map_err(|error| error.to_string())?;
    compositor.fits(&plan).map_err(|error| error.to_string())?;
    compositor
        .upload_camera(Some(&case.camera))
        .map_err(|error| error.to_string())?;
    compositor
        .upload_slide(Some(&case.slide))
        .map_err(|error| error.to_string())?;
    time_passes(gpu, &mut compositor, &plan, passes)?;
    if let Some(waker) = waker {
        waker.wake(gpu)?;
    }
    let times = time_passes(gpu, &mut compositor, &plan, passes)?;
    let of = |frame: &Frame| pixel_bytes(frame.size(), frame.format());
    let read = match case.settings.view {
        View::Composite => of(&case.camera) + of(&case.slide),
        View::Matte | View::Slide | View::Kept => of(&case.slide),
        View::Camera | View::Exposure => of(&case.camera),
    };
    let bytes = read + pixel_bytes(plan.output, PixelFormat::Rgba8);
    Ok((times[times.len() / 2], times[0], bytes))
}

/// The rows for one output size; the plain composite is first.
const CASES: [fn(Size) -> Case; 22] = [
    |size| case("plain composite", size, size, size, |_| {}),
    |size| view("matte", size, View::Matte),
    |size| view("camera", size, View::Camera),
    |size| view("slide", size, View::Slide),
    |size| view("kept", size, View::Kept),
    |size| view("exposure", size, View::Exposure),
    |size| {
        case("linear light", size, size, size, |s| {
            s.key.blend_space = BlendSpace::Linear;
        })
    },
    |size| {
        case("mirrored camera", size, size, size, |s| {
            s.placement.mirror_camera = true;
        })
    },
    |size| {
        case("mirrored slide, kept", size, size, size, |s| {
            s.placement.mirror_slide = true;
            s.view = View::Kept;
        })
    },
    |size| {
        case("upside-down camera", size, size, size, |s| {
            s.placement.turn_camera = Turn::Half;
        })
    },
    |size| {
        case("turned camera", size.transposed(), size, size, |s| {
            s.placement.turn_camera = Turn::Quarter;
        })
    },
    |size| {
        case(
            "turned, mirrored camera",
            size.transposed(),
            size,
            size,
            |s| {
                s.placement.turn_camera = Turn::ThreeQuarters;
                s.placement.mirror_camera = true;
            },
        )
    },
    |size| {
        case(
            "letterboxed slide, 4:3",
            size,
            scaled(size, 3, 4, 1, 1),
            size,
            |_| {},
        )
    },
    |size| {
        case(
            "enlarged slide, 2/3",
            size,
            scaled(size, 2, 3, 2, 3),
            size,
            |_| {},
        )
    },
    |size| {
        case(
            "enlarged slide, 1/4",
            size,
            scaled(size, 1, 4, 1, 4),
            size,
            |_| {},
        )
    },
    |size| {
        let source = scaled(size, 2, 3, 2, 3);
        case("enlarged and mirrored, both", source, source, size, |s| {
            s.placement.mirror_camera = true;
        })
    },
    |size| {
        case(
            "reduced camera, 3.2 to 1",
            scaled(size, 16, 5, 16, 5),
            size,
            size,
            |_| {},
        )
    },
    |size| {
        case(
            "reduced camera, 2 to 1",
            scaled(size, 2, 1, 2, 1),
            size,
            size,
            |_| {},
        )
    },
    |size| {
        case(
            "reduced slide, 1.25 to 1",
            size,
            scaled(size, 5, 4, 5, 4),
            size,
            |_| {},
        )
    },
    |size| {
        case("video range, both", size, size, size, |s| {
            s.placement.camera_range = CodeRange::Video;
            s.placement.slide_range = CodeRange::Video;
        })
    },
    |size| Case {
        slide: slide_16(size),
        ..case("16-bit slide", size, size, size, |_| {})
    },
    |size| Case {
        slide: slide_with_alpha(size),
        ..case("slide with alpha", size, size, size, |_| {})
    },
];

fn case(
    name: &'static str,
    camera_size: Size,
    slide_size: Size,
    output: Size,
    change: impl FnOnce(&mut Settings),
) -> Case {
    let mut settings = Settings::default();
    settings.placement.size = Some(output);
    change(&mut settings);
    Case {
        name,
        camera: camera(camera_size),
        slide: slide(slide_size),
        settings,
    }
}

fn view(name: &'static str, size: Size, view: View) -> Case {
    case(name, size, size, size, |s| s.view = view)
}

/// A size with both sides multiplied by fractions; a side that is too long stays at the limit.
fn scaled(size: Size, x: u32, x_part: u32, y: u32, y_part: u32) -> Size {
    let width = (size.width() * x / x_part).min(nightglass::pixel::settings::MAX_SIDE_PX);
    let height = (size.height() * y / y_part).min(nightglass::pixel::settings::MAX_SIDE_PX);
    Size::new(width, height).unwrap_or(size)
}

/// Code values that differ from pixel to pixel, cheap to make.
fn mixed(x: u32, y: u32) -> [u8; 4] {
    (x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(2_246_822_519))
        .rotate_left(13)
        .to_le_bytes()
}

fn camera(size: Size) -> Frame {
    Frame::from_fn(size, |x, y| {
        let [r, g, b, _] = mixed(x, y);
        [r / 2, g / 2, b / 2]
    })
}

/// Three quarters black, as slides for a luma key are; the rest of every value.
fn slide_pixel(x: u32, y: u32) -> [u8; 3] {
    let [r, g, b, _] = mixed(x, y);
    if (x / 64 + 2 * (y / 64)).is_multiple_of(4) {
        [r, g, b]
    } else {
        [0; 3]
    }
}

fn slide(size: Size) -> Frame {
    Frame::from_fn(size, slide_pixel)
}

fn pixels<T>(size: Size, paint: impl Fn(u32, u32) -> T) -> Vec<T> {
    let columns = move |y| (0..size.width()).map(move |x| (x, y));
    let all = (0..size.height()).flat_map(columns);
    all.map(|(x, y)| paint(x, y)).collect()
}

fn slide_with_alpha(size: Size) -> Frame {
    let painted = pixels(size, |x, y| {
        let [r, g, b] = slide_pixel(x, y);
        [r, g, b, mixed(x, y)[3]]
    });
    Frame::new(size, Pixels::Rgba8(painted)).unwrap_or_else(|_| slide(size))
}

fn slide_16(size: Size) -> Frame {
    let painted = pixels(size, |x, y| {
        let [r, g, b] = slide_pixel(x, y).map(|v| u16::from(v) * 257);
        [r, g, b, u16::MAX]
    });
    Frame::new(size, Pixels::Rgba16(painted)).unwrap_or_else(|_| slide(size))
}
