//! A camera frame beside one of the last good setup: known transforms of published pictures, drawn rigs turned every
//! way, and pictures from which nothing can be told.

use std::path::Path;

use nightglass::files::picture_file::read_picture;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::finding::{Severity, Unit};
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::measure::inspect::camera_note::CameraNote;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::inspect::like_frame::{LikeMeasure, StillView, measure_like};
use nightglass::measure::inspect::like_report::{LikeReport, compare_like};
use nightglass::measure::inspect::seen_like::SeenLike;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::still::still_pair::PairFault;
use nightglass::measure::still::way_round::WayRound;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::frames::hash_at;

/// A picture of any format as rows of R'G'B'.
#[derive(Clone)]
struct Picture {
    width: usize,
    height: usize,
    rgb: Vec<[f64; 3]>,
}

impl Picture {
    fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data")
            .join(name);
        let frame = read_picture(&path).unwrap().frame;
        let Pixels::Rgba8(pixels) = frame.pixels() else {
            panic!("an 8-bit picture");
        };
        Self {
            width: frame.size().width() as usize,
            height: frame.size().height() as usize,
            rgb: pixels
                .iter()
                .map(|&[r, g, b, _]| [r, g, b].map(f64::from))
                .collect(),
        }
    }

    /// The upper part of the picture.
    fn cropped(mut self, height: usize) -> Self {
        self.rgb.truncate(self.width * height);
        self.height = height;
        self
    }

    fn raster(&self) -> CameraRaster {
        let size = Size::new(self.width as u32, self.height as u32).unwrap();
        CameraRaster::new(&Frame::from_fn(size, |x, y| {
            self.rgb[y as usize * self.width + x as usize]
                .map(|code| code.round().clamp(0.0, 255.0) as u8)
        }))
    }

    /// Turned clockwise and enlarged about its middle, then moved, by Lanczos' kernel of 3.
    ///
    /// Source: W. Burger and M. Burge, Digital Image Processing, 2nd edition, 22.5.4. The map is written from
    /// its definition here: a place of the new picture comes from that place moved, turned and reduced back.
    fn transformed(&self, shift: [f64; 2], zoom_percent: f64, degrees: f64) -> Self {
        let lanczos = |x: f64| {
            if x.abs() < 1e-9 {
                1.0
            } else if x.abs() >= 3.0 {
                0.0
            } else {
                let p = std::f64::consts::PI * x;
                3.0 * p.sin() * (p / 3.0).sin() / (p * p)
            }
        };
        let inside = |at: i64, side: usize| usize::try_from(at).unwrap_or(0).min(side - 1);
        let (sin, cos) = degrees.to_radians().sin_cos();
        let zoom = 1.0 + zoom_percent / 100.0;
        let middle = [self.width as f64 / 2.0, self.height as f64 / 2.0];
        let mut rgb = Vec::with_capacity(self.rgb.len());
        for y in 0..self.height {
            for x in 0..self.width {
                let (u, v) = (
                    x as f64 + 0.5 - middle[0] - shift[0],
                    y as f64 + 0.5 - middle[1] - shift[1],
                );
                let (u, v) = (
                    (cos * u + sin * v) / zoom + middle[0] - 0.5,
                    (-sin * u + cos * v) / zoom + middle[1] - 0.5,
                );
                let (left, top) = (u.floor() as i64 - 2, v.floor() as i64 - 2);
                let (mut sum, mut weights) = ([0.0; 3], 0.0);
                for j in top..top + 6 {
                    let row = inside(j, self.height) * self.width;
                    let down = lanczos(v - j as f64);
                    for i in left..left + 6 {
                        let weight = down * lanczos(u - i as f64);
                        let from = self.rgb[row + inside(i, self.width)];
                        sum = [0, 1, 2].map(|c| sum[c] + weight * from[c]);
                        weights += weight;
                    }
                }
                rgb.push(sum.map(|v| v / weights));
            }
        }
        Self { rgb, ..*self }
    }

    /// Factors of light, by the curve of IEC 61966-2-1.
    fn lit(&self, factors: [f64; 3]) -> Self {
        let decode = |v: f64| {
            if v <= 0.040_45 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        };
        let encode = |v: f64| {
            if v <= 0.003_130_8 {
                12.92 * v
            } else {
                1.055 * v.powf(1.0 / 2.4) - 0.055
            }
        };
        let rgb = self.rgb.iter().map(|rgb| {
            [0, 1, 2]
                .map(|c| 255.0 * encode((factors[c] * decode(rgb[c].max(0.0) / 255.0)).min(1.0)))
        });
        Self {
            rgb: rgb.collect(),
            ..*self
        }
    }

    /// The picture lying another way round, written out place by place.
    fn lying(&self, way: WayRound) -> Self {
        let on_its_side = !matches!(
            way,
            WayRound::Same | WayRound::Mirrored | WayRound::Flipped | WayRound::HalfTurn
        );
        let (width, height) = if on_its_side {
            (self.height, self.width)
        } else {
            (self.width, self.height)
        };
        let mut rgb = vec![[0.0; 3]; self.rgb.len()];
        for (i, color) in self.rgb.iter().enumerate() {
            let (x, y) = (i % self.width, i / self.width);
            // A quarter turn clockwise takes the top to the right.
            let quarter = (self.height - 1 - y, x);
            let (u, v) = match way {
                WayRound::Same => (x, y),
                WayRound::Mirrored => (width - 1 - x, y),
                WayRound::Flipped => (x, height - 1 - y),
                WayRound::HalfTurn => (width - 1 - x, height - 1 - y),
                WayRound::QuarterTurn => quarter,
                WayRound::ThreeQuarterTurn => (width - 1 - quarter.0, height - 1 - quarter.1),
                WayRound::QuarterTurnMirrored => (width - 1 - quarter.0, quarter.1),
                WayRound::ThreeQuarterTurnMirrored => (quarter.0, height - 1 - quarter.1),
            };
            rgb[v * width + u] = *color;
        }
        Self { width, height, rgb }
    }
}

