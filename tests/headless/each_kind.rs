//! Every kind of finding on a slide of its own, drawn here, written as a PNG file and checked by the program:
//! the exact box, the value that the drawing and the formula give, and no other kind.
//!
//! Slides, cameras and output are 1920x1080 px, so that a pixel of a drawing is a pixel of the output.
//! The key is that of a new setup: threshold 6 %, softness 4 %, ramp linear, luma BT.709.

use image::{Rgb, RgbImage};
use nightglass::measure::finding::Kind;
use serde_json::{Value, json};

use crate::check::Desk;

const WIDTH: u32 = 1920;
const HEIGHT: u32 = 1080;
/// Half of the last digit of an `f32` near 1, hundredfold, and a few operations on it.
const TOLERANCE: f64 = 1e-4;

/// What `check --json` says of a slide.
struct Expected {
    kind: Kind,
    severity: &'static str,
    bounds: Value,
    measured: f64,
    limit: f64,
    unit: &'static str,
}

/// A slide, or a camera, of one colour.
fn plain(color: [u8; 3]) -> RgbImage {
    RgbImage::from_pixel(WIDTH, HEIGHT, Rgb(color))
}

/// Fills a box.
fn fill(picture: &mut RgbImage, [x, y, width, height]: [u32; 4], color: [u8; 3]) {
    for (v, u) in (y..y + height).flat_map(|v| (x..x + width).map(move |u| (v, u))) {
        picture.put_pixel(u, v, Rgb(color));
    }
}

/// A black slide with a filled box.
fn boxed(bounds: [u32; 4], color: [u8; 3]) -> RgbImage {
    let mut slide = plain([0; 3]);
    fill(&mut slide, bounds, color);
    slide
}

/// Checks the slide, over the camera where there is one, and compares all that is found.
fn expect_alone(slide: &RgbImage, camera: Option<&RgbImage>, expected: &Expected) {
    let desk = Desk::new();
    slide.save(desk.path("slide.png")).unwrap();
    let mut args = vec!["slide.png"];
    if let Some(camera) = camera {
        camera.save(desk.path("camera.png")).unwrap();
        args.extend(["--camera", "camera.png"]);
    }
    let document = desk.document(&args);
    assert_eq!(document["output"], json!([WIDTH, HEIGHT]));
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    assert_eq!(findings.len(), 1, "{findings:#?}");
    let found = &findings[0];
    assert_eq!(found["kind"], expected.kind.name());
    assert_eq!(found["severity"], expected.severity);
    assert_eq!(found["box"], expected.bounds);
    assert_eq!(found["unit"], expected.unit);
    let number = |key: &str| found[key].as_f64().unwrap();
    assert!(
        (number("measured") - expected.measured).abs() <= TOLERANCE,
        "{} instead of {}",
        number("measured"),
        expected.measured
    );
    assert!((number("limit") - expected.limit).abs() <= TOLERANCE);
    if expected.kind == Kind::Contrast {
        // The sentence has the digits of the number beside it.
        let words = format!("a contrast of {:.2} to what", expected.measured);
        let advice = found["advice"].as_str().unwrap();
        assert!(advice.contains(&words), "{advice}");
    }
    // Only what shows over a camera names one.
    let names_camera = matches!(expected.kind, Kind::DarkEdge | Kind::Contrast);
    let camera = names_camera.then_some("camera.png");
    assert_eq!(found["camera"].as_str(), camera);
}

#[test]
fn a_picture_that_fills_the_slide_is_cut_by_all_edges_on_purpose() {
    let mut slide = plain([0; 3]);
    // A cross of stars: two on each edge, cut by it, and some near it.
    for k in 0..2 {
        let (x, y) = (600 + 500 * k, 300 + 300 * k);
        for bounds in [
            [x, 0, 30, 12],
            [x, HEIGHT - 12, 30, 12],
            [0, y, 12, 30],
            [WIDTH - 12, y, 12, 30],
        ] {
            star(&mut slide, bounds);
        }
        fill(&mut slide, [x + 200, 20, 20, 20], [255; 3]);
    }
    let desk = Desk::new();
    slide.save(desk.path("slide.png")).unwrap();
    let document = desk.document(&["slide.png"]);
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    let outside: Vec<&Value> = findings
        .iter()
        .filter(|finding| finding["kind"] == "outside-safe")
        .collect();
    assert_eq!(outside.len(), 1, "{outside:#?}");
    assert_eq!(
        (&outside[0]["severity"], &outside[0]["box"]),
        (&json!("info"), &Value::Null)
    );
}

/// A shape that is no bar: an ellipse in a box.
fn star(picture: &mut RgbImage, [x, y, width, height]: [u32; 4]) {
    let (a, b) = (f64::from(width) / 2.0, f64::from(height) / 2.0);
    for (v, u) in (0..height).flat_map(|v| (0..width).map(move |u| (v, u))) {
        let (p, q) = (
            (f64::from(u) + 0.5) / a - 1.0,
            (f64::from(v) + 0.5) / b - 1.0,
        );
        if p * p + q * q <= 1.0 {
            picture.put_pixel(x + u, y + v, Rgb([255; 3]));
        }
    }
}

