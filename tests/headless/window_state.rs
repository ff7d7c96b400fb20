//! The window without a window: state, undo, keys, numbers as typed and as mixers count them.

use std::collections::HashSet;
use std::path::PathBuf;

use egui::{Key, Modifiers};
use nightglass::files::setup_file::Setup;
use nightglass::measure::key::histogram::HISTOGRAM_END_PERCENT;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::guides::Guide;
use nightglass::pixel::mixer_codes::{codes_of_luma, codes_of_width, slope_of_softness};
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::{Background, View};
use nightglass::window::action::{Action, Answer, FileKind, MessageKind, Request};
use nightglass::window::binding::Section;
use nightglass::window::chord::Held;
use nightglass::window::edit::{Edit, Setting};
use nightglass::window::histogram_axis::HistogramAxis;
use nightglass::window::keys::{BINDINGS, action_for};
use nightglass::window::look::Look;
use nightglass::window::message::Question;
use nightglass::window::number_text::{format_number, parse_number, parse_size};
use nightglass::window::read_out::ReadOut;
use nightglass::window::state::{Monitor, State};
use nightglass::window::zooming::Zoom;

/// A state with so many slides.
fn with_slides(count: usize) -> State {
    let mut state = State::default();
    let names = (1..=count).map(|n| format!("{n}.png")).collect();
    state.deck_loaded(vec![PathBuf::from("deck")], names);
    state
}

/// A state whose setup is as in the file `lecture.toml`.
fn from_file() -> State {
    State::new(Setup::default(), Some(PathBuf::from("lecture.toml")))
}

fn threshold(state: &State) -> f64 {
    state.settings().key.threshold_percent()
}

#[test]
fn each_edit_is_an_undo_step() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Edit(Edit::Threshold(8.0)));
    state.apply(Action::Undo);
    assert_eq!(threshold(&state), 7.0);
    state.apply(Action::Undo);
    assert_eq!(threshold(&state), 6.0);
    assert!(!state.can_undo());
    state.apply(Action::Undo);
    assert_eq!(threshold(&state), 6.0);
    state.apply(Action::Redo);
    state.apply(Action::Redo);
    assert_eq!(threshold(&state), 8.0);
    assert!(!state.can_redo());
}

#[test]
fn a_drag_is_one_undo_step() {
    let mut state = State::default();
    for percent in [6.1, 6.2, 6.3] {
        state.apply(Action::Drag(Edit::Threshold(percent)));
    }
    state.apply(Action::EndDrag);
    for percent in [6.4, 6.5] {
        state.apply(Action::Drag(Edit::Threshold(percent)));
    }
    state.apply(Action::EndDrag);
    state.apply(Action::Undo);
    assert_eq!(threshold(&state), 6.3);
    state.apply(Action::Undo);
    assert_eq!(threshold(&state), 6.0);
    state.apply(Action::Redo);
    assert_eq!(threshold(&state), 6.3);
}

#[test]
fn drags_of_two_settings_are_two_steps() {
    let mut state = State::default();
    state.apply(Action::Drag(Edit::Threshold(7.0)));
    state.apply(Action::Drag(Edit::Softness(5.0)));
    state.apply(Action::Undo);
    assert_eq!(state.settings().key.softness_percent(), 4.0);
    assert_eq!(threshold(&state), 7.0);
}

#[test]
fn an_edit_forgets_what_was_undone() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Undo);
    state.apply(Action::Edit(Edit::Softness(5.0)));
    assert!(!state.can_redo());
    state.apply(Action::Redo);
    assert_eq!(threshold(&state), 6.0);
}

#[test]
fn an_edit_that_changes_nothing_is_no_step() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(6.0)));
    assert!(!state.can_undo());
    assert!(!state.has_unsaved_changes());
}

#[test]
fn undo_leaves_view_files_and_slide_alone() {
    let mut state = with_slides(3);
    state.apply(Action::Edit(Edit::Guide(Guide::Thirds, true)));
    state.apply(Action::LeftView(View::Matte));
    state.apply(Action::NextSlide);
    state.camera_loaded(PathBuf::from("camera.png"));
    state.apply(Action::Undo);
    assert!(state.setup().guides.is_empty());
    assert_eq!(state.settings().view, View::Matte);
    assert_eq!(state.slide_index(), 1);
    assert_eq!(state.setup().camera, Some(PathBuf::from("camera.png")));
}

