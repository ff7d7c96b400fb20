//! The threads that check the deck, follow its files and look for its key.

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use egui::Context;
use image::{Rgb, RgbImage};
use nightglass::measure::finding::{Finding, Kind};
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::measure::space::zone::ZoneKind;
use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::pixel::settings::Size;
use nightglass::window::action::Action;
use nightglass::window::checks::Checks;
use nightglass::window::deck_check::SlideMark;
use nightglass::window::edit::Edit;
use nightglass::window::key_search::KeySearch;
use nightglass::window::loaded::Loaded;
use nightglass::window::loader::Loader;
use nightglass::window::overlays::Overlay;
use nightglass::window::picture_source::PictureSource;
use nightglass::window::pictures::Pictures;
use nightglass::window::state::State;
use nightglass::window::zone_edit::ZoneEdit;
use nightglass::window::zone_tool::ZoneKey;

/// How long a small picture may take. Source: chosen, far above what a busy machine needs.
const PATIENCE: Duration = Duration::from_mins(1);
/// Size of the slides and of the output.
const SIZE: [u32; 2] = [320, 180];

/// A window without a window: state, pictures and checks on real threads.
pub(crate) struct Shell {
    pub(crate) state: State,
    pub(crate) pictures: Pictures,
    checks: Checks,
    results: Receiver<Loaded>,
}

impl Shell {
    pub(crate) fn new() -> Self {
        let (deliver, results) = channel();
        let start = || {
            let deliver = deliver.clone();
            Loader::start(move |loaded| deliver.send(loaded).is_ok()).unwrap()
        };
        let mut state = State::default();
        state.apply(Action::Edit(Edit::Size(Some(SIZE))));
        Self {
            state,
            pictures: Pictures::new(start()),
            checks: Checks::new(start(), start()),
            results,
        }
    }

    /// What the window does with every turn.
    pub(crate) fn turn(&mut self) {
        let range = self.state.settings().placement.slide_range;
        self.pictures.want_slide(self.state.slide_index(), range);
        self.checks.want(&self.pictures, &mut self.state);
    }

    /// Goes on until something holds.
    pub(crate) fn until(&mut self, holds: impl FnMut(&State, &Pictures) -> bool) {
        self.until_before(|_| false, holds);
    }

    /// Goes on until something holds, and only then takes what comes late.
    pub(crate) fn until_before(
        &mut self,
        is_late: impl Fn(&Loaded) -> bool,
        mut holds: impl FnMut(&State, &Pictures) -> bool,
    ) {
        let mut late = Vec::new();
        loop {
            self.turn();
            if holds(&self.state, &self.pictures) {
                break;
            }
            let loaded = self.results.recv_timeout(PATIENCE).unwrap();
            if is_late(&loaded) {
                late.push(loaded);
            } else {
                self.take(loaded);
            }
        }
        for loaded in late {
            self.take(loaded);
        }
    }

    fn take(&mut self, loaded: Loaded) {
        if let Some(loaded) = self.checks.take(loaded, &mut self.state) {
            self.pictures
                .take(loaded, &mut self.state, &Context::default());
        }
    }

    fn mark(&self, index: usize) -> SlideMark {
        self.state
            .deck_check
            .mark(index, &self.state.setup().accepted)
    }
}

/// A bright square with a background of this grey, as a picture file.
fn write_slide(path: &Path, background: u8, square: u8) {
    let [width, height] = SIZE;
    let picture = RgbImage::from_fn(width, height, |x, y| {
        let inside = (100..200).contains(&x) && (40..140).contains(&y);
        Rgb([if inside { square } else { background }; 3])
    });
    picture.save(path).unwrap();
}

/// A deck: the second slide has a white background, the last one is no picture.
fn deck() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let deck = folder.path().join("deck");
    std::fs::create_dir(&deck).unwrap();
    write_slide(&deck.join("1.png"), 0, 200);
    write_slide(&deck.join("2.png"), 255, 20);
    write_slide(&deck.join("3.png"), 5, 40);
    std::fs::write(deck.join("4.png"), "no picture").unwrap();
    (folder, deck)
}

fn all_fresh(state: &State) -> bool {
    let count = state.slide_names().len();
    count > 0 && (0..count).all(|index| !state.deck_check.needs_check(index))
}