fn measured(camera: &Picture, like: &Picture) -> Result<LikeMeasure, PairFault> {
    let (camera, like) = (camera.raster(), like.raster());
    let (none, none_in_like) = (Runs::none(camera.size()), Runs::none(like.size()));
    measure_like(
        StillView {
            camera: &camera,
            covered: &none,
        },
        StillView {
            camera: &like,
            covered: &none_in_like,
        },
    )
}

fn compared(camera: &Picture, like: &Picture) -> Result<LikeReport, PairFault> {
    let (camera, like) = (camera.raster(), like.raster());
    let parts = find_camera_parts(&CameraStills {
        camera: &camera,
        empty: None,
        before: None,
    });
    compare_like(&camera, &parts, &SeenLike::of(like)?)
}

/// Nearly normal noise, deviation 1. Source: the sum of twelve uniform numbers has variance 1.
fn normal(seed: u32, x: u32, y: u32) -> f64 {
    let unit = |k: u32| f64::from(hash_at(seed + k, x, y) % 65_536) / 65_536.0;
    (0..12).map(unit).sum::<f64>() - 6.0
}

/// A rig: a dark backdrop with noise and soft reflections `[x, y, reach x, reach y, codes]`.
fn rig(seed: u32, things: &[[f64; 5]]) -> Picture {
    let (width, height) = (640, 360);
    let mut rgb = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let light: f64 = things
                .iter()
                .map(|[u, v, a, b, codes]| {
                    let (u, v) = ((x as f64 - u) / a, (y as f64 - v) / b);
                    codes * (-0.5 * (u * u + v * v)).exp()
                })
                .sum();
            rgb.push(
                [0, 50, 100]
                    .map(|channel| 9.0 + light + 1.2 * normal(seed + channel, x as u32, y as u32)),
            );
        }
    }
    Picture { width, height, rgb }
}

const THINGS: [[f64; 5]; 4] = [
    [90.0, 60.0, 12.0, 6.0, 26.0],
    [560.0, 90.0, 5.0, 9.0, 40.0],
    [500.0, 320.0, 30.0, 3.0, 22.0],
    [330.0, 30.0, 4.0, 4.0, 30.0],
];

