//! The camera in the window: what the state knows of it, the line to be read from afar, bars, list and marks.

use std::path::PathBuf;
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Key as Press, Modifiers, Rect, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use nightglass::files::setup_file::Setup;
use nightglass::measure::finding::{Severity, Unit};
use nightglass::measure::inspect::camera_exposure::{BrightestParts, CLIP_PERCENT};
use nightglass::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use nightglass::measure::inspect::camera_verdict::{CameraVerdict, Unanswered};
use nightglass::measure::inspect::edge_widths::EdgeWidths;
use nightglass::measure::raster::contours::{contours, slanted_lines};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::space::zone::ZoneKind;
use nightglass::pixel::settings::Size;
use nightglass::pixel::views::View;
use nightglass::report::inspect_words::{VerdictWords, kind_words, measured_words};
use nightglass::window::action::Action;
use nightglass::window::camera_check::CameraKnown;
use nightglass::window::camera_drawing::{CameraDrawing, slices};
use nightglass::window::camera_job::SeenCamera;
use nightglass::window::edit::Setting;
use nightglass::window::inspect_bars::readings;
use nightglass::window::overlays::Overlay;
use nightglass::window::panels::{PanelInputs, install, panels_ui};
use nightglass::window::picture_area::picture_ui;
use nightglass::window::state::State;
use nightglass::window::zone_edit::ZoneEdit;
use nightglass::window::zooming::Zoom;

use crate::window_findings::{checked_deck, harness_at};

pub(crate) fn finding(
    kind: CameraKind,
    severity: Severity,
    bounds: Option<[u32; 4]>,
) -> CameraFinding {
    CameraFinding {
        kind,
        severity,
        bounds: bounds.map(|[x, y, width, height]| PixelBox {
            x,
            y,
            width,
            height,
        }),
        measured: 12.5,
        limit: 2.0,
        unit: Unit::Percent,
        advice: format!("Do something about {}.", kind.name()),
    }
}

pub(crate) fn seen(findings: Vec<CameraFinding>) -> SeenCamera {
    SeenCamera {
        findings,
        notes: vec!["nobody is there".to_owned()],
        unanswered: Vec::new(),
        verdict: VerdictWords {
            verdict: CameraVerdict::Fail,
            what: "a reflection in the glass",
            rest: "top right, and 2 more findings".to_owned(),
        },
        drawing: drawing(),
        is_written: true,
        is_somebody_there: false,
        edges: EdgeWidths {
            writing_px: Some(2.25),
            presenter_px: None,
        },
        brightest: BrightestParts {
            writing_percent: Some(97.0),
            skin_percent: None,
        },
        since: Vec::new(),
    }
}

/// Writing and presenter of a camera that were found in boxes.
fn drawing() -> CameraDrawing {
    let size = Size::HD;
    let mask = |[x, y, width, height]: [u32; 4]| {
        let bounds = PixelBox {
            x,
            y,
            width,
            height,
        };
        (Runs::of_boxes(size, [bounds]), vec![bounds])
    };
    let (writing, writing_places) = mask([200, 100, 400, 60]);
    let (presenter, _) = mask([1100, 300, 500, 780]);
    CameraDrawing {
        output: size,
        writing: contours(&writing, 1.0),
        writing_places,
        presenter: contours(&presenter, 1.0),
        presenter_lines: slanted_lines(&presenter, 40),
        presenter_slices: slices(&presenter, 40),
    }
}

fn three() -> SeenCamera {
    seen(vec![
        finding(
            CameraKind::Reflection,
            Severity::Fail,
            Some([1700, 60, 20, 12]),
        ),
        finding(
            CameraKind::Clipped,
            Severity::Warn,
            Some([200, 300, 600, 200]),
        ),
        finding(CameraKind::Noise, Severity::Info, None),
    ])
}

fn inspected() -> State {
    let mut state = checked_deck();
    state.camera_check.put(Ok(Arc::new(three())));
    state.apply(Action::ToggleInspect);
    state
}

#[test]
fn findings_of_the_camera_are_stepped_through_and_brought_into_sight() {
    let mut state = inspected();
    state.apply(Action::ToggleInspect);
    state.shown_scale = 0.5;
    let mut step = || {
        state.apply(Action::NextCameraFinding);
        (state.camera_check.selected(), state.zoom != Zoom::Fit)
    };
    // 20 x 12 px are brought closer.
    assert_eq!(step(), (Some(0), true));
    assert_eq!(step().0, Some(1));
    assert_eq!(step().0, Some(2));
    assert_eq!(step().0, Some(0), "round the end");
    assert!(state.inspect_open);
    let [u, v] = state.centre_uv;
    assert!((u - 1710.0 / 1920.0).abs() < 1e-6 && (v - 66.0 / 1080.0).abs() < 1e-6);
    state.apply(Action::SelectCameraFinding(Some(3)));
    assert_eq!(state.camera_check.selected(), None, "there are three");
}

