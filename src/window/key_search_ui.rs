//! The button that looks for a key for the deck, and what was found in words.

use egui::{Label, RichText, Ui};

use super::action::Action;
use super::chain_line::knob_words;
use super::control::{action_button_ui, name_control, named_button_ui, quiet_ui};
use super::key_search::{FoundKey, KeySearch};
use super::look::Look;
use super::number_text::format_number;
use super::state::State;
use crate::measure::key::key_suggestion::LevelPlace;

/// Most slides that are named for each side of a conflict. Source: chosen; the next search names others.
const NAMED_SLIDES: usize = 4;

/// The button, the progress, the result.
pub(super) fn key_search_ui(ui: &mut Ui, state: &mut State) {
    let label = "Find a key for this deck";
    let tooltip = "Looks through all slides for the threshold and softness that drop every background and keep all content. K.";
    let response = named_button_ui(ui, label, tooltip);
    if response.clicked() {
        state.apply(Action::SearchKey);
    }
    // Asked for by its key, it may lie beyond what is visible.
    let is_asked = matches!(state.key_search, KeySearch::Wanted | KeySearch::Running(_));
    let remembered = ui.scope_id().with("key search asked for");
    let was_asked = ui.data(|data| data.get_temp(remembered).unwrap_or(false));
    if is_asked && !was_asked {
        response.scroll_to_me(None);
    }
    ui.data_mut(|data| data.insert_temp(remembered, is_asked));
    match state.key_search.clone() {
        KeySearch::Idle => {}
        KeySearch::Wanted => quiet_ui(ui, "Looking through the slides."),
        KeySearch::Running([done, all]) => {
            quiet_ui(
                ui,
                &format!("Looking through the slides: {done} of {all} done."),
            );
        }
        KeySearch::Failed(why) => {
            let color = Look::of(ui.ctx()).error;
            ui.add(Label::new(RichText::new(why).color(color)).wrap());
        }
        KeySearch::Found(found) => found_ui(ui, state, &found),
    }
}

fn percent(value: f64) -> String {
    format!("{} %", format_number(value, 2))
}

fn found_ui(ui: &mut Ui, state: &mut State, found: &FoundKey) {
    let look = Look::of(ui.ctx());
    let suggestion = &found.suggestion;
    let key = suggestion.key;
    let words = format!(
        "{}: threshold {}, softness {}.",
        if suggestion.conflict.is_some() {
            "Best compromise"
        } else {
            "Found"
        },
        percent(key.threshold_percent()),
        percent(key.softness_percent()),
    );
    ui.add(Label::new(RichText::new(words).strong()).wrap());
    if let Some(words) = knob_words(state, &key) {
        quiet_ui(ui, &format!("On your mixer: {words}."));
    }
    for words in margin_words(found) {
        quiet_ui(ui, &words);
    }
    if let Some(words) = warning_words(found, state) {
        ui.add(Label::new(RichText::new(words).color(look.warning)).wrap());
    }
    let in_force = state.settings().key;
    let [threshold, softness] = [key.threshold_percent(), key.softness_percent()];
    let used = in_force
        .with_threshold(threshold)
        .and_then(|key| key.with_softness(softness));
    let is_used = used.is_ok_and(|used| used == in_force);
    if is_used {
        quiet_ui(ui, "This is the key in force.");
    } else {
        action_button_ui(
            ui,
            state,
            "Use this key",
            "Sets threshold and softness; Ctrl Z takes both back.",
            Action::UseFoundKey,
        );
    }
    places_ui(ui, state, found);
}

/// How far backgrounds and content are from the ramp; what a compromise costs.
fn margin_words(found: &FoundKey) -> Vec<String> {
    let suggestion = &found.suggestion;
    let mut words = Vec::new();
    let beyond = |margin: f64, clear: &str, reached: &str| {
        let side = if margin < 0.0 { reached } else { clear };
        format!("{} {side}", percent(margin.abs()))
    };
    if let (Some(ceiling), Some(margin)) = (suggestion.ceiling, suggestion.margin_below()) {
        words.push(format!(
            "Backgrounds reach {}, {}.",
            percent(ceiling.percent),
            beyond(margin, "below the threshold", "above the threshold"),
        ));
    }
    if let (Some(floor), Some(margin)) = (suggestion.floor, suggestion.margin_above()) {
        words.push(format!(
            "Content starts at {}, {}.",
            percent(floor.percent),
            beyond(margin, "above the ramp", "below the end of the ramp"),
        ));
    }
    if suggestion.conflict.is_some() {
        words.push(format!(
            "This key loses {} of the content and adds {} luma of haze; the one in force when the search began loses {} and adds {}.",
            percent(suggestion.cost.content_lost_percent),
            percent(suggestion.cost.haze_percent),
            percent(suggestion.current_cost.content_lost_percent),
            percent(suggestion.current_cost.haze_percent),
        ));
    }
    words
}

/// What limits the result.
fn warning_words(found: &FoundKey, state: &State) -> Option<String> {
    let mut words = Vec::new();
    if found.is_old(&state.settings_in_force()) {
        words.push("Placement, chain or luma changed since: look again.".to_owned());
    }
    if found.suggestion.conflict.is_some() {
        words.push("No key fits all: some backgrounds are as bright as some content.".to_owned());
    }
    match found.unreadable {
        0 => {}
        1 => words.push("1 slide cannot be read and did not count.".to_owned()),
        count => words.push(format!("{count} slides cannot be read and did not count.")),
    }
    (!words.is_empty()).then(|| words.join(" "))
}

/// Buttons that go to the slides that are in the way.
fn places_ui(ui: &mut Ui, state: &mut State, found: &FoundKey) {
    let suggestion = &found.suggestion;
    let (backgrounds, contents): (&[LevelPlace], &[LevelPlace]) = match &suggestion.conflict {
        Some(conflict) => (&conflict.backgrounds, &conflict.contents),
        None => (&[], &[]),
    };
    for (heading, what, places) in [
        ("Bright backgrounds", "background", backgrounds),
        ("Dark content", "content", contents),
        (
            "Not made for a key, left out",
            "background",
            &suggestion.not_dark,
        ),
    ] {
        let mut named: Vec<(usize, LevelPlace)> = Vec::new();
        for place in places {
            let Some(&index) = found.slides.get(place.slide) else {
                continue;
            };
            if named.iter().all(|(known, _)| *known != index) {
                named.push((index, *place));
            }
        }
        if named.is_empty() {
            continue;
        }
        let more = named.len().saturating_sub(NAMED_SLIDES);
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(format!("{heading}:")).weak());
            for (index, place) in named.iter().take(NAMED_SLIDES) {
                let label = format!("Slide {}, {}", index + 1, percent(place.percent));
                let name = format!(
                    "Go to slide {}, {what} at {}",
                    index + 1,
                    percent(place.percent)
                );
                let response = ui.button(label).on_hover_text(name.as_str());
                name_control(&response, name.as_str());
                if response.clicked() {
                    state.apply(Action::GoToPlace(*index, place.bounds));
                }
            }
            if more > 0 {
                ui.label(RichText::new(format!("and {more} more")).weak());
            }
        });
    }
}