/// A presenter, bright above dark, and two written lines.
fn with_person(mut picture: Picture, middle: f64, line: f64) -> Picture {
    for y in 0..picture.height {
        for x in 0..picture.width {
            let (u, v) = (x as f64 - middle, y as f64);
            let at = &mut picture.rgb[y * 640 + x];
            if (u / 28.0).powi(2) + ((v - 120.0) / 38.0).powi(2) < 1.0 {
                *at = [190.0, 140.0, 115.0];
            } else if u.abs() < 14.0 && (120.0..170.0).contains(&v) {
                *at = [150.0, 110.0, 90.0];
            } else if u.abs() < 70.0 && v > 165.0 {
                *at = [90.0, 92.0, 120.0];
            }
            let wave = line + 6.0 * (x as f64 / 7.0).sin();
            if (140..250).contains(&x) && (v - wave).abs() < 2.0 {
                *at = [60.0, 235.0, 110.0];
            }
        }
    }
    picture
}

#[test]
fn known_shifts_zooms_and_turns_come_out() {
    let pictures = [
        ("astronaut", Picture::read("astronaut.png")),
        (
            "hubble",
            Picture::read("hubble_deep_field.jpg").cropped(562),
        ),
    ];
    // Goals at 1080 lines: 0.3 px, 0.1 %, 0.05 degrees.
    let (mut most, mut compared) = ([0.0_f64; 3], 0);
    for (name, picture) in pictures {
        let at_1080 = picture.height as f64 / 1080.0;
        for (shift, zoom, degrees) in [
            ([0.0, 0.0], 0.0, 0.0),
            ([0.5, -0.25], 0.0, 0.0),
            ([3.3, -2.7], 0.2, 0.1),
            ([-12.4, 8.2], -1.5, -0.6),
            ([40.0, -25.0], 3.0, 1.5),
            ([-20.0, 5.0], -7.0, -3.0),
        ] {
            let now = picture.transformed(shift, zoom, degrees);
            let found = measured(&now, &picture).unwrap();
            let off = [
                (found.shift_px[0].unwrap() - shift[0])
                    .hypot(found.shift_px[1].unwrap() - shift[1])
                    / at_1080,
                (found.zoom_percent.unwrap() - zoom).abs(),
                (found.rotation_degrees.unwrap() - degrees).abs(),
            ];
            println!(
                "{name} {shift:?} {zoom} % {degrees} degrees: off by {:.3} px at 1080, {:.4} %, {:.4} degrees",
                off[0], off[1], off[2]
            );
            most = [0, 1, 2].map(|i| most[i].max(off[i]));
            compared += 1;
            assert_eq!(found.way, Some(WayRound::Same), "{name} {shift:?}");
            let (half_width, half_height) =
                (picture.width as f64 / 2.0, picture.height as f64 / 2.0);
            let (sin, cos) = degrees.to_radians().sin_cos();
            let factor = 1.0 + zoom / 100.0;
            let worst = [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)]
                .map(|(x, y)| {
                    let (x, y) = (x * half_width, y * half_height);
                    (factor * (cos * x - sin * y) + shift[0] - x)
                        .hypot(factor * (sin * x + cos * y) + shift[1] - y)
                })
                .into_iter()
                .fold(0.0, f64::max);
            let percent = 100.0 * worst / picture.width as f64;
            assert!(
                (found.displacement_percent - percent).abs() < 0.1,
                "{name}: {} for {percent}",
                found.displacement_percent
            );
        }
    }
    println!("worst: {most:?}");
    assert_eq!(compared, 12);
    assert!(most[0] < 0.3 && most[1] < 0.1 && most[2] < 0.05, "{most:?}");
}

/// A part of the demonstration's camera frame that leaves out so much at the left and at the top.
fn part_of_the_demonstration(left: usize, top: usize) -> Picture {
    let frame = nightglass::files::demonstration::CAMERA.frame().unwrap();
    let (width, height) = (1840, 1000);
    let row = frame.size().width() as usize;
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("an 8-bit picture");
    };
    let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    let rgb = places
        .map(|(x, y)| {
            let [r, g, b, _] = pixels[(y + top) * row + x + left];
            [r, g, b].map(f64::from)
        })
        .collect();
    Picture { width, height, rgb }
}

