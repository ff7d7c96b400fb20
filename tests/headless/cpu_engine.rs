//! The fast engine for the processor against the reference, on every vector level of this machine.
//! No tolerance: neither rounds where the other does not, and linear light asks the reference in doubt.
#![expect(
    clippy::unwrap_used,
    reason = "clippy.toml allows it in test functions, not in what they share"
)]

use fearless_simd::Level;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::cpu_engine::{compose, compose_at, levels};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::key::{Luma, Ramp};
use nightglass::pixel::matte_shares::measure_matte;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::reference;
use nightglass::pixel::settings::{
    Alpha, BlendSpace, CodeRange, Fit, Key, Placement, Settings, Size, SlidePlace, Turn,
};
use nightglass::pixel::views::{Background, MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE, View};
use proptest::prelude::*;

use crate::compare::{Judged, Truth, require_seen, require_within};
use crate::frames::{
    all_in_the_ramp, no_black, noise, noise_16_bit, noise_with_alpha, size, three_quarters_black,
};

/// A frame of the fast engine for the processor.
struct CpuResult(Frame);

impl Judged for CpuResult {
    const ENGINE: &'static str = "cpu engine";
    fn frame(&self) -> &Frame {
        &self.0
    }
}

impl CpuResult {
    fn of(plan: &Plan<'_>) -> Self {
        Self(compose(plan))
    }

    fn at(level: Level, plan: &Plan<'_>) -> Self {
        // Rubbish first, so that a pixel that is left out is seen.
        let mut pixels = vec![[1, 2, 3, 4]; plan.output.area()];
        compose_at(level, plan, &mut pixels);
        Self(Frame::new(plan.output, Pixels::Rgba8(pixels)).unwrap())
    }
}

/// Cells of black and texture: small enough for any size, and some blocks of vectors all black.
const CELL: (u32, u32) = (23, 5);

/// Both frames and the settings of a check.
#[derive(Clone)]
struct Case {
    camera: Option<Frame>,
    slide: Option<Frame>,
    settings: Settings,
}

impl Case {
    /// Textured camera and a slide with black, texture, and the ramp's greys in it.
    fn new(camera: Size, slide: Size) -> Self {
        Self {
            camera: Some(noise(camera, 1)),
            slide: Some(three_quarters_black(slide, CELL, 6)),
            settings: Settings::default(),
        }
    }

    fn with(mut self, change: impl Fn(&mut Settings)) -> Self {
        change(&mut self.settings);
        self
    }

    fn plan(&self) -> Plan<'_> {
        Plan::new(&Scene {
            camera: self.camera.as_ref(),
            slide: self.slide.as_ref(),
            background: Background::BLACK,
            settings: &self.settings,
        })
    }

    /// The view as it is set, on every level.
    #[track_caller]
    fn check(&self, what: &str) {
        let plan = self.plan();
        let truth = Truth::of(&plan);
        let levels = levels();
        assert!(!levels.is_empty(), "no vector level to check");
        for (name, level) in levels {
            require_within(
                &format!("{what}, {name}"),
                &truth,
                &CpuResult::at(level, &plan),
                0,
            );
        }
    }

    /// Every view.
    #[track_caller]
    fn check_views(&self, what: &str) {
        for view in View::ALL {
            self.clone()
                .with(|s| s.view = view)
                .check(&format!("{what}, {view:?}"));
        }
    }
}

/// A key with everything set; threshold and softness in percent.
fn key_of(
    (threshold, softness): (f64, f64),
    ramp: Ramp,
    luma: Luma,
    alpha: Alpha,
    blend_space: BlendSpace,
) -> Key {
    let mut key = Key::default()
        .with_threshold(threshold)
        .unwrap()
        .with_softness(softness)
        .unwrap();
    key.ramp = ramp;
    key.luma = luma;
    key.alpha = alpha;
    key.blend_space = blend_space;
    key
}

#[test]
fn every_view_agrees_at_odd_sizes() {
    for (width, height) in [
        (1, 1),
        (3, 2),
        (17, 33),
        (64, 1),
        (65, 5),
        (1, 70),
        (641, 359),
    ] {
        let of = size(width, height);
        let case = Case::new(of, of);
        case.check_views(&format!("{width}x{height}"));
    }
}

#[test]
fn every_width_up_to_a_few_vectors_agrees() {
    for width in 1..=140 {
        let of = size(width, 2);
        Case::new(of, of).check(&format!("{width} wide"));
    }
}

