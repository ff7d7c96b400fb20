//! The clean output: the composite alone on the presenter's monitor.

use egui::Ui;

use super::action::Action;
use super::control::{group_ui, name_control, quiet_ui, switch_ui, toggle_ui};
use super::edit::Edit;
use super::placement_group::apply_edit;
use super::state::State;

/// On and off, which monitor, and its flip.
pub(super) fn output_group_ui(ui: &mut Ui, state: &mut State) {
    let sentence = "The composite alone, filling a monitor that the presenter sees.";
    group_ui(ui, "Clean output", sentence, |ui| {
        let label = if state.output_on {
            "Clean output is on"
        } else {
            "Start clean output"
        };
        let toggle = toggle_ui(ui, label, state.output_on)
            .on_hover_text("Nothing else ever appears on it. F5 starts and ends it.");
        name_control(&toggle, label);
        if toggle.clicked() {
            state.apply(Action::ToggleOutput);
        }
        for index in 0..state.monitors.len() {
            let monitor = &state.monitors[index];
            let [width, height] = monitor.size;
            let label = format!("{}. {}, {width} × {height}", index + 1, monitor.name);
            let chosen = index == state.monitor_index;
            let response = ui
                .radio(chosen, label.as_str())
                .on_hover_text("The monitor that the clean output fills.");
            name_control(&response, format!("Monitor {label}"));
            if response.clicked() {
                state.apply(Action::ChooseMonitor(index));
            }
        }
        if state.monitors.len() < 2 {
            quiet_ui(
                ui,
                "Only one monitor is connected; the clean output will cover this window. Esc brings it back.",
            );
        }
        let switched = switch_ui(
            ui,
            "Mirror monitor",
            state.setup().mirror_monitor,
            "Flips that monitor left to right, so that pointing at the glass feels right. Recordings and files stay as they are.",
        );
        apply_edit(state, switched.map(Edit::MirrorMonitor));
    });
}
