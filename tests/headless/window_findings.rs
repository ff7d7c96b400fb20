//! Findings in the window: what the state knows of them, how they are listed, spoken and accepted.

use egui::accesskit::{Action as Ability, Role};
use egui::{Key as Press, Modifiers, Rect, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use nightglass::files::setup_file::Setup;
use nightglass::measure::finding::{Finding, Kind, Severity, Unit};
use nightglass::measure::key::histogram::{HISTOGRAM_BINS, NearBlackHistogram};
use nightglass::measure::key::key_compromise::KeyCost;
use nightglass::measure::key::key_suggestion::{KeyConflict, KeySuggestion, LevelPlace};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::knobs::{KnobScale, Knobs};
use nightglass::pixel::settings::{Key, Settings, Size};
use nightglass::report::check_document::SlideVerdict;
use nightglass::window::action::{Action, Answer, Request};
use nightglass::window::deck_check::{Outcome, SlideId, SlideMark};
use nightglass::window::edit::Edit;
use nightglass::window::key_search::{FoundKey, KeySearch};
use nightglass::window::message::Question;
use nightglass::window::panels::{PanelInputs, install, panels_ui};
use nightglass::window::state::State;
use nightglass::window::zooming::Zoom;

pub(crate) fn finding(kind: Kind, severity: Severity, [x, y, width, height]: [u32; 4]) -> Finding {
    Finding {
        kind,
        severity,
        bounds: Some(PixelBox {
            x,
            y,
            width,
            height,
        }),
        measured: 4.25,
        limit: 3.0,
        unit: Unit::Percent,
        advice: "Make the stars brighter, #FFFFFF say.".to_owned(),
        camera: None,
    }
}

/// A deck of so many slides, of which nothing is known.
pub(crate) fn with_slides(count: usize) -> State {
    let mut state = State::default();
    let names = (1..=count).map(|n| format!("slide {n}")).collect();
    state.deck_loaded(Vec::new(), names);
    state
}

pub(crate) fn put(state: &mut State, index: usize, findings: Vec<Finding>) {
    let ticket = state.deck_check.ticket(index).unwrap();
    put_late(state, ticket, index, findings);
}

fn put_late(
    state: &mut State,
    ticket: nightglass::window::deck_check::Ticket,
    index: usize,
    findings: Vec<Finding>,
) {
    let id = SlideId {
        file_name: format!("{}.png", index + 1),
        page: None,
    };
    let shown = state.slide_index();
    let outcome = Outcome::Checked(findings);
    state.deck_check.put(ticket, id, Size::HD, outcome, shown);
}

/// A deck whose first slide has three findings, whose second has one, whose third is clean.
pub(crate) fn checked_deck() -> State {
    let mut state = with_slides(4);
    put(
        &mut state,
        0,
        vec![
            finding(Kind::KeyedOut, Severity::Warn, [900, 500, 300, 200]),
            finding(Kind::HalfKeyed, Severity::Fail, [700, 800, 400, 100]),
            finding(Kind::KeyedOut, Severity::Warn, [100, 100, 40, 30]),
        ],
    );
    put(
        &mut state,
        1,
        vec![finding(Kind::Haze, Severity::Warn, [0, 0, 1920, 1080])],
    );
    put(&mut state, 2, Vec::new());
    state
}

fn mark(state: &State, index: usize) -> SlideMark {
    state.deck_check.mark(index, &state.setup().accepted)
}

fn kinds(state: &State) -> Vec<(Kind, u32)> {
    let list = state
        .deck_check
        .list(state.slide_index(), &state.setup().accepted);
    list.map(|listed| (listed.finding.kind, listed.finding.bounds.unwrap().x))
        .collect()
}

#[test]
fn the_worst_finding_comes_first_then_the_uppermost() {
    let state = checked_deck();
    assert_eq!(
        kinds(&state),
        [
            (Kind::HalfKeyed, 700),
            (Kind::KeyedOut, 100),
            (Kind::KeyedOut, 900)
        ]
    );
}

#[test]
fn a_slide_is_marked_by_the_worst_that_was_not_accepted() {
    let mut state = checked_deck();
    assert_eq!(
        [0, 1, 2, 3].map(|index| mark(&state, index)),
        [
            SlideMark::Fail,
            SlideMark::Warn,
            SlideMark::Pass,
            SlideMark::Unchecked
        ]
    );
    assert_eq!(
        state.deck_check.summary(&state.setup().accepted),
        [1, 0, 1, 1, 1, 0]
    );
    state.apply(Action::NextFinding);
    state.apply(Action::ToggleAccepted);
    assert_eq!(mark(&state, 0), SlideMark::Warn);
    assert_eq!(state.setup().accepted[0].slide, "1.png");
    assert!(state.has_unsaved_changes());
    state.apply(Action::Undo);
    assert_eq!(mark(&state, 0), SlideMark::Fail);
    assert!(!state.has_unsaved_changes());
    state.apply(Action::Redo);
    assert_eq!(mark(&state, 0), SlideMark::Warn);
    // Accepting again takes it back.
    state.apply(Action::ToggleAccepted);
    assert_eq!(mark(&state, 0), SlideMark::Fail);
    assert!(state.setup().accepted.is_empty());
}

/// A deck whose second slide has nothing left beside what was accepted.
fn accepted_deck() -> State {
    let mut state = checked_deck();
    state.apply(Action::GoToSlide(1));
    state.apply(Action::NextFinding);
    state.apply(Action::ToggleAccepted);
    state
}

#[test]
fn a_slide_with_nothing_beside_what_was_accepted_has_the_verdict_of_the_report() {
    let state = accepted_deck();
    assert_eq!(mark(&state, 1), SlideMark::Accepted);
    assert_eq!(
        state.deck_check.summary(&state.setup().accepted),
        [1, 1, 0, 1, 1, 0]
    );
    // What is only worth knowing changes that as little as in the report.
    let info = || finding(Kind::Hole, Severity::Info, [9, 9, 9, 9]);
    let haze = finding(Kind::Haze, Severity::Warn, [0, 0, 1920, 1080]);
    for (others, accepted) in [(vec![], 1), (vec![info()], 1), (vec![info()], 0)] {
        let mut state = accepted_deck();
        let mut found = others.clone();
        found.extend((accepted > 0).then(|| haze.clone()));
        put(&mut state, 1, found);
        let verdict = SlideVerdict::of(&others, accepted);
        assert_eq!(mark(&state, 1).name(), verdict.name(), "{others:?}");
    }
}

#[test]
fn what_was_accepted_is_told_apart_from_a_pass_in_strip_panel_and_deck() {
    let mut harness = harness_at([1200.0, 700.0], accepted_deck());
    harness.get_by_label("Slide 2: slide 2, accepted, 1 finding");
    harness.get_by_label("accepted, 1 finding");
    for words in ["1 accepted", "1 pass", "1 fail"] {
        harness.get_by_label(words);
    }
    assert_eq!(harness.query_all_by_label("1 warn").count(), 0);
    harness.key_press(Press::A);
    harness.run();
    harness.get_by_label("Slide 2: slide 2, warn, 1 finding");
    harness.get_by_label("1 warn");
}

#[test]
fn findings_are_stepped_through_round_both_ends() {
    let mut state = checked_deck();
    let mut step = |action: Action| {
        state.apply(action);
        state.deck_check.selected()
    };
    assert_eq!(step(Action::PreviousFinding), Some(2));
    assert_eq!(step(Action::NextFinding), Some(0));
    assert_eq!(step(Action::NextFinding), Some(1));
    assert_eq!(step(Action::SelectFinding(Some(9))), None);
    assert_eq!(step(Action::NextSlideWithFinding), Some(0));
    assert_eq!(state.slide_index(), 1);
    // Round the end; slides without a finding are passed over.
    state.apply(Action::NextSlideWithFinding);
    assert_eq!(state.slide_index(), 0);
    state.apply(Action::NextSlide);
    assert_eq!(state.deck_check.selected(), None);
    // Where everything left was accepted there is nowhere to go.
    let mut state = with_slides(2);
    state.apply(Action::NextSlideWithFinding);
    assert_eq!(state.slide_index(), 0);
}

#[test]
fn only_what_is_out_of_sight_or_small_moves_the_picture() {
    let mut state = checked_deck();
    state.shown_scale = 0.5;
    // The large one in sight leaves the picture as it is.
    state.apply(Action::SelectFinding(Some(0)));
    assert_eq!(state.zoom, Zoom::Fit);
    // 40 x 30 px at half size are too small to be found.
    state.apply(Action::SelectFinding(Some(1)));
    let Zoom::Scale(scale) = state.zoom else {
        panic!("{:?}", state.zoom);
    };
    assert!(scale * 40.0 >= 48.0, "{scale}");
    let [u, v] = state.centre_uv;
    assert!((u - 120.0 / 1920.0).abs() < 1e-6 && (v - 115.0 / 1080.0).abs() < 1e-6);
    // What is shown of the picture at 1:1 does not hold the third one.
    state.zoom = Zoom::Scale(1.0);
    (state.shown_scale, state.visible_uv, state.centre_uv) = (1.0, [0.3, 0.3], [0.2, 0.2]);
    state.apply(Action::SelectFinding(Some(2)));
    let [u, v] = state.centre_uv;
    assert!((u - 1050.0 / 1920.0).abs() < 1e-6 && (v - 600.0 / 1080.0).abs() < 1e-6);
}

#[test]
fn a_finding_stays_selected_while_its_box_changes_a_little() {
    let mut state = checked_deck();
    state.apply(Action::SelectFinding(Some(2)));
    state.deck_check.outdate();
    assert!(state.deck_check.is_old(0));
    put(
        &mut state,
        0,
        vec![finding(
            Kind::KeyedOut,
            Severity::Warn,
            [905, 490, 300, 210],
        )],
    );
    assert_eq!(state.deck_check.selected(), Some(0));
    assert!(!state.deck_check.is_old(0));
    state.deck_check.outdate();
    put(
        &mut state,
        0,
        vec![finding(Kind::Hole, Severity::Warn, [905, 490, 300, 210])],
    );
    assert_eq!(state.deck_check.selected(), None);
}

#[test]
fn results_that_come_too_late_are_dropped() {
    let mut state = with_slides(2);
    let old = state.deck_check.ticket(0).unwrap();
    state.deck_check.outdate();
    put(&mut state, 0, Vec::new());
    put_late(
        &mut state,
        old,
        0,
        vec![finding(Kind::Hole, Severity::Fail, [0, 0, 9, 9])],
    );
    assert_eq!(mark(&state, 0), SlideMark::Pass);
    // A slide whose file changed is old, but what was known stays until it is checked.
    state.deck_check.outdate_slide(0);
    assert!(state.deck_check.needs_check(0) && state.deck_check.is_old(0));
    assert_eq!(mark(&state, 0), SlideMark::Pass);
    // Another deck takes nothing of the one before.
    let old = state.deck_check.ticket(1).unwrap();
    state.deck_loaded(Vec::new(), vec!["a".to_owned(), "b".to_owned()]);
    put_late(&mut state, old, 1, Vec::new());
    assert_eq!(mark(&state, 1), SlideMark::Unchecked);
}

#[test]
fn a_slide_added_to_the_folder_leaves_what_is_known_about_the_others() {
    let mut state = checked_deck();
    let names = (0..5).map(|n| n.to_string()).collect();
    let before = [None, Some(0), Some(1), Some(2), Some(3)];
    state.deck_loaded_again(Vec::new(), names, &before);
    assert_eq!(
        [0, 1, 2].map(|index| mark(&state, index)),
        [SlideMark::Unchecked, SlideMark::Fail, SlideMark::Warn]
    );
}

#[test]
fn the_chain_is_left_out_for_a_moment_and_saved_all_the_same() {
    let mut state = State::default();
    state.apply(Action::ToggleChain);
    assert!(!state.chain_is_left_out(), "there is none to leave out");
    state.apply(Action::Edit(Edit::Chain(Some([1.1, 2.0, 0.5]))));
    state.apply(Action::ToggleChain);
    assert!(state.settings_in_force().chain.is_none());
    assert_eq!(
        state.setup().settings.chain,
        Some(Chain::new(1.1, 2.0, 0.5).unwrap())
    );
    state.apply(Action::Undo);
    assert!(state.settings_in_force().chain.is_some());
    state.apply(Action::ToggleChain);
    state.apply(Action::Edit(Edit::Chain(Some([1.2, 2.0, 0.5]))));
    assert!(
        state.settings_in_force().chain.is_some(),
        "who sets it wants to see it"
    );
}

/// A setup with another threshold than the one it is compared with.
fn changed_setup() -> Setup {
    let mut setup = Setup::default();
    setup.settings.key = setup.settings.key.with_threshold(9.0).unwrap();
    setup
}

#[test]
fn a_setup_that_another_program_changed_is_taken_unless_something_would_be_lost() {
    let from_file = || State::new(Setup::default(), Some("lecture.toml".into()));
    let mut state = from_file();
    state.setup_changed_on_disk(Setup::default());
    assert!(
        state.messages.list().is_empty(),
        "the window's own save is no news"
    );
    state.setup_changed_on_disk(changed_setup());
    assert_eq!(state.settings().key.threshold_percent(), 9.0);
    assert!(!state.has_unsaved_changes() && state.take_requests().is_empty());

    let mut state = from_file();
    state.apply(Action::Edit(Edit::Softness(7.0)));
    state.setup_changed_on_disk(changed_setup());
    assert_eq!(state.settings().key.threshold_percent(), 6.0);
    let asked = Question::SetupChanged("lecture.toml".into());
    assert_eq!(state.question(), Some(&asked));
    // Saving would answer the question unasked.
    state.apply(Action::Save);
    assert!(state.take_requests().is_empty());
    state.apply(Action::Answer(Answer::Discard));
    assert_eq!(
        state.take_requests(),
        [Request::LoadSetup("lecture.toml".into())]
    );
    let mut state = from_file();
    state.apply(Action::Edit(Edit::Softness(7.0)));
    state.setup_changed_on_disk(changed_setup());
    state.apply(Action::Answer(Answer::Cancel));
    state.apply(Action::Save);
    assert!(matches!(
        state.take_requests()[..],
        [Request::SaveSetup(..)]
    ));
}

/// The panels in a window of this size, in points.
pub(crate) fn harness_at(size: [f32; 2], state: State) -> Harness<'static, State> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_context_setup(install)
        .build_ui_state(
            |ui, state: &mut State| {
                panels_ui(ui, state, PanelInputs::default());
            },
            state,
        );
    harness.run();
    harness
}