#[test]
fn what_is_little_lost_is_one_finding_of_the_largest_place() {
    let mut slide = plain([0; 3]);
    for k in 0..5 {
        fill(&mut slide, [200 + 300 * k, 300, 60 + 20 * k, 100], [10; 3]);
    }
    let desk = Desk::new();
    slide.save(desk.path("slide.png")).unwrap();
    let document = desk.document(&["slide.png"]);
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(findings[0]["severity"], "info");
    assert_eq!(findings[0]["box"], json!([1400, 300, 140, 100]));
    let advice = findings[0]["advice"].as_str().unwrap();
    assert!(
        advice.ends_with("4 smaller places on this slide are like it."),
        "{advice}"
    );
}

/// R'G'B' decoded. Source: IEC 61966-2-1, as WCAG 2.2 quotes it in its definition of relative luminance.
fn decoded(code: u8) -> f64 {
    let v = f64::from(code) / 255.0;
    if v <= 0.04045 {
        v / 12.92
    } else {
        ((v + 0.055) / 1.055).powf(2.4)
    }
}

/// Source: WCAG 2.2, definition of contrast ratio, `(L1 + 0.05) / (L2 + 0.05)`.
fn contrast(lighter: f64, darker: f64) -> f64 {
    (lighter + 0.05) / (darker + 0.05)
}

/// A grey background of code 80 has `100 * 80 / 255 = 31.37` % luma, over the limit of 25 %.
#[test]
fn not_dark() {
    let mut slide = plain([80; 3]);
    fill(&mut slide, [760, 440, 400, 200], [255; 3]);
    let expected = Expected {
        kind: Kind::NotDark,
        severity: "fail",
        bounds: Value::Null,
        measured: 100.0 * 80.0 / 255.0,
        limit: 25.0,
        unit: "percent",
    };
    expect_alone(&slide, None, &expected);
}

/// Code 20 has `Y' = 7.843` %, so the matte is `(7.843 - 6) / 4 = 0.461`, and over black, where the composite
/// is `m Y'`, it adds `0.461 * 7.843 = 3.61` %.
#[test]
fn haze() {
    let mut slide = plain([20; 3]);
    fill(&mut slide, [760, 440, 400, 200], [255; 3]);
    let luma = 100.0 * 20.0 / 255.0;
    let expected = Expected {
        kind: Kind::Haze,
        severity: "fail",
        bounds: Value::Null,
        measured: (luma - 6.0) / 4.0 * luma,
        limit: 3.0,
        unit: "percent",
    };
    expect_alone(&slide, None, &expected);
}

/// In a sail of one colour a patch of code 12, which is not the background's 0: `100 * 12 / 255 = 4.71` %
/// luma is dropped by a threshold of 6 %.
#[test]
fn hole() {
    let mut slide = boxed([600, 300, 700, 500], [230, 180, 90]);
    fill(&mut slide, [900, 500, 90, 70], [12; 3]);
    let expected = Expected {
        kind: Kind::Hole,
        severity: "warn",
        bounds: json!([900, 500, 90, 70]),
        measured: 100.0 * 12.0 / 255.0,
        limit: 6.0,
        unit: "percent",
    };
    expect_alone(&slide, None, &expected);
}

/// #0000A0 has `Y' = 0.0722 * 160 / 255 = 4.53` % and is dropped. What is lost is its contrast to black,
/// with the relative luminance `0.0722 B` of WCAG 2.2: 1.51, over the limit of 1.3.
#[test]
fn keyed_out() {
    let bounds = [500, 400, 300, 120];
    let expected = Expected {
        kind: Kind::KeyedOut,
        severity: "fail",
        bounds: json!(bounds),
        measured: contrast(0.0722 * decoded(160), 0.0),
        limit: 1.3,
        unit: "ratio",
    };
    expect_alone(&boxed(bounds, [0, 0, 160]), None, &expected);
}

/// #0000FF has `Y' = 7.22` %: a matte of `(7.22 - 6) / 4 = 0.305`. Its contrast to black by WCAG 2.2 is
/// `(0.0722 + 0.05) / 0.05 = 2.444`.
#[test]
fn half_keyed() {
    let bounds = [500, 400, 300, 120];
    let expected = Expected {
        kind: Kind::HalfKeyed,
        severity: "fail",
        bounds: json!(bounds),
        measured: 2.444,
        limit: 1.3,
        unit: "ratio",
    };
    expect_alone(&boxed(bounds, [0, 0, 255]), None, &expected);
}