#[test]
fn every_kind_of_edit_is_taken_and_undone() {
    use nightglass::pixel::key::{Luma, Ramp};
    use nightglass::pixel::settings::{Alpha, BlendSpace, CodeRange, Engine, Fit, Turn};
    let edits = [
        Edit::Threshold(1.0),
        Edit::Softness(0.0),
        Edit::ThresholdAndSoftness([2.0, 3.0]),
        Edit::Ramp(Ramp::Smooth),
        Edit::Luma(Luma::Bt601),
        Edit::Alpha(Alpha::Premultiplied),
        Edit::BlendSpace(BlendSpace::Linear),
        Edit::Size(Some([640, 480])),
        Edit::CameraFit(Fit::Stretch),
        Edit::SlideFit(Fit::Fill),
        Edit::SlidePlace([10.0, 10.0, 50.0, 50.0]),
        Edit::TurnCamera(Turn::Half),
        Edit::MirrorCamera(true),
        Edit::MirrorSlide(true),
        Edit::CameraRange(CodeRange::Video),
        Edit::SlideRange(CodeRange::Video),
        Edit::Chain(Some([1.1, 2.0, 0.5])),
        Edit::Guide(Guide::Grid, true),
        Edit::MirrorMonitor(true),
        Edit::Engine(Engine::Cpu),
    ];
    for edit in edits {
        let mut state = State::default();
        state.apply(Action::Edit(edit));
        assert!(state.has_unsaved_changes(), "{edit:?}");
        assert_eq!(state.refusal(edit.setting()), None, "{edit:?}");
        state.apply(Action::Undo);
        assert!(!state.has_unsaved_changes(), "{edit:?}");
    }
}

#[test]
fn a_refused_value_changes_nothing_and_says_why() {
    let refused = [
        (Edit::Threshold(101.0), "100"),
        (Edit::Threshold(f64::NAN), "NaN"),
        (Edit::Softness(0.005), "0.01"),
        (Edit::Size(Some([0, 10])), "0x10"),
        (Edit::SlidePlace([0.0, 0.0, 0.0, 100.0]), "slide-place"),
        (Edit::Chain(Some([0.0, 0.0, 0.0])), "gain"),
    ];
    for (edit, word) in refused {
        let mut state = State::default();
        state.apply(Action::Edit(edit));
        assert!(!state.has_unsaved_changes() && !state.can_undo());
        let why = state.refusal(edit.setting()).unwrap();
        assert!(why.contains(word), "{why}");
        state.apply(Action::Edit(Edit::Threshold(7.0)));
        assert_eq!(state.refusal(edit.setting()), None);
    }
}

#[test]
fn the_view_shown_is_not_worth_a_question() {
    let mut state = State::default();
    state.apply(Action::LeftView(View::Kept));
    assert!(!state.has_unsaved_changes());
    state.apply(Action::Close);
    assert_eq!(state.take_requests(), [Request::Quit]);
}

#[test]
fn saving_makes_the_saved_setup_the_one_to_compare_with() {
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Save);
    let requests = state.take_requests();
    let [Request::SaveSetup(path, setup)] = requests.as_slice() else {
        panic!("{requests:?}");
    };
    state.apply(Action::Edit(Edit::Softness(9.0)));
    state.setup_saved(path.clone(), setup.as_ref().clone());
    assert!(state.has_unsaved_changes(), "the softness came after");
    state.apply(Action::Undo);
    assert!(!state.has_unsaved_changes());
}

#[test]
fn saving_without_a_file_asks_for_one() {
    let mut state = State::default();
    state.apply(Action::Save);
    assert_eq!(
        state.take_requests(),
        [Request::Dialog(FileKind::SaveSetup)]
    );
    state.apply(Action::DialogGaveNothing(FileKind::SaveSetup));
    assert_eq!(state.typed_path().unwrap().text, "nightglass.toml");
}

#[test]
fn closing_with_unsaved_changes_asks_first() {
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Close);
    assert_eq!(state.question(), Some(&Question::CloseUnsaved));
    assert_eq!(state.take_requests(), []);
    state.apply(Action::Answer(Answer::Cancel));
    assert_eq!(state.question(), None);
    assert_eq!(state.take_requests(), []);

    state.apply(Action::Close);
    state.apply(Action::Answer(Answer::Discard));
    assert_eq!(state.take_requests(), [Request::Quit]);
}

