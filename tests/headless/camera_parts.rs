//! Writing and presenter in a camera frame: against truth masks, published figures, and frames that hold neither.

use std::path::{Path, PathBuf};
use std::process::Command;

use nightglass::files::picture_file::read_picture;
use nightglass::measure::camera::backdrop::Backdrop;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::finding::{Severity, Unit};
use nightglass::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use nightglass::measure::inspect::camera_masks::CameraMasks;
use nightglass::measure::inspect::camera_note::CameraNote;
use nightglass::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use nightglass::measure::inspect::camera_report::camera_findings;
use nightglass::measure::inspect::camera_verdict::CameraVerdict;
use nightglass::measure::inspect::double_image::DoubleImage;
use nightglass::measure::parts::ink_glow::ink_glow;
use nightglass::measure::raster::byte_plane::BytePlane;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::still::still_pair::PairFault;
use nightglass::pixel::color::{srgb_decode, srgb_encode};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;
use nightglass::report::inspect_document::InspectDocument;
use nightglass::report::inspect_words::measured_words;

use crate::calibrate::save_png;
use crate::frames::hash_at;

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name)
}

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

/// The first channel of a picture.
fn greys(name: &str) -> (Size, Vec<u8>) {
    let frame = read_picture(&data(name)).unwrap().frame;
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("an 8-bit picture");
    };
    (frame.size(), pixels.iter().map(|pixel| pixel[0]).collect())
}

fn mask(name: &str) -> Runs {
    let (size, greys) = greys(name);
    Runs::of_bytes(size, &greys, |grey| grey > 127)
}

fn found(frame: &Frame) -> CameraParts {
    let camera = &CameraRaster::new(frame);
    find_camera_parts(&CameraStills {
        camera,
        empty: None,
        before: None,
    })
}

fn share(part: &Runs, whole: &Runs) -> f64 {
    part.area() as f64 / whole.area() as f64
}

/// Nearly normal noise, deviation 1. Source: the sum of twelve uniform numbers has variance 1.
fn normal(seed: u32, x: u32, y: u32) -> f64 {
    let unit = |k: u32| f64::from(hash_at(seed + k, x, y) % 65_536) / 65_536.0;
    (0..12).map(unit).sum::<f64>() - 6.0
}

#[test]
fn openings_and_top_hats_are_those_of_three_libraries() {
    // scikit-image 0.26, SciPy and OpenCV agree on camera.png: side, sum and most of the white top-hat, sum of the opening.
    let (size, greys) = greys("camera_grey.png");
    for (reach, top_hat_sum, top_hat_most, opening_sum) in [
        (1, 1_070_473_u64, 186, 32_762_022_u64),
        (2, 1_907_284, 220, 31_925_211),
    ] {
        let opened = BytePlane::new(size, greys.clone()).opened(reach);
        let hats: Vec<u8> = greys
            .iter()
            .zip(opened.bytes())
            .map(|(a, b)| a - b)
            .collect();
        assert_eq!(
            opened.bytes().iter().map(|&v| u64::from(v)).sum::<u64>(),
            opening_sum
        );
        assert_eq!(hats.iter().map(|&v| u64::from(v)).sum::<u64>(), top_hat_sum);
        assert_eq!(hats.iter().max(), Some(&top_hat_most));
    }
}

#[test]
fn extremes_reach_as_far_as_they_say_and_no_farther() {
    let mut bytes = vec![0; 15 * 11];
    bytes[5 * 15 + 7] = 200;
    for reach in 0..6 {
        let dilated = BytePlane::new(size(15, 11), bytes.clone()).dilated(reach);
        let wanted = (2 * reach + 1).min(11) * (2 * reach + 1).min(15);
        let sum: usize = dilated.bytes().iter().map(|&v| usize::from(v)).sum();
        assert_eq!(sum, 200 * wanted, "reach {reach}");
    }
}

