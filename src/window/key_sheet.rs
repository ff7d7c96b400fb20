//! The sheet of keys, made from the table of keys.

use egui::{Grid, RichText, Ui};

use super::action::Action;
use super::chord::Chord;
use super::control::{action_button_ui, quiet_ui};
use super::keys::{BINDINGS, Section};
use super::state::State;

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
    egui::ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| {
            for section in Section::ALL {
                ui.add_space(8.0);
                ui.label(RichText::new(section.heading()).strong());
                section_ui(ui, section);
            }
        });
}

/// One part of the sheet.
fn section_ui(ui: &mut Ui, section: Section) {
    Grid::new(("keys", section.heading()))
        .num_columns(2)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            let lines = BINDINGS.chunk_by(|a, b| a.words == b.words);
            for line in lines.filter(|line| line[0].section == section) {
                let chords = line.iter().flat_map(|binding| binding.chords);
                let chords = chords_words(&chords.copied().collect::<Vec<_>>());
                ui.scope(|ui| {
                    ui.set_width(100.0);
                    ui.add(
                        egui::Label::new(RichText::new(chords).color(ui.visuals().text_color()))
                            .wrap(),
                    );
                });
                ui.scope(|ui| {
                    ui.set_width(ui.available_width().max(120.0));
                    ui.add(egui::Label::new(RichText::new(line[0].words).weak()).wrap());
                });
                ui.end_row();
            }
        });
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