#[test]
fn a_shift_is_as_long_as_it_is_where_light_falls_off_slowly() {
    let like = part_of_the_demonstration(40, 40);
    let off = |camera: &Picture, wanted: [f64; 2]| {
        let found = compared(camera, &like).unwrap().measure.shift_px;
        let off = [0, 1].map(|axis| (found[axis].unwrap() - wanted[axis]).abs());
        off[0].max(off[1])
    };
    for [x, y] in [[7, 4], [14, 9]] {
        let mut camera = part_of_the_demonstration(40 - x, 40 - y);
        let wanted = [x as f64, y as f64];
        let even = off(&camera, wanted);
        assert!(even < 0.15, "{x},{y}: {even} px off");
        // The lamps are turned to one side since: a fifth more light there, none less here.
        let width = camera.width;
        for (i, color) in camera.rgb.iter_mut().enumerate() {
            let gain = 1.0 + 0.2 * (i % width) as f64 / width as f64;
            *color = color.map(|code| code * gain);
        }
        let uneven = off(&camera, wanted);
        assert!(uneven < 0.5, "{x},{y}: {uneven} px off in uneven light");
    }
}

#[test]
fn factors_of_light_come_out_as_they_were_put_in() {
    let picture = Picture::read("astronaut.png");
    for factors in [
        [1.0, 1.0, 1.0],
        [0.5, 0.5, 0.5],
        [0.8, 0.8, 0.8],
        [0.7, 0.6, 0.45],
    ] {
        let now = picture.lit(factors).transformed([2.3, 1.1], 0.3, 0.2);
        let light = measured(&now, &picture).unwrap().light.unwrap();
        println!("{factors:?}: {light:?}");
        for (c, factor) in factors.into_iter().enumerate() {
            assert!(
                (light.channels[c] / factor - 1.0).abs() < 0.03,
                "{factors:?}: {light:?}"
            );
        }
        let luminance = 0.2126 * factors[0] + 0.7152 * factors[1] + 0.0722 * factors[2];
        assert!(
            (light.stops() - luminance.log2()).abs() < 0.08,
            "{factors:?}: {light:?}"
        );
    }
}

#[test]
fn neither_writing_nor_presenter_is_a_move() {
    let like = with_person(rig(1, &THINGS), 250.0, 80.0);
    let now = with_person(rig(2, &THINGS), 420.0, 240.0);
    let report = compared(&now, &like).unwrap();
    println!("{:?}", report.measure);
    assert!(report.findings.is_empty(), "{:?}", report.findings);
    assert!(report.measure.displacement_percent < 0.1);
    assert_eq!(report.measure.way, Some(WayRound::Same));
}

#[test]
fn a_moved_camera_warns_with_its_numbers_and_a_person_elsewhere_changes_none() {
    let like = with_person(rig(1, &THINGS), 250.0, 80.0);
    let still = rig(2, &THINGS).transformed([4.0, -2.5], 0.5, 0.3);
    let report = compared(&with_person(still, 430.0, 240.0), &like).unwrap();
    let measure = report.measure;
    println!("{measure:?}");
    assert!((measure.shift_px[0].unwrap() - 4.0).abs() < 0.15);
    assert!((measure.shift_px[1].unwrap() + 2.5).abs() < 0.15);
    assert!((measure.zoom_percent.unwrap() - 0.5).abs() < 0.1);
    assert!((measure.rotation_degrees.unwrap() - 0.3).abs() < 0.05);
    let [finding] = &report.findings[..] else {
        panic!("{:?}", report.findings);
    };
    assert_eq!(
        (finding.kind, finding.severity, finding.unit),
        (CameraKind::Moved, Severity::Warn, Unit::Percent)
    );
    assert_eq!(finding.bounds, None);
    assert!(finding.advice.contains("farther right"), "{finding:?}");
    assert!(finding.advice.contains("higher"), "{finding:?}");
    assert!(finding.advice.contains("clockwise"), "{finding:?}");
    // 0.4 % of the width is under the limit.
    let little = rig(2, &THINGS).transformed([2.2, 0.0], 0.0, 0.0);
    let report = compared(&with_person(little, 430.0, 240.0), &like).unwrap();
    assert!(report.findings.is_empty(), "{:?}", report.findings);
}

