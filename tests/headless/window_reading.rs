//! Text that is longer than its panel: keys reach all of it, in the smallest window too.

use std::sync::Arc;

use egui::{Key as Press, Modifiers, Rect};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use nightglass::measure::finding::{Kind, Severity};
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::window::action::Action;
use nightglass::window::state::State;

use crate::window_findings::{
    checked_deck, finding as slide_finding, harness_at, put, with_slides,
};
use crate::window_inspect::{finding, seen};

/// The smallest window, and one that is wide and high enough for the list below the picture.
const SIZES: [[f32; 2]; 2] = [[480.0, 360.0], [1280.0, 720.0]];

/// The lowest place to which words of any panel beside or below the picture may reach.
fn lowest(harness: &Harness<'_, State>) -> f32 {
    harness.get_by_label("Fixed point").rect().top()
}

/// Scrolls by keys until words are in sight, and back; how many steps that took.
fn steps_to(harness: &mut Harness<'_, State>, words: &str) -> usize {
    let is_seen = |harness: &Harness<'_, State>| {
        let rect: Rect = harness.get_by_label_contains(words).rect();
        rect.bottom() <= lowest(harness)
    };
    let mut steps = 0;
    while !is_seen(harness) {
        harness.key_press_modifiers(Modifiers::CTRL, Press::PageDown);
        harness.run();
        steps += 1;
        assert!(steps < 40, "{words} is never in sight");
    }
    for _ in 0..steps {
        harness.key_press_modifiers(Modifiers::CTRL, Press::PageUp);
    }
    harness.run();
    if steps > 0 {
        assert!(!is_seen(harness), "{words}: no way back");
    }
    steps
}

#[test]
fn the_whole_advice_of_a_finding_is_reached_with_keys() {
    for size in SIZES {
        let mut long = slide_finding(Kind::Haze, Severity::Fail, [0, 0, 1920, 1080]);
        long.advice = "Make it black. ".repeat(120) + "The end of the advice.";
        let mut state = with_slides(1);
        put(&mut state, 0, vec![long]);
        let mut harness = harness_at(size, state);
        harness.key_press(Press::N);
        harness.run();
        assert!(steps_to(&mut harness, "The end of the advice.") > 0);
    }
}

#[test]
fn the_whole_of_what_the_camera_shows_is_reached_with_keys() {
    for size in SIZES {
        let mut long = finding(
            CameraKind::Reflection,
            Severity::Fail,
            Some([900, 60, 20, 12]),
        );
        long.advice = "Turn the lamp. ".repeat(120) + "The end of the advice.";
        let mut camera = seen(vec![long]);
        camera.notes = vec!["the note at the end".to_owned()];
        let mut state = checked_deck();
        state.camera_check.put(Ok(Arc::new(camera)));
        state.apply(Action::NextCameraFinding);
        let mut harness = harness_at(size, state);
        assert!(steps_to(&mut harness, "The end of the advice.") > 0);
        assert!(steps_to(&mut harness, "Note: the note at the end.") > 0);
    }
}

#[test]
fn the_last_settings_and_keys_are_reached_with_keys() {
    for size in SIZES {
        let mut harness = harness_at(size, checked_deck());
        // In the field for the threshold too.
        harness.key_press(Press::T);
        harness.run();
        assert!(steps_to(&mut harness, "More settings") > 0);
        harness.key_press(Press::Escape);
        harness.key_press(Press::Questionmark);
        harness.run();
        assert!(steps_to(&mut harness, "close the window") > 0, "{size:?}");
    }
}

#[test]
fn what_is_told_of_a_finding_comes_into_sight_and_nothing_moves_that_need_not() {
    let bars = "Edges of the writing";
    // So high that what is told has room, and so low that it has not.
    for (size, stays) in [([1280.0, 900.0], true), ([1280.0, 480.0], false)] {
        let mut state = checked_deck();
        let reflection = finding(
            CameraKind::Reflection,
            Severity::Fail,
            Some([900, 60, 20, 12]),
        );
        let mut camera = seen(vec![reflection]);
        // There is always something below to scroll to.
        camera.notes = vec!["a lamp is somewhere".to_owned(); 60];
        state.camera_check.put(Ok(Arc::new(camera)));
        state.apply(Action::ToggleInspect);
        let mut harness = harness_at(size, state);
        let before = harness.get_by_label(bars).rect();
        harness.key_press_modifiers(Modifiers::CTRL, Press::I);
        harness.run();
        let advice = harness
            .get_by_label("Do something about reflection.")
            .rect();
        assert!(
            advice.bottom() <= lowest(&harness),
            "{advice:?} at {size:?}"
        );
        let now = harness.get_by_label(bars).rect();
        assert_eq!(now == before, stays, "{before:?} {now:?} at {size:?}");
    }
}