#[test]
fn findings_are_listed_and_spoken_with_kind_severity_and_numbers() {
    let mut harness = harness_at([1200.0, 700.0], checked_deck());
    harness.get_by_label("1. Content goes half transparent, fail, 4.25 %, limit 3 %");
    harness.get_by_label("2. Content disappears, warn, 4.25 %, limit 3 %");
    harness.get_by_label("Slide 1: slide 1, fail, 3 findings");
    harness.get_by_label("Slide 2: slide 2, warn, 1 finding");
    harness.get_by_label("Slide 3: slide 3, pass, 0 findings");
    harness.get_by_label("Slide 4: slide 4, not checked yet");
    harness.key_press(Press::N);
    harness.run();
    harness.get_by_label_contains("Make the stars brighter");
    harness.key_press(Press::A);
    harness.run();
    harness.get_by_label("1. Content goes half transparent, accepted, 4.25 %, limit 3 %");
    harness.get_by_label("Slide 1: slide 1, warn, 2 findings, 1 accepted");
    harness.get_by_label("Take back").click();
    harness.run();
    harness.get_by_label("Slide 1: slide 1, fail, 3 findings");
    // A click selects; the key goes on from there.
    harness
        .get_by_label("3. Content disappears, warn, 4.25 %, limit 3 %")
        .click();
    harness.run();
    assert_eq!(harness.state().deck_check.selected(), Some(2));
    harness.key_press_modifiers(Modifiers::CTRL, Press::N);
    harness.run();
    assert_eq!(harness.state().deck_check.selected(), Some(1));
    harness.key_press(Press::G);
    harness.run();
    assert_eq!(harness.state().slide_index(), 1);
    harness.key_press(Press::Escape);
    harness.run();
    assert_eq!(harness.state().deck_check.selected(), None);
}

