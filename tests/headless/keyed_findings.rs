//! What `check` finds wrong with backgrounds and with what the key takes, on slides drawn here.

use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use nightglass::files::picture_file::decode_picture;
use nightglass::measure::check::placed_camera::PlacedCamera;
use nightglass::measure::check::slide_check::{CheckedCamera, SlideToCheck, check_slide};
use nightglass::measure::contrast::contrast_of_codes;
use nightglass::measure::finding::{Finding, Kind, Severity};
use nightglass::measure::limits::{Limit, Limits};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Alpha, Settings, Size};

use crate::frames::hash_at;
use crate::lettering;

const WIDTH: u32 = 640;
const HEIGHT: u32 = 360;

/// A filled shape: inside or not, and its colour.
type Shape<'a> = (&'a dyn Fn(u32, u32) -> bool, [u8; 3]);

/// Shapes over a background, the last on top.
fn slide(background: impl Fn(u32, u32) -> [u8; 3], shapes: &[Shape<'_>]) -> Frame {
    Frame::from_fn(Size::new(WIDTH, HEIGHT).unwrap(), |x, y| {
        let top = shapes.iter().rev().find(|(inside, _)| inside(x, y));
        top.map_or_else(|| background(x, y), |(_, color)| *color)
    })
}

fn black(_: u32, _: u32) -> [u8; 3] {
    [0; 3]
}

fn rectangle([x, y, width, height]: [u32; 4]) -> impl Fn(u32, u32) -> bool {
    move |u, v| (x..x + width).contains(&u) && (y..y + height).contains(&v)
}

fn disc(x: u32, y: u32, radius: u32) -> impl Fn(u32, u32) -> bool {
    move |u, v| u.abs_diff(x).pow(2) + v.abs_diff(y).pow(2) <= radius.pow(2)
}

/// The findings about the key.
fn check_with(
    slide: &Frame,
    cameras: &[Frame],
    settings: &Settings,
    limits: &Limits,
) -> Vec<Finding> {
    let mut found = all_found(slide, cameras, settings, limits);
    found.retain(|finding| Kind::ALL[..6].contains(&finding.kind));
    found
}

fn all_found(
    slide: &Frame,
    cameras: &[Frame],
    settings: &Settings,
    limits: &Limits,
) -> Vec<Finding> {
    let mut settings = *settings;
    settings.placement.size = Some(slide.size());
    let placed: Vec<PlacedCamera> = cameras
        .iter()
        .map(|frame| PlacedCamera::new(frame, &settings, slide.size()))
        .collect();
    let cameras: Vec<CheckedCamera<'_>> = cameras
        .iter()
        .zip(&placed)
        .map(|(frame, placed)| CheckedCamera {
            name: "board.png",
            frame,
            placed,
        })
        .collect();
    check_slide(&SlideToCheck {
        slide,
        lossy: false,
        cameras: &cameras,
        settings: &settings,
        limits,
        reserved: &[],
        zones: &[],
    })
    .findings
}

fn check(slide: &Frame) -> Vec<Finding> {
    check_with(slide, &[], &Settings::default(), &Limits::default())
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "the box of a finding is an option"
)]
fn bounds([x, y, width, height]: [u32; 4]) -> Option<PixelBox> {
    Some(PixelBox {
        x,
        y,
        width,
        height,
    })
}

/// Kind, severity, box and the value to two digits.
fn told(findings: &[Finding]) -> Vec<(Kind, Severity, Option<PixelBox>, f64)> {
    findings
        .iter()
        .map(|f| {
            (
                f.kind,
                f.severity,
                f.bounds,
                (100.0 * f.measured).round() / 100.0,
            )
        })
        .collect()
}

#[test]
fn a_clean_slide_says_nothing() {
    let (ring, inner) = (disc(150, 180, 90), disc(150, 180, 60));
    let (bar, panel) = (
        rectangle([300, 100, 200, 40]),
        rectangle([300, 200, 200, 80]),
    );
    let clean = slide(
        black,
        &[
            (&ring, [255, 200, 80]),
            (&inner, [0; 3]),
            (&bar, [120, 160, 255]),
            (&panel, [30, 40, 66]),
        ],
    );
    assert_eq!(check(&clean), []);
}

#[test]
fn content_with_solid_specks_is_not_its_own_surroundings() {
    let bar = rectangle([100, 100, 200, 120]);
    let specks = |x: u32, y: u32| bar(x, y) && x.is_multiple_of(20) && y.is_multiple_of(20);
    let specked = slide(black, &[(&bar, [10, 22, 60]), (&specks, [30, 30, 60])]);
    let plain = slide(black, &[(&bar, [10, 22, 60])]);
    let [found, alone] = [&specked, &plain].map(|slide| told(&check(slide)));
    let at = bounds([100, 100, 200, 120]);
    assert_eq!(alone, [(Kind::HalfKeyed, Severity::Warn, at, 1.19)]);
    let measured: Vec<_> = found.iter().map(|f| (f.0, f.1, f.3)).collect();
    assert_eq!(measured, [(Kind::HalfKeyed, Severity::Warn, 1.19)]);
}

