//! What is found wrong with camera frames that are drawn with known faults.

use std::path::Path;

use nightglass::files::picture_file::read_picture;
use nightglass::measure::camera::camera_noise::{measure_camera_noise, unclipped_deviation};
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::camera::cell_means::{CellMeans, rare_deviations};
use nightglass::measure::camera::spots::Spot;
use nightglass::measure::camera::spots::find_spots;
use nightglass::measure::finding::Severity;
use nightglass::measure::inspect::camera_exposure::{
    BrightestParts, CLIP_PERCENT, clipped_findings, measure_brightest_parts,
};
use nightglass::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::inspect::camera_report::{CameraReport, camera_findings};
use nightglass::measure::inspect::edge_widths::edge_width;
use nightglass::measure::inspect::reflections::spot_findings;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::drawn_strokes::{Manner, drawn};

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
fn a_weak_speck_beside_presenter_or_writing_is_their_light_and_no_lamp() {
    let presenter = Runs::of_boxes(
        size(),
        [PixelBox {
            x: 200,
            y: 100,
            width: 100,
            height: 260,
        }],
    );
    let writing = Runs::of_boxes(
        presenter.size(),
        [PixelBox {
            x: 460,
            y: 180,
            width: 80,
            height: 6,
        }],
    );
    let found = |x: u32, percent: f64| {
        let spot = Spot {
            bounds: PixelBox {
                x,
                y: 200,
                width: 3,
                height: 2,
            },
            peak_codes: 2.55 * percent,
            noise_limit_codes: 2.0,
            elongation: 1.5,
            ridges: 1,
        };
        spot_findings(&[spot], &presenter, &writing).len()
    };
    // 60 px in a frame 1080 high are 20 px and one here.
    assert_eq!((found(315, 6.0), found(330, 6.0)), (0, 1));
    assert_eq!(found(315, 9.0), 1, "what is as bright as a lamp is one");
    // 72 px in a frame 1080 high are 24 px and one here.
    assert_eq!((found(500, 3.0), found(570, 3.0)), (0, 1));
    assert_eq!(found(500, 5.0), 1, "no writing glows as much so far off");
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
    // What is not recognised as a backdrop is not called one that is not black.
    for code in [70, 255] {
        let bright = CameraRaster::new(&Frame::from_fn(size(), |_, _| [code; 3]));
        let report = report(&bright);
        assert!(report.findings.is_empty(), "{code}: {:?}", report.findings);
        assert!(report.backdrop.is_none() && report.noise.is_none());
    }
}

#[test]
fn brightest_parts_reach_the_limit_exactly_where_clipping_is_found() {
    let frame = board("board_1.jpg");
    let camera = CameraRaster::new(&frame);
    let parts = find_camera_parts(&CameraStills {
        camera: &camera,
        empty: None,
        before: None,
    });
    let mut seen = [0; 4];
    for step in 0..80 {
        // The same picture under more and more light.
        let gain = 0.6 + 0.025 * f64::from(step);
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

/// A frame of tests/data, whose README says what is in it.
fn board(name: &str) -> Frame {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    read_picture(&path).unwrap().frame
}

fn codes(frame: &Frame) -> Vec<[u8; 4]> {
    match frame.pixels() {
        Pixels::Rgba8(pixels) => pixels.clone(),
        Pixels::Rgba16(_) => panic!("expected 8 bits"),
    }
}

/// The pixels of a mask blurred by a Gaussian of this deviation, the others as they are.
fn blurred_within(frame: &Frame, mask: &Runs, sigma: f64) -> CameraRaster {
    let [width, height] = [frame.size().width(), frame.size().height()].map(i64::from);
    let reach = (3.0 * sigma).ceil() as i64;
    let weights: Vec<f64> = (-reach..=reach)
        .map(|d| (-0.5 * (d as f64 / sigma).powi(2)).exp())
        .collect();
    let all: f64 = weights.iter().sum();
    let pass = |codes: &[[f64; 3]], step: (i64, i64)| -> Vec<[f64; 3]> {
        let mut out = codes.to_vec();
        for run in mask.grown(reach as u32).as_slice() {
            for x in i64::from(run.start)..i64::from(run.end) {
                let y = i64::from(run.y);
                let mut sum = [0.0; 3];
                for (weight, d) in weights.iter().zip(-reach..) {
                    let u = (x + d * step.0).clamp(0, width - 1);
                    let v = (y + d * step.1).clamp(0, height - 1);
                    for (sum, code) in sum.iter_mut().zip(codes[(v * width + u) as usize]) {
                        *sum += weight * code / all;
                    }
                }
                out[(y * width + x) as usize] = sum;
            }
        }
        out
    };
    let sharp = codes(frame);
    let start: Vec<[f64; 3]> = sharp
        .iter()
        .map(|&[r, g, b, _]| [r, g, b].map(f64::from))
        .collect();
    let soft = pass(&pass(&start, (1, 0)), (0, 1));
    CameraRaster::new(&Frame::from_fn(frame.size(), |x, y| {
        let at = (i64::from(y) * width + i64::from(x)) as usize;
        if mask.contains(x, y) {
            soft[at].map(|code| code.round() as u8)
        } else {
            [sharp[at][0], sharp[at][1], sharp[at][2]]
        }
    }))
}

#[test]
fn it_is_told_whether_writing_or_presenter_or_both_are_soft() {
    let frame = board("board_1.jpg");
    let sharp = CameraRaster::new(&frame);
    let parts = find_camera_parts(&CameraStills {
        camera: &sharp,
        empty: None,
        before: None,
    });
    let clean = camera_findings(&sharp, &parts);
    assert!(of_kind(&clean, CameraKind::SoftFocus).is_empty());
    let near = parts.writing.grown(16);
    let far = all(&sharp).without(&near);
    // A Gaussian edge is 2.563 deviations wide from 10 to 90 %, and squares of widths add.
    let width = |own: f64, sigma: f64| (own * own + (2.563 * sigma).powi(2)).sqrt();
    let own = clean.edges.writing_px.unwrap();

    let soft = report(&blurred_within(&frame, &near, 2.4));
    let found = of_kind(&soft, CameraKind::SoftFocus);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0]
            .advice
            .starts_with("The writing is soft, the presenter is not")
    );
    assert_eq!((found[0].severity, found[0].limit), (Severity::Fail, 5.0));
    let wanted = width(own, 2.4);
    assert!(
        (found[0].measured - wanted).abs() < 0.2 * wanted,
        "{found:?} for {wanted}"
    );

    let soft = report(&blurred_within(&frame, &near, 1.6));
    let found = of_kind(&soft, CameraKind::SoftFocus);
    assert_eq!((found[0].severity, found[0].limit), (Severity::Warn, 3.0));

    let soft = report(&blurred_within(&frame, &far, 4.0));
    let found = of_kind(&soft, CameraKind::SoftFocus);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0]
            .advice
            .starts_with("The presenter is soft, the writing is not")
    );
    assert_eq!((found[0].severity, found[0].limit), (Severity::Warn, 6.0));

    let soft = report(&blurred_within(&frame, &all(&sharp), 4.0));
    let found = of_kind(&soft, CameraKind::SoftFocus);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0]
            .advice
            .starts_with("Writing and presenter are both soft")
    );
    assert!(found[1].advice.starts_with("The presenter is soft too"));
}