#[test]
fn the_whole_deck_is_checked_and_again_when_the_limits_of_the_key_change() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck]);
    shell.until(|state, _| all_fresh(state));
    assert_eq!(shell.mark(1), SlideMark::Fail);
    assert_eq!(shell.mark(3), SlideMark::Unreadable);
    let why = shell.state.deck_check.unreadable(3).unwrap();
    assert!(why.contains("4.png"), "{why}");
    // Another key: everything is old at once, and is checked again without being asked for.
    shell.state.apply(Action::Edit(Edit::Threshold(9.0)));
    shell.turn();
    assert!((0..4).all(|index| shell.state.deck_check.needs_check(index)));
    assert_eq!(shell.mark(1), SlideMark::Fail, "what was known stays");
    shell.until(|state, _| all_fresh(state));
}

#[test]
fn the_slide_shown_is_checked_before_the_rest_while_the_key_is_dragged() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck]);
    shell.until(|state, _| all_fresh(state));
    for step in 1..=20 {
        let percent = 6.0 + f64::from(step) / 10.0;
        shell.state.apply(Action::Drag(Edit::Threshold(percent)));
        shell.turn();
    }
    // However many moves: the shown slide comes first, the others wait for the pause.
    shell.until(|state, _| !state.deck_check.needs_check(0));
    assert!((1..4).all(|index| shell.state.deck_check.needs_check(index)));
    shell.until(|state, _| all_fresh(state));
}

#[test]
fn findings_of_the_slide_shown_are_those_of_a_window_that_opens_with_the_same_settings() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("1.png");
    write_slide(&path, 12, 40);
    let edits = [
        Edit::Softness(12.0),
        Edit::Threshold(9.0),
        Edit::MirrorSlide(true),
        Edit::SlidePlace([10.0, 0.0, 95.0, 100.0]),
        Edit::Chain(Some([1.1, 2.0, 0.0])),
        Edit::Size(Some([400, 180])),
        Edit::Threshold(13.0),
    ];
    let found = |shell: &mut Shell| -> Vec<Finding> {
        shell.until(|state, _| all_fresh(state));
        let list = shell.state.deck_check.list(0, &[]);
        list.map(|listed| listed.finding.clone()).collect()
    };
    let open = |edits: &[Edit]| {
        let mut shell = Shell::new();
        for edit in edits {
            shell.state.apply(Action::Edit(*edit));
        }
        shell.pictures.request_deck(vec![path.clone()]);
        found(&mut shell)
    };
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![path.clone()]);
    let mut before = found(&mut shell);
    for count in 1..=edits.len() {
        shell.state.apply(Action::Edit(edits[count - 1]));
        let now = found(&mut shell);
        assert_eq!(now, open(&edits[..count]), "{:?}", edits[count - 1]);
        assert_ne!(now, before, "{:?}", edits[count - 1]);
        before = now;
    }
}

#[test]
fn a_slide_that_was_exported_again_is_read_and_checked_again() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck.clone()]);
    shell.until(|state, _| all_fresh(state));
    let frame_before = shell.pictures.slide().unwrap().frame.clone();
    let path = deck.join("1.png");
    write_slide(&path, 255, 0);
    shell
        .pictures
        .reread(std::slice::from_ref(&path), &mut shell.state);
    shell.turn();
    let still = &shell.pictures.slide().unwrap().frame;
    assert!(
        Arc::ptr_eq(still, &frame_before),
        "the old one stays until the new one is read"
    );
    shell.until(|state, _| all_fresh(state));
    assert_eq!(shell.mark(0), SlideMark::Fail);
    let [r, ..] = shell.pictures.slide().unwrap().frame.rgba_frac(0);
    assert_eq!(r, 1.0);
}

#[test]
fn a_slide_that_came_into_the_folder_is_found_and_the_one_shown_stays() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck.clone()]);
    shell.until(|state, _| all_fresh(state));
    shell.state.apply(Action::GoToSlide(1));
    shell.until(|_, pictures| !pictures.is_reading());
    let path = deck.join("0.png");
    write_slide(&path, 0, 255);
    shell.pictures.reread(&[path], &mut shell.state);
    shell.until(|state, _| state.slide_names().len() == 5);
    assert_eq!(shell.state.slide_index(), 2);
    assert_eq!(shell.mark(2), SlideMark::Fail, "what was known stays");
    shell.until(|state, _| all_fresh(state));
    std::fs::remove_file(deck.join("1.png")).unwrap();
    shell
        .pictures
        .reread(&[deck.join("1.png")], &mut shell.state);
    shell.until(|state, _| state.slide_names().len() == 4);
    assert_eq!(shell.state.slide_index(), 1);
}

