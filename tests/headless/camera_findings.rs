//! What is found wrong with camera frames that are drawn with known faults.

use nightglass::files::picture_file::read_picture;
use nightglass::measure::camera_exposure::{
    BrightestParts, CLIP_PERCENT, clipped_findings, measure_brightest_parts,
};
use nightglass::measure::camera_finding::{CameraFinding, CameraKind};
use nightglass::measure::camera_noise::{measure_camera_noise, unclipped_deviation};
use nightglass::measure::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::camera_raster::CameraRaster;
use nightglass::measure::camera_report::{CameraReport, camera_findings};
use nightglass::measure::cell_means::{CellMeans, rare_deviations};
use nightglass::measure::edge_widths::edge_width;
use nightglass::measure::finding::{PixelBox, Severity};
use nightglass::measure::runs::Runs;
use nightglass::measure::spots::find_spots;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

/// Even numbers from 0 to 1. Source of the steps: Marsaglia, Xorshift RNGs, 2003.
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal, by Box and Muller.
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}

const SIZE: [u32; 2] = [640, 360];

fn size() -> Size {
    Size::new(SIZE[0], SIZE[1]).unwrap()
}

/// A backdrop of 8 codes with noise, and light that `more` adds, in codes.
fn frame(seed: u64, sigma: f64, more: impl Fn(f64, f64) -> f64) -> CameraRaster {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15 ^ seed.wrapping_mul(0xbf58_476d_1ce4_e5b9));
    let frame = Frame::from_fn(size(), |x, y| {
        let light = 8.0 + more(f64::from(x), f64::from(y));
        std::array::from_fn(|_| (light + sigma * dice.normal()).round().clamp(0.0, 255.0) as u8)
    });
    CameraRaster::new(&frame)
}

/// Every pixel.
fn all(camera: &CameraRaster) -> Runs {
    Runs::of_bytes(camera.size(), &vec![1; camera.size().area()], |byte| {
        byte == 1
    })
}

fn report(camera: &CameraRaster) -> CameraReport {
    let parts = find_camera_parts(&CameraStills {
        camera,
        empty: None,
        before: None,
    });
    camera_findings(camera, &parts)
}

fn of_kind(report: &CameraReport, kind: CameraKind) -> Vec<&CameraFinding> {
    report
        .findings
        .iter()
        .filter(|finding| finding.kind == kind)
        .collect()
}

fn glow(x: f64, y: f64, at: (f64, f64), reach: (f64, f64), peak: f64) -> f64 {
    let (u, v) = ((x - at.0) / reach.0, (y - at.1) / reach.1);
    peak * (-0.5 * (u * u + v * v)).exp()
}

/// The middle of the place is in the finding's box.
fn covers(bounds: Option<PixelBox>, x: u32, y: u32) -> bool {
    bounds.is_some_and(|b| (b.x..b.right()).contains(&x) && (b.y..b.bottom()).contains(&y))
}

#[test]
fn a_thousand_pixels_and_a_frame_have_the_published_false_alarm_limits() {
    // The normal distribution, scipy.stats.norm.isf(0.01 / 2073600).
    assert!((rare_deviations(1920 * 1080) - 5.7369).abs() < 1e-3);
    // The same, isf(0.01 / 1000).
    assert!((rare_deviations(1000) - 4.2649).abs() < 1e-3);
}

#[test]
fn noise_alone_gives_as_many_false_alarms_as_is_said() {
    // Seven sizes of spots with 0.01 false alarms each: 48 frames have 3.4 on average, and
    // more than 9 three times in a thousand.
    let mut found = Vec::new();
    for seed in 0..12 {
        for (sigma, level) in [(0.5, 0.0), (1.5, 0.0), (4.0, 0.0), (8.0, -8.0)] {
            let camera = frame(seed, sigma, |_, _| level);
            let noise = measure_camera_noise(&camera, &all(&camera))
                .unwrap()
                .luma_codes();
            found.extend(find_spots(
                CellMeans::of_pixels(&camera, &all(&camera)),
                size(),
                0.1,
                noise,
            ));
        }
    }
    assert!(found.len() <= 9, "{found:?}");
}