#[test]
fn findings_stand_one_below_the_other_in_the_list() {
    for size in [[1200.0, 700.0], [2400.0, 700.0]] {
        let harness = harness_at(size, checked_deck());
        let rect = |label: &str| harness.get_by_label_contains(label).rect();
        let first = rect("1. Content goes half transparent");
        let second = rect("2. Content disappears");
        let third = rect("3. Content disappears");
        assert!(second.top() >= first.bottom() && third.top() >= second.bottom());
        assert!(
            (first.left() - second.left()).abs() < 0.5,
            "{first} {second}"
        );
    }
}

#[test]
fn a_finding_is_chosen_with_tab_and_enter() {
    let mut harness = harness_at([1200.0, 700.0], checked_deck());
    let line = "1. Content goes half transparent, fail, 4.25 %, limit 3 %";
    let node = harness.get_by_label(line);
    assert!(node.accesskit_node().data().supports_action(Ability::Focus));
    assert_eq!(node.accesskit_node().role(), Role::Button);
    node.focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    assert_eq!(harness.state().deck_check.selected(), Some(0));
}

#[test]
fn empty_lists_say_why() {
    let mut state = checked_deck();
    for (index, words) in [
        (2, "Nothing found on this slide."),
        (3, "This slide is being checked."),
    ] {
        state.apply(Action::GoToSlide(index));
        harness_at([1200.0, 700.0], state.clone()).get_by_label(words);
    }
    harness_at([1200.0, 700.0], State::default()).get_by_label("No slides yet.");
    let ticket = state.deck_check.ticket(3).unwrap();
    let outcome = Outcome::Unreadable("no such file: `4.png`".to_owned());
    state
        .deck_check
        .put(ticket, SlideId::default(), Size::HD, outcome, 3);
    let harness = harness_at([1200.0, 700.0], state);
    harness.get_by_label_contains("cannot be checked: no such file: `4.png`");
    harness.get_by_label("Slide 4: slide 4, unreadable");
}