#[test]
fn the_noise_of_a_backdrop_is_the_deviation_that_was_put_in() {
    // Immerkaer's estimate is unbiased for normal noise; rounding to codes adds 1 / 12 to its variance.
    for (sigma, seed) in [(1.0, 1), (2.5, 40), (4.0, 80)] {
        let frame = Frame::from_fn(size(480, 270), |x, y| {
            [0, 20, 40].map(|channel| {
                (24.0 + sigma * normal(seed + channel, x, y))
                    .round()
                    .clamp(0.0, 255.0) as u8
            })
        });
        let weights: f64 = [0.2126_f64, 0.7152, 0.0722].iter().map(|w| w * w).sum();
        let luma = ((sigma * sigma + 1.0 / 12.0) * weights).sqrt();
        let measured = Backdrop::measure(&CameraRaster::new(&frame)).noise_codes();
        assert!(
            (measured / luma - 1.0).abs() < 0.04,
            "{measured} for {luma}"
        );
    }
}

#[test]
fn writing_and_presenter_are_where_the_truth_has_them() {
    // Composed frames with masks known from their making; one pixel of slack for writing.
    for name in ["board_1", "board_3"] {
        let frame = read_picture(&data(&format!("{name}.jpg"))).unwrap().frame;
        let parts = found(&frame);
        let (writing, presenter) = (
            mask(&format!("{name}.writing.png")),
            mask(&format!("{name}.presenter.png")),
        );
        let recall = share(&writing.intersection(&parts.writing.grown(1)), &writing);
        let precision = share(
            &parts.writing.intersection(&writing.grown(1)),
            &parts.writing,
        );
        let overlap = share(
            &parts.presenter.intersection(&presenter),
            &parts.presenter.union(&presenter),
        );
        assert!(
            recall > 0.95 && precision > 0.95,
            "{name}: {recall} {precision}"
        );
        assert!(overlap > 0.84, "{name}: {overlap}");
        assert_eq!(parts.notes, []);
        assert!(parts.presenter_place.is_some() && !parts.writing_places.is_empty());
    }
}

/// A presenter, drawn plainly, some strokes of green ink, and a red badge.
#[derive(Clone, Copy, Debug)]
struct Rig {
    presenter: bool,
    strokes: bool,
    badge: bool,
    black: f64,
    shift: u32,
}

const RIG: Rig = Rig {
    presenter: true,
    strokes: true,
    badge: true,
    black: 6.0,
    shift: 0,
};

fn is_stroke(x: u32, y: u32) -> bool {
    let slanted = (60..220).contains(&x) && (x / 2 + 60..x / 2 + 67).contains(&y);
    let level = (80..240).contains(&x) && (250..257).contains(&y);
    slanted || level
}

impl Rig {
    fn frame(self) -> Frame {
        Frame::from_fn(size(640, 360), |x, y| {
            let noise = normal(7, x, y);
            let (fx, fy) = (f64::from(x), f64::from(y));
            let head = ((fx - 450.0) / 40.0).powi(2) + ((fy - 120.0) / 52.0).powi(2) < 1.0;
            let trunk = (fx - 450.0).abs() < 110.0 && fy > 190.0 + 0.1 * (fx - 450.0).abs();
            let neck = (fx - 450.0).abs() < 16.0 && (150.0..200.0).contains(&fy);
            // A lamp's reflection, which stands in every frame of the rig.
            let (u, v) = (f64::from(x + self.shift) - 560.0, fy - 60.0);
            let lamp = 60.0 * (-(u * u / 450.0 + v * v / 250.0)).exp();
            let color = if self.strokes && is_stroke(x, y) {
                [70.0, 240.0, 100.0]
            } else if self.badge && (470..550).contains(&x) && (270..274).contains(&y) {
                [230.0, 30.0, 40.0]
            } else if self.presenter && (head || neck) {
                [190.0, 140.0, 112.0]
            } else if self.presenter && trunk {
                [60.0, 66.0, 90.0]
            } else {
                [self.black + lamp; 3]
            };
            color.map(|code| (code + 0.8 * noise).round().clamp(0.0, 255.0) as u8)
        })
    }
}

