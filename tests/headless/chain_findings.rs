//! What is said about captures that came through something other than a plain cable.

use nightglass::measure::test_chart::calibration::Calibration;
use nightglass::measure::test_chart::chain_finding::{ChainFinding, ChainKind, chain_findings};
use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Size, Turn};

use crate::simulation::{Random, Way, capture};

const WIDTH: u32 = 1280;
const HEIGHT: u32 = 720;

/// A capture whose pixel at a place is the chart's at another, in percent of white.
fn taken(from: impl Fn(f64, f64) -> (f64, f64), level: impl Fn(f64) -> f64) -> Frame {
    let size = Size::new(WIDTH, HEIGHT).unwrap();
    let chart = draw_chart(Chart::new(size).unwrap());
    let nightglass::pixel::frame::Pixels::Rgba8(pixels) = chart.pixels() else {
        panic!("a chart has 8 bits")
    };
    Frame::from_fn(size, |x, y| {
        let (u, v) = from(f64::from(x) + 0.5, f64::from(y) + 0.5);
        let is_inside =
            (0.0..f64::from(WIDTH)).contains(&u) && (0.0..f64::from(HEIGHT)).contains(&v);
        let [r, g, b, _] = if is_inside {
            pixels[v as usize * WIDTH as usize + u as usize]
        } else {
            [0; 4]
        };
        [r, g, b].map(|code| (255.0 * level(f64::from(code) / 255.0)).round() as u8)
    })
}

fn found_in(frame: &Frame) -> Vec<ChainFinding> {
    chain_findings(&Calibration::measure(frame, None).unwrap())
}

fn kinds(findings: &[ChainFinding]) -> Vec<ChainKind> {
    findings.iter().map(|finding| finding.kind).collect()
}

#[test]
fn a_gamma_is_a_curve_and_neither_clipping_nor_a_mistake_of_range() {
    for gamma in [0.8, 1.1, 1.25] {
        let findings = found_in(&taken(|x, y| (x, y), |v| v.powf(gamma)));
        assert_eq!(
            kinds(&findings),
            [ChainKind::Bent],
            "gamma {gamma}: {findings:?}"
        );
    }
}

#[test]
fn an_s_curve_is_not_taken_for_a_signal_that_was_expanded_twice() {
    let curve = |v: f64| 0.5 - 0.5 * (std::f64::consts::PI * v).cos();
    let findings = found_in(&taken(|x, y| (x, y), curve));
    assert!(kinds(&findings).contains(&ChainKind::Bent), "{findings:?}");
    assert!(
        !kinds(&findings).contains(&ChainKind::Range),
        "{findings:?}"
    );
}

#[test]
fn a_chart_that_does_not_fill_the_picture_says_how_much_it_fills() {
    // Three quarters of each side, a tenth from the left and the top.
    let smaller = |x: f64, y: f64| {
        let (left, top) = (f64::from(WIDTH) * 0.1, f64::from(HEIGHT) * 0.1);
        ((x - left) / 0.75, (y - top) / 0.75)
    };
    let findings = found_in(&taken(smaller, |v| v));
    assert_eq!(kinds(&findings), [ChainKind::Border], "{findings:?}");
    assert!((findings[0].measured - 25.0).abs() < 0.2, "{findings:?}");
    assert!(findings[0].advice.contains("75 %"), "{findings:?}");
}

#[test]
fn a_chart_that_is_askew_was_not_captured_from_a_cable() {
    let turned = |x: f64, y: f64| {
        let (sin, cos) = 1.0_f64.to_radians().sin_cos();
        let (dx, dy) = (x - f64::from(WIDTH) / 2.0, y - f64::from(HEIGHT) / 2.0);
        (
            f64::from(WIDTH) / 2.0 + cos * dx + sin * dy,
            f64::from(HEIGHT) / 2.0 - sin * dx + cos * dy,
        )
    };
    let findings = found_in(&taken(turned, |v| v));
    let tilted = findings
        .iter()
        .find(|finding| finding.kind == ChainKind::Tilted)
        .unwrap_or_else(|| panic!("{findings:?}"));
    assert!((tilted.measured - 1.0).abs() < 0.05, "{tilted:?}");
}

#[test]
fn strong_noise_is_told() {
    let way = Way {
        noise_codes: 8.0,
        ..Way::clean(Size::new(WIDTH, HEIGHT).unwrap())
    };
    let (frame, _) = capture(&way, &mut Random(11));
    let findings = found_in(&frame);
    assert_eq!(kinds(&findings), [ChainKind::Noise], "{findings:?}");
    // 8 of 255 codes are 3.1 percent of white.
    assert!((findings[0].measured - 3.1).abs() < 0.35, "{findings:?}");
}

#[test]
fn a_half_turn_is_not_answered_with_a_mirror() {
    let way = Way {
        turn: Turn::Half,
        ..Way::clean(Size::new(WIDTH, HEIGHT).unwrap())
    };
    let (frame, _) = capture(&way, &mut Random(1));
    let findings = found_in(&frame);
    assert_eq!(kinds(&findings), [ChainKind::WrongWayRound], "{findings:?}");
    assert!(!findings[0].advice.contains("mirror"), "{findings:?}");
}