#[test]
fn a_white_slide_is_not_dark_and_not_hazy() {
    let white = slide(|_, _| [255; 3], &[]);
    assert_eq!(
        told(&check(&white)),
        [(Kind::NotDark, Severity::Fail, None, 100.0)]
    );
}

#[test]
fn of_a_slide_that_is_not_dark_nothing_else_about_the_key_is_said() {
    let drawn = |grey: u8| {
        let mut slide = lettering::Slide::new(1920, 1080, grey);
        slide.bar([300, 120, 900, 180], [0, 0, 255]);
        slide.bar([300, 450, 600, 450], [60, 50, 40]);
        slide.bar([450, 600, 180, 180], [0; 3]);
        slide.bar([1200, 600, 300, 240], [22; 3]);
        slide.text("HULL LIFT HILT", (1200.0, 450.0), 18.0, [100; 3]);
        slide.frame()
    };
    let camera = Frame::from_fn(Size::new(1920, 1080).unwrap(), |_, _| [230; 3]);
    let kinds = |grey: u8, cameras: &[Frame]| -> Vec<Kind> {
        let settings = Settings::default();
        let found = all_found(&drawn(grey), cameras, &settings, &Limits::default());
        let mut kinds: Vec<Kind> = found.iter().map(|finding| finding.kind).collect();
        kinds.dedup();
        kinds
    };
    let by_geometry = [Kind::NotDark, Kind::Hairline];
    assert_eq!(kinds(255, &[]), by_geometry);
    assert_eq!(kinds(255, std::slice::from_ref(&camera)), by_geometry);
    // The same things on a slide that is dark enough to be looked at.
    let on_black = kinds(12, &[camera]);
    for kind in [Kind::Hole, Kind::HalfKeyed] {
        assert!(on_black.contains(&kind), "{on_black:?}");
    }
}

#[test]
fn a_grey_background_adds_what_the_formula_says() {
    // Code 20 is 7.84 % luma; the matte is (7.84 - 6) / 4 = 0.461, so 3.61 % are added.
    let (grey, text) = (|_, _| [20; 3], rectangle([200, 100, 100, 20]));
    let found = check(&slide(grey, &[(&text, [255; 3])]));
    assert_eq!(told(&found), [(Kind::Haze, Severity::Fail, None, 3.61)]);
    assert!(found[0].advice.contains("#141414"), "{}", found[0].advice);
}

#[test]
fn haze_warns_from_one_percent_on() {
    // Code 17 is 6.667 %: matte 0.1667, 1.11 % added. Code 16 is 6.275 %: matte 0.0686, 0.43 % added.
    let found = check(&slide(|_, _| [17; 3], &[]));
    assert_eq!(told(&found), [(Kind::Haze, Severity::Warn, None, 1.11)]);
    assert!(found[0].advice.contains("#0F0F0F"), "{}", found[0].advice);
    assert_eq!(check(&slide(|_, _| [16; 3], &[])), []);
}

#[test]
fn only_the_part_of_a_gradient_that_adds_light_is_hazy() {
    // From 0 at the top to 36 at the bottom: one code every 10 rows.
    let fall = slide(|_, y| [(y / 10) as u8; 3], &[]);
    let found = check(&fall);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (found[0].kind, found[0].severity),
        (Kind::Haze, Severity::Fail)
    );
    // Code 17 is the first that adds more than half a percent: 1.11.
    assert_eq!(found[0].bounds, bounds([0, 170, 640, 190]));
}

#[test]
fn a_chain_that_raises_black_is_haze_that_no_slide_can_help() {
    let settings = Settings {
        chain: Some(Chain::new(0.86, 8.0, 0.0).unwrap()),
        ..Settings::default()
    };
    let found = check_with(&slide(black, &[]), &[], &settings, &Limits::default());
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, Kind::Haze);
    assert!(found[0].advice.contains("chain"), "{}", found[0].advice);
}

#[test]
fn a_premultiplied_slide_adds_what_the_key_drops() {
    // Code 13 is 5.10 %, dropped, and added as it is.
    let mut settings = Settings::default();
    let dark = slide(|_, _| [13; 3], &[]);
    assert_eq!(check_with(&dark, &[], &settings, &Limits::default()), []);
    settings.key.alpha = Alpha::Premultiplied;
    let found = check_with(&dark, &[], &settings, &Limits::default());
    assert_eq!(told(&found), [(Kind::Haze, Severity::Fail, None, 5.1)]);
}

