//! The panels as a person without a mouse, or with a clicker in hand, meets them.

use std::collections::BTreeSet;
use std::path::PathBuf;

use egui::accesskit::{Action as Ability, Role};
use egui::{Event, Key, Modifiers, Rect, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use nightglass::measure::key::histogram::{HISTOGRAM_BINS, NearBlackHistogram};
use nightglass::pixel::views::View;
use nightglass::window::action::{Action, FileKind, MessageKind, Request};
use nightglass::window::edit::Edit;
use nightglass::window::histogram_axis::axis_numbers;
use nightglass::window::look::Look;
use nightglass::window::panels::{PanelInputs, install, panels_ui};
use nightglass::window::state::{Monitor, State};

/// Sizes at which everything has to fit: the usual one, a narrow one, half the usual one at 2x.
const SIZES: [[f32; 2]; 3] = [[1200.0, 700.0], [700.0, 500.0], [600.0, 350.0]];

/// A state with a deck, two monitors and everything folded out.
fn busy_state() -> State {
    let mut state = State::default();
    let names = (1..=12).map(|n| format!("slide number {n}.png"));
    state.deck_loaded(Vec::new(), names.collect());
    let monitor = |name: &str| Monitor {
        name: name.to_owned(),
        size: [1920, 1080],
    };
    state.set_monitors(vec![monitor("desk"), monitor("glass")]);
    state.apply(Action::ToggleMoreSettings);
    state.apply(Action::RightView(Some(View::Kept)));
    state.apply(Action::Edit(Edit::Chain(Some([1.0, 1.0, 0.0]))));
    state.apply(Action::Edit(Edit::Threshold(6.5)));
    state.apply(Action::Undo);
    state.apply(Action::ToggleProbe);
    state
}

fn harness_at(size: [f32; 2], state: State) -> Harness<'static, State> {
    let histogram = NearBlackHistogram {
        background: vec![3; HISTOGRAM_BINS],
        content: vec![5; HISTOGRAM_BINS],
        background_above: 0,
        content_above: 0,
    };
    let mut harness = Harness::builder()
        .with_size(size)
        .with_context_setup(install)
        .build_ui_state(
            move |ui, state: &mut State| {
                let inputs = PanelInputs {
                    histogram: Some(&histogram),
                    read_out: None,
                    thumbnails: &[],
                };
                panels_ui(ui, state, inputs);
            },
            state,
        );
    harness.run();
    harness
}

fn harness() -> Harness<'static, State> {
    harness_at(SIZES[0], busy_state())
}

fn threshold(harness: &Harness<'_, State>) -> f64 {
    harness.state().settings().key.threshold_percent()
}

/// Name and rectangle of everything that can have the keyboard.
fn controls(harness: &Harness<'_, State>) -> Vec<(String, Role, Rect)> {
    let focusable = |node: &egui_kittest::Node<'_>| {
        let node = node.accesskit_node();
        node.data().supports_action(Ability::Focus) && !node.is_disabled()
    };
    let root = harness.root();
    let nodes = root.children_recursive().filter(focusable);
    nodes
        .map(|node| {
            let accesskit = node.accesskit_node();
            let name = accesskit.label().unwrap_or_default();
            (name, accesskit.role(), node.rect())
        })
        .collect()
}

#[test]
fn every_control_has_a_name_of_its_own() {
    for size in SIZES {
        let mut state = busy_state();
        state.settings_open_narrow = true;
        state.tell(MessageKind::Warning, "something to know");
        state.apply(Action::TypePath(FileKind::Slides));
        let harness = harness_at(size, state);
        let mut seen = BTreeSet::new();
        for (name, role, rect) in controls(&harness) {
            assert!(!name.trim().is_empty(), "{role:?} at {rect:?}");
            assert!(seen.insert((name.clone(), format!("{role:?}"))), "{name}");
        }
        assert!(seen.len() > 40, "{} controls", seen.len());
    }
}