#[test]
fn save_and_close_quits_only_after_the_setup_is_written() {
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Close);
    state.apply(Action::Answer(Answer::Save));
    let requests = state.take_requests();
    assert!(matches!(requests.as_slice(), [Request::SaveSetup(..)]));
    state.save_failed("no room on the disk");
    assert_eq!(state.take_requests(), []);
    assert_eq!(state.messages.list()[0].kind, MessageKind::Error);

    state.apply(Action::Close);
    state.apply(Action::Answer(Answer::Save));
    state.take_requests();
    let setup = state.setup().clone();
    state.setup_saved(PathBuf::from("lecture.toml"), setup);
    assert_eq!(state.take_requests(), [Request::Quit]);
}

#[test]
fn whatever_else_is_done_stops_what_waited_for_saving() {
    let path = || PathBuf::from("camera.png");
    let done = [
        Action::DialogGaveNothing(FileKind::SaveSetup),
        Action::DialogGaveNothing(FileKind::Camera),
        Action::Open(FileKind::Camera),
        Action::Open(FileKind::SaveSetup),
        Action::TypePath(FileKind::Slides),
        Action::PathGiven(FileKind::Camera, path()),
        Action::CancelPath,
        Action::Save,
    ];
    for action in done {
        let mut state = State::default();
        state.apply(Action::Edit(Edit::Threshold(7.0)));
        state.apply(Action::Close);
        state.apply(Action::Answer(Answer::Save));
        state.apply(action.clone());
        state.take_requests();
        let setup = state.setup().clone();
        state.setup_saved(PathBuf::from("later.toml"), setup);
        assert_eq!(state.take_requests(), [], "{action:?}");
    }
}

#[test]
fn a_path_for_the_setup_lets_what_waited_for_saving_go_on() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::Close);
    state.apply(Action::Answer(Answer::Save));
    state.take_requests();
    let path = PathBuf::from("chosen.toml");
    state.apply(Action::PathGiven(FileKind::SaveSetup, path.clone()));
    let setup = state.setup().clone();
    assert!(matches!(
        state.take_requests().as_slice(),
        [Request::SaveSetup(..)]
    ));
    state.setup_saved(path, setup);
    assert_eq!(state.take_requests(), [Request::Quit]);
}

#[test]
fn what_waited_for_saving_waits_while_a_path_is_corrected() {
    let given = |name: &str| Action::PathGiven(FileKind::SaveSetup, name.into());
    for cancels in [false, true] {
        let mut state = State::default();
        state.apply(Action::Edit(Edit::Threshold(7.0)));
        state.apply(Action::TypePath(FileKind::SaveSetup));
        state.apply(Action::Close);
        state.apply(Action::Answer(Answer::Save));
        state.apply(given("no/such/folder.toml"));
        state.take_requests();
        state.save_failed("no such folder");
        assert!(state.typed_path().is_some());
        assert_eq!(state.take_requests(), []);
        if cancels {
            state.apply(Action::CancelPath);
        }
        state.apply(given("lecture.toml"));
        state.take_requests();
        let setup = state.setup().clone();
        state.setup_saved("lecture.toml".into(), setup);
        let expected = (!cancels).then_some(Request::Quit);
        assert_eq!(state.take_requests(), Vec::from_iter(expected));
        assert_eq!(state.typed_path(), None);
    }
}

#[test]
fn loading_over_unsaved_changes_asks_first() {
    let path = PathBuf::from("other.toml");
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::PathGiven(FileKind::LoadSetup, path.clone()));
    assert_eq!(state.question(), Some(&Question::LoadUnsaved(path.clone())));
    assert_eq!(state.take_requests(), []);
    state.apply(Action::Answer(Answer::Save));
    state.take_requests();
    let setup = state.setup().clone();
    state.setup_saved(PathBuf::from("lecture.toml"), setup);
    assert_eq!(state.take_requests(), [Request::LoadSetup(path)]);
}

#[test]
fn a_loaded_setup_asks_for_its_pictures_and_starts_afresh() {
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    let setup = Setup {
        camera: Some(PathBuf::from("camera.png")),
        slides: vec![PathBuf::from("deck")],
        ..Setup::default()
    };
    state.setup_loaded(PathBuf::from("other.toml"), setup);
    assert_eq!(
        state.take_requests(),
        [
            Request::LoadCamera(PathBuf::from("camera.png")),
            Request::ClearLike,
            Request::LoadSlides(vec![PathBuf::from("deck")]),
        ]
    );
    assert!(!state.can_undo() && !state.has_unsaved_changes());
}

