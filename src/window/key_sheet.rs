//! The sheet of keys, made from the table of keys.

use egui::{Grid, RichText, Ui};

use super::control::{action_button_ui, quiet_ui};
use super::keys::{BINDINGS, Section};
use super::state::State;
use crate::window::action::Action;

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
            for binding in BINDINGS.iter().filter(|b| b.section == section) {
                let chords = binding.chords.iter().map(|chord| chord.words());
                let chords = chords.collect::<Vec<_>>().join(", ");
                ui.scope(|ui| {
                    ui.set_width(104.0);
                    ui.add(
                        egui::Label::new(RichText::new(chords).color(ui.visuals().text_color()))
                            .wrap(),
                    );
                });
                ui.scope(|ui| {
                    ui.set_width(ui.available_width().max(120.0));
                    ui.add(egui::Label::new(RichText::new(binding.words).weak()).wrap());
                });
                ui.end_row();
            }
        });
}