#[test]
fn tab_reaches_every_control() {
    let mut harness = harness();
    let wanted: BTreeSet<String> = controls(&harness).into_iter().map(|c| c.0).collect();
    let mut reached = BTreeSet::new();
    for _ in 0..2 * wanted.len() {
        harness.key_press(Key::Tab);
        harness.run();
        let root = harness.root();
        let focused = root
            .children_recursive()
            .find(egui_kittest::Node::is_focused);
        reached.extend(focused.and_then(|node| node.accesskit_node().label()));
    }
    let missed: Vec<_> = wanted.difference(&reached).collect();
    assert!(missed.is_empty(), "{missed:?}");
}

#[test]
fn a_control_reached_with_tab_is_in_sight() {
    let mut harness = harness();
    let steps = controls(&harness).len();
    for _ in 0..steps {
        harness.key_press(Key::Tab);
        harness.run();
        harness.run();
        let root = harness.root();
        let Some(focused) = root
            .children_recursive()
            .find(egui_kittest::Node::is_focused)
        else {
            continue;
        };
        let window = Rect::from_min_size(pos2(0.0, 0.0), vec2(SIZES[0][0], SIZES[0][1]));
        let rect = focused.rect();
        assert!(
            window.contains_rect(rect),
            "{:?} {rect:?}",
            focused.accesskit_node().label()
        );
    }
}

#[test]
fn the_bar_is_one_row_at_the_width_that_the_window_opens_with() {
    let mut state = busy_state();
    state.apply(Action::RightView(None));
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    // The harness keeps 8 points on each side, which the window does not.
    let harness = harness_at([1216.0, 700.0], state);
    let row = |name: &str| harness.get_by_label(name).rect().center().y;
    harness.get_by_label("Save changes");
    assert!((row("View: Composite") - row("Settings")).abs() < 2.0);
}

#[test]
fn arrow_keys_step_slides_and_leave_a_focused_slider_alone() {
    let mut harness = harness();
    harness
        .get_by_role_and_label(Role::Slider, "Threshold")
        .focus();
    harness.run();
    let before = threshold(&harness);
    for key in [Key::ArrowRight, Key::ArrowDown, Key::PageDown] {
        harness.key_press(key);
        harness.run();
    }
    assert_eq!(harness.state().slide_index(), 3);
    for key in [Key::ArrowLeft, Key::ArrowUp] {
        harness.key_press(key);
        harness.run();
    }
    assert_eq!(harness.state().slide_index(), 1);
    assert_eq!(threshold(&harness), before);
    let slider = harness.get_by_role_and_label(Role::Slider, "Threshold");
    assert!(slider.is_focused(), "the arrows moved the keyboard");
}

#[test]
fn arrow_keys_step_slides_while_a_number_is_typed() {
    let mut harness = harness();
    harness.key_press(Key::T);
    harness.run();
    harness.key_press(Key::PageDown);
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert_eq!(harness.state().slide_index(), 2);
}

#[test]
fn plus_and_minus_step_a_focused_slider() {
    let mut harness = harness();
    harness
        .get_by_role_and_label(Role::Slider, "Threshold")
        .focus();
    harness.run();
    harness.key_press(Key::Plus);
    harness.run();
    assert_eq!(threshold(&harness), 6.5);
    harness.key_press(Key::Minus);
    harness.key_press(Key::Minus);
    harness.run();
    assert_eq!(threshold(&harness), 5.5);
}

#[test]
fn both_lines_of_the_histogram_step_with_plus_and_minus() {
    let mut harness = harness();
    for (name, key) in [
        ("Threshold in the histogram", Key::Plus),
        ("Softness in the histogram", Key::Minus),
    ] {
        harness.get_by_label(name).focus();
        harness.run();
        harness.key_press(key);
        harness.run();
    }
    assert_eq!(threshold(&harness), 6.5);
    assert_eq!(harness.state().settings().key.softness_percent(), 3.5);
}

