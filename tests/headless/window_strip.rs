//! The strip of slides and the bar: what of a name is told, and that tooltips lie beside the rows.

use std::time::Duration;

use egui::{Rect, Shape, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use nightglass::window::action::Action;
use nightglass::window::edit::Edit;
use nightglass::window::state::State;
use nightglass::window::strip_name::{shared_start, telling_part};

use crate::window_findings::harness_at;

fn state(names: &[&str]) -> State {
    let mut state = State::default();
    let names = names.iter().map(|&name| name.to_owned()).collect();
    state.deck_loaded(Vec::new(), names);
    state
}

/// All words that are drawn, with their places.
fn texts(harness: &Harness<'_, State>) -> Vec<(String, Rect)> {
    let shapes = harness.output().shapes.iter();
    let texts = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(text) => {
            let rect = Rect::from_min_size(text.pos, text.galley.size());
            Some((text.galley.text().to_owned(), rect))
        }
        _ => None,
    });
    texts.collect()
}

#[test]
fn what_all_slides_are_called_is_left_out_of_their_short_names() {
    for (names, wanted) in [
        (
            vec!["slide_1_keys_cleanly", "slide_2_faint_stars"],
            vec!["keys_cleanly", "faint_stars"],
        ),
        // A part is left out as a whole or not at all.
        (vec!["tide tables", "tide times"], vec!["tables", "times"]),
        (vec!["tidal", "tides"], vec!["tidal", "tides"]),
        // Where nothing is left that tells them apart, all of it stays.
        (
            vec!["sky.pdf, page 1", "sky.pdf, page 2"],
            vec!["sky.pdf, page 1", "sky.pdf, page 2"],
        ),
        (
            vec!["07 - fog.png", "08 - ice.png"],
            vec!["07 - fog.png", "08 - ice.png"],
        ),
        (
            vec!["slide 1.png", "slide 2.png"],
            vec!["slide 1.png", "slide 2.png"],
        ),
        (vec!["slide_1_alone"], vec!["slide_1_alone"]),
        (vec!["01_größe", "02_höhe"], vec!["größe", "höhe"]),
    ] {
        let all: Vec<String> = names.iter().map(|&name| name.to_owned()).collect();
        let shared = shared_start(&all);
        let told: Vec<&str> = (1..)
            .zip(&all)
            .map(|(number, name)| telling_part(name, shared, number))
            .collect();
        assert_eq!(told, wanted);
    }
}

#[test]
fn names_in_the_strip_that_are_cut_keep_both_ends_and_say_so() {
    let state = state(&[
        "slide_1_keys_cleanly",
        "slide_2_a_very_long_name_of_a_tide_table",
    ]);
    let harness = harness_at([1200.0, 700.0], state);
    let texts = texts(&harness);
    assert!(
        texts.iter().any(|(text, _)| text == "1 keys_cleanly"),
        "{texts:?}"
    );
    let cut = texts
        .iter()
        .find(|(text, _)| text.starts_with("2 a_"))
        .unwrap();
    assert!(cut.0.contains('…') && cut.0.ends_with("table"), "{cut:?}");
    assert!(cut.1.width() <= 80.0);
}

#[test]
fn the_bar_is_two_rows_in_the_smallest_window() {
    for has_changes in [false, true] {
        let mut state = state(&["slide_1_keys_cleanly", "slide_2_faint_stars"]);
        if has_changes {
            state.apply(Action::Edit(Edit::Threshold(6.5)));
        }
        // 8 that the test's own frame takes on each side.
        let harness = harness_at([496.0, 376.0], state);
        let bar = ["View: Composite", "Compare", "Keys", "Settings", "Zoom in"];
        let mut rows: Vec<i32> = bar
            .iter()
            .map(|name| harness.get_by_label(name).rect().center().y.round() as i32)
            .collect();
        rows.sort_unstable();
        rows.dedup();
        assert_eq!(rows.len(), 2, "{rows:?}");
        let [out, closer] = ["Zoom out", "Zoom in"].map(|name| harness.get_by_label(name).rect());
        assert!(
            (out.center().y - closer.center().y).abs() < 1.0,
            "one beside the other"
        );
        let shown = format!("{:.0} %", harness.state().shown_scale * 100.0);
        for name in ["Settings", "Zoom in", "Compare", &shown] {
            let right = harness.get_by_label(name).rect().right();
            assert!(right <= 488.0, "{name} ends at {right}");
        }
    }
}

#[test]
fn a_tooltip_lies_over_no_row_of_the_bar() {
    let state = state(&["slide_1_keys_cleanly", "slide_2_faint_stars"]);
    for (name, words) in [
        (
            "View: Matte",
            "How much of the slide is kept: black dropped, white solid.",
        ),
        ("Next", "The next slide. Page Down."),
    ] {
        let mut harness = harness_at([700.0, 500.0], state.clone());
        harness.run();
        let rows: Vec<Rect> = [
            "View: Matte",
            "Settings",
            "Keys",
            "Undo",
            "Next",
            "Findings",
            "Hide the slide",
        ]
        .iter()
        .map(|name| harness.get_by_label(name).rect())
        .collect();
        let at = harness.get_by_label(name).rect().center();
        harness.hover_at(at);
        harness.run();
        std::thread::sleep(Duration::from_millis(600));
        harness.run();
        let texts = texts(&harness);
        let tooltip = texts
            .iter()
            .find(|(text, _)| text.replace('\n', " ") == words);
        let tooltip = tooltip.unwrap_or_else(|| panic!("{words} in {texts:?}")).1;
        for row in rows {
            assert!(!row.intersects(tooltip), "{row:?} {tooltip:?}");
        }
        assert!(Rect::from_min_max(pos2(0.0, 0.0), pos2(700.0, 500.0)).contains_rect(tooltip));
    }
}