#[test]
fn dropped_content_is_keyed_out_by_what_the_viewer_loses() {
    // Contrast on black: #0000A0 by WCAG 2.2 (0.0722 * 0.3515 + 0.05) / 0.05.
    let block = rectangle([100, 60, 80, 50]);
    let found = check(&slide(black, &[(&block, [0, 0, 160])]));
    assert_eq!(
        told(&found),
        [(
            Kind::KeyedOut,
            Severity::Fail,
            bounds([100, 60, 80, 50]),
            1.51
        )]
    );
    let found = check(&slide(black, &[(&block, [14; 3])]));
    assert_eq!(
        told(&found),
        [(
            Kind::KeyedOut,
            Severity::Info,
            bounds([100, 60, 80, 50]),
            1.09
        )]
    );
}

#[test]
fn saturated_blue_is_half_keyed_and_told_by_name() {
    let block = rectangle([100, 60, 80, 50]);
    let found = check(&slide(black, &[(&block, [0, 0, 255])]));
    // WCAG: blue on black 2.444.
    assert_eq!(
        told(&found),
        [(
            Kind::HalfKeyed,
            Severity::Fail,
            bounds([100, 60, 80, 50]),
            2.44
        )]
    );
    assert!(
        found[0].advice.contains("#0000FF has 7.2 %"),
        "{}",
        found[0].advice
    );
    // The colour that is offered stays solid: with it nothing is found.
    let offered = found[0].advice.split("Recolour it #").nth(1).unwrap();
    let hex = u32::from_str_radix(&offered[..6], 16)
        .unwrap()
        .to_be_bytes();
    assert_eq!(
        check(&slide(black, &[(&block, [hex[1], hex[2], hex[3]])])),
        []
    );
}

#[test]
fn limits_decide_how_bad_a_loss_is() {
    let block = rectangle([100, 60, 80, 50]);
    let blue = slide(black, &[(&block, [0, 0, 255])]);
    let mut limits = Limits::default();
    limits.set(Limit::LossFail, 3.0).unwrap();
    let found = check_with(&blue, &[], &Settings::default(), &limits);
    assert_eq!(found[0].severity, Severity::Warn);
    limits.set(Limit::LossWarn, 2.5).unwrap();
    let found = check_with(&blue, &[], &Settings::default(), &limits);
    assert_eq!((found[0].severity, found[0].limit), (Severity::Info, 2.5));
}

#[test]
fn smoothed_edges_of_solid_content_are_no_loss() {
    // A disc whose edge falls over three pixels from white to black.
    let soft = Frame::from_fn(Size::new(WIDTH, HEIGHT).unwrap(), |x, y| {
        let away = f64::from(x.abs_diff(300).pow(2) + y.abs_diff(180).pow(2)).sqrt();
        [(255.0 * ((81.5 - away) / 3.0).clamp(0.0, 1.0)) as u8; 3]
    });
    assert_eq!(check(&soft), []);
}

#[test]
fn black_over_someone_lit_fails_and_over_a_black_board_does_not() {
    let block = rectangle([100, 60, 80, 50]);
    let slide = slide(black, &[(&block, [13; 3])]);
    let dark = Frame::from_fn(slide.size(), |x, y| [8 + (hash_at(1, x, y) % 4) as u8; 3]);
    let shirt = Frame::from_fn(slide.size(), |x, y| {
        [if x < 200 && y > 40 {
            180
        } else {
            8 + (hash_at(1, x, y) % 4) as u8
        }; 3]
    });
    let over = |camera: &Frame| {
        check_with(
            &slide,
            std::slice::from_ref(camera),
            &Settings::default(),
            &Limits::default(),
        )
    };
    assert_eq!(over(&dark)[0].severity, Severity::Info);
    assert_eq!(over(&dark)[0].camera, None);
    let found = over(&shirt);
    assert_eq!(
        told(&found),
        [(
            Kind::KeyedOut,
            Severity::Fail,
            bounds([100, 60, 80, 50]),
            100.0
        )]
    );
    assert_eq!(found[0].camera.as_deref(), Some("board.png"));
}

