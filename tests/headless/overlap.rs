//! What a slide lands on: shares of drawn lines and figures, zones, and the shift that clears them.

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::measure::check::overlap::{Overlapped, find_overlaps};
use nightglass::measure::check::placed_camera::PlacedCamera;
use nightglass::measure::check::slide_check::{CheckedCamera, SlideToCheck, check_overlap};
use nightglass::measure::finding::{Finding, Kind, Severity};
use nightglass::measure::inspect::camera_masks::CameraMasks;
use nightglass::measure::limits::{Limit, Limits};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::slide::fates::Fates;
use nightglass::measure::slide::pieces::Content;
use nightglass::measure::slide::slide_raster::SlideRaster;
use nightglass::measure::space::clear_shift::{Shift, shortest_clear_shift};
use nightglass::measure::space::zone::{Zone, ZoneKind};
use nightglass::pixel::frame::Frame;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::Background;
use proptest::prelude::*;

use crate::check::{Desk, said};

fn size() -> Size {
    Size::new(640, 360).unwrap()
}

fn boxed([x, y, width, height]: [u32; 4]) -> PixelBox {
    PixelBox {
        x,
        y,
        width,
        height,
    }
}

fn mask(boxes: &[[u32; 4]]) -> Runs {
    let boxes: Vec<PixelBox> = boxes.iter().copied().map(boxed).collect();
    Runs::of_boxes(size(), boxes)
}

/// A written line of ten strokes, each 6 x 40 px: 2400 px.
const LINE: [[u32; 4]; 10] = {
    let mut strokes = [[0, 100, 6, 40]; 10];
    let mut i = 0;
    while i < 10 {
        strokes[i][0] = 100 + 20 * i as u32;
        i += 1;
    }
    strokes
};

/// A person of 100 px over the shoulders, with a hand raised over the head.
const FIGURE: [[u32; 4]; 4] = [
    [480, 110, 40, 50],   // head and neck
    [450, 160, 100, 200], // trunk
    [550, 160, 30, 20],   // upper arm
    [560, 60, 20, 100],   // forearm and hand
];

fn camera(writing: &[[u32; 4]], presenter: &[[u32; 4]]) -> CameraMasks {
    CameraMasks::new(mask(writing), mask(presenter))
}

/// What is found about a slide of filled boxes on black.
fn found(
    boxes: &[([u32; 4], [u8; 3])],
    cameras: &[(&str, &CameraMasks)],
    zones: &[Zone],
    limits: &Limits,
) -> Vec<Finding> {
    let slide = Frame::from_fn(size(), |x, y| {
        let inside = |&&([left, top, width, height], _): &&([u32; 4], [u8; 3])| {
            (left..left + width).contains(&x) && (top..top + height).contains(&y)
        };
        boxes
            .iter()
            .find(inside)
            .map_or([0; 3], |&(_, color)| color)
    });
    let mut settings = Settings::default();
    settings.placement.size = Some(size());
    let plan = Plan::new(&Scene {
        camera: None,
        slide: Some(&slide),
        background: Background::BLACK,
        settings: &settings,
    });
    let raster = SlideRaster::new(&plan);
    find_overlaps(&Overlapped {
        raster: &raster,
        fates: &Fates::new(&plan),
        content: &Content::measure(&raster, [0.0; 3], false),
        veil: &Runs::none(size()),
        cameras: cameras.to_vec(),
        zones,
        limits,
    })
}

fn over(bar: [u32; 4], masks: &CameraMasks) -> Vec<Finding> {
    found(
        &[(bar, [255; 3])],
        &[("board.png", masks)],
        &[],
        &Limits::default(),
    )
}

fn zone(kind: ZoneKind, percent: [f64; 4]) -> Zone {
    Zone::new("corner".to_owned(), kind, percent).unwrap()
}