/// What is found with another still beside the frame.
fn with(frame: &Frame, empty: Option<&Frame>, before: Option<&Frame>) -> CameraParts {
    let [empty, before] = [empty, before].map(|still| still.map(CameraRaster::new));
    find_camera_parts(&CameraStills {
        camera: &CameraRaster::new(frame),
        empty: empty.as_ref(),
        before: before.as_ref(),
    })
}

#[test]
fn an_empty_frame_of_the_same_rig_is_used() {
    let empty = Rig {
        presenter: false,
        strokes: false,
        badge: false,
        ..RIG
    };
    let parts = with(&RIG.frame(), Some(&empty.frame()), None);
    assert_eq!(parts.notes, []);
    assert!(parts.writing.contains(140, 133) && parts.writing.contains(160, 253));
    assert!(parts.presenter.contains(450, 120) && parts.presenter.contains(380, 300));
    assert!(
        !parts.presenter.contains(560, 60),
        "the lamp is no presenter"
    );
}

#[test]
fn the_glow_under_the_boat_of_the_demonstration_is_no_presenter() {
    let frame = nightglass::files::demonstration::CAMERA.frame().unwrap();
    // The elbow of the writing arm is at column 1020, the glow under the boat between 480 and 800.
    let place = found(&frame).presenter_place.unwrap();
    assert!((980..1060).contains(&place.x), "{place:?}");
}

#[test]
fn of_a_stroke_that_is_drawn_on_only_what_is_new_is_writing() {
    let line = |end: u32| {
        Frame::from_fn(size(640, 360), |x, y| {
            let is_ink = (100..end).contains(&x) && y.abs_diff(180) < 4;
            let color = if is_ink {
                [60.0, 220.0, 90.0]
            } else {
                [6.0; 3]
            };
            color.map(|code| (code + 0.8 * normal(23 + end, x, y)).round().max(0.0) as u8)
        })
    };
    let writing = with(&line(420), None, Some(&line(220))).writing;
    assert!(writing.contains(230, 180) && writing.contains(410, 180));
    assert!(!writing.contains(110, 180) && !writing.contains(215, 180));
}

#[test]
fn what_was_there_before_is_no_writing() {
    let frame = RIG.frame();
    let with_before = |strokes: bool| {
        let before = Rig { strokes, ..RIG };
        with(&frame, None, Some(&before.frame()))
    };
    let parts = with_before(false);
    assert_eq!(parts.notes, []);
    assert!(parts.writing.contains(140, 133) && parts.writing.contains(160, 253));
    let parts = with_before(true);
    assert_eq!(parts.notes, [CameraNote::NothingWritten]);
    assert!(
        parts.writing.as_slice().is_empty(),
        "strokes of an earlier lesson"
    );
}

#[test]
fn stills_that_do_not_fit_are_said_and_not_used() {
    let frame = RIG.frame();
    let plain = with(&frame, None, None);
    let empty = Rig {
        presenter: false,
        strokes: false,
        badge: false,
        ..RIG
    };
    let brighter = Rig {
        black: 14.0,
        ..empty
    };
    let moved = Rig { shift: 9, ..empty };
    let other_size = Frame::from_fn(size(320, 180), |_, _| [6; 3]);
    for (still, fault) in [
        (brighter.frame(), PairFault::Light),
        (moved.frame(), PairFault::Moved),
        (other_size, PairFault::Size),
    ] {
        let parts = with(&frame, Some(&still), None);
        assert_eq!(parts.notes, [CameraNote::EmptyNotUsed(fault)]);
        assert_eq!(parts.presenter, plain.presenter);
    }
    let parts = with(&frame, None, Some(&brighter.frame()));
    assert_eq!(parts.notes, [CameraNote::BeforeNotUsed(PairFault::Light)]);
    assert_eq!(parts.writing, plain.writing);
}