#[test]
fn pupils_are_holes_and_counters_are_not() {
    let (face, left, right) = (disc(200, 180, 120), disc(160, 150, 9), disc(240, 150, 9));
    let with_eyes = slide(
        black,
        &[(&face, [236, 196, 150]), (&left, [0; 3]), (&right, [0; 3])],
    );
    let found = check(&with_eyes);
    let boxes: Vec<_> = found
        .iter()
        .map(|f| (f.kind, f.severity, f.bounds))
        .collect();
    assert_eq!(
        boxes,
        [
            (Kind::Hole, Severity::Warn, bounds([151, 141, 19, 19])),
            (Kind::Hole, Severity::Warn, bounds([231, 141, 19, 19])),
        ]
    );
    // A ring: its body is 10 px wide, its inside as good as any counter.
    let (outer, inner) = (disc(200, 180, 60), disc(200, 180, 50));
    assert_eq!(
        check(&slide(black, &[(&outer, [255; 3]), (&inner, [0; 3])])),
        []
    );
    // A ring of 4 px that a broad shape fills to over a half: what is left is inside an outline still.
    let (outer, inner) = (disc(200, 180, 100), disc(200, 180, 96));
    let rest = |x: u32, y: u32| inner(x, y) && x > 215;
    assert_eq!(
        check(&slide(black, &[(&outer, [255; 3]), (&rest, [0; 3])])),
        []
    );
    // 12 px wide, a radius of 6 and so under the 2 % of 360 that a flat solid needs.
    let (bar, window) = (rectangle([100, 100, 60, 40]), rectangle([112, 112, 36, 16]));
    assert_eq!(
        check(&slide(black, &[(&bar, [255; 3]), (&window, [0; 3])])),
        []
    );
}

#[test]
fn a_dark_patch_of_another_colour_than_the_background_is_a_hole_however_small_its_frame() {
    let (frame, patch) = (rectangle([100, 100, 60, 40]), rectangle([106, 106, 48, 28]));
    let found = check(&slide(black, &[(&frame, [255; 3]), (&patch, [40, 0, 30])]));
    let boxes: Vec<_> = found.iter().map(|f| (f.kind, f.bounds)).collect();
    assert_eq!(boxes, [(Kind::Hole, bounds([106, 106, 48, 28]))]);
}

#[test]
fn adversarial_slides_are_checked_all_the_same() {
    let all = [
        Frame::from_fn(Size::new(1, 1).unwrap(), |_, _| [9; 3]),
        Frame::from_fn(Size::new(2048, 2).unwrap(), |x, _| [(x % 40) as u8; 3]),
        crate::frames::noise(Size::new(160, 90).unwrap(), 3),
        Frame::from_fn(Size::new(160, 90).unwrap(), |x, y| {
            [if (x + y) % 2 == 0 { 0 } else { 18 }; 3]
        }),
        Frame::from_fn(Size::new(160, 90).unwrap(), |x, y| {
            [if (x / 3 + y / 3) % 2 == 0 { 0 } else { 255 }; 3]
        }),
    ];
    for slide in all {
        let found = check(&slide);
        assert!(found.len() <= 20, "{} findings", found.len());
    }
}

/// What is found on a slide on an output of this size, as it is and as a JPEG file of quality 90.
fn found_both_ways(slide: &Frame, output: Size) -> [Vec<Finding>; 2] {
    let mut settings = Settings::default();
    settings.placement.size = Some(output);
    let check = |slide: &Frame, lossy: bool| {
        let check = check_slide(&SlideToCheck {
            slide,
            lossy,
            cameras: &[],
            settings: &settings,
            limits: &Limits::default(),
            reserved: &[],
            zones: &[],
        });
        check.findings
    };
    let rgb: Vec<u8> = (0..slide.size().area())
        .flat_map(|at| slide.rgba_frac(at)[..3].to_vec())
        .map(|v| (v * 255.0).round() as u8)
        .collect();
    let mut file = Vec::new();
    JpegEncoder::new_with_quality(&mut file, 90)
        .write_image(&rgb, WIDTH, HEIGHT, ExtendedColorType::Rgb8)
        .unwrap();
    let jpeg = decode_picture(&file, Path::new("slide.jpg")).unwrap();
    [check(slide, false), check(&jpeg.frame, true)]
}

#[test]
fn content_that_is_lost_on_a_plate_has_the_plate_around_it() {
    // Pure blue is in the ramp; over black it would have 2.44 to 1.
    let (blue, plate) = ([0, 0, 255], [110; 3]);
    let drawn = slide(
        black,
        &[
            (&rectangle([100, 60, 440, 240]), plate),
            (&disc(320, 180, 40), blue),
        ],
    );
    let expected = contrast_of_codes(blue, plate);
    for output in [drawn.size(), Size::HD] {
        for findings in found_both_ways(&drawn, output) {
            let lost: Vec<&Finding> = findings
                .iter()
                .filter(|finding| finding.kind == Kind::HalfKeyed)
                .collect();
            let [finding] = lost[..] else {
                panic!("{findings:?}")
            };
            let off = (finding.measured - expected).abs();
            assert!(off < 0.1, "{output}: {finding:?}, expected {expected:.2}");
        }
    }
}
