//! Zones in the window: edits and undo, what is under the pointer, drags, keys and the panel.

use std::sync::{Arc, Mutex};

use egui::accesskit::Role;
use egui::{CursorIcon, Event, Key as Press, Modifiers, Pos2, Rect, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use nightglass::measure::space::zone::{Zone, ZoneKind};
use nightglass::window::action::Action;
use nightglass::window::deck_check::SlideId;
use nightglass::window::edit::Setting;
use nightglass::window::panels::{PanelInputs, install, panels_ui};
use nightglass::window::picture_area::picture_ui;
use nightglass::window::picture_place::PicturePlace;
use nightglass::window::state::State;
use nightglass::window::zone_edit::{ZoneEdit, moved, resized, spanned};
use nightglass::window::zone_grip::{Grip, HANDLE, HeldZone, grip_at, handles};
use nightglass::window::zone_tool::ZoneKey;

use crate::window_findings::with_slides;

/// Two slides called by their files, and a zone for the deck.
fn with_zone() -> State {
    let mut state = with_slides(2);
    let id = |name: &str, page| SlideId {
        file_name: name.to_owned(),
        page,
    };
    state
        .deck_check
        .name_slides([id("tides.png", None), id("stars.pdf", Some(3))]);
    state.apply(Action::Zone(ZoneEdit::Add(
        ZoneKind::KeepOut,
        [20.0, 30.0, 40.0, 20.0],
    )));
    state
}

fn zone(state: &State) -> &Zone {
    &state.setup().zones[0]
}

#[test]
fn every_change_of_a_zone_is_one_undo_step() {
    let edits = [
        ZoneEdit::Place(0, [5.0, 5.0, 10.0, 10.0]),
        ZoneEdit::Rename(0, "  station clock ".to_owned()),
        ZoneEdit::Kind(0, ZoneKind::WriteHere),
        ZoneEdit::ForSlideShown(0, true),
        ZoneEdit::Remove(0),
        ZoneEdit::Add(ZoneKind::KeepIn, [0.0, 0.0, 100.0, 100.0]),
    ];
    for edit in edits {
        let mut state = with_zone();
        let before = state.setup().zones.clone();
        state.apply(Action::Zone(edit.clone()));
        let after = state.setup().zones.clone();
        assert_ne!(after, before, "{edit:?}");
        assert_eq!(state.refusal(Setting::Zones), None);
        state.apply(Action::Undo);
        assert_eq!(state.setup().zones, before, "{edit:?}");
        state.apply(Action::Redo);
        assert_eq!(state.setup().zones, after, "{edit:?}");
    }
    let mut state = with_zone();
    assert!(state.has_unsaved_changes());
    state.apply(Action::Undo);
    assert!(!state.has_unsaved_changes() && state.setup().zones.is_empty());
}

#[test]
fn a_drag_of_a_zone_is_one_undo_step() {
    let mut state = with_zone();
    for x in [21.0, 22.0, 23.0] {
        let place = [x, 30.0, 40.0, 20.0];
        state.apply(Action::DragZone(ZoneEdit::Place(0, place)));
    }
    state.apply(Action::EndDrag);
    state.apply(Action::DragZone(ZoneEdit::Place(
        0,
        [30.0, 30.0, 40.0, 20.0],
    )));
    state.apply(Action::EndDrag);
    state.apply(Action::Undo);
    assert_eq!(zone(&state).box_percent()[0], 23.0);
    state.apply(Action::Undo);
    assert_eq!(zone(&state).box_percent()[0], 20.0);
}

#[test]
fn what_a_zone_cannot_be_is_refused_with_a_reason() {
    for (edit, word) in [
        (
            ZoneEdit::Place(0, [90.0, 0.0, 20.0, 10.0]),
            "inside the output",
        ),
        (ZoneEdit::Rename(0, "  ".to_owned()), "needs a name"),
    ] {
        let mut state = with_zone();
        let before = state.setup().clone();
        state.apply(Action::Zone(edit));
        assert_eq!(*state.setup(), before);
        assert!(state.refusal(Setting::Zones).unwrap().contains(word));
    }
    // Without a slide there is none that it could be for.
    let mut state = State::default();
    state.apply(Action::AddZone);
    state.apply(Action::ZoneKey(ZoneKey::ForSlideOrDeck));
    assert!(state.refusal(Setting::Zones).unwrap().contains("no slide"));
}

#[test]
fn a_zone_for_one_slide_is_in_sight_there_alone() {
    let mut state = with_zone();
    state.apply(Action::GoToSlide(1));
    state.apply(Action::NextZone);
    state.apply(Action::ZoneKey(ZoneKey::ForSlideOrDeck));
    let alone = zone(&state).clone();
    assert_eq!(
        (alone.slide.as_deref(), alone.page),
        (Some("stars.pdf"), Some(3))
    );
    assert_eq!(state.selected_zone(), Some(0));
    state.apply(Action::GoToSlide(0));
    assert!(state.zones_in_sight().is_empty());
    assert_eq!(state.selected_zone(), None);
    state.apply(Action::GoToSlide(1));
    state.apply(Action::NextZone);
    state.apply(Action::ZoneKey(ZoneKey::ForSlideOrDeck));
    assert_eq!((&zone(&state).slide, zone(&state).page), (&None, None));
    state.apply(Action::ToggleZones);
    assert!(state.zones_in_sight().is_empty());
}

#[test]
fn zones_are_stepped_through_and_escape_lets_go_of_one_thing_after_the_other() {
    let mut state = with_zone();
    state.apply(Action::AddZone);
    assert_eq!(state.selected_zone(), Some(1), "the new one");
    assert_eq!(state.setup().zones[1].name, "zone 2");
    let mut step = || {
        state.apply(Action::NextZone);
        state.selected_zone()
    };
    assert_eq!([step(), step()], [Some(0), Some(1)]);
    state.apply(Action::DrawZone);
    assert!(state.zone_tool.drawing);
    state.apply(Action::Dismiss);
    assert!(!state.zone_tool.drawing && state.selected_zone().is_some());
    state.apply(Action::Dismiss);
    assert_eq!(state.selected_zone(), None);
    state.apply(Action::ZoneKey(ZoneKey::Remove));
    assert_eq!(state.setup().zones.len(), 2);
    assert!(
        state.messages.list()[0]
            .text
            .contains("No zone is selected")
    );
    // The first free number is taken.
    state.apply(Action::Zone(ZoneEdit::Remove(0)));
    state.apply(Action::AddZone);
    assert_eq!(state.setup().zones[1].name, "zone 1");
}

#[test]
fn places_stay_inside_the_output_and_sides_do_not_pass_each_other() {
    let start = [20.0, 30.0, 40.0, 20.0];
    assert_eq!(moved(start, [5.0, -10.0]), [25.0, 20.0, 40.0, 20.0]);
    assert_eq!(moved(start, [500.0, -500.0]), [60.0, 0.0, 40.0, 20.0]);
    assert_eq!(resized(start, [1, 0], [5.0, 9.0]), [20.0, 30.0, 45.0, 20.0]);
    assert_eq!(
        resized(start, [-1, -1], [5.0, -5.0]),
        [25.0, 25.0, 35.0, 25.0]
    );
    assert_eq!(
        resized(start, [1, 1], [900.0, 900.0]),
        [20.0, 30.0, 80.0, 70.0]
    );
    assert_eq!(
        resized(start, [1, -1], [-900.0, 900.0]),
        [20.0, 49.0, 1.0, 1.0]
    );
    assert_eq!(
        spanned([50.0, 60.0], [30.0, 80.0]),
        Some([30.0, 60.0, 20.0, 20.0])
    );
    assert_eq!(
        spanned([90.0, -20.0], [190.0, 10.0]),
        Some([90.0, 0.0, 10.0, 10.0])
    );
    assert_eq!(
        spanned([50.0, 50.0], [50.5, 90.0]),
        None,
        "too small to be held"
    );
    // Whatever is made of drags is a zone that a setup file can have.
    for step in 0..2000 {
        let way = [
            f64::from(step) * 0.1237 - 120.0,
            90.0 - f64::from(step) * 0.0911,
        ];
        for place in [
            moved([33.33, 12.34, 41.17, 55.55], way),
            resized([33.33, 12.34, 41.17, 55.55], [1, -1], way),
            resized([33.33, 12.34, 41.17, 55.55], [-1, 1], way),
        ] {
            Zone::new(String::new(), ZoneKind::KeepIn, place).unwrap();
        }
    }
}

#[test]
fn a_zone_that_ends_a_hundredth_over_the_edge_is_resized_like_any_other() {
    let over = [99.01, 99.01, 1.0, 1.0];
    assert_eq!(resized(over, [1, 1], [1.0, 1.0])[0..2], [99.01, 99.01]);
    let mut state = with_zone();
    state.apply(Action::Zone(ZoneEdit::Place(0, over)));
    for key in [ZoneKey::Grow([1, 1]), ZoneKey::Move([1, 1])] {
        state.apply(Action::ZoneKey(key));
    }
    assert_eq!(zone(&state).box_percent()[2..], [1.0, 1.0]);
}

#[test]
fn undoing_a_removal_selects_no_zone_in_the_place_of_another() {
    let mut state = with_zone();
    state.apply(Action::Zone(ZoneEdit::Add(
        ZoneKind::KeepIn,
        [0.0, 0.0, 10.0, 10.0],
    )));
    state.apply(Action::Zone(ZoneEdit::Remove(0)));
    state.apply(Action::SelectZone(Some(0)));
    state.apply(Action::Undo);
    assert_eq!(state.setup().zones.len(), 2);
    assert_eq!(state.selected_zone(), None);
}

#[test]
fn handles_names_and_edges_are_held_and_the_inside_only_of_the_selected_zone() {
    let visible = Rect::from_min_max(pos2(0.0, 0.0), pos2(800.0, 450.0));
    let held = |index, rect: Rect, is_selected| HeldZone {
        index,
        rect,
        label: Rect::from_min_size(rect.min + vec2(2.0, 2.0), vec2(90.0, 18.0)),
        is_selected,
    };
    let one = Rect::from_min_max(pos2(100.0, 100.0), pos2(400.0, 300.0));
    let other = Rect::from_min_max(pos2(500.0, 0.0), pos2(800.0, 200.0));
    let zones = [held(4, one, true), held(7, other, false)];
    let at = |x, y| grip_at(&zones, visible, pos2(x, y));
    let grip = |zone, sides| Some(Grip { zone, sides });
    assert_eq!(at(100.0, 100.0), grip(4, [-1, -1]));
    assert_eq!(at(400.0, 200.0), grip(4, [1, 0]));
    assert_eq!(at(250.0, 305.0), grip(4, [0, 1]));
    assert_eq!(at(250.0, 200.0), grip(4, [0, 0]));
    assert_eq!(at(450.0, 200.0), None);
    // Of a zone that is not selected the name and the edge.
    assert_eq!(at(650.0, 100.0), None);
    assert_eq!(at(520.0, 10.0), grip(7, [0, 0]));
    assert_eq!(at(650.0, 198.0), grip(7, [0, 0]));
    assert_eq!(at(650.0, -1.0), None, "outside of the picture");
    // All of every handle is in sight, and large enough.
    let at_corner = handles(other, visible);
    assert_eq!(at_corner.len(), 8);
    for (_, handle) in at_corner {
        assert!(visible.contains_rect(handle), "{handle:?}");
        assert!(handle.width() >= 12.0 && handle.height() >= 12.0);
    }
    let small = Rect::from_min_size(pos2(10.0, 10.0), vec2(3.0 * HANDLE, 3.0 * HANDLE));
    assert_eq!(
        handles(small, visible).len(),
        4,
        "the middles would be in the way"
    );
    for (sides, cursor) in [
        ([0, 0], CursorIcon::Move),
        ([1, 0], CursorIcon::ResizeHorizontal),
        ([0, -1], CursorIcon::ResizeVertical),
        ([1, 1], CursorIcon::ResizeNwSe),
        ([1, -1], CursorIcon::ResizeNeSw),
    ] {
        assert_eq!(Grip { zone: 0, sides }.cursor(), cursor);
    }
}

/// The panels with the picture area, and where the picture lies.
struct Window {
    harness: Harness<'static, State>,
    place: Arc<Mutex<Option<PicturePlace>>>,
}

impl Window {
    fn new(state: State) -> Self {
        let place = Arc::new(Mutex::new(None));
        let told = Arc::clone(&place);
        let mut harness = Harness::builder()
            .with_size([1200.0, 900.0])
            .with_context_setup(install)
            .build_ui_state(
                move |ui, state: &mut State| {
                    let area = panels_ui(ui, state, PanelInputs::default());
                    *told.lock().unwrap() = Some(picture_ui(ui, &area, state));
                },
                state,
            );
        harness.run();
        Self { harness, place }
    }

    /// Where a place on the output is, percent of its sides.
    fn at(&self, x: f64, y: f64) -> Pos2 {
        let place = self.place.lock().unwrap().unwrap();
        let px = [x / 100.0 * 1920.0, y / 100.0 * 1080.0];
        let [x, y] = place.layout.window_from_output(px);
        pos2(x as f32, y as f32)
    }

    /// Presses at a point.
    fn grip(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.run();
        self.harness.drag_at(at);
        self.harness.run();
    }

    fn drag(&mut self, from: Pos2, to: Pos2) {
        self.grip(from);
        for step in 1_u8..=5 {
            let way = (to - from) * (f32::from(step) / 5.0);
            self.harness.hover_at(from + way);
            self.harness.run();
        }
        self.harness.drop_at(to);
        self.harness.run();
    }

    fn press(&mut self, modifiers: Modifiers, key: Press) {
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.run();
    }

    fn boxes(&self) -> Vec<[f64; 4]> {
        let zones = &self.harness.state().setup().zones;
        zones.iter().map(Zone::box_percent).collect()
    }

    fn is_near(&self, index: usize, expected: [f64; 4]) {
        // A point of the window is 0.15 % of this picture.
        let boxes = self.boxes();
        for (got, expected) in boxes[index].iter().zip(expected) {
            assert!(
                (got - expected).abs() < 0.3,
                "{boxes:?}, expected {expected}"
            );
        }
    }
}

#[test]
fn a_zone_is_drawn_moved_and_resized_by_the_pointer() {
    let mut window = Window::new(with_slides(1));
    let (from, to) = (window.at(60.0, 70.0), window.at(30.0, 20.0));
    window.drag(from, to);
    assert!(window.boxes().is_empty(), "without W a drag draws nothing");
    window.press(Modifiers::NONE, Press::W);
    window.harness.hover_at(from);
    window.harness.run();
    let cursor = |window: &Window| window.harness.output().platform_output.cursor_icon;
    assert_eq!(cursor(&window), CursorIcon::Crosshair);
    window.drag(from, to);
    assert_eq!(window.boxes().len(), 1);
    window.is_near(0, [30.0, 20.0, 30.0, 50.0]);
    // Its inside moves it, since it is selected.
    let (from, to) = (window.at(45.0, 50.0), window.at(55.0, 45.0));
    window.harness.hover_at(from);
    window.harness.run();
    assert_eq!(cursor(&window), CursorIcon::Move);
    window.drag(from, to);
    window.is_near(0, [40.0, 15.0, 30.0, 50.0]);
    // Its lower right corner, then its left side.
    let (from, to) = (window.at(70.0, 65.0), window.at(80.0, 75.0));
    window.drag(from, to);
    window.is_near(0, [40.0, 15.0, 40.0, 60.0]);
    let (from, to) = (window.at(40.0, 45.0), window.at(50.0, 90.0));
    window.harness.hover_at(from);
    window.harness.run();
    assert_eq!(cursor(&window), CursorIcon::ResizeHorizontal);
    window.drag(from, to);
    window.is_near(0, [50.0, 15.0, 30.0, 60.0]);
    // Three drags and the drawing are four steps.
    for left in [40.0, 40.0, 30.0] {
        window.press(Modifiers::CTRL, Press::Z);
        assert!((window.boxes()[0][0] - left).abs() < 0.3);
    }
    window.press(Modifiers::CTRL, Press::Z);
    assert!(window.boxes().is_empty());
}

#[test]
fn escape_puts_a_zone_back_that_is_dragged() {
    for (from, to) in [([40.0, 40.0], [55.0, 60.0]), ([60.0, 50.0], [75.0, 70.0])] {
        let mut state = with_zone();
        // Larger than its place, so that a drag beside zones would move it.
        state.apply(Action::ZoomTo(0.5, [0.5, 0.5]));
        let mut window = Window::new(state);
        let middle = window.harness.state().centre_uv;
        let [from, to] = [from, to].map(|[x, y]| window.at(x, y));
        window.grip(from);
        window.harness.hover_at(to);
        window.harness.run();
        assert_ne!(window.boxes(), [[20.0, 30.0, 40.0, 20.0]]);
        window.press(Modifiers::NONE, Press::Escape);
        assert_eq!(window.boxes(), [[20.0, 30.0, 40.0, 20.0]]);
        // What is left of the drag moves neither the zone nor the picture.
        window.harness.hover_at(from);
        window.harness.run();
        window.harness.drop_at(to);
        window.harness.run();
        assert_eq!(window.boxes(), [[20.0, 30.0, 40.0, 20.0]]);
        let state = window.harness.state();
        assert_eq!(state.centre_uv, middle);
        assert_eq!(state.selected_zone(), Some(0), "it is still selected");
        // The drag is no step any more, and the next one is one of its own.
        window.drag(from, to);
        assert_ne!(window.boxes(), [[20.0, 30.0, 40.0, 20.0]]);
        window.press(Modifiers::CTRL, Press::Z);
        assert_eq!(window.boxes(), [[20.0, 30.0, 40.0, 20.0]]);
        window.press(Modifiers::CTRL, Press::Z);
        assert!(window.boxes().is_empty(), "the zone was added before that");
    }
}

#[test]
fn escape_beside_a_drag_takes_no_step_back() {
    let mut window = Window::new(with_zone());
    let (from, to) = (window.at(40.0, 40.0), window.at(55.0, 60.0));
    window.drag(from, to);
    let moved = window.boxes();
    window.press(Modifiers::NONE, Press::Escape);
    assert_eq!(window.boxes(), moved);
    assert_eq!(window.harness.state().selected_zone(), None);
    // A drag against the edge of the output changes nothing, so that there is nothing of it to take back.
    let cornered = ZoneEdit::Place(0, [0.0, 0.0, 40.0, 20.0]);
    let state = window.harness.state_mut();
    state.apply(Action::SelectZone(Some(0)));
    state.apply(Action::Zone(cornered));
    window.harness.run();
    let (from, to) = (window.at(20.0, 15.0), window.at(5.0, 2.0));
    window.grip(from);
    window.harness.hover_at(to);
    window.harness.run();
    assert!(window.harness.state().zone_tool.held);
    window.press(Modifiers::NONE, Press::Escape);
    assert_eq!(window.boxes(), [[0.0, 0.0, 40.0, 20.0]]);
}

#[test]
fn a_click_selects_a_zone_by_its_edge_and_beside_it_lets_go() {
    let mut state = with_zone();
    state.apply(Action::SelectZone(None));
    let mut window = Window::new(state);
    let click = |window: &mut Window, at: Pos2| {
        window.harness.hover_at(at);
        window.harness.run();
        window.harness.drag_at(at);
        window.harness.run();
        window.harness.drop_at(at);
        window.harness.run();
    };
    let inside = window.at(40.0, 45.0);
    click(&mut window, inside);
    assert_eq!(window.harness.state().selected_zone(), None);
    assert!(
        window.harness.state().probe_px.is_some(),
        "the point is fixed"
    );
    let edge = window.at(60.0, 45.0);
    click(&mut window, edge);
    assert_eq!(window.harness.state().selected_zone(), Some(0));
    let beside = window.at(80.0, 80.0);
    let fixed = window.harness.state().probe_px;
    click(&mut window, beside);
    assert_eq!(window.harness.state().selected_zone(), None);
    assert_eq!(window.harness.state().probe_px, fixed);
}

#[test]
fn what_is_out_of_sight_has_no_name_at_the_edge_that_could_be_held() {
    let mut state = with_zone();
    state.apply(Action::SelectZone(None));
    let mut window = Window::new(state);
    let cursor = |window: &mut Window, at: Pos2| {
        window.harness.hover_at(at);
        window.harness.run();
        window.harness.output().platform_output.cursor_icon
    };
    let name = window.at(20.0, 30.0) + vec2(20.0, 12.0);
    assert_eq!(cursor(&mut window, name), CursorIcon::Move);
    // The lower right corner, close up: the zone is far to the left of it.
    window
        .harness
        .state_mut()
        .apply(Action::ZoomTo(4.0, [0.95, 0.95]));
    window.harness.run();
    let place = window.place.lock().unwrap().unwrap();
    let corner = place.rect.left_top() + vec2(20.0, 12.0);
    assert_eq!(cursor(&mut window, corner), CursorIcon::Default);
}

#[test]
fn keys_do_all_that_the_pointer_does() {
    let mut window = Window::new(with_zone());
    let alt_shift = Modifiers::ALT | Modifiers::SHIFT;
    for (modifiers, key, expected) in [
        (Modifiers::ALT, Press::ArrowRight, [21.0, 30.0, 40.0, 20.0]),
        (Modifiers::ALT, Press::ArrowUp, [21.0, 29.0, 40.0, 20.0]),
        (alt_shift, Press::ArrowDown, [21.0, 29.0, 40.0, 21.0]),
        (alt_shift, Press::ArrowLeft, [21.0, 29.0, 39.0, 21.0]),
    ] {
        window.press(modifiers, key);
        assert_eq!(window.boxes(), [expected]);
    }
    assert_eq!(
        window.harness.state().slide_index(),
        0,
        "no slide was stepped"
    );
    window.press(Modifiers::NONE, Press::V);
    assert_eq!(zone(window.harness.state()).kind, ZoneKind::KeepIn);
    window.press(Modifiers::NONE, Press::R);
    window.harness.event(Event::Text("tide table".to_owned()));
    window.harness.run();
    window.press(Modifiers::NONE, Press::Enter);
    assert_eq!(zone(window.harness.state()).name, "tide table");
    window.press(Modifiers::NONE, Press::U);
    let slide = zone(window.harness.state()).slide.clone();
    assert_eq!(slide.as_deref(), Some("tides.png"));
    window.press(Modifiers::CTRL, Press::W);
    assert_eq!(window.boxes().len(), 2);
    window.press(Modifiers::NONE, Press::J);
    window.press(Modifiers::NONE, Press::Delete);
    assert_eq!(window.boxes().len(), 1);
    assert_eq!(window.harness.state().setup().zones[0].name, "zone 1");
}

#[test]
fn the_panel_lists_zones_and_changes_the_selected_one() {
    let mut state = with_zone();
    state.apply(Action::SelectZone(None));
    let mut window = Window::new(state);
    let harness = &mut window.harness;
    assert!(harness.query_by_label("Name of the zone").is_none());
    harness
        .get_by_label("Zone 1, zone 1: keep out")
        .click_accesskit();
    harness.run();
    harness.get_by_label("Kind: write here").click_accesskit();
    harness.run();
    assert_eq!(zone(harness.state()).kind, ZoneKind::WriteHere);
    harness
        .get_by_role_and_label(Role::CheckBox, "For this slide alone")
        .click_accesskit();
    harness.run();
    harness.get_by_label("Zone 1, zone 1: write here, this slide");
    harness.get_by_label("Zone width in percent").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::CTRL, Press::A);
    harness.event(Event::Text("95".to_owned()));
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    harness.get_by_label_contains("must have x and y from 0 to 100");
    assert_eq!(zone(harness.state()).box_percent()[2], 40.0);
    harness.get_by_label("Delete the zone").click_accesskit();
    harness.run();
    assert!(harness.state().setup().zones.is_empty());
}