#[test]
fn a_loaded_setup_shows_no_picture_that_it_does_not_name() {
    let loaded = |camera: Option<&str>, slides: &[&str]| {
        let mut state = with_slides(3);
        state.camera_loaded(PathBuf::from("old.png"));
        let setup = Setup {
            camera: camera.map(PathBuf::from),
            slides: slides.iter().map(PathBuf::from).collect(),
            ..Setup::default()
        };
        state.setup_loaded(PathBuf::from("other.toml"), setup);
        state.take_requests()
    };
    assert_eq!(
        loaded(None, &["deck"]),
        [
            Request::ClearCamera,
            Request::ClearLike,
            Request::LoadSlides(vec![PathBuf::from("deck")])
        ]
    );
    assert_eq!(
        loaded(Some("new.png"), &[]),
        [
            Request::LoadCamera(PathBuf::from("new.png")),
            Request::ClearLike,
            Request::ClearSlides
        ]
    );
    assert_eq!(loaded(None, &[]), [Request::LoadDemonstration]);
}

#[test]
fn a_loaded_setup_starts_with_the_first_slide() {
    let mut state = with_slides(3);
    state.apply(Action::LastSlide);
    let setup = Setup {
        slides: vec![PathBuf::from("other deck")],
        ..Setup::default()
    };
    state.setup_loaded(PathBuf::from("other.toml"), setup);
    let names = (1..=3).map(|n| format!("{n}.png")).collect();
    state.deck_loaded(vec![PathBuf::from("other deck")], names);
    assert_eq!(state.slide_index(), 0);
}

#[test]
fn dropped_files_go_where_they_belong() {
    let drop = |paths: &[&str]| {
        let mut state = State::default();
        let paths = paths.iter().map(PathBuf::from).collect();
        state.apply(Action::FilesDropped(paths));
        (state.take_requests(), state.question().cloned())
    };
    let path = |name: &str| PathBuf::from(name);
    assert_eq!(drop(&[]), (vec![], None));
    assert_eq!(
        drop(&["a.png", "b.png"]),
        (
            vec![Request::LoadSlides(vec![path("a.png"), path("b.png")])],
            None
        )
    );
    assert_eq!(
        drop(&["deck"]),
        (vec![Request::LoadSlides(vec![path("deck")])], None)
    );
    assert_eq!(
        drop(&["lecture.TOML"]),
        (vec![Request::LoadSetup(path("lecture.TOML"))], None)
    );
    assert_eq!(
        drop(&["one.jpg"]),
        (vec![], Some(Question::Dropped(path("one.jpg"))))
    );
}

#[test]
fn a_dropped_picture_becomes_what_the_answer_says() {
    for (answer, request) in [
        (
            Answer::UseAsCamera,
            Request::LoadCamera(PathBuf::from("one.jpg")),
        ),
        (
            Answer::UseAsSlides,
            Request::LoadSlides(vec![PathBuf::from("one.jpg")]),
        ),
    ] {
        let mut state = State::default();
        state.apply(Action::FilesDropped(vec![PathBuf::from("one.jpg")]));
        state.apply(Action::Answer(Answer::Save));
        assert!(
            state.question().is_some(),
            "saving answers another question"
        );
        state.apply(Action::Answer(answer));
        assert_eq!(state.take_requests(), [request]);
    }
}

#[test]
fn stepping_stops_at_both_ends_of_the_deck() {
    let mut state = with_slides(3);
    state.apply(Action::PreviousSlide);
    assert_eq!(state.slide_index(), 0);
    for _ in 0..5 {
        state.apply(Action::NextSlide);
    }
    assert_eq!(state.slide_index(), 2);
    state.apply(Action::FirstSlide);
    assert_eq!(state.slide_index(), 0);
    state.apply(Action::GoToSlide(99));
    assert_eq!(state.slide_index(), 2);
}

#[test]
fn stepping_without_slides_does_nothing() {
    let mut state = State::default();
    state.apply(Action::NextSlide);
    state.apply(Action::LastSlide);
    assert_eq!(state.slide_index(), 0);
}