#[test]
fn findings_follow_a_zone_while_it_is_dragged() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck]);
    shell.until(|state, _| all_fresh(state));
    let zones = |state: &State| {
        let list = state.deck_check.list(0, &[]);
        list.filter(|listed| listed.finding.kind == Kind::Zone)
            .count()
    };
    assert_eq!(zones(&shell.state), 0);
    // The square of the slide is from 31 to 63 and from 22 to 78 percent.
    let place = |x: f64| [x, 30.0, 20.0, 20.0];
    shell
        .state
        .apply(Action::Zone(ZoneEdit::Add(ZoneKind::KeepOut, place(40.0))));
    shell.turn();
    assert!(shell.state.deck_check.is_old(0));
    shell.until(|state, _| !state.deck_check.needs_check(0));
    assert_eq!(zones(&shell.state), 1);
    for step in 1..=20 {
        let x = 40.0 + 2.0 * f64::from(step);
        shell
            .state
            .apply(Action::DragZone(ZoneEdit::Place(0, place(x))));
        shell.turn();
    }
    shell.until(|state, _| !state.deck_check.needs_check(0));
    assert_eq!(zones(&shell.state), 0);
    shell.state.apply(Action::Undo);
    shell.until(|state, _| all_fresh(state));
    assert_eq!(zones(&shell.state), 1);
    // A zone for the slide shown alone is for no other.
    shell.state.apply(Action::ZoneKey(ZoneKey::ForSlideOrDeck));
    assert_eq!(shell.state.setup().zones[0].slide.as_deref(), Some("1.png"));
}

#[test]
fn the_camera_is_looked_at_once_for_each_frame_and_way_to_lay_it() {
    let (folder, deck) = deck();
    let camera = folder.path().join("camera.png");
    write_slide(&camera, 4, 200);
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck]);
    shell.until(|state, _| all_fresh(state));
    assert!(shell.state.camera_check.seen().is_none());
    shell
        .pictures
        .request_camera(PictureSource::File(camera.clone()));
    let is_fresh =
        |state: &State| state.camera_check.seen().is_some() && !state.camera_check.is_old();
    shell.until(|state, _| is_fresh(state) && all_fresh(state));
    let first = Arc::clone(shell.state.camera_check.seen().unwrap());
    // Key, slide and place of the slide are nothing to the camera.
    for edit in [
        Edit::Threshold(9.0),
        Edit::SlidePlace([0.0, 0.0, 50.0, 50.0]),
    ] {
        shell.state.apply(Action::Edit(edit));
        shell.turn();
        assert!(!shell.state.camera_check.is_old(), "{edit:?}");
    }
    shell.until(|state, _| all_fresh(state));
    assert!(Arc::ptr_eq(
        &first,
        shell.state.camera_check.seen().unwrap()
    ));
    shell.state.apply(Action::Edit(Edit::MirrorCamera(true)));
    shell.turn();
    assert!(shell.state.camera_check.is_old());
    shell.until(|state, _| is_fresh(state));
    assert!(!Arc::ptr_eq(
        &first,
        shell.state.camera_check.seen().unwrap()
    ));
    // The room that it leaves is looked for once it is to be drawn.
    assert!(shell.state.camera_check.free_boxes().is_empty());
    shell.state.apply(Action::ToggleOverlay(Overlay::FreeRoom));
    shell.until(|state, _| !state.camera_check.free_boxes().is_empty());
    // A zone takes room away at once, and gives it back.
    let free = shell.state.camera_check.free_boxes().to_vec();
    let whole = [0.0, 0.0, 100.0, 100.0];
    let edit = ZoneEdit::Add(ZoneKind::KeepOut, whole);
    shell.state.apply(Action::Zone(edit));
    shell.until(|state, _| state.camera_check.free_boxes().is_empty());
    shell.state.apply(Action::Undo);
    shell.until(|state, _| state.camera_check.free_boxes() == free);
    shell.pictures.clear_camera();
    shell.turn();
    assert!(shell.state.camera_check.seen().is_none());
}