#[test]
fn where_there_is_no_room_findings_stand_in_the_place_of_the_settings() {
    for size in [[700.0, 500.0], [600.0, 350.0], [1200.0, 500.0]] {
        let mut harness = harness_at(size, checked_deck());
        harness.key_press(Press::C);
        harness.run();
        harness.key_press(Press::N);
        harness.run();
        let window = Rect::from_min_size(pos2(0.0, 0.0), size.into());
        let picture = harness.get_by_label_contains("Picture:").rect();
        assert!(
            picture.width() > 200.0 && picture.height() > 100.0,
            "{picture:?}"
        );
        for label in ["Accept", "Next finding", "Next slide with a finding"] {
            let rect = harness.get_by_label(label).rect();
            assert!(window.contains_rect(rect), "{label} {rect:?} at {size:?}");
            assert!(!picture.shrink(1.0).intersects(rect), "{label} {rect:?}");
        }
        assert!(
            harness
                .query_by_role_and_label(Role::Slider, "Threshold")
                .is_none()
        );
        harness.key_press(Press::E);
        harness.run();
        harness.get_by_role_and_label(Role::Slider, "Threshold");
        assert!(harness.query_by_label("Accept").is_none());
    }
}

#[test]
fn the_chain_in_force_and_the_knobs_stand_beside_the_key() {
    let knob = |zero, per_step| Some(KnobScale::new(zero, per_step).unwrap());
    let setup = Setup {
        settings: Settings {
            chain: Some(Chain::new(1.02, 1.5, 0.4).unwrap()),
            ..Settings::default()
        },
        knobs: Some(Knobs {
            threshold: knob(1.0, 0.5),
            softness: knob(0.0, 0.1),
        }),
        ..Setup::default()
    };
    let state = State::new(setup, Some("on/stage/lecture.toml".into()));
    let mut harness = harness_at([1200.0, 700.0], state);
    // (6 - 1) / 0.5 and (4 - 0) / 0.1.
    harness.get_by_label("On your mixer: threshold 10, softness 40.");
    harness
        .get_by_label("Chain in force: gain 1.02, offset +1.5 %, noise 0.4 %, from lecture.toml.");
    harness.get_by_label("Leave the chain out").click();
    harness.run();
    harness.get_by_label_contains("Chain left out for now: gain 1.02");
    harness
        .state_mut()
        .apply(Action::Edit(Edit::Chain(Some([1.03, 1.5, 0.4]))));
    harness.run();
    harness.get_by_label_contains("gain 1.03, offset +1.5 %, noise 0.4 %, not saved yet");
}