#[test]
fn a_step_shows_a_hidden_slide_again() {
    let mut state = with_slides(3);
    state.apply(Action::ToggleSlideHidden);
    assert!(state.slide_hidden);
    state.apply(Action::NextSlide);
    assert!(!state.slide_hidden);
}

#[test]
fn a_shorter_deck_keeps_the_slide_within_it() {
    let mut state = with_slides(5);
    state.apply(Action::LastSlide);
    state.deck_loaded(vec![PathBuf::from("deck")], vec!["1.png".to_owned()]);
    assert_eq!(state.slide_index(), 0);
}

#[test]
fn divider_and_zoom_stay_within_their_ends() {
    let mut state = State::default();
    state.apply(Action::Divider(1.7));
    assert_eq!(state.divider, 1.0);
    state.apply(Action::Divider(f32::NAN));
    assert_eq!(state.divider, 1.0);
    state.apply(Action::ZoomTo(1000.0, [2.0, -1.0]));
    assert_eq!(state.zoom, Zoom::Scale(32.0));
    assert_eq!(state.centre_uv, [1.0, 0.0]);
    state.apply(Action::ZoomTo(f32::INFINITY, [0.5, 0.5]));
    assert_eq!(state.zoom, Zoom::Scale(32.0));
}

#[test]
fn zooming_in_and_out_returns_to_the_same_size() {
    let mut state = State::default();
    state.shown_scale = 0.5;
    state.apply(Action::ZoomIn);
    let Zoom::Scale(closer) = state.zoom else {
        panic!("{:?}", state.zoom);
    };
    assert!(closer > 0.5);
    state.shown_scale = closer;
    state.apply(Action::ZoomOut);
    assert_eq!(state.zoom, Zoom::Scale(0.5));
}

#[test]
fn steps_in_one_turn_add_up_and_come_by_one_to_one() {
    let mut state = State::default();
    state.shown_scale = 0.456;
    for _ in 0..5 {
        state.apply(Action::ZoomIn);
    }
    assert_eq!(state.zoom, Zoom::Scale(1.0));
}

#[test]
fn panning_moves_by_what_is_visible() {
    let mut state = State::default();
    state.visible_uv = [0.4, 0.2];
    state.apply(Action::Pan(0.25, -0.25));
    assert!((state.centre_uv[0] - 0.6).abs() < 1e-6);
    assert!((state.centre_uv[1] - 0.45).abs() < 1e-6);
}

#[test]
fn the_clean_output_is_always_the_composite() {
    let mut state = State::default();
    state.apply(Action::LeftView(View::Matte));
    state.apply(Action::RightView(Some(View::Camera)));
    assert_eq!(state.output_view(), None);
    assert_eq!(state.shown_views(), [View::Matte, View::Camera]);
    state.apply(Action::ToggleOutput);
    assert_eq!(state.output_view(), Some(View::Composite));
    assert_eq!(
        state.shown_views(),
        [View::Matte, View::Camera, View::Composite]
    );
    state.apply(Action::SwapViews);
    assert_eq!(state.left_view(), View::Camera);
    state.apply(Action::LeftView(View::Composite));
    assert_eq!(state.shown_views(), [View::Composite, View::Matte]);
}

#[test]
fn no_composite_is_made_for_a_clean_output_that_nobody_can_see() {
    let mut state = State::default();
    state.apply(Action::LeftView(View::Matte));
    state.apply(Action::ToggleOutput);
    state.output_hidden = true;
    assert_eq!(state.output_view(), None);
    assert_eq!(state.shown_views(), [View::Matte]);
    state.apply(Action::LeftView(View::Composite));
    assert_eq!(state.shown_views(), [View::Composite], "the window's own");
    state.apply(Action::LeftView(View::Matte));
    // One that is opened anew can be seen.
    state.apply(Action::ToggleOutput);
    state.apply(Action::ToggleOutput);
    assert_eq!(state.shown_views(), [View::Matte, View::Composite]);
    let monitor = |name: &str| Monitor {
        name: name.to_owned(),
        size: [1920, 1080],
    };
    state.set_monitors(vec![monitor("desk"), monitor("glass")]);
    state.output_hidden = true;
    state.apply(Action::ChooseMonitor(0));
    assert_eq!(state.output_view(), None, "it stays where it is");
    state.apply(Action::ChooseMonitor(1));
    assert_eq!(state.output_view(), Some(View::Composite));
}

