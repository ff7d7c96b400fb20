//! The lit edges of the glass: neither presenter, nor writing, nor a reflection.

use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::measure::inspect::camera_note::CameraNote;
use nightglass::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use nightglass::measure::inspect::camera_report::camera_findings;
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

const EDGE: [f64; 3] = [52.0, 92.0, 74.0];
const CORAL: [f64; 3] = [240.0, 110.0, 90.0];

/// How far a place is from the edges of a glass that leans by half a degree, px.
fn off_edges_px(x: f64, y: f64) -> f64 {
    let (lean_x, lean_y) = (x + 0.009 * (y - 360.0), y - 0.009 * (x - 640.0));
    let beside = |v: f64, from: f64, to: f64| (from - v).max(v - to);
    let off = beside(lean_x, 34.0, 1246.0).max(beside(lean_y, 30.0, 692.0));
    off.abs()
}

/// Whether a place is in a head on a trunk that the picture's lower edge cuts.
fn is_presenter(x: f64, y: f64) -> bool {
    let head = ((x - 900.0) / 70.0).hypot((y - 220.0) / 95.0) < 1.0;
    head || (720.0..1080.0).contains(&x) && y > 290.0
}

/// A frame of these, seen through glass whose edges have this colour.
fn framed(edge: [f64; 3], inside: impl Fn(f64, f64) -> Option<[f64; 3]>) -> Frame {
    let mut state = 1_u32;
    Frame::from_fn(Size::new(1280, 720).unwrap(), |x, y| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = f64::from(state >> 24) / 128.0 - 1.0;
        let (x, y) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
        let light = (-off_edges_px(x, y) / 3.0).exp().min(0.6) / 0.6;
        let behind = inside(x, y).unwrap_or([6.0; 3]);
        std::array::from_fn(|c| {
            let code = behind[c].max(edge[c] * light) + noise;
            code.round().clamp(0.0, 255.0) as u8
        })
    })
}

fn found(frame: &Frame) -> (CameraParts, bool) {
    let camera = CameraRaster::new(frame);
    let parts = find_camera_parts(&CameraStills {
        camera: &camera,
        empty: None,
        before: None,
    });
    let findings = camera_findings(&camera, &parts).findings;
    let is_mirrored = findings
        .iter()
        .any(|finding| finding.kind == CameraKind::Reflection);
    (parts, is_mirrored)
}

fn mask(inside: impl Fn(f64, f64) -> bool) -> Runs {
    let size = Size::new(1280, 720).unwrap();
    let bytes: Vec<u8> = (0..size.height())
        .flat_map(|y| (0..size.width()).map(move |x| (f64::from(x) + 0.5, f64::from(y) + 0.5)))
        .map(|(x, y)| u8::from(inside(x, y)))
        .collect();
    Runs::of_bytes(size, &bytes, |byte| byte == 1)
}

#[test]
fn the_presenter_is_found_behind_a_glass_whose_edges_are_lit() {
    // Bands across, as light and folds make them.
    let shade = |y: f64| 120.0 + 40.0 * (y / 11.0).sin();
    let (parts, is_mirrored) = found(&framed(EDGE, |x, y| {
        is_presenter(x, y).then(|| [shade(y); 3])
    }));
    let truth = mask(is_presenter);
    let shared = parts.presenter.intersection(&truth).area() as f64
        / parts.presenter.union(&truth).area() as f64;
    assert!(shared > 0.95, "{shared}");
    assert_eq!(parts.writing.area(), 0);
    assert!(!is_mirrored);
}

#[test]
fn lit_edges_alone_are_nobody_and_nothing() {
    let (parts, is_mirrored) = found(&framed(EDGE, |_, _| None));
    assert_eq!(
        parts.notes,
        [CameraNote::NothingWritten, CameraNote::NobodyThere]
    );
    assert!(!is_mirrored);
}

#[test]
fn a_line_that_is_written_along_a_side_is_no_edge_of_the_glass() {
    // Nine tenths of the picture long, and beside somebody a third of it.
    for (top, is_somebody) in [(60.0, false), (660.0, true), (400.0, false)] {
        let is_line = |x: f64, y: f64| {
            (60.0..1220.0).contains(&x)
                && (top..top + 6.0).contains(&y)
                && !(is_somebody && x > 660.0)
        };
        let (parts, _) = found(&framed([0.0; 3], |x, y| {
            if is_line(x, y) {
                return Some(CORAL);
            }
            let shade = 120.0 + 40.0 * (y / 11.0).sin();
            (is_somebody && is_presenter(x, y)).then_some([shade; 3])
        }));
        let line = mask(is_line);
        let share = parts.writing.intersection(&line).area() as f64 / line.area() as f64;
        assert!(share > 0.9, "{top}: {share}");
    }
}
