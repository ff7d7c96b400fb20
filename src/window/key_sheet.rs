//! The sheet of keys, made from the table of keys.

use egui::{Align, Label, Layout, RichText, Ui, vec2};

use super::action::Action;
use super::binding::Section;
use super::chord::Chord;
use super::control::{action_button_ui, quiet_ui};
use super::keys::BINDINGS;
use super::panel_scroll::{TextPanel, panel_scroll_ui};
use super::state::State;

/// Part of the width that the keys have beside what they do. Source: chosen by eye.
const CHORDS_SHARE: f32 = 0.36;

/// All keys with what they do.
pub(super) fn key_sheet_ui(ui: &mut Ui, state: &mut State) {
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Keys").heading().strong());
        action_button_ui(
            ui,
            state,
            "Close the sheet",
            "Closes this sheet. ? or Esc.",
            Action::ToggleKeySheet,
        );
    });
    quiet_ui(
        ui,
        "Tab walks from control to control. Space or Enter presses a button; plus and minus step a slider.",
    );
    panel_scroll_ui(ui, state, TextPanel::Keys, |ui, _| {
        ui.spacing_mut().interact_size.y = 0.0;
        for section in Section::ALL {
            ui.add_space(8.0);
            ui.label(RichText::new(section.heading()).strong());
            section_ui(ui, section);
        }
    });
}

/// One part of the sheet.
fn section_ui(ui: &mut Ui, section: Section) {
    let chords_width = CHORDS_SHARE * ui.available_width();
    let lines = BINDINGS.chunk_by(|a, b| a.words == b.words);
    for line in lines.filter(|line| line[0].section == section) {
        let chords = line.iter().flat_map(|binding| binding.chords);
        let chords = chords_words(&chords.copied().collect::<Vec<_>>());
        let chords = RichText::new(chords).color(ui.visuals().text_color());
        ui.horizontal_top(|ui| {
            let downwards = Layout::top_down(Align::Min);
            let words_width = ui.available_width() - chords_width - ui.spacing().item_spacing.x;
            ui.allocate_ui_with_layout(vec2(chords_width, 0.0), downwards, |ui| {
                ui.set_width(chords_width);
                ui.add(Label::new(chords).wrap());
            });
            ui.allocate_ui_with_layout(vec2(words_width, 0.0), downwards, |ui| {
                ui.add(Label::new(RichText::new(line[0].words).weak()).wrap());
            });
        });
    }
}

/// The chords in a row; what is held with all of them is named once.
fn chords_words(chords: &[Chord]) -> String {
    let joined = |words: Vec<String>| words.join(", ");
    let held = chords.first().map_or("", |chord| chord.held.words());
    let is_same = |chord: &Chord| chord.held.words() == held;
    if chords.len() > 1 && !held.is_empty() && chords.iter().all(is_same) {
        let keys = chords.iter().map(|chord| chord.key_words().to_owned());
        return format!("{held} with {}", joined(keys.collect()));
    }
    joined(chords.iter().map(|chord| chord.words()).collect())
}