#[test]
fn no_room_is_offered_where_nothing_could_be_looked_for() {
    let folder = tempfile::tempdir().unwrap();
    let camera = folder.path().join("camera.png");
    let [width, height] = SIZE;
    RgbImage::from_pixel(width, height, Rgb([128; 3]))
        .save(&camera)
        .unwrap();
    let mut shell = Shell::new();
    shell.pictures.request_camera(PictureSource::File(camera));
    shell.state.apply(Action::ToggleOverlay(Overlay::FreeRoom));
    let was_looked_for = Cell::new(false);
    shell.until_before(
        |loaded| {
            if matches!(loaded, Loaded::FoundRoom(_)) {
                was_looked_for.set(true);
            }
            false
        },
        |_, _| was_looked_for.get(),
    );
    assert!(shell.state.camera_check.free_boxes().is_empty());
}

#[test]
fn the_chart_in_the_camera_picture_tells_that_it_is_mirrored() {
    let folder = tempfile::tempdir().unwrap();
    let camera = folder.path().join("camera.png");
    let size = Size::new(1280, 720).unwrap();
    let chart = draw_chart(Chart::new(size).unwrap());
    let picture = RgbImage::from_fn(1280, 720, |x, y| {
        let [r, g, b, _] = chart.rgba_frac((y * 1280 + 1279 - x) as usize);
        Rgb([r, g, b].map(|v| (v * 255.0).round() as u8))
    });
    picture.save(&camera).unwrap();
    let mut shell = Shell::new();
    shell.state.apply(Action::Edit(Edit::Size(None)));
    shell.pictures.request_camera(PictureSource::File(camera));
    let is_fresh =
        |state: &State| state.camera_check.seen().is_some() && !state.camera_check.is_old();
    shell.until(|state, _| is_fresh(state));
    let ways = |state: &State| -> Vec<String> {
        let findings = state.camera_check.findings().iter();
        let ways = findings.filter(|finding| finding.kind == CameraKind::WrongWayRound);
        ways.map(|finding| finding.advice.clone()).collect()
    };
    let found = ways(&shell.state);
    assert!(
        found.len() == 1 && found[0].contains("mirrored left to right"),
        "{found:?}"
    );
    let seen = shell.state.camera_check.seen().unwrap();
    assert_eq!(seen.verdict.what, "the picture is the wrong way round");
    // Laid on the output the other way it reads as it should.
    shell.state.apply(Action::Edit(Edit::MirrorCamera(true)));
    shell.turn();
    shell.until(|state, _| is_fresh(state));
    assert_eq!(ways(&shell.state), [""; 0]);
}

#[test]
fn a_key_is_found_for_the_deck_and_used_in_one_step() {
    let (_folder, deck) = deck();
    let mut shell = Shell::new();
    shell.pictures.request_deck(vec![deck]);
    shell.until(|state, _| all_fresh(state));
    shell.state.apply(Action::SearchKey);
    shell.until(|state, _| matches!(state.key_search, KeySearch::Found(_)));
    let KeySearch::Found(found) = shell.state.key_search.clone() else {
        panic!("found");
    };
    // White paper is left out, the file that is no picture counts as unreadable.
    assert_eq!((found.unreadable, found.suggestion.not_dark.len()), (1, 1));
    assert_eq!(found.slides, [0, 1, 2]);
    let key = found.suggestion.key;
    // Between the background of code 5 and the square of code 40: 1.96 and 15.7 percent.
    let solid = key.threshold_percent() + key.softness_percent();
    assert!(key.threshold_percent() > 100.0 * 5.0 / 255.0, "{key:?}");
    assert!(solid < 100.0 * 40.0 / 255.0, "{key:?}");
    shell.state.apply(Action::UseFoundKey);
    let in_force = shell.state.settings().key;
    assert_eq!(in_force.threshold_percent(), key.threshold_percent());
    assert_eq!(in_force.softness_percent(), key.softness_percent());
    shell.state.apply(Action::Undo);
    assert_eq!(shell.state.settings().key.threshold_percent(), 6.0);
    assert_eq!(shell.state.settings().key.softness_percent(), 4.0);
    // A chain moves the levels: the result says that it is old.
    assert!(!found.is_old(&shell.state.settings_in_force()));
    shell
        .state
        .apply(Action::Edit(Edit::Chain(Some([1.0, 3.0, 0.0]))));
    assert!(found.is_old(&shell.state.settings_in_force()));
}