#[test]
fn letters_dashes_dots_and_underlines_are_one_line_and_the_next_line_another() {
    let letters = [
        [100, 100, 20, 40],
        [124, 115, 18, 25],
        [160, 118, 30, 6], // an equals sign
        [160, 128, 30, 6],
        [212, 112, 20, 28],
        [240, 112, 4, 28],
        [239, 98, 5, 5],    // a dot above
        [96, 148, 190, 4],  // an underline
        [100, 175, 20, 40], // the next line
        [130, 180, 20, 35],
        [400, 100, 20, 40], // far away
    ];
    let lines = camera(&letters, &[]);
    let boxes: Vec<PixelBox> = lines.lines().iter().map(|line| line.bounds).collect();
    let expected = [[96, 98, 190, 54], [400, 100, 20, 40], [100, 175, 50, 40]];
    assert_eq!(boxes, expected.map(boxed));
    let areas: Vec<u64> = lines.lines().iter().map(|line| line.area).collect();
    assert_eq!(areas.iter().sum::<u64>(), lines.writing().area());
}

#[test]
fn a_high_drawing_does_not_reach_farther_for_words_than_words_do() {
    // Letters of 40 rows, and 66 px beside them a drawing of 72: within its height, and over one and a half of theirs.
    let letters = [[100, 150, 30, 40], [140, 150, 30, 40]];
    let drawing = [236, 130, 100, 72];
    let boxes = |strokes: &[[u32; 4]]| -> Vec<PixelBox> {
        let lines = camera(strokes, &[]);
        lines.lines().iter().map(|line| line.bounds).collect()
    };
    let apart = [drawing, [100, 150, 70, 40]].map(boxed);
    assert_eq!(boxes(&[letters[0], letters[1], drawing]), apart);
    // A capital as far off as words are is of the line, and so is a dash.
    let near = [220, 130, 30, 60];
    let joined = [boxed([100, 130, 150, 60])];
    assert_eq!(boxes(&[letters[0], letters[1], near]), joined);
    let dash = [204, 168, 30, 6];
    let joined = [boxed([100, 150, 134, 40])];
    assert_eq!(boxes(&[letters[0], letters[1], dash]), joined);
}

#[test]
fn a_covered_line_is_measured_in_its_own_pixels() {
    let masks = camera(&LINE, &[]);
    // 3 of 40 rows, 4 of 40 and 10 of 40: 7.5, 10 and 25 percent; one row is 2.5, under the limit.
    assert_eq!(over([90, 80, 220, 20], &masks), []);
    for (rows, share, severity) in [
        (1, 2.5, Severity::Info),
        (3, 7.5, Severity::Warn),
        (4, 10.0, Severity::Warn),
        (10, 25.0, Severity::Fail),
    ] {
        let findings = over([90, 80, 220, 20 + rows], &masks);
        assert_eq!(findings.len(), 1, "{findings:?}");
        let finding = &findings[0];
        assert_eq!(
            (finding.kind, finding.severity),
            (Kind::CoversWriting, severity)
        );
        assert_eq!(
            (finding.measured, finding.bounds),
            (share, Some(boxed([100, 100, 186, 40])))
        );
        assert_eq!(finding.camera.as_deref(), Some("board.png"));
        // The shortest way off the line is up, by the rows that are covered, and 3 % of 360 rows beside them: 11 px from
        // middle to middle.
        let shift = rows + 10;
        let words = format!(
            "Move everything on the slide {shift} px ({:.1} %) up: there it covers nothing and stays",
            100.0 * f64::from(shift) / 360.0
        );
        assert!(finding.advice.contains(&words), "{}", finding.advice);
    }
}

#[test]
fn what_the_key_drops_or_half_keeps_covers_nothing() {
    let masks = camera(&LINE, &[]);
    for grey in [15, 20] {
        let bar = [([90, 90, 220, 60], [grey; 3])];
        assert_eq!(
            found(&bar, &[("board.png", &masks)], &[], &Limits::default()),
            [],
            "grey {grey}"
        );
    }
    let solid = [([90, 90, 220, 60], [26; 3])];
    assert_eq!(
        found(&solid, &[("board.png", &masks)], &[], &Limits::default())[0].measured,
        100.0
    );
}