#[test]
fn lamps_of_a_pixel_streaks_and_broad_glows_are_found_where_they_are() {
    type Light = fn(f64, f64) -> f64;
    let lights: [(&str, Light, (u32, u32)); 4] = [
        (
            "pixel",
            |x, y| if (x, y) == (500.0, 80.0) { 60.0 } else { 0.0 },
            (500, 80),
        ),
        (
            "point",
            |x, y| glow(x, y, (120.0, 90.0), (1.2, 1.2), 90.0),
            (120, 90),
        ),
        (
            "streak",
            |x, y| glow(x, y, (400.0, 250.0), (60.0, 4.0), 15.0),
            (400, 250),
        ),
        (
            "glow",
            |x, y| glow(x, y, (200.0, 220.0), (30.0, 30.0), 12.0),
            (200, 220),
        ),
    ];
    for (name, light, (x, y)) in lights {
        let report = report(&frame(3, 1.5, light));
        let found = of_kind(&report, CameraKind::Reflection);
        assert_eq!(found.len(), 1, "{name}: {found:?}");
        assert!(covers(found[0].bounds, x, y), "{name}: {found:?}");
        let words = match name {
            "streak" => "A streak",
            "glow" => "A glow",
            _ => "A point",
        };
        assert!(
            found[0].advice.starts_with(words),
            "{name}: {}",
            found[0].advice
        );
    }
}

#[test]
fn a_glow_has_its_peak_and_a_strong_one_fails() {
    let found = report(&frame(5, 1.0, |x, y| {
        glow(x, y, (320.0, 180.0), (25.0, 25.0), 25.5)
    }));
    let found = of_kind(&found, CameraKind::Reflection);
    assert_eq!(found.len(), 1, "{found:?}");
    // 25.5 codes are 10 % of white.
    // A cell is darker than the spot's middle, and its surroundings brighter than what is far off.
    assert!((8.5..10.5).contains(&found[0].measured), "{found:?}");
    assert_eq!(found[0].severity, Severity::Fail);
    let weak = report(&frame(5, 1.0, |x, y| {
        glow(x, y, (320.0, 180.0), (25.0, 25.0), 3.8)
    }));
    assert!(
        of_kind(&weak, CameraKind::Reflection).is_empty(),
        "1.5 % is under the limit"
    );
}

#[test]
fn a_wiped_patch_is_one_smear_and_no_reflection() {
    let camera = frame(7, 1.0, |x, y| {
        let patch = glow(x, y, (300.0, 200.0), (60.0, 30.0), 12.0);
        patch * (0.5 + 0.5 * (y * std::f64::consts::TAU / 11.0).sin())
    });
    let report = report(&camera);
    assert_eq!(
        of_kind(&report, CameraKind::Smear).len(),
        1,
        "{:?}",
        report.findings
    );
    assert!(
        of_kind(&report, CameraKind::Reflection).is_empty(),
        "{:?}",
        report.findings
    );
}

#[test]
fn the_lit_edge_of_the_glass_is_no_reflection() {
    let report = report(&frame(9, 1.0, |x, _| 50.0 * (-x / 5.0).exp()));
    assert!(report.findings.is_empty(), "{:?}", report.findings);
}

#[test]
fn a_grey_backdrop_and_a_tinted_one_are_told() {
    let grey = report(&frame(1, 1.0, |_, _| 7.0));
    let found = of_kind(&grey, CameraKind::RaisedBlack);
    // 15 codes are 5.88 % of white.
    assert_eq!(found.len(), 1, "{found:?}");
    assert!((found[0].measured - 5.88).abs() < 0.05, "{found:?}");
    assert!(of_kind(&report(&frame(1, 1.0, |_, _| 0.0)), CameraKind::RaisedBlack).is_empty());
    let red = CameraRaster::new(&Frame::from_fn(size(), |_, _| [14, 6, 6]));
    let found = report(&red);
    let found = of_kind(&found, CameraKind::ColourCast);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].advice.contains("tinted red"), "{found:?}");
}

#[test]
fn noise_is_measured_as_it_was_drawn_though_black_cuts_it() {
    // Immerkær's mask on a checkerboard of 10 codes gives 16.710855; rounding's share is taken out of it.
    let board = Frame::from_fn(size(), |x, y| [if (x + y) % 2 == 0 { 100 } else { 110 }; 3]);
    let board = CameraRaster::new(&board);
    let read = measure_camera_noise(&board, &all(&board)).unwrap();
    let wanted = (16.710_855_f64.powi(2) - 1.0 / 12.0).sqrt();
    assert!((read.channels_codes[1] - wanted).abs() < 1e-3, "{read:?}");
    for (level, sigma) in [(-7.0, 2.0), (-6.0, 2.0), (0.0, 1.0), (0.0, 3.0)] {
        let camera = frame(11, sigma, |_, _| level);
        let read = measure_camera_noise(&camera, &all(&camera)).unwrap();
        for channel in read.channels_codes {
            assert!(
                (channel / sigma - 1.0).abs() < 0.06,
                "level {level}, sigma {sigma}: {read:?}"
            );
        }
    }
    // Moments of a normal distribution cut at its mean: mean 0.7979, deviation 1.1676 for 2 codes.
    let deviation = (1.1676_f64.powi(2) + 1.0 / 12.0).sqrt();
    assert!((unclipped_deviation(0.7979, deviation) - 2.0).abs() < 0.01);
}