#[test]
fn frames_with_nothing_in_them_give_nothing_and_say_so() {
    let noise = |x: u32, y: u32| {
        let code = (20.0 + 4.0 * normal(3, x, y)).round().clamp(0.0, 255.0) as u8;
        [code; 3]
    };
    let nothing = [CameraNote::NothingWritten, CameraNote::NobodyThere];
    let without_color = [CameraNote::NoColour, nothing[0], nothing[1]];
    let black = Frame::from_fn(size(640, 360), |_, _| [0; 3]);
    let white = Frame::from_fn(size(640, 360), |_, _| [255; 3]);
    let noisy = Frame::from_fn(size(640, 360), noise);
    let empty = Rig {
        presenter: false,
        strokes: false,
        badge: false,
        ..RIG
    };
    for (frame, notes) in [
        (black, &without_color[..]),
        (white, &[CameraNote::NoBackdrop]),
        (noisy, &without_color),
        (empty.frame(), &without_color),
        (
            Frame::from_fn(size(1, 1), |_, _| [9; 3]),
            &[CameraNote::TooSmall],
        ),
        (
            Frame::from_fn(size(16, 9), |x, _| [x as u8; 3]),
            &[CameraNote::TooSmall],
        ),
        (
            Frame::from_fn(size(2000, 3), |x, _| [x as u8; 3]),
            &[CameraNote::TooSmall],
        ),
    ] {
        let parts = found(&frame);
        assert_eq!(parts.notes, notes, "{:?}", frame.size());
        assert_eq!((parts.writing.area(), parts.presenter.area()), (0, 0));
        assert_eq!(parts.writing.size(), frame.size());
    }
}

/// A photograph on a frame, resized so that it fills a box.
fn laid(photograph: &Frame, frame: Size, bounds: PixelBox, behind: [u8; 3]) -> Frame {
    let Pixels::Rgba8(pixels) = photograph.pixels() else {
        panic!("an 8-bit picture");
    };
    let own = photograph.size();
    Frame::from_fn(frame, |x, y| {
        if x < bounds.x || y < bounds.y || x >= bounds.right() || y >= bounds.bottom() {
            return behind;
        }
        let u = (x - bounds.x) * own.width() / bounds.width;
        let v = (y - bounds.y) * own.height() / bounds.height;
        let [r, g, b, _] = pixels[(v * own.width() + u) as usize];
        [r, g, b]
    })
}

#[test]
fn a_photograph_of_someone_elsewhere_has_no_backdrop() {
    let frame = read_picture(&data("astronaut.png")).unwrap().frame;
    let parts = found(&frame);
    assert_eq!(parts.notes, [CameraNote::NoBackdrop]);
    assert_eq!((parts.writing.area(), parts.presenter.area()), (0, 0));
}

#[test]
fn a_photograph_before_black_is_a_presenter_without_writing() {
    let photograph = read_picture(&data("astronaut.png")).unwrap().frame;
    let bounds = PixelBox {
        x: 340,
        y: 104,
        width: 256,
        height: 256,
    };
    let parts = found(&laid(&photograph, size(640, 360), bounds, [6; 3]));
    assert_eq!(parts.notes, [CameraNote::NothingWritten]);
    let place = parts.presenter_place.unwrap();
    let common = place.intersection(bounds).unwrap().area() as f64;
    assert!(
        common / place.union(bounds).area() as f64 > 0.95,
        "{place:?}"
    );
}

#[test]
fn the_reflections_of_tubes_are_no_presenter() {
    let frame = Frame::from_fn(size(640, 360), |x, y| {
        let across = |at: u32, middle: f64| (-(f64::from(at) - middle).powi(2) / 32.0).exp();
        let light = 60.0 * across(x, 400.0).max(across(y, 60.0));
        [(6.0 + light + 0.8 * normal(5, x, y))
            .round()
            .clamp(0.0, 255.0) as u8; 3]
    });
    let parts = found(&frame);
    assert_eq!(parts.presenter.area(), 0, "{:?}", parts.presenter_place);
    assert!(parts.notes.contains(&CameraNote::NobodyThere));
}