#[test]
fn a_screen_reader_can_step_the_lines_of_the_histogram() {
    let mut harness = harness();
    harness
        .get_by_label("Threshold in the histogram")
        .increment_accesskit();
    harness.run();
    harness
        .get_by_label("Softness in the histogram")
        .decrement_accesskit();
    harness.run();
    assert_eq!(threshold(&harness), 6.5);
    assert_eq!(harness.state().settings().key.softness_percent(), 3.5);
}

#[test]
fn a_threshold_can_be_typed_without_a_mouse() {
    let mut harness = harness();
    // A real key comes with its letter in the same frame; the harness would send it in the next.
    harness.input_mut().events.extend([
        Event::Key {
            key: Key::T,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        },
        Event::Text("t".to_owned()),
    ]);
    harness.run();
    harness.event(Event::Text("7,25 %".to_owned()));
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(threshold(&harness), 7.25);
    harness.key_press_modifiers(Modifiers::CTRL, Key::Z);
    harness.run();
    assert_eq!(threshold(&harness), 6.0);
}

#[test]
fn escape_forgets_what_was_typed() {
    let mut harness = harness();
    harness.key_press(Key::T);
    harness.run();
    harness.event(Event::Text("50".to_owned()));
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(threshold(&harness), 6.0);
    let field = harness.get_by_label("Threshold in percent");
    assert_eq!(field.value().as_deref(), Some("6"));
}

#[test]
fn what_is_refused_is_told_beside_the_control() {
    for (typed, told) in [("150", "100 percent, got 150"), ("dark", "got `dark`")] {
        let mut harness = harness();
        harness.key_press(Key::T);
        harness.run();
        harness.event(Event::Text(typed.to_owned()));
        harness.run();
        harness.key_press(Key::Enter);
        harness.run();
        assert_eq!(threshold(&harness), 6.0);
        let told = harness.get_by_label_contains(told).rect();
        let slider = harness.get_by_role_and_label(Role::Slider, "Threshold");
        let below = told.top() - slider.rect().bottom();
        assert!((0.0..12.0).contains(&below), "{below}");
    }
}

/// Drags from one place to another in steps.
fn drag(harness: &mut Harness<'_, State>, from: egui::Pos2, to: egui::Pos2) {
    harness.drag_at(from);
    harness.run();
    for step in 1_u8..=5 {
        harness.hover_at(from + (to - from) * (f32::from(step) / 5.0));
        harness.run();
    }
    harness.drop_at(to);
    harness.run();
}

#[test]
fn a_dragged_line_of_the_histogram_is_one_undo_step() {
    let mut harness = harness();
    let from = harness
        .get_by_label("Threshold in the histogram")
        .rect()
        .center();
    drag(&mut harness, from, from + vec2(40.0, 0.0));
    assert!(threshold(&harness) > 7.0, "{}", threshold(&harness));
    harness.key_press_modifiers(Modifiers::CTRL, Key::Z);
    harness.run();
    assert_eq!(threshold(&harness), 6.0);
}

#[test]
fn dragging_the_solid_line_changes_the_softness_alone() {
    let mut harness = harness();
    let from = harness
        .get_by_label("Softness in the histogram")
        .rect()
        .center();
    drag(&mut harness, from, from + vec2(40.0, 0.0));
    assert!(harness.state().settings().key.softness_percent() > 5.0);
    assert_eq!(threshold(&harness), 6.0);
}