#[test]
fn a_gaussian_edge_is_as_wide_as_published() {
    for sigma in [0.7, 1.0, 1.5, 2.0, 3.0] {
        let codes: Vec<f64> = (0..60)
            .map(|x| {
                20.0 + 200.0
                    * 0.5
                    * libm_erfc((29.5 - f64::from(x)) / (sigma * std::f64::consts::SQRT_2))
            })
            .collect();
        let width = edge_width(&codes, 29, 25.0).unwrap();
        // 10 to 90 % are 2.5631 deviations; one that is sharper than pixels are reads wider.
        let wanted = 2.5631 * sigma;
        assert!(
            (width - wanted).abs() < 0.04 * wanted + if sigma < 1.0 { 0.2 } else { 0.05 },
            "sigma {sigma}: {width} for {wanted}"
        );
    }
}

/// `erfc` by integrating the density, which is exact enough for edges of 200 codes.
fn libm_erfc(x: f64) -> f64 {
    let steps = 4000;
    let end = x.max(-6.0) + 12.0;
    let width = (end - x.max(-6.0)) / f64::from(steps);
    let density = |t: f64| 2.0 / std::f64::consts::PI.sqrt() * (-t * t).exp();
    (0..steps)
        .map(|i| density(x.max(-6.0) + (f64::from(i) + 0.5) * width) * width)
        .sum()
}

#[test]
fn frames_that_cannot_tell_say_so_and_find_nothing() {
    for (width, height) in [(1, 1), (3, 900), (60, 40)] {
        let camera = CameraRaster::new(&Frame::from_fn(
            Size::new(width, height).unwrap(),
            |_, _| [9; 3],
        ));
        let report = report(&camera);
        assert!(
            report.findings.is_empty(),
            "{width}x{height}: {:?}",
            report.findings
        );
        assert!(report.backdrop.is_none() && report.noise.is_none_or(|noise| noise.is_hidden));
    }
    let white = CameraRaster::new(&Frame::from_fn(size(), |_, _| [255; 3]));
    let kinds: Vec<CameraKind> = report(&white)
        .findings
        .iter()
        .map(|finding| finding.kind)
        .collect();
    assert_eq!(kinds, [CameraKind::RaisedBlack]);
}

#[test]
fn brightest_parts_reach_the_limit_exactly_where_clipping_is_found() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/board_1.jpg");
    let frame = read_picture(&path).unwrap().frame;
    let camera = CameraRaster::new(&frame);
    let parts = find_camera_parts(&CameraStills {
        camera: &camera,
        empty: None,
        before: None,
    });
    let mut seen = [0; 4];
    for step in 0..20 {
        // The same picture under more and more light.
        let gain = 0.6 + 0.1 * f64::from(step);
        let lit = Frame::from_fn(frame.size(), |x, y| {
            let code = camera.codes()[(y * frame.size().width() + x) as usize];
            std::array::from_fn(|i| (gain * f64::from(code[i])).round().min(255.0) as u8)
        });
        let lit = CameraRaster::new(&lit);
        let findings = clipped_findings(&lit, &parts);
        let has = |word: &str| {
            findings
                .iter()
                .any(|finding| finding.advice.starts_with(word))
        };
        let bright = measure_brightest_parts(&lit, &parts);
        let is_over = |percent: Option<f64>| percent.unwrap() >= CLIP_PERCENT;
        assert_eq!(is_over(bright.writing_percent), has("Writing"), "{gain}");
        assert_eq!(is_over(bright.skin_percent), has("Skin"), "{gain}");
        seen[usize::from(has("Writing"))] += 1;
        seen[2 + usize::from(has("Skin"))] += 1;
    }
    assert!(seen.iter().all(|count| *count > 1), "{seen:?}");
}

#[test]
fn without_writing_and_presenter_nothing_is_told_of_their_brightness() {
    let report = report(&frame(1, 1.0, |_, _| 0.0));
    assert_eq!(report.brightest, BrightestParts::default());
}