#[test]
fn what_was_seen_takes_the_place_of_settings_and_findings_until_those_are_asked_for() {
    let mut state = inspected();
    assert!(!state.settings_open() && !state.findings_open());
    state.apply(Action::ToggleSettings);
    assert!(state.settings_open() && !state.inspect_open);
    state.apply(Action::ToggleInspect);
    state.apply(Action::ToggleFindings);
    assert!(state.findings_open() && !state.inspect_open);
    state.apply(Action::ToggleInspect);
    state.apply(Action::NextFinding);
    assert!(state.findings_open(), "a finding of the slide is gone to");
    state.apply(Action::ToggleInspect);
    state.apply(Action::Focus(Setting::Threshold));
    assert!(state.settings_open());
    state.apply(Action::ToggleInspect);
    state.apply(Action::NextCameraFinding);
    state.apply(Action::Dismiss);
    assert_eq!(state.camera_check.selected(), None);
    assert!(state.inspect_open, "the selection is let go first");
    state.apply(Action::Dismiss);
    assert!(!state.inspect_open && state.settings_open());
}

/// All words of the window, whatever is cut off, at a size where every panel is long enough for its text.
fn told(state: State) -> Vec<String> {
    let harness = harness_at([1600.0, 1400.0], state);
    let shapes = &harness.output().shapes;
    let texts = shapes.iter().filter_map(|clipped| match &clipped.shape {
        egui::Shape::Text(text) => Some(text.galley.text().to_owned()),
        _ => None,
    });
    texts.collect()
}

#[test]
fn a_frame_that_shows_nothing_is_told_once_and_is_nothing_to_be_content_with() {
    let mut camera = seen(Vec::new());
    let why = "this frame is dark all over".to_owned();
    camera.notes = vec![why.clone()];
    camera.unanswered = vec![Unanswered::NothingSeen];
    let put = |camera: SeenCamera| {
        let mut state = inspected();
        state.camera_check.put(Ok(Arc::new(camera)));
        told(state)
    };
    let words = put(camera.clone());
    let has = |words: &[String], part: &str| words.iter().any(|word| word.contains(part));
    let told = |part: &str| has(&words, part);
    assert!(told("This frame is dark all over."), "{words:?}");
    for other in [
        "Note:",
        "Nothing found",
        "0 findings",
        "nothing is written",
        "Next camera",
    ] {
        assert!(!told(other), "{other}: {words:?}");
    }
    // What is half seen is measured as far as that goes, and never called faultless.
    camera.unanswered = vec![Unanswered::LitAllOver];
    let words = put(camera.clone());
    assert!(has(&words, "Note: this frame") && has(&words, "Edges of the writing"));
    assert!(!has(&words, "Nothing found"), "{words:?}");
    // A frame that is only not compared was judged itself.
    camera.unanswered = vec![Unanswered::NotCompared];
    assert!(has(&put(camera), "Nothing found in this frame."));
}

#[test]
fn a_camera_file_that_cannot_be_read_is_told_with_what_is_shown_and_is_no_verdict() {
    let path = PathBuf::from("board.png");
    let setup = Setup {
        camera: Some(path.clone()),
        ..Setup::default()
    };
    let mut state = State::new(setup, None);
    state.apply(Action::ToggleInspect);
    let why =
        "the file is cut off before its end: `board.png`. Hint: export or copy the picture again";
    state.camera_check.put_unread(path.clone(), why.to_owned());
    let band = |state: &State| {
        let harness = harness_at([1200.0, 700.0], state.clone());
        let found = harness.get_by_role(Role::Status);
        found.accesskit_node().label().unwrap()
    };
    let all = |state: &State| told(state.clone()).join("\n");
    assert_eq!(band(&state), "the camera file cannot be read");
    assert!(all(&state).contains("The file is cut off before its end: `board.png`. Hint: "));
    assert!(!all(&state).contains("No camera picture yet"));
    // The frame that was read before stays, and what was seen in it is told as that.
    state.camera_check.put(Ok(Arc::new(three())));
    let words = band(&state);
    assert_eq!(
        words,
        "the camera file cannot be read, shown is the frame read last"
    );
    assert!(all(&state).contains("The frame that was read last, as it was seen:"));
    assert!(all(&state).contains("Edges of the writing"));
    // It is read again, or another one is taken.
    let mut read = state.clone();
    read.camera_check.forget_unread();
    assert!(band(&read).starts_with("a reflection in the glass"));
    state.camera_loaded(PathBuf::from("other.png"));
    assert!(band(&state).starts_with("a reflection in the glass"));
}