#[test]
fn controls_neither_overlap_nor_leave_the_window() {
    for size in SIZES {
        for [has_settings, has_sheet] in [[false, true], [true, false], [true, true]] {
            let mut state = busy_state();
            state.settings_open_narrow = has_settings;
            state.key_sheet_open = has_sheet;
            let harness = harness_at(size, state);
            let window = Rect::from_min_size(pos2(0.0, 0.0), size.into());
            let picture = harness.get_by_label_contains("Picture:").rect();
            assert!(
                picture.width() > 200.0 && picture.height() > 100.0,
                "{picture:?}"
            );
            let scrolled = |rect: &Rect| {
                rect.left() >= picture.right()
                    && (rect.top() < picture.top() || rect.bottom() > picture.bottom())
                    && rect.right() > picture.right() + 8.0
                    && rect.top() > picture.top() - 1.0
            };
            let controls = controls(&harness);
            let shown: Vec<_> = controls.iter().filter(|c| !scrolled(&c.2)).collect();
            for (index, (name, _, rect)) in shown.iter().enumerate() {
                assert!(window.contains_rect(*rect), "{name} {rect:?} at {size:?}");
                assert!(
                    !picture.shrink(1.0).intersects(*rect),
                    "{name} over the picture"
                );
                for (other, _, other_rect) in &shown[index + 1..] {
                    let common = rect.intersect(*other_rect);
                    let touches = common.width() > 1.0 && common.height() > 1.0;
                    assert!(!touches, "{name} and {other} at {size:?}");
                }
            }
        }
    }
}

#[test]
fn the_key_sheet_is_beside_the_picture() {
    for size in SIZES {
        let mut harness = harness_at(size, State::default());
        harness.key_press(Key::Questionmark);
        harness.run();
        let close = harness.get_by_label("Close the sheet").rect();
        let picture = harness.get_by_label_contains("Picture:").rect();
        assert!(close.left() > picture.right());
        harness.key_press(Key::Escape);
        harness.run();
        assert!(!harness.state().key_sheet_open);
    }
}

#[test]
fn a_question_is_answered_with_the_keyboard() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    let mut harness = harness_at(SIZES[0], state);
    harness.key_press_modifiers(Modifiers::CTRL, Key::Q);
    harness.run();
    harness.get_by_label("Close without saving").focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    let requests = harness.state_mut().take_requests();
    assert_eq!(requests, [Request::Quit]);
}

#[test]
fn a_path_is_typed_where_no_dialog_answers() {
    let mut state = State::default();
    state.apply(Action::DialogGaveNothing(FileKind::Camera));
    let mut harness = harness_at(SIZES[1], state);
    harness.event(Event::Text("/pictures/camera.png".to_owned()));
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    let typed = harness.state().typed_path().cloned();
    assert_eq!(
        typed.map(|typed| typed.text),
        Some("/pictures/camera.png".to_owned())
    );
    let told = harness
        .state()
        .messages
        .list()
        .last()
        .map(|message| message.text.clone());
    let expected = "There is no file or folder `/pictures/camera.png`.";
    assert_eq!(told.as_deref(), Some(expected));
    let path = crate::formats::data("board_1.jpg");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.event(Event::Text(path.display().to_string()));
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    let requests = harness.state_mut().take_requests();
    assert_eq!(requests, [Request::LoadCamera(path)]);
    assert!(harness.state().typed_path().is_none());
}

#[test]
fn a_path_that_cannot_be_written_stays_to_be_corrected() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    state.apply(Action::DialogGaveNothing(FileKind::SaveSetup));
    let mut harness = harness_at(SIZES[1], state);
    let type_and_enter = |harness: &mut Harness<'_, State>, text: &str| {
        harness.event(Event::Text(text.to_owned()));
        harness.run();
        harness.key_press(Key::Enter);
        harness.run();
        let requests = harness.state_mut().take_requests();
        let [Request::SaveSetup(path, setup)] = requests.as_slice() else {
            panic!("{requests:?}");
        };
        (path.clone(), setup.as_ref().clone())
    };
    let typed = |harness: &Harness<'_, State>| {
        let typed = harness.state().typed_path().cloned();
        typed.map(|typed| typed.text)
    };
    // What is typed first takes the place of the name that is offered.
    type_and_enter(&mut harness, "/no/such/folder/fm");
    harness.state_mut().save_failed("no such folder");
    harness.run();
    assert_eq!(typed(&harness).as_deref(), Some("/no/such/folder/fm"));
    harness.get_by_label("no such folder");
    let (path, setup) = type_and_enter(&mut harness, ".toml");
    assert_eq!(path, PathBuf::from("/no/such/folder/fm.toml"));
    harness.state_mut().setup_saved(path, setup);
    harness.run();
    assert_eq!(typed(&harness), None);
    // It takes the keyboard the next time too.
    let again = Action::DialogGaveNothing(FileKind::SaveSetup);
    harness.state_mut().apply(again);
    harness.run();
    let (path, _) = type_and_enter(&mut harness, "other.toml");
    assert_eq!(path, PathBuf::from("other.toml"));
}