#[test]
fn a_monitor_that_went_away_is_not_chosen() {
    let monitor = |name: &str| Monitor {
        name: name.to_owned(),
        size: [1920, 1080],
    };
    let mut state = State::default();
    state.set_monitors(vec![monitor("desk"), monitor("glass")]);
    state.apply(Action::ChooseMonitor(1));
    state.apply(Action::ChooseMonitor(7));
    assert_eq!(state.monitor_index, 1);
    state.set_monitors(vec![monitor("desk")]);
    assert_eq!(state.monitor_index, 0);
}

#[test]
fn a_message_takes_the_place_of_the_one_before_but_warnings_stay() {
    let mut state = State::default();
    state.tell(MessageKind::Warning, "warned");
    for text in ["first", "second", "first"] {
        state.tell(MessageKind::Note, text);
    }
    let texts: Vec<_> = state.messages.list().iter().map(|m| &m.text).collect();
    assert_eq!(texts, ["warned", "first"]);
    for number in 0..100 {
        state.tell(MessageKind::Warning, number.to_string());
    }
    assert!(state.messages.list().len() <= 20);
}

#[test]
fn escape_closes_one_thing_after_the_other() {
    let mut state = State::default();
    state.apply(Action::ToggleKeySheet);
    state.tell(MessageKind::Note, "hello");
    state.apply(Action::TypePath(FileKind::Slides));
    state.apply(Action::FilesDropped(vec![PathBuf::from("one.jpg")]));
    state.apply(Action::Dismiss);
    assert!(state.question().is_none() && state.typed_path().is_some());
    state.apply(Action::Dismiss);
    assert!(state.typed_path().is_none() && state.key_sheet_open);
    state.apply(Action::Dismiss);
    assert!(!state.key_sheet_open && !state.messages.list().is_empty());
    state.apply(Action::Dismiss);
    assert!(state.messages.list().is_empty());
}

#[test]
fn every_chord_does_one_thing_and_is_reachable() {
    let mut seen = HashSet::new();
    for binding in BINDINGS {
        assert!(!binding.words.is_empty() && !binding.chords.is_empty());
        for chord in binding.chords {
            assert!(seen.insert(*chord), "twice: {}", chord.words());
            let modifiers = match chord.held {
                Held::Nothing => Modifiers::NONE,
                Held::Control => Modifiers::CTRL,
                Held::ControlShift => Modifiers::CTRL | Modifiers::SHIFT,
                Held::Alt => Modifiers::ALT,
                Held::AltShift => Modifiers::ALT | Modifiers::SHIFT,
            };
            let found = action_for(chord.key, modifiers, false);
            assert_eq!(found.as_ref(), Some(&binding.action), "{}", chord.words());
        }
    }
    for section in Section::ALL {
        assert!(BINDINGS.iter().any(|binding| binding.section == section));
    }
}

#[test]
fn a_clickers_keys_step_even_while_a_text_is_typed() {
    for typing in [false, true] {
        for key in [Key::ArrowRight, Key::ArrowDown, Key::PageDown] {
            let action = action_for(key, Modifiers::NONE, typing);
            assert_eq!(action, Some(Action::NextSlide), "{key:?}");
        }
        for key in [Key::ArrowLeft, Key::ArrowUp, Key::PageUp] {
            let action = action_for(key, Modifiers::NONE, typing);
            assert_eq!(action, Some(Action::PreviousSlide), "{key:?}");
        }
    }
}

#[test]
fn letters_are_text_while_a_text_is_typed() {
    for key in [Key::T, Key::B, Key::Num1, Key::Period, Key::Questionmark] {
        assert!(action_for(key, Modifiers::NONE, false).is_some());
        assert_eq!(action_for(key, Modifiers::NONE, true), None, "{key:?}");
    }
}

#[test]
fn the_question_mark_works_on_any_keyboard() {
    for modifiers in [Modifiers::NONE, Modifiers::SHIFT] {
        let action = action_for(Key::Questionmark, modifiers, false);
        assert_eq!(action, Some(Action::ToggleKeySheet));
    }
}

#[test]
fn plus_and_minus_alone_belong_to_the_sliders() {
    for key in [Key::Plus, Key::Minus, Key::Equals] {
        assert_eq!(action_for(key, Modifiers::NONE, false), None);
    }
}