#[test]
fn a_third_of_a_stop_and_another_white_balance_are_told() {
    let like = with_person(rig(1, &THINGS), 250.0, 80.0);
    let of = |factors: [f64; 3]| {
        let now = with_person(rig(2, &THINGS), 430.0, 240.0).lit(factors);
        compared(&now, &like).unwrap()
    };
    let darker = of([0.7; 3]);
    let [finding] = &darker.findings[..] else {
        panic!("{:?}", darker.findings);
    };
    assert_eq!(
        (finding.kind, finding.unit),
        (CameraKind::Moved, Unit::Ratio)
    );
    assert!((finding.measured - 1.0 / 0.7).abs() < 0.05, "{finding:?}");
    assert!(finding.advice.contains("0.5 stops darker"), "{finding:?}");
    assert!(of([0.9; 3]).findings.is_empty());
    let warmer = of([1.1, 1.0, 0.8]);
    let [finding] = &warmer.findings[..] else {
        panic!("{:?}", warmer.findings);
    };
    assert!(finding.advice.contains("another colour"), "{finding:?}");
}

#[test]
fn every_wrong_way_round_is_named_and_the_right_one_is_not() {
    let like = with_person(rig(1, &THINGS), 250.0, 80.0);
    let now = with_person(rig(2, &THINGS), 420.0, 240.0);
    for way in WayRound::ALL {
        let found = measured(&rig(2, &THINGS).lying(way), &rig(1, &THINGS)).unwrap();
        assert_eq!(found.way, Some(way));
    }
    for way in [
        WayRound::Mirrored,
        WayRound::HalfTurn,
        WayRound::QuarterTurnMirrored,
    ] {
        let report = compared(&now.lying(way), &like).unwrap();
        assert_eq!(report.measure.way, Some(way));
        let [finding] = &report.findings[..] else {
            panic!("{way:?}: {:?}", report.findings);
        };
        assert_eq!(
            (finding.kind, finding.severity),
            (CameraKind::WrongWayRound, Severity::Fail)
        );
        assert!(finding.advice.contains(way.words()), "{finding:?}");
    }
    // Mirrored twice is the picture itself.
    let twice = now.lying(WayRound::Mirrored).lying(WayRound::Mirrored);
    assert!(compared(&twice, &like).unwrap().findings.is_empty());
}

#[test]
fn a_rig_that_looks_alike_mirrored_is_not_called_the_wrong_way_round() {
    let symmetric = [
        [100.0, 60.0, 10.0, 6.0, 30.0],
        [539.0, 60.0, 10.0, 6.0, 30.0],
        [319.5, 300.0, 40.0, 4.0, 25.0],
    ];
    let like = with_person(rig(1, &symmetric), 250.0, 80.0);
    let now = with_person(rig(2, &symmetric), 430.0, 240.0);
    for way in [WayRound::Same, WayRound::Mirrored] {
        let report = compared(&now.lying(way), &like).unwrap();
        assert_eq!(report.measure.way, None, "{way:?}");
        assert!(report.findings.is_empty(), "{:?}", report.findings);
        assert!(report.notes.contains(&CameraNote::LikeAlike));
    }
    // Upside down it is another picture.
    let report = compared(&now.lying(WayRound::HalfTurn), &like);
    assert!(
        report.is_err() || report.is_ok_and(|report| report.measure.way != Some(WayRound::Same))
    );
}

#[test]
fn a_single_thing_tells_of_its_move_and_of_nothing_else() {
    let like = rig(1, &THINGS[1..2]);
    let near = rig(2, &THINGS[1..2]).transformed([5.0, 0.0], 0.0, 0.0);
    let report = compared(&near, &like).unwrap();
    assert!((report.measure.shift_px[0].unwrap() - 5.0).abs() < 0.3);
    assert_eq!(report.measure.zoom_percent, None);
    assert_eq!(report.measure.rotation_degrees, None);
    assert!(report.notes.contains(&CameraNote::LikeZoomHidden));
    // Farther off, or mirrored, it may be another lamp.
    for camera in [
        rig(2, &THINGS[1..2]).transformed([-40.0, 20.0], 0.0, 0.0),
        rig(2, &THINGS[1..2]).lying(WayRound::Mirrored),
    ] {
        let fault = compared(&camera, &like).unwrap_err();
        assert!(
            matches!(fault, PairFault::Unsure | PairFault::Scene),
            "{fault:?}"
        );
    }
}

#[test]
fn a_level_lit_edge_tells_of_up_and_down_alone() {
    let edge = [[320.0, 340.0, 1e9, 4.0, 60.0]];
    let moved = [[320.0, 345.0, 1e9, 4.0, 60.0]];
    let report = compared(&rig(2, &moved), &rig(1, &edge)).unwrap();
    println!("{:?}", report.measure);
    assert!((report.measure.shift_px[1].unwrap() - 5.0).abs() < 0.3);
    assert_eq!(report.measure.shift_px[0], None);
    assert!(report.notes.contains(&CameraNote::LikeShiftHidden));
}