#[test]
fn the_picture_goes_back_to_where_it_was_when_the_camera_is_inspected_no_more() {
    for close in [
        Action::ToggleInspect,
        Action::ToggleSettings,
        Action::ToggleFindings,
    ] {
        let mut state = inspected();
        state.shown_scale = 0.5;
        state.apply(Action::LeftView(View::Camera));
        for _ in 0..2 {
            state.apply(Action::NextCameraFinding);
        }
        assert_ne!(state.zoom, Zoom::Fit);
        // The shell tells where the middle came to lie.
        state.centre_uv = [0.8, 0.2];
        state.apply(close.clone());
        assert!(!state.inspect_open);
        let shown = (state.zoom, state.centre_uv, state.left_view());
        assert_eq!(shown, (Zoom::Fit, [0.5, 0.5], View::Camera), "{close:?}");
        // Where another part was chosen meanwhile, that stays.
        state.apply(Action::NextCameraFinding);
        state.apply(Action::ZoomActual);
        state.apply(Action::Pan(0.25, 0.0));
        let chosen = (state.zoom, state.centre_uv);
        state.apply(Action::ToggleInspect);
        assert_eq!((state.zoom, state.centre_uv), chosen);
    }
}

#[test]
fn what_was_seen_stays_in_sight_until_the_next_frame_is_looked_at() {
    let mut state = inspected();
    state.apply(Action::NextCameraFinding);
    state.camera_check.outdate();
    assert!(state.camera_check.is_old());
    assert_eq!(state.camera_check.findings().len(), 3);
    // The same kind at the same place of the list stays selected.
    state.camera_check.put(Ok(Arc::new(three())));
    assert!(!state.camera_check.is_old());
    assert_eq!(state.camera_check.selected(), Some(0));
    let other = finding(CameraKind::Smear, Severity::Info, None);
    state.camera_check.put(Ok(Arc::new(seen(vec![other]))));
    assert_eq!(state.camera_check.selected(), None);
    state.camera_check.clear();
    assert!(matches!(state.camera_check.known(), CameraKnown::NoCamera));
    state.camera_check.outdate();
    assert!(matches!(state.camera_check.known(), CameraKnown::Looking));
}

#[test]
fn steps_of_a_picture_are_told_in_plain_words_of_how_many() {
    let mut noise = finding(CameraKind::Noise, Severity::Info, None);
    noise.unit = Unit::Codes;
    let words = measured_words(&noise);
    assert_eq!(words, "deviation 12.5 of 255, limit 2 of 255");
}

#[test]
fn bars_say_how_far_from_their_limits_they_are() {
    let words = |edges: [Option<f64>; 2], bright: [Option<f64>; 2]| {
        let mut camera = three();
        camera.is_somebody_there = true;
        [camera.edges.writing_px, camera.edges.presenter_px] = edges;
        [
            camera.brightest.writing_percent,
            camera.brightest.skin_percent,
        ] = bright;
        readings(&camera).map(|reading| (reading.words, reading.is_beyond))
    };
    let told = |text: &str, is_beyond: bool| (text.to_owned(), is_beyond);
    assert_eq!(
        words([Some(2.0), Some(5.9)], [Some(60.0), Some(80.2)]),
        [
            told("sharp: 2 px, limit 3 px", false),
            told("sharp: 5.9 px, limit 6 px", false),
            told("good: up to 60 %, limit 92 %", false),
            told("good: up to 80 %, limit 92 %", false),
        ]
    );
    // The limits of `soft-focus` (writing fails from 5 px) and of `clipped`.
    assert_eq!(
        words([Some(3.0), Some(6.0)], [Some(CLIP_PERCENT), Some(100.0)]),
        [
            told("soft: 3 px, limit 3 px", true),
            told("soft: 6 px, limit 6 px", true),
            told("too bright: up to 92 %, limit 92 %", true),
            told("too bright: up to 100 %, limit 92 %", true),
        ]
    );
    assert_eq!(
        words([Some(5.5), None], [None, None]),
        [
            told("soft: 5.5 px, limit 5 px", true),
            told("too few edges to tell", false),
            told("too few strokes to tell", false),
            told("no skin is seen", false),
        ]
    );
    let mut empty = three();
    empty.is_written = false;
    [empty.edges.writing_px, empty.brightest.writing_percent] = [None; 2];
    assert_eq!(
        readings(&empty).map(|reading| reading.words),
        [
            "nothing is written",
            "nobody is there",
            "nothing is written",
            "nobody is there"
        ]
    );
}

