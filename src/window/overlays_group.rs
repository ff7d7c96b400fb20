//! Which of what was found in the camera frame is drawn over the picture.

use egui::Ui;

use super::action::Action;
use super::camera_check::CameraKnown;
use super::control::{group_ui, quiet_ui, switch_ui};
use super::overlays::Overlay;
use super::state::State;

/// A switch for each overlay.
pub(super) fn overlays_group_ui(ui: &mut Ui, state: &mut State) {
    let sentence =
        "What was found in the camera frame, drawn over any view. The clean output never has it.";
    group_ui(ui, "Overlays", sentence, |ui| {
        for overlay in Overlay::ALL {
            let shown = state.overlays.shows(overlay);
            let name = format!("Show {}", overlay.label());
            if switch_ui(ui, &name, shown, overlay.tooltip()).is_some() {
                state.apply(Action::ToggleOverlay(overlay));
            }
        }
        if let Some(words) = nothing_words(state) {
            quiet_ui(ui, words);
        }
    });
}

/// Why nothing of it is seen although it is switched on.
fn nothing_words(state: &State) -> Option<&'static str> {
    if Overlay::ALL.iter().all(|one| !state.overlays.shows(*one)) {
        return None;
    }
    match state.camera_check.known() {
        CameraKnown::NoCamera => Some("There is no camera picture."),
        CameraKnown::Looking => Some("The camera picture is being looked at."),
        CameraKnown::Failed(_) => Some("The camera picture cannot be looked at."),
        CameraKnown::Seen(_) => None,
    }
}