#[test]
fn numbers_are_read_as_people_type_them() {
    for (text, number) in [
        ("6", 6.0),
        (" 6.5 ", 6.5),
        ("6,5", 6.5),
        ("6,5 %", 6.5),
        ("6%", 6.0),
        ("-3", -3.0),
        ("+0.25", 0.25),
        (".5", 0.5),
    ] {
        assert_eq!(parse_number(text, "%"), Ok(number), "{text}");
    }
    for text in ["", "%", "abc", "6 px", "1.2.3", "NaN", "inf", "6 7"] {
        let refused = parse_number(text, "%").unwrap_err();
        assert!(refused.starts_with("expected a number"), "{refused}");
    }
}

#[test]
fn sizes_are_read_as_people_type_them() {
    for text in ["1920x1080", "1920 x 1080", "1920×1080", " 1920X1080 "] {
        assert_eq!(parse_size(text), Ok([1920, 1080]), "{text}");
    }
    for text in ["", "1920", "1920x", "x1080", "-1x5", "a x b"] {
        assert!(parse_size(text).is_err(), "{text}");
    }
}

#[test]
fn numbers_are_shown_without_idle_zeros() {
    for (number, decimals, text) in [
        (6.0, 3, "6"),
        (6.5, 3, "6.5"),
        (100.0, 0, "100"),
        (0.1 + 0.2, 3, "0.3"),
        (-0.0001, 3, "0"),
        (-2.25, 1, "-2.2"),
    ] {
        assert_eq!(format_number(number, decimals), text);
    }
}

/// Source: ITU-R BT.709-6 (8-bit 16 + 219, 10-bit 64 + 876) and SMPTE RP 219 levels, as listed in references.
#[test]
fn luma_codes_are_the_published_ones() {
    for (percent, code) in [
        (0.0, 64.0),
        (2.0, 82.0),
        (4.0, 99.0),
        (15.0, 195.0),
        (40.0, 414.0),
        (75.0, 721.0),
        (100.0, 940.0),
    ] {
        assert_eq!(codes_of_luma(percent).video_10.round(), code);
    }
    for (full, video) in [
        (0.0, 16.0),
        (1.0, 16.86),
        (16.0, 29.74),
        (64.0, 70.96),
        (128.0, 125.93),
        (200.0, 187.76),
        (254.0, 234.14),
        (255.0, 235.0),
    ] {
        let codes = codes_of_luma(full / 255.0 * 100.0);
        assert!((codes.video_8 - video).abs() < 0.005, "{codes:?}");
        assert!((codes.full_8 - full).abs() < 1e-9, "{codes:?}");
    }
    let codes = codes_of_luma(6.0);
    assert!((codes.video_8 - (16.0 + 2.19 * 6.0)).abs() < 1e-9);
}

#[test]
fn a_softness_is_a_width_without_the_black_offset() {
    let codes = codes_of_width(4.0);
    assert!((codes.full_8 - 10.2).abs() < 1e-9);
    assert!((codes.video_8 - 8.76).abs() < 1e-9);
    assert!((codes.video_10 - 35.04).abs() < 1e-9);
    assert_eq!(codes_of_width(0.0).video_8, 0.0);
}

#[test]
fn the_slope_is_one_over_the_softness() {
    assert_eq!(slope_of_softness(4.0), Some(25.0));
    assert_eq!(slope_of_softness(100.0), Some(1.0));
    assert_eq!(slope_of_softness(0.0), None);
}

#[test]
fn the_histogram_axis_goes_there_and_back() {
    let rect = egui::Rect::from_min_size(egui::pos2(30.0, 10.0), egui::vec2(250.0, 80.0));
    let axis = HistogramAxis { rect };
    for percent in [0.0, 0.5, 6.0, 12.25, HISTOGRAM_END_PERCENT] {
        assert!((axis.luma_at_x(axis.x_of_luma(percent)) - percent).abs() < 0.026);
    }
    assert_eq!(axis.x_of_luma(60.0), rect.right());
    assert_eq!(axis.luma_at_x(-100.0), 0.0);
    assert_eq!(HistogramAxis::bar_share(0, 0), 0.0);
    assert_eq!(HistogramAxis::bar_share(50, 50), 1.0);
}