#[test]
fn the_head_is_the_upper_part_of_the_figure_and_no_raised_hand() {
    let masks = camera(&[], &FIGURE);
    let head: Vec<PixelBox> = masks.head().iter().map(|run| run.bounds()).collect();
    let head = head.into_iter().reduce(PixelBox::union).unwrap();
    // 0.130 over 0.259 of shoulders 100 px wide, from the crown down.
    assert_eq!(head, boxed([480, 110, 40, 50]));
    let area = masks.presenter().area() as f64;
    let over_head = over([470, 100, 60, 20], &masks);
    assert_eq!(
        (over_head[0].kind, over_head[0].severity),
        (Kind::CoversPresenter, Severity::Fail)
    );
    assert_eq!(over_head[0].measured, 100.0 * 400.0 / 2000.0);
    for bar in [[450, 300, 100, 20], [555, 60, 30, 60]] {
        let finding = &over(bar, &masks)[0];
        assert_eq!(
            (finding.kind, finding.severity),
            (Kind::CoversPresenter, Severity::Warn)
        );
        let covered = if bar[0] == 450 { 2000.0 } else { 1200.0 };
        assert!((finding.measured - 100.0 * covered / area).abs() < 1e-9);
    }
    assert_eq!(
        over([450, 300, 100, 4], &masks),
        [],
        "under 2 percent of the figure"
    );
}

#[test]
fn writing_that_is_meant_is_quiet_in_its_zone_alone() {
    let masks = camera(&LINE, &FIGURE);
    let cameras = [("board.png", &masks)];
    let bars = [([90, 90, 430, 60], [255; 3])];
    let here = zone(ZoneKind::WriteHere, [10.0, 20.0, 45.0, 40.0]);
    let kinds = |zones: &[Zone]| -> Vec<Kind> {
        found(&bars, &cameras, zones, &Limits::default())
            .iter()
            .map(|f| f.kind)
            .collect()
    };
    assert_eq!(kinds(&[]), [Kind::CoversWriting, Kind::CoversPresenter]);
    assert_eq!(kinds(&[here]), [Kind::CoversPresenter]);
    // A zone over the right half of the line leaves the other strokes covered.
    let right = zone(ZoneKind::WriteHere, [30.0, 20.0, 40.0, 40.0]);
    let half = found(&bars, &cameras, &[right], &Limits::default());
    assert_eq!(
        (half[0].kind, half[0].measured),
        (Kind::CoversWriting, 50.0)
    );
}

#[test]
fn content_in_a_keep_out_zone_and_outside_a_keep_in_zone_is_found() {
    let bar = [([32, 36, 64, 36], [255; 3])];
    let limits = Limits::default();
    // Of a zone of 64 x 36 px it covers nothing, then the lower half of the right half.
    let away = zone(ZoneKind::KeepOut, [0.0, 0.0, 10.0, 10.0]);
    assert_eq!(found(&bar, &[], &[away], &limits), []);
    let out = zone(ZoneKind::KeepOut, [0.0, 5.0, 10.0, 10.0]);
    let findings = found(&bar, &[], &[out], &limits);
    assert_eq!(
        (findings[0].kind, findings[0].severity, findings[0].measured),
        (Kind::Zone, Severity::Fail, 25.0)
    );
    assert_eq!(
        (findings[0].bounds, findings[0].camera.as_deref()),
        (Some(boxed([32, 36, 32, 18])), None)
    );
    let inside = zone(ZoneKind::KeepIn, [5.0, 10.0, 10.0, 10.0]);
    assert_eq!(found(&bar, &[], &[inside], &limits), []);
    let narrower = zone(ZoneKind::KeepIn, [5.0, 10.0, 7.5, 10.0]);
    let findings = found(&bar, &[], std::slice::from_ref(&narrower), &limits);
    assert_eq!(
        (findings[0].measured, findings[0].bounds),
        (25.0, Some(boxed([80, 36, 16, 36])))
    );
    let rest = zone(ZoneKind::KeepIn, [12.5, 10.0, 10.0, 10.0]);
    assert_eq!(
        found(&bar, &[], &[narrower, rest], &limits),
        [],
        "two zones together"
    );
}