#[test]
fn clothes_that_melt_into_the_backdrop_are_told_and_lit_ones_are_not() {
    let found = report(&CameraRaster::new(&board("board_3.jpg")));
    let found = of_kind(&found, CameraKind::DarkClothes);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].severity, Severity::Warn);
    // The jacket is black but for its ribbons, and cap and hair are dark: over half of the outline.
    assert!((50.0..75.0).contains(&found[0].measured), "{found:?}");
    assert!(covers(found[0].bounds, 500, 900), "{found:?}");
    let lit = report(&CameraRaster::new(&board("board_1.jpg")));
    assert!(of_kind(&lit, CameraKind::DarkClothes).is_empty());
}

#[test]
fn writing_that_clips_in_all_channels_is_told_and_in_one_it_is_not() {
    let of_ink = |ink: [f32; 3]| {
        let manner = Manner {
            ink: Some(ink),
            glow: 0.05,
            ..Manner::PLAIN
        };
        report(&CameraRaster::new(&drawn(21, &manner)))
    };
    let white = of_ink([270.0, 268.0, 266.0]);
    let found = of_kind(&white, CameraKind::Clipped);
    assert_eq!(found.len(), 1, "{:?}", white.findings);
    assert!(found[0].measured > 50.0, "{found:?}");
    assert!(found[0].advice.starts_with("Writing is brighter"));
    let red = of_ink([270.0, 70.0, 60.0]);
    assert!(
        of_kind(&red, CameraKind::Clipped).is_empty(),
        "{:?}",
        red.findings
    );
}

#[test]
fn skin_that_clips_is_told_and_a_white_collar_is_not() {
    let frame = board("board_1.jpg");
    let camera = CameraRaster::new(&frame);
    let parts = find_camera_parts(&CameraStills {
        camera: &camera,
        empty: None,
        before: None,
    });
    assert!(of_kind(&camera_findings(&camera, &parts), CameraKind::Clipped).is_empty());
    // A patch of the face, where codes say skin all around, burnt out.
    let place = PixelBox {
        x: SKIN[0],
        y: SKIN[1],
        width: 44,
        height: 44,
    };
    let burnt = codes(&frame);
    let burnt = Frame::from_fn(frame.size(), |x, y| {
        let (dx, dy) = (
            f64::from(x) - f64::from(place.x) - 22.0,
            f64::from(y) - f64::from(place.y) - 22.0,
        );
        let [r, g, b, _] = burnt[(y * frame.size().width() + x) as usize];
        if dx.hypot(dy) < 22.0 {
            [252, 246, 240]
        } else {
            [r, g, b]
        }
    });
    let found = camera_findings(&CameraRaster::new(&burnt), &parts);
    let found = of_kind(&found, CameraKind::Clipped);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].advice.starts_with("Skin is brighter"));
    assert!(
        covers(found[0].bounds, place.x + 22, place.y + 22),
        "{found:?}"
    );
}

/// A place on the forehead in `board_1.jpg`.
const SKIN: [u32; 2] = [1395, 362];

#[test]
fn faint_writing_has_its_contrast_and_bright_writing_is_not_faint() {
    let of_ink = |ink: [f32; 3]| {
        let manner = Manner {
            ink: Some(ink),
            sigma: 0.0,
            glow: 0.0,
            ..Manner::PLAIN
        };
        report(&CameraRaster::new(&drawn(23, &manner)))
    };
    let faint = of_ink([40.0, 62.0, 48.0]);
    let found = of_kind(&faint, CameraKind::FaintWriting);
    assert!(!found.is_empty(), "{:?}", faint.findings);
    // WCAG 2.2: 48, 70 and 56 codes have a relative luminance of 0.0529, 8 codes of 0.0024: 1.96 to 1. Edges are darker.
    for finding in &found {
        assert!((1.6..2.1).contains(&finding.measured), "{finding:?}");
        assert_eq!((finding.severity, finding.limit), (Severity::Warn, 3.0));
    }
    let bright = of_ink([80.0, 240.0, 110.0]);
    assert!(
        of_kind(&bright, CameraKind::FaintWriting).is_empty(),
        "{:?}",
        bright.findings
    );
}