#[test]
fn the_read_out_tells_the_values_of_a_pixel() {
    let size = Size::new(4, 2).unwrap();
    let camera = Frame::from_fn(size, |_, _| [51, 51, 51]);
    let slide = Frame::from_fn(size, |x, _| if x == 1 { [255; 3] } else { [20; 3] });
    let settings = Settings {
        view: View::Kept,
        ..Settings::default()
    };
    let plan = Plan::new(&Scene {
        camera: Some(&camera),
        slide: Some(&slide),
        background: Background::BLACK,
        settings: &settings,
    });
    let solid = ReadOut::at(&plan, [1, 0]).unwrap();
    assert_eq!((solid.matte, solid.fate()), (1.0, "solid"));
    assert_eq!(solid.composite, [255; 3]);
    assert!((solid.camera_luma_percent - 20.0).abs() < 1e-4);
    let ramp = ReadOut::at(&plan, [0, 0]).unwrap();
    assert_eq!((ramp.slide, ramp.fate()), ([20; 3], "in the ramp"));
    assert!((ramp.slide_luma_percent - 7.843).abs() < 1e-3);
    assert_eq!(ReadOut::at(&plan, [4, 0]), None);
}

#[test]
fn the_read_out_is_what_the_views_show() {
    let camera = Frame::from_fn(Size::new(7, 5).unwrap(), |x, y| {
        [x, y, x + y].map(|v| 20 * v as u8)
    });
    let slide = Frame::from_fn(Size::new(9, 4).unwrap(), |x, y| {
        [3 * x, 5 * y, x + 9 * y].map(|v| v as u8)
    });
    let mut settings = Settings::default();
    settings.key.blend_space = nightglass::pixel::settings::BlendSpace::Linear;
    settings.placement.mirror_camera = true;
    settings.chain = Some(nightglass::pixel::chain::Chain::new(1.2, 1.0, 0.0).unwrap());
    let seen = |view, [x, y]: [u32; 2]| {
        let settings = Settings { view, ..settings };
        let plan = Plan::new(&Scene {
            camera: Some(&camera),
            slide: Some(&slide),
            background: Background::BLACK,
            settings: &settings,
        });
        let read_out = ReadOut::at(&plan, [x, y]).unwrap();
        let pixel = nightglass::pixel::reference::pixel(&plan, x, y);
        (read_out, pixel.map(nightglass::pixel::color::to_u8))
    };
    for at_px in (0..5).flat_map(|y| (0..7).map(move |x| [x, y])) {
        let (read_out, composite) = seen(View::Composite, at_px);
        let (under_matte, _) = seen(View::Matte, at_px);
        let (_, slide) = seen(View::Slide, at_px);
        assert_eq!(read_out.composite, composite, "{at_px:?}");
        assert_eq!(read_out.slide, slide, "{at_px:?}");
        assert_eq!(read_out, under_matte, "{at_px:?}");
    }
}

/// Source: WCAG 2.2, success criterion 1.4.3, 4.5 to 1.
#[test]
fn text_is_legible_on_the_panels_even_when_dimmed() {
    let luminance = |color: egui::Color32| {
        let [r, g, b] = [color.r(), color.g(), color.b()]
            .map(|v| nightglass::pixel::color::srgb_decode(f32::from(v) / 255.0));
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    for dimmed in [false, true] {
        let look = Look::new(dimmed);
        for text in [
            look.text,
            look.quiet_text,
            look.warning,
            look.error,
            look.note,
        ] {
            for behind in [look.panel, look.well] {
                let ratio = (luminance(text) + 0.05) / (luminance(behind) + 0.05);
                assert!(ratio >= 4.5, "{ratio} dimmed {dimmed} {text:?}");
            }
        }
        for behind in [look.control, look.control_hovered, look.accent_fill] {
            let ratio = (luminance(look.text) + 0.05) / (luminance(behind) + 0.05);
            assert!(ratio >= 4.5, "{ratio} dimmed {dimmed} {behind:?}");
        }
    }
}

#[test]
fn a_fixed_point_starts_in_the_middle_of_what_is_visible() {
    let mut state = State::default();
    state.apply(Action::ToggleProbe);
    assert_eq!(state.probe_px, Some([960, 540]));
    state.apply(Action::ToggleProbe);
    assert_eq!(state.probe_px, None);
}

#[test]
fn asking_for_a_setting_opens_the_settings() {
    let mut state = State::default();
    state.is_narrow = true;
    assert!(!state.settings_open());
    state.apply(Action::Focus(Setting::Threshold));
    assert!(state.settings_open());
}
