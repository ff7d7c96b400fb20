//! Which camera picture, slides and setup are open.

use std::path::Path;

use egui::{RichText, Ui};

use super::action::{Action, FileKind};
use super::control::{group_ui, name_control, quiet_ui, row_ui};
use super::state::State;

/// A row each for camera, slides and setup.
pub(super) fn files_group_ui(ui: &mut Ui, state: &mut State) {
    let sentence = "Pictures and setups can also be dropped on the window.";
    group_ui(ui, "Files", sentence, |ui| {
        let missing = if state.has_built_in_camera() {
            "built-in example"
        } else {
            "none, black"
        };
        let camera = state.setup().camera.as_deref();
        let camera = camera.map_or_else(|| missing.to_owned(), file_name);
        let like = state.setup().like.as_deref();
        let like = like.map_or_else(|| "none, nothing is compared".to_owned(), file_name);
        let count = state.slide_names().len();
        let slides = match count {
            0 => "none".to_owned(),
            1 => "1 slide".to_owned(),
            count => format!("{count} slides"),
        };
        let setup = state.setup_path();
        let setup = setup.map_or_else(|| "not in a file yet".to_owned(), file_name);
        file_row_ui(
            ui,
            state,
            "Camera",
            &camera,
            &[
                (
                    "Open",
                    "Opens a camera picture",
                    Action::Open(FileKind::Camera),
                ),
                (
                    "Type path",
                    "Type the path of a camera picture",
                    Action::TypePath(FileKind::Camera),
                ),
            ],
        );
        like_row_ui(ui, state, &like);
        file_row_ui(
            ui,
            state,
            "Slides",
            &slides,
            &[
                ("Open", "Opens slides", Action::Open(FileKind::Slides)),
                (
                    "Type path",
                    "Type the path of a slide, a folder of slides or a PDF",
                    Action::TypePath(FileKind::Slides),
                ),
            ],
        );
        file_row_ui(
            ui,
            state,
            "Setup",
            &setup,
            &[
                ("Load", "Loads a setup", Action::Open(FileKind::LoadSetup)),
                (
                    "Save as",
                    "Saves the setup under another name",
                    Action::Open(FileKind::SaveSetup),
                ),
                (
                    "Type path",
                    "Type the path of a setup to load",
                    Action::TypePath(FileKind::LoadSetup),
                ),
            ],
        );
        if state.has_unsaved_changes() {
            quiet_ui(ui, "The setup has changes that are not saved.");
        }
        if !state.is_demonstration() {
            let tooltip = "Shows the built-in pictures instead of your own.";
            super::control::action_button_ui(
                ui,
                state,
                "Show the example",
                tooltip,
                Action::ShowDemonstration,
            );
        }
    });
}

/// The frame that the camera is compared with.
fn like_row_ui(ui: &mut Ui, state: &mut State, open: &str) {
    let mut buttons = vec![
        (
            "Open",
            "Opens a camera frame of the last good setup: inspecting the camera (I) then tells what has changed since",
            Action::Open(FileKind::Like),
        ),
        (
            "Type path",
            "Type the path of a camera frame of the last good setup",
            Action::TypePath(FileKind::Like),
        ),
    ];
    if state.setup().like.is_some() {
        buttons.push((
            "Leave out",
            "Compares the camera with nothing any more",
            Action::LeaveOutLike,
        ));
    }
    file_row_ui(ui, state, "Last good", open, &buttons);
}

/// What is open, and what can be done about it.
fn file_row_ui(
    ui: &mut Ui,
    state: &mut State,
    name: &str,
    open: &str,
    buttons: &[(&str, &str, Action)],
) {
    row_ui(ui, name, |ui| {
        ui.vertical(|ui| {
            ui.add(egui::Label::new(RichText::new(open)).truncate());
            ui.horizontal(|ui| {
                for (label, spoken, action) in buttons {
                    let response = ui.button(*label).on_hover_text(*spoken);
                    name_control(&response, *spoken);
                    if response.clicked() {
                        state.apply(action.clone());
                    }
                }
            });
        });
    });
}

/// The last part of a path.
pub(super) fn file_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}
