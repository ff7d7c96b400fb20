//! The outline of the presenter: through the glow of what is bright up to its edge, and as it was found where clothes have none.

use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

/// How far a place is off a head and a trunk that runs to the bottom, px; 0 inside.
fn distance_px(x: f64, y: f64) -> f64 {
    let head = ((x - 640.0) / 70.0).hypot((y - 200.0) / 95.0);
    let head = ((head - 1.0) * 70.0).max(0.0);
    let off = |v: f64, from: f64, to: f64| (from - v).max(v - to).max(0.0);
    let trunk = off(x, 470.0, 810.0).hypot(off(y, 290.0, 2000.0));
    head.min(trunk)
}

/// A figure of these codes with a glow around it that has `share` of them beside its edge and falls by half every 5 px.
fn presenter(codes: impl Fn(f64, f64) -> f64, share: f64) -> (Runs, Runs) {
    presenter_falling(codes, share, 5.0)
}

/// The same with a glow that falls by half every so many px.
fn presenter_falling(codes: impl Fn(f64, f64) -> f64, share: f64, half_px: f64) -> (Runs, Runs) {
    let size = Size::new(1280, 720).unwrap();
    let inside = |x: u32, y: u32| distance_px(f64::from(x) + 0.5, f64::from(y) + 0.5);
    let mut state = 1_u32;
    let frame = Frame::from_fn(size, |x, y| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = f64::from(state >> 24) / 128.0 - 1.0;
        let off = inside(x, y);
        let own = codes(f64::from(x), f64::from(y));
        let level = if off <= 0.0 {
            own
        } else {
            share * own * 0.5_f64.powf(off / half_px)
        };
        [(6.0 + level + noise).round().clamp(0.0, 255.0) as u8; 3]
    });
    let parts = find_camera_parts(&CameraStills {
        camera: &CameraRaster::new(&frame),
        empty: None,
        before: None,
    });
    let truth: Vec<u8> = (0..size.height())
        .flat_map(|y| (0..size.width()).map(move |x| u8::from(inside(x, y) <= 0.0)))
        .collect();
    (
        parts.presenter,
        Runs::of_bytes(size, &truth, |byte| byte == 1),
    )
}

fn overlap(found: &Runs, truth: &Runs) -> f64 {
    found.intersection(truth).area() as f64 / found.union(truth).area() as f64
}

#[test]
fn the_outline_is_at_the_edge_and_not_where_the_glow_ends() {
    let (found, truth) = presenter(|x, _| 90.0 + 60.0 * (x / 9.0).sin(), 0.1);
    let shared = overlap(&found, &truth);
    assert!(shared > 0.98, "{shared}");
    // Farther out than halving and the cells' corners take there is little: the corners of the neck.
    let far = found.without(&truth.grown(3)).area() as f64 / truth.area() as f64;
    assert!(far < 0.01, "{far}");
}

#[test]
fn glow_in_the_corners_of_a_neck_is_no_figure() {
    // It fills them deeper than it reaches beside a straight edge.
    for deep in [0.0, 60.0] {
        let (found, truth) =
            presenter_falling(|x, _| 150.0 - deep + deep * (x / 9.0).sin(), 0.1, 4.0);
        let far = found.without(&truth.grown(3)).area() as f64 / truth.area() as f64;
        assert!(far < 0.001, "{far}");
        let shared = overlap(&found, &truth);
        assert!(shared > 0.995, "{shared}");
    }
}

#[test]
fn dark_clothes_beside_something_bright_stay_part_of_the_figure() {
    // The trunk is 12 codes over the backdrop, with bright bands across: dim beside something bright, and on and on.
    let (found, truth) = presenter(
        |_, y| {
            if y > 310.0 && y % 40.0 < 26.0 {
                12.0
            } else {
                160.0
            }
        },
        0.0,
    );
    let shared = overlap(&found, &truth);
    assert!(shared > 0.96, "{shared}");
}

#[test]
fn what_a_written_ring_parts_from_the_figure_belongs_to_it() {
    // A ring on the left of the head, half of it before the backdrop, and a wave of the same pen.
    let off = |x: u32, y: u32| (f64::from(x) + 0.5 - 585.0).hypot(f64::from(y) + 0.5 - 180.0);
    let is_head = |x: u32, y: u32| distance_px(f64::from(x) + 0.5, f64::from(y) + 0.5) <= 0.0;
    let mut state = 1_u32;
    let frame = Frame::from_fn(Size::new(1280, 720).unwrap(), |x, y| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = f64::from(state >> 24) / 128.0 - 1.0;
        let code = if is_head(x, y) {
            120.0 + 40.0 * (f64::from(y) / 11.0).sin()
        } else {
            6.0
        };
        let wave = 400.0 + 30.0 * (f64::from(x) / 25.0).sin();
        let is_wave = (100..400).contains(&x) && (f64::from(y) - wave).abs() < 4.0;
        if is_wave || (37.0..43.0).contains(&off(x, y)) {
            return [60, 230, 240];
        }
        [(code + noise).round().clamp(0.0, 255.0) as u8; 3]
    });
    let parts = find_camera_parts(&CameraStills {
        camera: &CameraRaster::new(&frame),
        empty: None,
        before: None,
    });
    let inside: Vec<(u32, u32)> = (140..220)
        .flat_map(|y| (545..625).map(move |x| (x, y)))
        .filter(|&(x, y)| is_head(x, y) && off(x, y) < 32.0)
        .collect();
    let found = inside
        .iter()
        .filter(|(x, y)| parts.presenter.contains(*x, *y));
    let share = found.count() as f64 / inside.len() as f64;
    assert!(parts.writing.contains(585, 140) && parts.writing.contains(545, 180));
    assert!(share > 0.9, "{share}");
}