#[test]
fn closeness_is_asked_for_and_measured_in_a_straight_line() {
    let masks = camera(&LINE, &[]);
    // 30 px right of the last stroke's edge and 40 px below: 50 px between the nearest pixels.
    let bar = [([315, 179, 60, 20], [255; 3])];
    let cameras = [("board.png", &masks)];
    let mut limits = Limits::default();
    assert_eq!(found(&bar, &cameras, &[], &limits), []);
    limits.set(Limit::WritingClearance, 14.0).unwrap();
    let findings = found(&bar, &cameras, &[], &limits);
    assert_eq!(
        (findings.len(), findings[0].kind),
        (1, Kind::CloseToWriting)
    );
    assert!(
        (findings[0].measured - 100.0 * 50.0 / 360.0).abs() < 1e-9,
        "{}",
        findings[0].measured
    );
    // 50.4 px are wanted: less than half a pixel is told apart, and one step down is 42 rows and 51.6 px away.
    assert_eq!(
        findings[0].advice,
        "The slide comes within 50 px of this written line; 50.4 px are wanted. Move everything on the slide 1 px \
         (0.2 %) to the right: there it covers nothing and stays inside graphics safe."
    );
    limits.set(Limit::WritingClearance, 13.8).unwrap();
    assert_eq!(found(&bar, &cameras, &[], &limits), []);
}

#[test]
fn each_camera_is_judged_and_one_shift_clears_all() {
    let (first, second) = (
        camera(&LINE, &[]),
        camera(&LINE.map(|[x, y, w, h]| [x, y - 35, w, h]), &[]),
    );
    let cameras = [("a.png", &first), ("b.png", &second)];
    // 10 of 40 rows of the first are covered and all of the second; 45 px up would leave graphics safe.
    let findings = found(
        &[([90, 50, 220, 60], [255; 3])],
        &cameras,
        &[],
        &Limits::default(),
    );
    let told: Vec<(&str, f64)> = findings
        .iter()
        .map(|f| (f.camera.as_deref().unwrap(), f.measured))
        .collect();
    assert_eq!(told, [("a.png", 25.0), ("b.png", 100.0)]);
    for finding in &findings {
        assert!(
            finding.advice.contains("100 px (27.8 %) down"),
            "{}",
            finding.advice
        );
    }
    let wide = [([40, 80, 560, 250], [255; 3])];
    let stuck = found(&wide, &cameras, &[], &Limits::default());
    assert!(
        stuck[0].advice.contains("No move of the whole slide"),
        "{}",
        stuck[0].advice
    );
}

#[test]
fn a_share_under_the_limit_is_told_and_is_no_warning() {
    // 4 of 40 rows of strokes are under the bar, a tenth of them; the limit is made a fifth.
    let masks = camera(&LINE, &[]);
    let mut limits = Limits::default();
    limits.set(Limit::WritingWarn, 20.0).unwrap();
    limits.set(Limit::WritingFail, 30.0).unwrap();
    let told = found(
        &[([90, 50, 220, 54], [255; 3])],
        &[("a.png", &masks)],
        &[],
        &limits,
    );
    let [finding] = &told[..] else {
        panic!("{told:?}");
    };
    assert_eq!(
        (finding.kind, finding.severity, finding.measured),
        (Kind::CoversWriting, Severity::Info, 10.0)
    );
    assert!(
        finding
            .advice
            .starts_with("The slide covers 10 % of this written line; 20 % is the limit. "),
        "{}",
        finding.advice
    );
}