#[test]
fn black_bars_do_not_hold_the_picture_still() {
    let barred = |mut picture: Picture| {
        for row in picture.rgb.chunks_mut(640) {
            row[..60].fill([0.0; 3]);
            row[580..].fill([0.0; 3]);
        }
        picture
    };
    let like = barred(rig(1, &THINGS));
    let now = barred(rig(2, &THINGS).transformed([6.0, 0.0], 0.0, 0.0));
    let found = measured(&now, &like).unwrap();
    assert!((found.shift_px[0].unwrap() - 6.0).abs() < 0.3, "{found:?}");
}

#[test]
fn other_scenes_and_pictures_of_nothing_are_said_to_be_so() {
    let like = rig(1, &THINGS);
    let other = rig(
        2,
        &[
            [200.0, 200.0, 8.0, 30.0, 30.0],
            [420.0, 60.0, 20.0, 5.0, 35.0],
            [60.0, 300.0, 7.0, 7.0, 35.0],
        ],
    );
    let fault = compared(&other, &like).unwrap_err();
    assert!(
        matches!(fault, PairFault::Scene | PairFault::Unsure),
        "{fault:?}"
    );
    let even = |code: f64| Picture {
        width: 640,
        height: 360,
        rgb: vec![[code; 3]; 640 * 360],
    };
    for nothing in [even(0.0), even(9.0), even(255.0), rig(3, &[])] {
        assert_eq!(compared(&nothing, &like).unwrap_err(), PairFault::NoStill);
        assert_eq!(compared(&like, &nothing).unwrap_err(), PairFault::NoStill);
    }
    // The same noise is no thing that stands still.
    assert_eq!(
        compared(&rig(3, &[]), &rig(3, &[])).unwrap_err(),
        PairFault::NoStill
    );
    let larger = Picture {
        width: 320,
        height: 720,
        rgb: like.rgb.clone(),
    };
    assert_eq!(measured(&larger, &like).unwrap_err(), PairFault::Size);
    // Boards of two rigs.
    let boards = ["board_1.jpg", "board_3.jpg"].map(Picture::read);
    for (camera, like) in [(0, 1), (1, 0)] {
        let fault = compared(&boards[camera], &boards[like]).unwrap_err();
        assert!(
            matches!(fault, PairFault::Scene | PairFault::Unsure),
            "{fault:?}"
        );
    }
}

#[test]
fn the_tiniest_pictures_are_looked_at_without_a_word_too_much() {
    for (width, height) in [(1, 1), (2, 3), (5, 5), (17, 4), (40, 30)] {
        for seed in 0..4 {
            let picture = |seed: u32| Picture {
                width,
                height,
                rgb: (0..width * height)
                    .map(|i| [f64::from(hash_at(seed, i as u32, 0) % 256); 3])
                    .collect(),
            };
            let found = measured(&picture(seed), &picture(seed + 100));
            assert!(found.is_err(), "{width}x{height}: {found:?}");
        }
    }
}

/// Two written lines, green above and magenta below, with factors of their light.
fn written(picture: Picture, green: f64, magenta: f64) -> Picture {
    let inks = [
        (70.0, [60.0, 235.0, 110.0], green),
        (200.0, [235.0, 80.0, 190.0], magenta),
    ];
    let mut written = picture;
    for (line, color, factor) in inks {
        let ink = Picture {
            width: 1,
            height: 1,
            rgb: vec![color],
        };
        let color = ink.lit([factor; 3]).rgb[0];
        for x in 140..300 {
            for y in 0..written.height {
                let wave = line + 9.0 * (x as f64 / 6.0).sin();
                if (y as f64 - wave).abs() < 2.5 {
                    written.rgb[y * 640 + x] = color;
                }
            }
        }
    }
    written
}