#[test]
fn the_line_and_the_list_are_there_at_every_size() {
    for size in [[1200.0, 700.0], [1920.0, 1080.0], [700.0, 500.0]] {
        let mut state = inspected();
        state.apply(Action::ToggleInspect);
        let mut harness = harness_at(size, state);
        assert!(harness.query_by_label_contains("in the glass").is_none());
        harness.key_press(Press::I);
        harness.run();
        let window = Rect::from_min_size(pos2(0.0, 0.0), size.into());
        let line = harness
            .get_by_label("a reflection in the glass, top right, and 2 more findings")
            .rect();
        assert!(
            line.height() >= 50.0 && line.width() > 0.9 * size[0],
            "{line:?}"
        );
        let picture = harness.get_by_label_contains("Picture:").rect();
        assert!(
            picture.width() > 200.0 && picture.height() > 100.0,
            "{picture:?}"
        );
        assert!(!picture.shrink(1.0).intersects(line));
        harness.get_by_label("Edges of the presenter: nobody is there");
        harness.get_by_label("Exposure of the writing: too bright: up to 97 %, limit 92 %");
        harness.key_press_modifiers(Modifiers::CTRL, Press::I);
        harness.run();
        harness.get_by_label_contains("Fail: brighter by 12.5 %, limit 2 %. Top right, 20\u{a0}×\u{a0}12\u{a0}px at\u{a0}1700,\u{a0}60.");
        let advice = harness
            .get_by_label("Do something about reflection.")
            .rect();
        assert!(window.contains_rect(advice), "{advice:?} at {size:?}");
    }
}

/// Heights of capitals in the band with the line, the largest first, in points.
fn heights_in_the_band(size: [f32; 2], state: State) -> Vec<f32> {
    /// Of the font of the window, which is Ubuntu Light. Source: `sCapHeight` of its OS/2 table, 693 of 1000 units.
    const CAPITAL: f32 = 0.693;
    let harness = harness_at(size, state);
    let band = harness.get_by_role(Role::Status).rect();
    let mut heights = Vec::new();
    for clipped in &harness.output().shapes {
        if let egui::Shape::Text(text) = &clipped.shape
            && band.contains(text.visual_bounding_rect().center())
        {
            let sections = &text.galley.job.sections;
            heights.push(CAPITAL * sections[0].format.font_id.size);
            assert!(band.contains_rect(text.visual_bounding_rect()), "cut off");
        }
    }
    heights.sort_by(|a, b| b.total_cmp(a));
    heights
}

#[test]
fn what_is_wrong_is_read_from_three_metres_off_a_screen_of_24_inches() {
    // ISO 9241-303: capitals of 16 minutes of arc at least, better 20 to 22. 24 inches of 16:9 are 298.9 mm high.
    let minutes = |points: f32| {
        let height_mm = points * 298.9 / 1080.0;
        (height_mm / 3000.0).atan().to_degrees() * 60.0
    };
    for kind in CameraKind::ALL {
        for rest in ["top right", "whole picture, and 11 more findings"] {
            let mut state = inspected();
            let mut camera = three();
            camera.verdict.what = kind_words(kind);
            camera.verdict.rest = rest.to_owned();
            state.camera_check.put(Ok(Arc::new(camera)));
            let heights = heights_in_the_band([1920.0, 1080.0], state);
            let minutes = minutes(heights[0]);
            assert!((20.0..=22.0).contains(&minutes), "{kind:?}: {minutes}");
        }
    }
}

#[test]
fn where_it_is_stands_in_the_line_or_below_it_and_long_sentences_are_parted() {
    let lines = |what: &'static str, rest: &str| {
        let mut state = inspected();
        let mut camera = three();
        (camera.verdict.what, camera.verdict.rest) = (what, rest.to_owned());
        state.camera_check.put(Ok(Arc::new(camera)));
        heights_in_the_band([1920.0, 1080.0], state)
    };
    assert_eq!(lines("out of focus", "top right").len(), 1);
    let below = lines("dark clothes melt into the backdrop", "bottom right");
    assert_eq!(below.len(), 2);
    let parted = lines("no fault; take a frame with writing and presenter too", "");
    assert_eq!(parted.len(), 2);
    assert_eq!(parted[0], below[0], "what comes first is not made smaller");
}