#[test]
fn a_move_without_room_beside_it_says_that_it_comes_near() {
    // 140 rows lie free between two lines as wide as the picture is: 130 of content fit, with 5 px above and below.
    let masks = camera(&LINE, &[]);
    let far: Vec<[u32; 4]> = (0..10).map(|i| [100 + 20 * i, 280, 6, 62]).collect();
    let below = camera(&far, &[]);
    let both = [("a.png", &masks), ("b.png", &below)];
    let told = |rows: u32| {
        let bar = ([40, 40, 560, rows], [255; 3]);
        found(&[bar], &both, &[], &Limits::default())[0]
            .advice
            .clone()
    };
    assert!(
        told(130).contains(
            "there it covers nothing, though it comes near it, and stays inside graphics safe"
        ),
        "{}",
        told(130)
    );
    assert!(
        told(110).contains("there it covers nothing and stays inside graphics safe"),
        "{}",
        told(110)
    );
}

proptest! {
    #[test]
    fn the_shortest_shift_is_the_one_that_trying_all_finds(
        content in prop::collection::vec(0_u8..100, 12 * 9),
        obstacles in prop::collection::vec(0_u8..100, 12 * 9),
        (many, few) in (1_u8..12, 1_u8..25),
        margin in 0_u32..3,
    ) {
        let size = Size::new(12, 9).unwrap();
        let content = Runs::of_bytes(size, &content, |byte| byte < many);
        let obstacles = Runs::of_bytes(size, &obstacles, |byte| byte < few);
        let inside = boxed([margin, margin, 12 - 2 * margin, 9 - 2 * margin]);
        let pixels: Vec<(i32, i32)> = content.as_slice().iter()
            .flat_map(|run| (run.start..run.end).map(|x| (x.cast_signed(), run.y.cast_signed()))).collect();
        let clears = |right: i32, down: i32| pixels.iter().all(|&(x, y)| {
            let (x, y) = (x + right, y + down);
            let low = margin.cast_signed();
            (low..12 - low).contains(&x) && (low..9 - low).contains(&y)
                && !obstacles.contains(x as u32, y as u32)
        });
        let all = (-9..=9).flat_map(|down| (-12..=12).map(move |right| (right, down)));
        let shortest = all.filter(|&(right, down)| clears(right, down)).map(|(right, down)| right * right + down * down).min();
        let found = shortest_clear_shift(&content, &obstacles, inside);
        if pixels.is_empty() {
            prop_assert_eq!(found, None);
        } else {
            prop_assert_eq!(found.map(|s| s.right_px * s.right_px + s.down_px * s.down_px), shortest);
            if let Some(Shift { right_px, down_px }) = found {
                prop_assert!(clears(right_px, down_px));
            }
        }
    }
}

#[test]
fn a_shift_is_told_in_pixels_and_percent() {
    let words = |right_px, down_px| Shift { right_px, down_px }.words(size());
    assert_eq!(
        words(-64, 18),
        "64 px (10.0 %) to the left and 18 px (5.0 %) down"
    );
    assert_eq!(words(32, 0), "32 px (5.0 %) to the right");
    assert_eq!(words(0, -36), "36 px (10.0 %) up");
}

#[test]
fn the_demonstration_has_a_slide_that_covers_a_written_line() {
    let camera = CAMERA.frame().unwrap();
    let settings = Settings::default();
    let placed = PlacedCamera::new(&camera, &settings, camera.size());
    let cameras = [CheckedCamera {
        name: CAMERA.name,
        frame: &camera,
        placed: &placed,
    }];
    let covered = |slide: usize| -> Vec<Finding> {
        let findings = check_overlap(&SlideToCheck {
            slide: &SLIDES[slide].frame().unwrap(),
            lossy: false,
            cameras: &cameras,
            settings: &settings,
            limits: &Limits::default(),
            reserved: &[],
            zones: &[],
        });
        let covers = |finding: &Finding| finding.kind == Kind::CoversWriting;
        findings.findings.into_iter().filter(covers).collect()
    };
    // The line `Finding north` as drawn by examples/demonstration.
    let title = boxed([90, 70, 560, 120]);
    let on_title = |f: &Finding| f.bounds.is_some_and(|b| b.intersection(title).is_some());
    assert!(covered(3).iter().any(on_title));
    assert_eq!(
        covered(0),
        [],
        "the slide that keys cleanly keeps clear of it"
    );
}