#[test]
fn the_light_that_a_marker_has_lost_is_told_beside_the_change_of_all_light() {
    let like = written(rig(1, &THINGS), 1.0, 1.0);
    for exposure in [1.0, 0.7] {
        let now = written(rig(2, &THINGS), 0.5, 0.95).lit([exposure; 3]);
        let report = compared(&now, &like).unwrap();
        println!("{:?}", report.inks);
        let [green, magenta] = &report.inks[..] else {
            panic!("{:?}", report.inks);
        };
        let (green, magenta) = if green.color[1] > green.color[0] {
            (green, magenta)
        } else {
            (magenta, green)
        };
        assert!((green.loss_percent - 50.0).abs() < 4.0, "{green:?}");
        assert!((magenta.loss_percent - 5.0).abs() < 4.0, "{magenta:?}");
        let faint: Vec<_> = report
            .findings
            .iter()
            .filter(|finding| finding.kind == CameraKind::FaintWriting)
            .collect();
        let [finding] = &faint[..] else {
            panic!("{faint:?}");
        };
        assert_eq!(
            (finding.severity, finding.unit, finding.bounds),
            (Severity::Warn, Unit::Percent, Some(green.bounds))
        );
    }
}

#[test]
fn another_white_balance_is_no_loss_of_ink() {
    let like = written(rig(1, &THINGS), 1.0, 1.0);
    for gains in [[0.6, 1.0, 1.3], [1.2, 0.9, 0.6], [0.7, 0.7, 0.7]] {
        for left in [1.0, 0.5] {
            let now = written(rig(2, &THINGS), left, 1.0).lit(gains);
            let report = compared(&now, &like).unwrap();
            let mut losses: Vec<f64> = report.inks.iter().map(|ink| ink.loss_percent).collect();
            losses.sort_by(f64::total_cmp);
            let [least, most] = losses[..] else {
                panic!("{gains:?}: {:?}", report.inks);
            };
            assert!(least.abs() < 4.0, "{gains:?}: {:?}", report.inks);
            let lost = 100.0 * (1.0 - left);
            assert!((most - lost).abs() < 4.0, "{gains:?}: {:?}", report.inks);
            let faint = report
                .findings
                .iter()
                .filter(|finding| finding.kind == CameraKind::FaintWriting)
                .count();
            assert_eq!(faint, usize::from(left < 1.0), "{gains:?}");
        }
    }
}

#[test]
fn a_log_curve_is_recognised_and_usual_frames_are_not_taken_for_one() {
    // Any log curve will do: black at 9 % of white, white at 66 %, 60 the slope at black.
    let curve = |code: f64| {
        let light = ((code / 255.0).max(0.0)).powf(2.2);
        255.0 * (0.09 + 0.32 * (1.0 + 60.0 * light).log10())
    };
    let has_note = |picture: &Picture| {
        let camera = picture.raster();
        let parts = find_camera_parts(&CameraStills {
            camera: &camera,
            empty: None,
            before: None,
        });
        parts.notes.contains(&CameraNote::FlatProfile)
    };
    let person = with_person(rig(1, &THINGS), 250.0, 80.0);
    let board = Picture::read("board_1.jpg");
    for picture in [person, board] {
        let log = Picture {
            rgb: picture.rgb.iter().map(|rgb| rgb.map(curve)).collect(),
            ..picture
        };
        assert!(has_note(&log));
        assert!(!has_note(&picture));
        // A veil over a usual frame is no profile.
        let veiled = Picture {
            rgb: picture
                .rgb
                .iter()
                .map(|rgb| rgb.map(|v| 25.0 + 0.9 * v))
                .collect(),
            ..picture
        };
        assert!(!has_note(&veiled));
        // Bars above and below or at the sides are no black of the profile's.
        let bar = |along: usize, side: usize| 20 * along < side || 20 * along >= 19 * side;
        let barred = |upright: bool, picture: &Picture| {
            let (width, height) = (picture.width, picture.height);
            let is_bar = |at: usize| {
                if upright {
                    bar(at % width, width)
                } else {
                    bar(at / width, height)
                }
            };
            let pixels = picture.rgb.iter().enumerate();
            Picture {
                rgb: pixels
                    .map(|(at, &rgb)| if is_bar(at) { [0.0; 3] } else { rgb })
                    .collect(),
                ..*picture
            }
        };
        for upright in [false, true] {
            assert!(has_note(&barred(upright, &log)), "{upright}");
            assert!(!has_note(&barred(upright, &picture)), "{upright}");
        }
    }
    // Under-exposed and hazy, but black as it should be.
    assert!(!has_note(&Picture::read("board_3.jpg")));
}