#[test]
fn the_glow_of_ink_is_as_bright_as_it_was_drawn_beside_dark_clothes() {
    // 3 % of the ink's light beside a stroke, less by the normal curve over 9 px; cloth of 6 codes more than the backdrop.
    let size = size(640, 360);
    let ink_color = [70.0, 240.0, 100.0];
    let is_ink = |x: u32, y: u32| (300..307).contains(&x) && (60..300).contains(&y);
    let lit = |x: u32, under: f64, code: f64| {
        let share = 0.03 * (-(f64::from(x) - 303.0).powi(2) / 162.0).exp();
        let [under, ink] = [under, code].map(|code| srgb_decode((code / 255.0) as f32));
        255.0 * f64::from(srgb_encode(under + share as f32 * ink))
    };
    let frame = Frame::from_fn(size, |x, y| {
        let noise = 0.8 * normal(11, x, y);
        let under = if y > 150 && x > 250 { 12.0 } else { 6.0 };
        let color = if is_ink(x, y) {
            ink_color
        } else {
            ink_color.map(|code| lit(x, under, code))
        };
        color.map(|code| (code + noise).round().clamp(0.0, 255.0) as u8)
    });
    let camera = CameraRaster::new(&frame);
    let places = (0..size.height()).flat_map(|y| (0..size.width()).map(move |x| (x, y)));
    let bytes: Vec<u8> = places.map(|(x, y)| u8::from(is_ink(x, y))).collect();
    let ink = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let backdrop = Backdrop::measure(&camera);
    let fitted = ink_glow(&camera, &backdrop, &ink);
    let cell = backdrop.cell_px();
    for x in [288, 292, 314, 318, 322] {
        let row = (120 / cell) as usize * backdrop.cells_across();
        let middle = x / cell * cell;
        for (fitted, code) in fitted[row + (x / cell) as usize].into_iter().zip(ink_color) {
            let glow = |x: u32| lit(x, 6.0, code) - 6.0;
            let drawn = f64::midpoint(glow(middle), glow(middle + cell - 1));
            assert!(
                (f64::from(fitted) - drawn).abs() < 1.5 + 0.2 * drawn,
                "{fitted} for {drawn} at {x}"
            );
        }
    }
}

#[test]
fn dark_clothes_that_fade_into_the_backdrop_on_one_side_are_the_presenter() {
    // A lit head over a trunk that is six codes over the backdrop at the left, with a rim, and none at the right.
    let size = size(960, 540);
    let is_head = |x: u32, y: u32| {
        let (dx, dy) = (f64::from(x) - 480.0, f64::from(y) - 150.0);
        dx * dx / 3600.0 + dy * dy / 6400.0 < 1.0
    };
    let is_trunk = |x: u32, y: u32| (340..620).contains(&x) && y >= 220;
    let frame = Frame::from_fn(size, |x, y| {
        let fade = f64::from(620_u32.saturating_sub(x)) / 280.0;
        let over = match (is_head(x, y), is_trunk(x, y)) {
            (true, _) => 140.0,
            (_, true) if x < 346 || y < 226 => 30.0 * fade,
            (_, true) => 6.0 * fade,
            _ => 0.0,
        };
        [0, 20, 40].map(|channel| {
            let noise = 0.7 * normal(7 + channel, x, y);
            (10.0 + over + noise).round() as u8
        })
    });
    let mut bytes = vec![0_u8; size.area()];
    for (at, byte) in (0_u32..).zip(&mut bytes) {
        let (x, y) = (at % size.width(), at / size.width());
        *byte = u8::from(is_head(x, y) || is_trunk(x, y));
    }
    let truth = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let presenter = found(&frame).presenter;
    let kept = share(&presenter.intersection(&truth), &truth);
    let right = share(&presenter.intersection(&truth), &presenter);
    assert!(kept > 0.75 && right > 0.95, "{kept} {right}");
}