#[test]
fn every_turn_and_mirror_agrees() {
    for turn in Turn::ALL {
        for mirror_camera in [false, true] {
            for output in [None, Some(size(83, 47)), Some(size(300, 211))] {
                let what = format!("{turn:?}, mirror {mirror_camera}, output {output:?}");
                Case::new(size(129, 70), size(131, 77))
                    .with(|s| {
                        s.placement.turn_camera = turn;
                        s.placement.mirror_camera = mirror_camera;
                        s.placement.mirror_slide = !mirror_camera;
                        s.placement.size = output;
                    })
                    .check(&what);
            }
        }
    }
}

#[test]
fn every_fit_agrees_reducing_and_enlarging() {
    for fit in [Fit::Fill, Fit::Fit, Fit::Stretch] {
        for (width, height) in [(61, 90), (127, 71), (400, 150)] {
            let what = format!("{fit:?} into {width}x{height}");
            Case::new(size(160, 90), size(150, 100))
                .with(|s| {
                    s.placement.camera_fit = fit;
                    s.placement.slide_fit = fit;
                    s.placement.size = Some(size(width, height));
                })
                .check_views(&what);
        }
    }
}

#[test]
fn reducing_by_a_lot_agrees() {
    for turn in [Turn::None, Turn::Half, Turn::Quarter] {
        Case::new(size(640, 360), size(720, 540))
            .with(|s| {
                s.placement.turn_camera = turn;
                s.placement.size = Some(size(37, 19));
            })
            .check(&format!("reduced, {turn:?}"));
    }
}

#[test]
fn a_slide_place_partly_outside_agrees() {
    for place in [
        [60.0, 55.0, 80.0, 80.0],
        [-30.0, -20.0, 60.0, 60.0],
        [25.0, 25.0, 50.0, 50.0],
        [-100.0, 0.0, 1.0, 1.0],
    ] {
        for slide in [size(64, 36), size(128, 72), size(51, 29)] {
            Case::new(size(128, 72), slide)
                .with(|s| s.placement.slide_place = SlidePlace::new(place).unwrap())
                .check_views(&format!("slide place {place:?}, slide {slide:?}"));
        }
    }
}

#[test]
fn every_format_and_range_agrees() {
    let of = size(150, 40);
    let sources = [
        ("8 bit", noise(of, 2)),
        ("black and texture", three_quarters_black(of, CELL, 3)),
        ("16 bit", noise_16_bit(of, 4)),
        ("alpha", noise_with_alpha(of, 5)),
    ];
    for (camera_name, camera) in &sources {
        for (slide_name, slide) in &sources {
            for range in [CodeRange::Full, CodeRange::Video] {
                let case = Case {
                    camera: Some(camera.clone()),
                    slide: Some(slide.clone()),
                    settings: Settings::default(),
                }
                .with(|s| {
                    s.placement.camera_range = range;
                    s.placement.slide_range = range;
                });
                let what = format!("camera {camera_name}, slide {slide_name}, {range:?}");
                case.check_views(&what);
                case.with(|s| s.placement.size = Some(size(97, 61)))
                    .check(&format!("{what}, scaled"));
            }
        }
    }
}