#[test]
fn clicking_a_finding_of_the_camera_shows_its_place_and_again_lets_it_go() {
    let mut harness = harness_at([1200.0, 700.0], inspected());
    let name = "2. too bright, warn, clipped share 12.5 %, limit 2 %";
    harness.get_by_label(name).click();
    harness.run();
    assert_eq!(harness.state().camera_check.selected(), Some(1));
    harness.get_by_label("Do something about clipped.");
    harness.get_by_label(name).click();
    harness.run();
    assert_eq!(harness.state().camera_check.selected(), None);
    assert!(
        harness
            .query_by_label("Do something about clipped.")
            .is_none()
    );
}

#[test]
fn without_a_camera_picture_it_says_so() {
    let mut state = checked_deck();
    state.apply(Action::ToggleInspect);
    let mut harness = harness_at([1200.0, 700.0], state);
    harness.get_by_label("no camera picture");
    harness.get_by_label_contains("No camera picture yet.");
    harness.state_mut().camera_check.outdate();
    harness.run();
    harness.get_by_label("looking at the camera picture");
    let why = Err("reading it failed inside nightglass".to_owned());
    harness.state_mut().camera_check.put(why);
    harness.run();
    harness.get_by_label("reading it failed inside nightglass");
}

/// How many shapes the picture area draws.
fn shapes(state: State) -> usize {
    let mut harness = Harness::builder()
        .with_size([1200.0, 700.0])
        .with_context_setup(install)
        .build_ui_state(
            |ui, state: &mut State| {
                let area = panels_ui(ui, state, PanelInputs::default());
                picture_ui(ui, &area, state);
            },
            state,
        );
    harness.run();
    let shapes = &harness.output().shapes;
    shapes.iter().map(|clipped| weight(&clipped.shape)).sum()
}

fn weight(shape: &egui::Shape) -> usize {
    match shape {
        egui::Shape::Vec(shapes) => shapes.iter().map(weight).sum(),
        egui::Shape::Noop => 0,
        _ => 1,
    }
}

#[test]
fn each_overlay_is_switched_by_its_key_and_its_switch_and_draws_something() {
    let keys = [Press::Num7, Press::Num8, Press::Num9, Press::Num0];
    for (overlay, key) in Overlay::ALL.into_iter().zip(keys) {
        let mut state = inspected();
        let boxes = vec![PixelBox {
            x: 100,
            y: 400,
            width: 600,
            height: 300,
        }];
        state.camera_check.put_free_boxes(boxes);
        state.apply(Action::ToggleInspect);
        let before = shapes(state.clone());
        let mut harness = harness_at([1200.0, 900.0], state.clone());
        harness.key_press(key);
        harness.run();
        assert!(harness.state().overlays.shows(overlay));
        let name = format!("Show {}", overlay.label());
        harness
            .get_by_role_and_label(Role::CheckBox, &name)
            .click_accesskit();
        harness.run();
        assert!(!harness.state().overlays.shows(overlay));
        state.apply(Action::ToggleOverlay(overlay));
        assert!(shapes(state.clone()) > before, "{overlay:?}");
        // Lines of another frame would be beside this one.
        state.camera_check.outdate();
        assert_eq!(shapes(state), before, "{overlay:?}");
    }
}

#[test]
fn what_lies_over_a_picture_that_is_shown_large_is_no_more_work_than_over_a_whole_one() {
    let mut state = inspected();
    let whole = [0.0, 0.0, 100.0, 100.0];
    for kind in [ZoneKind::KeepOut, ZoneKind::KeepIn, ZoneKind::WriteHere] {
        state.apply(Action::Zone(ZoneEdit::Add(kind, whole)));
    }
    let everywhere = PixelBox {
        x: 0,
        y: 0,
        width: 1920,
        height: 1080,
    };
    state.camera_check.put_free_boxes(vec![everywhere]);
    for overlay in Overlay::ALL {
        state.apply(Action::ToggleOverlay(overlay));
    }
    let at_fit = shapes(state.clone());
    // In a corner, where hatching and dashes of both sides are in sight.
    for centre in [[0.5, 0.5], [0.0, 0.0], [1.0, 0.7]] {
        state.apply(Action::ZoomTo(32.0, centre));
        let large = shapes(state.clone());
        assert!(large < at_fit, "{large} at {centre:?}, {at_fit} at fit");
    }
}