/// A plate whose left side fades in by 11 codes a pixel, over a camera of code 128.
///
/// Dark is what comes out more than 8 codes under the camera and under the plate's own 253, so under 120.
/// Code 11 is dropped. Code 22 has `m = (100 * 22 / 255 - 6) / 4 = 0.657` and comes out as
/// `0.657 * 22 + 0.343 * 128 = 58`; 33 and up are solid and come out as they are, 110 is the last under 120.
/// 22, 33, ... 110 are nine columns.
#[test]
fn dark_edge() {
    let mut slide = boxed([700, 300, 600, 400], [253; 3]);
    for step in 1..=22 {
        fill(
            &mut slide,
            [699 - 22 + step, 300, 1, 400],
            [11 * step as u8; 3],
        );
    }
    let expected = Expected {
        kind: Kind::DarkEdge,
        severity: "warn",
        bounds: json!([699 - 22 + 2, 300, 9, 400]),
        measured: 9.0,
        limit: 1.5,
        unit: "px",
    };
    expect_alone(&slide, Some(&plain([128; 3])), &expected);
}

/// A white line of one pixel.
#[test]
fn hairline() {
    let bounds = [500, 400, 600, 1];
    let expected = Expected {
        kind: Kind::Hairline,
        severity: "warn",
        bounds: json!(bounds),
        measured: 1.0,
        limit: 2.0,
        unit: "px",
    };
    expect_alone(&boxed(bounds, [255; 3]), None, &expected);
}

/// Capitals of rectangles, 20 px high: `100 * 20 / 1080 = 1.85` % of the picture's height.
/// A viewer four picture heights away needs `100 * 4 / 200 = 2` %.
/// Source: AVIXA V202.01:2016 (DISCAS), farthest viewer = image height x element height x 200.
#[test]
fn small_text() {
    let strokes_of = |letter: char| -> &'static [[u32; 4]] {
        match letter {
            'E' => &[[0, 0, 4, 20], [4, 0, 9, 4], [4, 8, 8, 4], [4, 16, 9, 4]],
            'F' => &[[0, 0, 4, 20], [4, 0, 9, 4], [4, 8, 8, 4]],
            'H' => &[[0, 0, 4, 20], [9, 0, 4, 20], [4, 8, 5, 4]],
            'L' => &[[0, 0, 4, 20], [4, 16, 9, 4]],
            'O' => &[[0, 0, 4, 20], [9, 0, 4, 20], [4, 0, 5, 4], [4, 16, 5, 4]],
            'R' => &[
                [0, 0, 4, 20],
                [4, 0, 9, 4],
                [9, 4, 4, 4],
                [4, 8, 9, 4],
                [9, 12, 4, 8],
            ],
            'T' => &[[0, 0, 13, 4], [5, 4, 4, 16]],
            'U' => &[[0, 0, 4, 20], [9, 0, 4, 20], [4, 16, 5, 4]],
            _ => &[],
        }
    };
    let mut slide = plain([0; 3]);
    // 13 px a letter and 4 px between two: 8 letters and a space of the same are 9 * 17 - 4 px.
    for (letter, x) in "LEFT HOUR".chars().zip((600..).step_by(17)) {
        for &[left, top, width, height] in strokes_of(letter) {
            fill(&mut slide, [x + left, 500 + top, width, height], [255; 3]);
        }
    }
    let expected = Expected {
        kind: Kind::SmallText,
        severity: "fail",
        bounds: json!([600, 500, 9 * 17 - 4, 20]),
        measured: 100.0 * 20.0 / 1080.0,
        limit: 100.0 * 4.0 / 200.0,
        unit: "percent",
    };
    expect_alone(&slide, None, &expected);
}

/// Graphics safe keeps 96 px free at the left of 1920, 5 %. A plate from column 50 on comes within
/// `100 * 50 / 1920 = 2.60` %; what lies in the margin is 46 px wide.
/// Source: EBU R 95, graphics safe margin, figure 4.
#[test]
fn outside_safe() {
    let expected = Expected {
        kind: Kind::OutsideSafe,
        severity: "info",
        bounds: json!([50, 400, 46, 200]),
        measured: 100.0 * 50.0 / 1920.0,
        limit: 5.0,
        unit: "percent",
    };
    expect_alone(
        &boxed([50, 400, 500, 200], [255, 220, 120]),
        None,
        &expected,
    );
}

/// A grey plate of code 160 over a camera of code 128: 1.51 by WCAG 2.2, which wants 3 for graphics
/// (success criterion 1.4.11).
#[test]
fn contrast_over_the_camera() {
    let bounds = [500, 400, 600, 200];
    let expected = Expected {
        kind: Kind::Contrast,
        severity: "warn",
        bounds: json!(bounds),
        measured: contrast(decoded(160), decoded(128)),
        limit: 3.0,
        unit: "ratio",
    };
    expect_alone(&boxed(bounds, [160; 3]), Some(&plain([128; 3])), &expected);
}