/// A place on a slide with a luma.
fn place(slide: usize, percent: f64) -> LevelPlace {
    LevelPlace {
        slide,
        bounds: Some(PixelBox {
            x: 100,
            y: 100,
            width: 40,
            height: 30,
        }),
        percent,
        color: None,
    }
}

/// A key that was found for a deck whose second slide could not be read.
fn found_key(conflict: Option<KeyConflict>) -> KeySearch {
    let key = Key::default().with_threshold(4.5).unwrap();
    let cost = KeyCost {
        content_lost_percent: 2.5,
        haze_percent: 0.75,
    };
    KeySearch::Found(Box::new(FoundKey {
        suggestion: KeySuggestion {
            key: key.with_softness(5.0).unwrap(),
            current: Key::default(),
            ceiling: Some(place(0, 2.0)),
            floor: Some(place(2, 12.0)),
            conflict,
            not_dark: Vec::new(),
            cost,
            current_cost: cost,
            near_black: NearBlackHistogram {
                background: vec![1; HISTOGRAM_BINS],
                content: vec![2; HISTOGRAM_BINS],
                background_above: 0,
                content_above: 0,
            },
        },
        slides: vec![0, 2, 3],
        unreadable: 1,
        settings: Settings::default(),
    }))
}

#[test]
fn the_key_that_was_found_is_told_with_margins_and_used_by_a_button() {
    let mut state = checked_deck();
    state.key_search = found_key(None);
    state.histogram_of_deck = true;
    let mut harness = harness_at([1200.0, 700.0], state);
    harness.get_by_label("Found: threshold 4.5 %, softness 5 %.");
    harness.get_by_label("Backgrounds reach 2 %, 2.5 % below the threshold.");
    harness.get_by_label("Content starts at 12 %, 2.5 % above the ramp.");
    harness.get_by_label("1 slide cannot be read and did not count.");
    harness.get_by_label("Use this key").click();
    harness.run();
    let key = harness.state().settings().key;
    assert_eq!(
        (key.threshold_percent(), key.softness_percent()),
        (4.5, 5.0)
    );
    harness.get_by_label("This is the key in force.");
    assert!(harness.query_by_label("Use this key").is_none());
    harness.key_press_modifiers(Modifiers::CTRL, Press::Z);
    harness.run();
    assert_eq!(harness.state().settings().key, Key::default());
}