#[test]
fn a_question_has_the_keyboard_at_once() {
    let mut state = State::default();
    state.apply(Action::Edit(Edit::Threshold(7.0)));
    let mut harness = harness_at(SIZES[0], state);
    harness.key_press_modifiers(Modifiers::CTRL, Key::Q);
    harness.run();
    assert!(harness.get_by_label("Save and close").is_focused());
}

#[test]
fn in_the_smallest_window_half_of_the_height_is_the_pictures() {
    let mut state = State::default();
    let names = (1..=4).map(|n| format!("slide number {n}.png"));
    state.deck_loaded(Vec::new(), names.collect());
    for toggled in [
        None,
        Some(Action::ToggleInspect),
        Some(Action::ToggleFindings),
    ] {
        let mut state = state.clone();
        let is_inspect = toggled == Some(Action::ToggleInspect);
        if let Some(action) = toggled {
            state.apply(action);
        }
        // 480x360, and 8 that the test's own frame takes on each side.
        let harness = harness_at([496.0, 376.0], state);
        let picture = harness.get_by_label_contains("Picture:").rect();
        // The line about the camera takes 56 of it.
        let least = if is_inspect { 120.0 } else { 180.0 };
        assert!(picture.height() >= least, "{picture:?}");
        let strip = harness.get_by_label("Back").rect();
        assert!(picture.bottom() < strip.top(), "{picture:?} {strip:?}");
    }
}

#[test]
fn the_axis_of_the_histogram_has_a_number_at_every_step_and_none_is_cut_off() {
    assert_eq!(
        axis_numbers().collect::<Vec<_>>(),
        [0.0, 5.0, 10.0, 15.0, 20.0, 25.0]
    );
    for size in [[1280.0, 900.0], [480.0, 900.0]] {
        let mut harness = harness_at(size, State::default());
        if size[0] < 900.0 {
            harness.key_press(Key::E);
            harness.run();
        }
        let unit = "luma, % of white";
        let wanted = ["0", "5", "10", "15", "20", "25", unit];
        let found: Vec<Rect> = harness
            .output()
            .shapes
            .iter()
            .filter_map(|clipped| match &clipped.shape {
                egui::Shape::Text(text) if wanted.contains(&text.galley.text()) => {
                    let rect = Rect::from_min_size(text.pos, text.galley.size());
                    assert!(
                        clipped.clip_rect.contains_rect(rect),
                        "{}",
                        text.galley.text()
                    );
                    let color = text.galley.job.sections[0].format.color;
                    // Numbers of the mixer's table are in the text's own colour.
                    (color == Look::new(false).quiet_text || text.galley.text() == unit)
                        .then_some(rect)
                }
                _ => None,
            })
            .collect();
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        let (numbers, name) = (&found[..6], found[6]);
        let apart: Vec<f32> = numbers
            .windows(2)
            .map(|pair| pair[1].center().x - pair[0].center().x)
            .collect();
        for step in &apart {
            assert!((step - apart[0]).abs() < 0.6, "{apart:?}");
        }
        assert!(
            numbers
                .iter()
                .all(|rect| (rect.top() - numbers[0].top()).abs() < 0.1)
        );
        assert!(name.top() >= numbers[0].bottom() - 2.0);
    }
}