#[test]
fn every_key_agrees() {
    let of = size(131, 9);
    let pictures = [
        noise(of, 7),
        three_quarters_black(of, CELL, 8),
        all_in_the_ramp(of, 9),
        no_black(of, 10),
    ];
    for threshold in [0.0, 6.0, 20.0, 100.0] {
        for softness in [0.0, 0.01, 4.0, 100.0] {
            for ramp in [Ramp::Linear, Ramp::Smooth] {
                for luma in [Luma::Bt709, Luma::Bt601, Luma::Bt2020] {
                    for alpha in [Alpha::Straight, Alpha::Premultiplied] {
                        for blend_space in [BlendSpace::Encoded, BlendSpace::Linear] {
                            let percent = (threshold, softness);
                            let key = key_of(percent, ramp, luma, alpha, blend_space);
                            for slide in &pictures {
                                Case {
                                    camera: Some(noise(of, 1)),
                                    slide: Some(slide.clone()),
                                    settings: Settings {
                                        key,
                                        ..Settings::default()
                                    },
                                }
                                .check(&format!("{key:?}"));
                            }
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn linear_light_agrees_on_scaled_16_bit_and_video_range() {
    for alpha in [Alpha::Straight, Alpha::Premultiplied] {
        for range in [CodeRange::Full, CodeRange::Video] {
            Case {
                camera: Some(noise_16_bit(size(301, 200), 21)),
                slide: Some(noise_16_bit(size(203, 151), 22)),
                settings: Settings::default(),
            }
            .with(|s| {
                s.key.alpha = alpha;
                s.key.blend_space = BlendSpace::Linear;
                s.key = s.key.with_softness(100.0).unwrap();
                s.placement.camera_range = range;
                s.placement.slide_range = range;
            })
            .check(&format!("linear light, {alpha:?}, {range:?}"));
        }
    }
}

#[test]
fn every_pair_of_codes_agrees() {
    // Slide codes along x and camera codes along y, so that every 8-bit pair is met.
    let of = size(256, 256);
    let code = |v: u32| u8::try_from(v).unwrap();
    for alpha in [Alpha::Straight, Alpha::Premultiplied] {
        for blend_space in [BlendSpace::Encoded, BlendSpace::Linear] {
            for (threshold, softness) in [(0.0, 100.0), (6.0, 4.0), (20.0, 30.0), (100.0, 0.0)] {
                Case {
                    camera: Some(Frame::from_fn(of, |_, y| [code(y); 3])),
                    slide: Some(Frame::from_fn(of, |x, _| [code(x); 3])),
                    settings: Settings::default(),
                }
                .with(|s| {
                    s.key = s.key.with_threshold(threshold).unwrap();
                    s.key = s.key.with_softness(softness).unwrap();
                    s.key.alpha = alpha;
                    s.key.blend_space = blend_space;
                })
                .check(&format!(
                    "{alpha:?}, {blend_space:?}, {threshold}, {softness}"
                ));
            }
        }
    }
}

#[test]
fn every_16_bit_code_agrees() {
    let of = size(256, 256);
    let pixels: Vec<[u16; 4]> = (0..=u16::MAX).map(|v| [v, v, v, u16::MAX]).collect();
    let ramp = Frame::new(of, Pixels::Rgba16(pixels)).unwrap();
    Case {
        camera: Some(noise(of, 1)),
        slide: Some(ramp),
        settings: Settings::default(),
    }
    .with(|s| {
        s.key = s.key.with_threshold(0.0).unwrap();
        s.key = s.key.with_softness(100.0).unwrap();
    })
    .check_views("every 16-bit code");
}

#[test]
fn a_chain_agrees() {
    for (gain, offset) in [
        (1.0, 0.0),
        (0.9, 3.0),
        (1.2, -8.0),
        (10.0, -100.0),
        (0.1, 100.0),
    ] {
        Case::new(size(140, 50), size(100, 50))
            .with(|s| s.chain = Some(Chain::new(gain, offset, 0.0).unwrap()))
            .check_views(&format!("chain {gain} {offset}"));
    }
}

#[test]
fn a_missing_camera_or_slide_is_black() {
    let of = size(140, 30);
    for (camera, slide) in [(true, false), (false, true), (false, false)] {
        for alpha in [Alpha::Straight, Alpha::Premultiplied] {
            Case {
                camera: camera.then(|| noise(of, 1)),
                slide: slide.then(|| noise(of, 2)),
                settings: Settings::default(),
            }
            .with(|s| {
                s.placement.size = Some(of);
                s.key.alpha = alpha;
            })
            .check_views(&format!("camera {camera}, slide {slide}, {alpha:?}"));
        }
    }
}

/// A flat slide is all blocks that may be decided without arithmetic: one code too many would be seen.
#[test]
fn every_flat_slide_agrees() {
    let of = size(128, 2);
    for (threshold, softness) in [
        (0.0, 0.0),
        (6.0, 4.0),
        (20.0, 0.0),
        (20.0, 30.0),
        (97.0, 3.0),
    ] {
        for alpha in [Alpha::Straight, Alpha::Premultiplied] {
            for code in 0..=u8::MAX {
                Case {
                    camera: Some(noise(of, 4)),
                    slide: Some(Frame::from_fn(of, |_, _| [code; 3])),
                    settings: Settings::default(),
                }
                .with(|s| {
                    s.key = s.key.with_threshold(threshold).unwrap();
                    s.key = s.key.with_softness(softness).unwrap();
                    s.key.alpha = alpha;
                })
                .check(&format!("flat {code}, {threshold}, {softness}, {alpha:?}"));
            }
        }
    }
}

#[test]
fn a_background_that_is_not_black_agrees_beside_the_slide_too() {
    let background = Background {
        color: [0.5, 0.2, 0.1],
        ..Background::BLACK
    };
    let case = Case::new(size(128, 72), size(51, 29)).with(|s| {
        s.view = View::Kept;
        s.placement.slide_place = SlidePlace::new([60.0, 55.0, 80.0, 30.0]).unwrap();
    });
    let plan = Plan::new(&Scene {
        camera: case.camera.as_ref(),
        slide: case.slide.as_ref(),
        background,
        settings: &case.settings,
    });
    require_within("background", &Truth::of(&plan), &CpuResult::of(&plan), 0);
}

/// Code 51 is exactly 20 %, and luma is exact on greys.
#[test]
fn a_grey_at_the_threshold_is_dropped_and_one_code_over_is_not() {
    let of = size(130, 3);
    for luma in [Luma::Bt709, Luma::Bt601, Luma::Bt2020] {
        for softness in [0.0, 0.01, 4.0] {
            for (grey, kept) in [(50, false), (51, false), (52, true)] {
                let case = Case {
                    camera: Some(noise(of, 3)),
                    slide: Some(Frame::from_fn(of, |_, _| [grey; 3])),
                    settings: Settings::default(),
                }
                .with(|s| {
                    s.key = s.key.with_threshold(20.0).unwrap();
                    s.key = s.key.with_softness(softness).unwrap();
                    s.key.luma = luma;
                });
                case.check_views(&format!("grey {grey}, {luma:?}, softness {softness}"));
                let camera_alone = compose(&case.plan()) == *case.camera.as_ref().unwrap();
                assert_eq!(
                    camera_alone, !kept,
                    "grey {grey}, {luma:?}, softness {softness}"
                );
            }
        }
    }
}

#[test]
fn shares_are_the_counts_of_the_reference() {
    for (what, case) in [
        ("8 bit", Case::new(size(203, 61), size(203, 61))),
        ("scaled", Case::new(size(203, 61), size(90, 70))),
        (
            "chain",
            Case::new(size(203, 61), size(203, 61))
                .with(|s| s.chain = Some(Chain::new(0.9, 6.0, 0.0).unwrap())),
        ),
    ] {
        let plan = Plan {
            view: View::Matte,
            ..case.plan()
        };
        let (mut dropped, mut solid) = (0_u32, 0_u32);
        for y in 0..plan.output.height() {
            for x in 0..plan.output.width() {
                let [m, _, _] = reference::pixel(&plan, x, y);
                dropped += u32::from(m < MATTE_DROPPED_BELOW);
                solid += u32::from(m > MATTE_SOLID_ABOVE);
            }
        }
        let shares = measure_matte(&plan);
        let area = plan.output.area() as f64;
        assert!(
            (shares.dropped - 100.0 * f64::from(dropped) / area).abs() < 1e-9,
            "{what}"
        );
        assert!(
            (shares.solid - 100.0 * f64::from(solid) / area).abs() < 1e-9,
            "{what}"
        );
        let sum = shares.dropped + shares.in_the_ramp + shares.solid;
        assert!((sum - 100.0).abs() < 1e-9, "{what}: {sum}");
        assert!(
            shares.dropped > 10.0 && shares.solid > 10.0,
            "{what}: {shares:?}"
        );
    }
}

/// An engine that computes something else is seen for each way of being wrong.
#[test]
fn every_spoiled_plan_is_seen() {
    let of = size(321, 123);
    let case = Case {
        camera: Some(noise(of, 31)),
        slide: Some(three_quarters_black(of, CELL, 32)),
        settings: Settings::default(),
    }
    .with(|s| s.placement.mirror_camera = true);
    let right = case.plan();
    let truth = Truth::of(&right);
    require_within("not spoiled", &truth, &CpuResult::of(&right), 0);

    let (kr, kb) = Luma::Bt601.weights();
    let plan = || right.clone();
    let unmirrored = case.clone().with(|s| s.placement.mirror_camera = false);
    let mut shifted = plan();
    if let Some(camera) = &mut shifted.camera {
        camera.placed.rows[60].first += 1;
    }
    let mut one_pixel = case.clone();
    one_pixel.slide = Some(Frame::from_fn(of, |x, y| {
        let index = y as usize * of.width() as usize + x as usize;
        match case.slide.as_ref().map(Frame::pixels) {
            Some(Pixels::Rgba8(pixels)) if (x, y) != (320, 122) => {
                let [r, g, b, _] = pixels[index];
                [r, g, b]
            }
            _ => [0; 3],
        }
    }));
    let spoiled = [
        ("601 weights", Plan { kr, kb, ..plan() }),
        (
            "softness doubled",
            Plan {
                softness: right.softness * 2.0,
                ..plan()
            },
        ),
        (
            "threshold + 0.2 %",
            Plan {
                threshold: right.threshold + 0.002,
                ..plan()
            },
        ),
        (
            "smooth ramp",
            Plan {
                ramp: Ramp::Smooth,
                ..plan()
            },
        ),
        (
            "premultiplied",
            Plan {
                alpha: Alpha::Premultiplied,
                ..plan()
            },
        ),
        (
            "linear light",
            Plan {
                blend_space: BlendSpace::Linear,
                ..plan()
            },
        ),
        (
            "a chain of 1 %",
            Plan {
                chain: Some((1.01, 0.0)),
                ..plan()
            },
        ),
        ("mirror off", unmirrored.plan()),
        ("a shifted row", shifted),
        ("one pixel", one_pixel.plan()),
        (
            "no slide",
            Plan {
                slide: None,
                ..plan()
            },
        ),
    ];
    for (what, plan) in &spoiled {
        require_seen(what, &truth, &CpuResult::of(plan), 0);
    }
}

/// A key from the whole range of what settings allow.
fn any_key() -> impl Strategy<Value = Key> {
    let softness = prop_oneof![Just(0.0), 0.01..100.0_f64];
    let ramps = prop_oneof![Just(Ramp::Linear), Just(Ramp::Smooth)];
    let lumas = prop_oneof![Just(Luma::Bt709), Just(Luma::Bt601), Just(Luma::Bt2020)];
    let alphas = prop_oneof![Just(Alpha::Straight), Just(Alpha::Premultiplied)];
    let spaces = prop_oneof![3 => Just(BlendSpace::Encoded), 1 => Just(BlendSpace::Linear)];
    (0.0..100.0_f64, softness, ramps, lumas, alphas, spaces).prop_map(
        |(threshold, softness, ramp, luma, alpha, blend_space)| {
            key_of((threshold, softness), ramp, luma, alpha, blend_space)
        },
    )
}

fn any_placement() -> impl Strategy<Value = Placement> {
    let fit = || prop_oneof![Just(Fit::Fill), Just(Fit::Fit), Just(Fit::Stretch)];
    let range = || prop_oneof![3 => Just(CodeRange::Full), 1 => Just(CodeRange::Video)];
    let turn = prop_oneof![
        Just(Turn::None),
        Just(Turn::Quarter),
        Just(Turn::Half),
        Just(Turn::ThreeQuarters)
    ];
    let output = proptest::option::of((1..90_u32, 1..40_u32));
    let place = proptest::option::of((-50.0..90.0_f64, -50.0..90.0_f64, 1.0..150.0_f64));
    (
        output,
        (fit(), fit()),
        place,
        turn,
        (any::<bool>(), any::<bool>()),
        (range(), range()),
    )
        .prop_map(
            |(output, fits, place, turn_camera, mirrors, ranges)| Placement {
                size: output.map(|(width, height)| size(width, height)),
                camera_fit: fits.0,
                slide_fit: fits.1,
                slide_place: place.map_or_else(SlidePlace::default, |(x, y, side)| {
                    SlidePlace::new([x, y, side, side]).unwrap()
                }),
                turn_camera,
                mirror_camera: mirrors.0,
                mirror_slide: mirrors.1,
                camera_range: ranges.0,
                slide_range: ranges.1,
            },
        )
}

fn any_frame() -> impl Strategy<Value = Option<Frame>> {
    (0..9_u8, 1..90_u32, 1..40_u32, any::<u32>()).prop_map(|(kind, width, height, seed)| {
        let of = size(width, height);
        match kind {
            0 => None,
            1 | 2 => Some(noise(of, seed)),
            3 | 4 => Some(three_quarters_black(of, CELL, seed)),
            5 => Some(noise_16_bit(of, seed)),
            6 => Some(noise_with_alpha(of, seed)),
            7 => Some(all_in_the_ramp(of, seed)),
            _ => Some(no_black(of, seed)),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]
    #[test]
    fn any_scene_agrees(
        camera in any_frame(),
        slide in any_frame(),
        key in any_key(),
        placement in any_placement(),
        chain in proptest::option::weighted(0.2, (0.1..3.0_f64, -50.0..50.0_f64)),
        view in 0..View::ALL.len(),
    ) {
        let placement = Placement { size: placement.size.or(Some(size(70, 20))), ..placement };
        let settings = Settings {
            key,
            placement,
            chain: chain.map(|(gain, offset)| Chain::new(gain, offset, 0.0).unwrap()),
            view: View::ALL[view],
        };
        Case { camera, slide, settings }.check(&format!("{settings:?}"));
    }
}