#[test]
fn slides_that_are_in_the_way_of_a_key_are_gone_to() {
    let mut state = checked_deck();
    state.key_search = found_key(Some(KeyConflict {
        backgrounds: vec![place(0, 9.0)],
        contents: vec![place(2, 7.25), place(2, 8.0)],
    }));
    let mut harness = harness_at([1200.0, 700.0], state);
    harness.get_by_label("Best compromise: threshold 4.5 %, softness 5 %.");
    harness
        .get_by_label_contains("This key loses 2.5 % of the content and adds 0.75 % luma of haze");
    harness.get_by_label("Go to slide 1, background at 9 %");
    // The third slide that counted is the fourth of the deck.
    harness
        .get_by_label("Go to slide 4, content at 7.25 %")
        .click();
    harness.run();
    assert_eq!(harness.state().slide_index(), 3);
    assert_ne!(
        harness.state().zoom,
        Zoom::Fit,
        "40 x 30 px are brought closer"
    );
}

#[test]
fn a_search_is_asked_for_by_its_key_and_says_how_far_it_is() {
    let mut harness = harness_at([700.0, 500.0], checked_deck());
    harness.key_press(Press::K);
    harness.run();
    assert_eq!(harness.state().key_search, KeySearch::Wanted);
    harness.get_by_label("Looking through the slides.");
    harness.state_mut().key_search = KeySearch::Running([3, 12]);
    harness.run();
    harness.get_by_label("Looking through the slides: 3 of 12 done.");
    let mut state = State::default();
    state.apply(Action::SearchKey);
    assert_eq!(state.key_search, KeySearch::Idle);
    assert_eq!(state.messages.list().len(), 1);
}