/// A presenter in grey with a lanyard around the neck and a word in the same red, or in green.
fn with_lanyard(is_worn: bool) -> Frame {
    Frame::from_fn(size(640, 360), |x, y| {
        let noise = 0.8 * normal(17, x, y);
        let (fx, fy) = (f64::from(x), f64::from(y));
        let head = ((fx - 450.0) / 36.0).powi(2) + ((fy - 110.0) / 48.0).powi(2) < 1.0;
        let trunk = (fx - 450.0).abs() < 110.0 && fy > 170.0;
        // Both run down to the same point, or zigzag beside it.
        let strand = |side: f64| {
            let middle = if is_worn {
                450.0 + side * (320.0 - fy) * 0.3
            } else {
                400.0 + side * 25.0 + 18.0 * (fy * 0.09).sin()
            };
            (180.0..320.0).contains(&fy) && (fx - middle).abs() < 4.0
        };
        let stroke = (60..240).contains(&x) && y.abs_diff(80) < 4;
        let color = if stroke || strand(-1.0) || strand(1.0) {
            [235.0, 60.0, 70.0]
        } else if head {
            [190.0, 140.0, 112.0]
        } else if trunk {
            [70.0, 72.0, 76.0]
        } else {
            [6.0; 3]
        };
        color.map(|code| (code + noise).round().clamp(0.0, 255.0) as u8)
    })
}

#[test]
fn what_hangs_alike_on_both_sides_of_the_presenter_is_worn() {
    let red = |parts: &CameraParts| {
        let trunk = |&(x, y): &(u32, u32)| parts.writing.contains(x, y);
        (340..560)
            .flat_map(|x| (180..320).map(move |y| (x, y)))
            .filter(trunk)
            .count()
    };
    let (worn, written) = (found(&with_lanyard(true)), found(&with_lanyard(false)));
    assert!(worn.writing.contains(150, 80) && written.writing.contains(150, 80));
    assert_eq!(red(&worn), 0);
    assert!(red(&written) > 1500, "{}", red(&written));
}

#[test]
fn colours_of_chance_are_neither_writing_nor_a_presenter_for_certain() {
    let frame = Frame::from_fn(size(320, 180), |x, y| {
        [0, 1, 2].map(|c| (hash_at(c, x, y) >> 24) as u8)
    });
    assert_eq!(found(&frame).notes, [CameraNote::NoBackdrop]);
}

fn inspect(folder: &Path, args: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .arg("inspect")
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

#[test]
fn inspect_writes_masks_of_the_output_and_one_document() {
    let folder = tempfile::tempdir().unwrap();
    save_png(&folder.path().join("camera.png"), &RIG.frame());
    let output = inspect(
        folder.path(),
        &[
            "camera.png",
            "--masks",
            "masks",
            "--json",
            "--size",
            "1280x720",
        ],
    );
    assert_eq!(
        output.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["schema"], 1);
    assert_eq!(document["output"], serde_json::json!([1280, 720]));
    assert_eq!(document["camera"]["size"], serde_json::json!([640, 360]));
    // The lamp's middle is at 560, 60 of 640x360, and it spoils the take.
    let lamp = &document["findings"][0];
    assert_eq!(lamp["kind"], "reflection");
    let [x, y, width, height] = [0, 1, 2, 3].map(|i| lamp["box"][i].as_u64().unwrap());
    assert!((x..x + width).contains(&1120) && (y..y + height).contains(&120));
    for name in ["writing", "presenter"] {
        let frame = read_picture(&folder.path().join(format!("masks/{name}.png")))
            .unwrap()
            .frame;
        assert_eq!(frame.size(), size(1280, 720));
        let Pixels::Rgba8(pixels) = frame.pixels() else {
            panic!("an 8-bit mask");
        };
        assert!(
            pixels
                .iter()
                .all(|&pixel| pixel == [0, 0, 0, 255] || pixel == [255; 4])
        );
        let white = pixels.iter().filter(|pixel| pixel[0] == 255).count() as f64;
        let percent = document["camera"][name]["percent"].as_f64().unwrap();
        assert!(
            (percent - 100.0 * white / pixels.len() as f64).abs() < 0.006,
            "{name}"
        );
        assert!(percent > 0.5);
    }
}

#[test]
fn inspect_never_writes_over_what_it_reads_and_names_another_size() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    save_png(&path("writing.png"), &RIG.frame());
    let output = inspect(folder.path(), &["writing.png", "--masks", "."]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("the output is also an input"));
    save_png(
        &path("empty.png"),
        &Frame::from_fn(size(320, 180), |_, _| [6; 3]),
    );
    let output = inspect(folder.path(), &["writing.png", "--empty", "empty.png"]);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        text.contains(
            "note: the empty frame has another size than the camera frame and is not used\n"
        ),
        "{text}"
    );
    assert!(text.contains("presenter"), "{text}");
}

