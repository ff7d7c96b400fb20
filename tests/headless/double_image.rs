//! A weaker copy of all strokes is told with its displacement and strength, and nothing else is taken for one.

use std::path::Path;
use std::time::Instant;

use nightglass::files::demonstration::CAMERA;
use nightglass::files::picture_file::read_picture;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::inspect::camera_report::{CameraReport, camera_findings};
use nightglass::measure::inspect::double_image::{measure_double_image, plate_separation};
use nightglass::measure::statistics::least_squares::LeastSquares;
use nightglass::pixel::frame::Frame;

use crate::drawn_strokes::{Manner, drawn};

fn report(frame: &Frame) -> CameraReport {
    let camera = &CameraRaster::new(frame);
    let parts = find_camera_parts(&CameraStills {
        camera,
        empty: None,
        before: None,
    });
    camera_findings(camera, &parts)
}

#[test]
fn rays_from_both_faces_of_a_plate_are_as_far_apart_as_ray_tracing_says() {
    // A plane-parallel plate of index 1.52 and thickness 1, ray-traced: separation across the rays.
    for (degrees, wanted) in [
        (20.0, 0.43402),
        (30.0, 0.60333),
        (45.0, 0.74321),
        (50.0, 0.75013),
        (60.0, 0.69329),
    ] {
        let separation = plate_separation(degrees, 1.52);
        assert!(
            (separation - wanted).abs() < 1e-5,
            "{degrees}: {separation}"
        );
    }
}

#[test]
fn least_squares_find_a_plane_and_say_where_there_is_none() {
    let mut fit = LeastSquares::<3>::new();
    for (x, y) in [(0.0, 0.0), (3.0, 1.0), (1.0, 5.0), (4.0, 4.0)] {
        fit.add([x, y, 1.0], 2.0 * x - 3.0 * y + 7.0);
    }
    let [a, b, c] = fit.solve().unwrap();
    assert!((a - 2.0).abs() < 1e-9 && (b + 3.0).abs() < 1e-9 && (c - 7.0).abs() < 1e-9);
    let mut line = LeastSquares::<2>::new();
    line.add([1.0, 2.0], 1.0);
    line.add([2.0, 4.0], 2.0);
    assert_eq!(line.solve(), None);
}

/// Displacement and strength as drawn, and how far off either may be read. Noise and loss cover a part of the copy, and
/// of one that is nearer than strokes are wide only a rim is seen.
#[test]
fn copies_are_told_with_displacement_and_strength() {
    let plain = Manner::PLAIN;
    let (mut errors, mut missed) = (Vec::new(), Vec::new());
    for (seed, shift, strength, sigma, quality, glow) in [
        (1, [6.0, 0.0], 0.05, 0.0, None, 0.15),
        (2, [6.0, 0.0], 0.05, 2.0, None, 0.15),
        (3, [-5.0, 0.0], 0.05, 4.0, None, 0.1),
        (4, [0.0, 7.0], 0.1, 2.0, Some(90), 0.2),
        (5, [8.0, -4.0], 0.2, 2.0, None, 0.2),
        (6, [-6.0, 2.5], 0.2, 4.0, Some(85), 0.1),
        (7, [9.0, 0.0], 0.4, 2.0, None, 0.1),
    ] {
        let manner = Manner {
            shift,
            strength,
            glow,
            sigma,
            quality,
            ..plain
        };
        let found = report(&drawn(seed, &manner));
        let Some(double) = found.double_image else {
            missed.push(manner);
            continue;
        };
        let off = (double.shift_px[0] - shift[0]).hypot(double.shift_px[1] - shift[1]);
        let read = double.strength_percent / 100.0;
        println!(
            "{shift:?} at {strength}: off by {off:.2} px, strength {read:.3} (noise {sigma}, JPEG {quality:?})"
        );
        errors.push((off, (read - strength) / strength));
        let share = double.shift_px[0].hypot(double.shift_px[1]) / 960.0;
        assert!((double.thickness_mm_per_m - 1000.0 * share / 0.74321).abs() < 0.01);
        let of_kind = found
            .findings
            .iter()
            .find(|finding| finding.kind == CameraKind::DoubleImage);
        assert!(of_kind.unwrap().bounds.is_some());
    }
    assert!(missed.is_empty(), "{missed:?}");
    assert!(errors.iter().all(|(off, _)| *off <= 1.0), "{errors:?}");
    assert!(
        errors.iter().all(|(_, share)| share.abs() <= 0.3),
        "{errors:?}"
    );
}

#[test]
fn glow_noise_hatching_and_pairs_of_lines_are_no_copies() {
    let plain = Manner::PLAIN;
    let hatched = Manner {
        hatched: true,
        ..plain
    };
    for (seed, manner) in [
        (11, plain),
        (
            12,
            Manner {
                sigma: 0.0,
                glow: 0.3,
                ..plain
            },
        ),
        (
            13,
            Manner {
                sigma: 4.0,
                quality: Some(80),
                ..plain
            },
        ),
        (14, hatched),
        (16, hatched),
        (17, hatched),
        (
            15,
            Manner {
                sigma: 0.0,
                ..hatched
            },
        ),
    ] {
        let found = report(&drawn(seed, &manner));
        assert_eq!(found.double_image, None, "{manner:?}");
    }
}

#[test]
fn frames_without_a_copy_have_none() {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let board = |name: &str| read_picture(&data.join(name)).unwrap().frame;
    for (name, frame) in [
        ("the demonstration", CAMERA.frame().unwrap()),
        ("board_1", board("board_1.jpg")),
        ("board_3", board("board_3.jpg")),
    ] {
        let camera = CameraRaster::new(&frame);
        let found = report(&frame);
        assert_eq!(found.double_image, None, "{name}");
        let parts = find_camera_parts(&CameraStills {
            camera: &camera,
            empty: None,
            before: None,
        });
        let start = Instant::now();
        let again = measure_double_image(&camera, &parts, found.edges.writing_px);
        println!("{name}: {:.0} ms", 1000.0 * start.elapsed().as_secs_f64());
        assert_eq!(again, None);
    }
}