#[test]
fn a_slide_over_a_frame_that_cannot_be_judged_is_no_pass() {
    let desk = Desk::new();
    let side = |name: &str, code: fn(u32, u32) -> u8| {
        let picture = image::RgbImage::from_fn(640, 360, |x, y| image::Rgb([code(x, y); 3]));
        picture.save(desk.path(name)).unwrap();
    };
    side("grey.png", |_, _| 128);
    side("off.png", |_, _| 0);
    // Two thirds are lit, from the bottom up.
    side("lit.png", |x, y| {
        if y > 36 && x.abs_diff(320) < 242 {
            150
        } else {
            8
        }
    });
    // Nobody is there and nothing is written, but for the lit edge of the glass.
    side("edge.png", |_, y| if y < 3 { 60 } else { 6 });
    let run = |verb: &str, more: &[&str]| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.folder.path())
            .env_remove("COLUMNS")
            .args([&[verb, "1 black.png", "--camera"], more].concat())
            .output()
            .unwrap();
        (output.status.code(), output.stdout)
    };
    let (_, schema) = run("check", &["edge.png", "--schema"]);
    let schema: serde_json::Value = serde_json::from_slice(&schema).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for verb in ["check", "overlap"] {
        for (name, reason) in [
            ("grey.png", "no-backdrop"),
            ("off.png", "nothing-seen"),
            ("lit.png", "lit-all-over"),
        ] {
            let (code, text) = run(verb, &[name]);
            let text = said(&text);
            assert_eq!(code, Some(2), "{verb} {name}");
            assert!(
                text.starts_with("unclear: nothing found on 1 slide"),
                "{text}"
            );
            assert!(text.contains(&format!("`{name}`")), "{text}");
            assert!(text.lines().all(|line| line.len() <= 80), "{text}");
            let (_, document) = run(verb, &[name, "--json"]);
            let document: serde_json::Value = serde_json::from_slice(&document).unwrap();
            assert!(validator.is_valid(&document), "{document}");
            assert_eq!(document["slides"][0]["verdict"], "unclear");
            let unanswered = document["unanswered"].as_array().unwrap();
            assert_eq!(unanswered.len(), 1);
            assert_eq!(unanswered[0]["camera"], name);
            assert_eq!(unanswered[0]["reason"], reason);
            run(verb, &[name, "--report", "page.html"]);
            let page = std::fs::read_to_string(desk.path("page.html")).unwrap();
            assert!(page.contains("1 slide: 1 unclear."), "{verb} {name}");
            assert!(page.contains("<h2 id=\"unanswered\">What cannot be told</h2>"));
        }
        // A frame that shows merely nothing is a good answer, and does not hide that another is none.
        let (code, text) = run(verb, &["edge.png"]);
        let text = said(&text);
        assert_eq!(code, Some(0), "{text}");
        assert!(text.starts_with("pass: nothing found"), "{text}");
        assert_eq!(run(verb, &["edge.png", "--camera", "grey.png"]).0, Some(2));
    }
}

#[test]
fn room_is_not_offered_in_a_frame_that_cannot_be_judged() {
    let desk = Desk::new();
    let grey = image::RgbImage::from_pixel(640, 360, image::Rgb([128; 3]));
    grey.save(desk.path("grey.png")).unwrap();
    for line in [
        "template --camera grey.png --out room.png",
        "template --camera grey.png --json",
        "compose --camera grey.png --slide black.png --out room.png --slide-place free",
    ] {
        let black = image::RgbImage::from_pixel(64, 36, image::Rgb([0; 3]));
        black.save(desk.path("black.png")).unwrap();
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.folder.path())
            .args(line.split(' '))
            .output()
            .unwrap();
        let error = said(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{line}: {error}");
        assert!(output.stdout.is_empty(), "{line}");
        assert!(
            error.starts_with(
                "error: expected a camera frame that shows where there is room: no dark backdrop is recognised in "
            ),
            "{error}"
        );
        assert!(!desk.path("room.png").exists(), "{line}");
    }
}