#[test]
fn a_figure_of_most_of_the_picture_is_no_presenter_anywhere() {
    for (share, is_lit) in [(0.5, false), (0.56, false), (0.66, true), (0.68, true)] {
        let frame = Frame::from_fn(size(640, 360), |x, y| {
            let noise = 0.8 * normal(29, x, y);
            // From the bottom up and in the middle, so wide that it takes this share.
            let is_in = y > 36 && f64::from(x.abs_diff(320)) < 320.0 * share / 0.9;
            let code = if is_in { 150.0 } else { 8.0 };
            [(code + noise).round() as u8; 3]
        });
        let parts = found(&frame);
        assert!(!parts.is_blind(), "{share}: {:?}", parts.notes);
        assert_eq!(
            parts.notes.contains(&CameraNote::LitAllOver),
            is_lit,
            "{share}"
        );
        assert_eq!(parts.presenter.area() == 0, is_lit, "{share}");
        assert_eq!(parts.presenter_place.is_none(), is_lit, "{share}");
        let masks = CameraMasks::of_parts(&parts);
        assert_eq!(masks.presenter(), &parts.presenter);
        let words = masks.missing_words("camera.png").unwrap();
        assert_eq!(
            words.contains("most of camera.png is lit"),
            is_lit,
            "{words}"
        );
        let report = camera_findings(&CameraRaster::new(&frame), &parts);
        let document = InspectDocument::new("camera.png".to_owned(), [640, 360], &parts, &report);
        assert_eq!(
            document.verdict == CameraVerdict::Unclear,
            is_lit,
            "{share}"
        );
    }
}

#[test]
fn numbers_of_the_document_are_neither_rounded_onto_a_limit_nor_less_than_nothing() {
    let frame = Frame::from_fn(size(640, 360), |_, _| [8; 3]);
    let parts = found(&frame);
    let mut report = camera_findings(&CameraRaster::new(&frame), &parts);
    report.findings = vec![CameraFinding {
        kind: CameraKind::RaisedBlack,
        severity: Severity::Warn,
        bounds: None,
        measured: 4.00071,
        limit: 4.0,
        unit: Unit::Percent,
        advice: String::new(),
    }];
    report.double_image = Some(DoubleImage {
        shift_px: [-0.001, 7.126],
        strength_percent: 5.0,
        thickness_mm_per_m: 2.0,
        bounds: None,
    });
    let document = InspectDocument::new("camera.png".to_owned(), [640, 360], &parts, &report);
    assert_eq!(
        measured_words(&document.findings[0]),
        "brighter or uneven by 4.001 %, limit 4 %"
    );
    let text = serde_json::to_string(&document).unwrap();
    assert!(text.contains("\"measured\":4.001,\"limit\":4.0"), "{text}");
    assert!(text.contains("\"shift_px\":[0.0,7.13]"), "{text}");
}
