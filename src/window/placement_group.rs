//! Where camera and slide lie on the output.

use egui::Ui;

use super::action::Action;
use super::control::{
    Choice, NAME_WIDTH, action_button_ui, choice, choice_ui, group_ui, refusal_ui, row_ui,
    switch_ui,
};
use super::edit::{Edit, Setting};
use super::number_field::{NumberField, apply_number, field_ui};
use super::state::State;
use crate::pixel::settings::{Fit, SlidePlace, Turn};

const CAMERA_FITS: [Choice<Fit>; 3] = [
    choice(
        Fit::Fill,
        "fill",
        "Fills the output; what sticks out is cut off.",
    ),
    choice(
        Fit::Fit,
        "fit",
        "The whole camera picture, with black beside it.",
    ),
    choice(
        Fit::Stretch,
        "stretch",
        "Squeezed to the shape of the output.",
    ),
];

const SLIDE_FITS: [Choice<Fit>; 3] = [
    choice(
        Fit::Fill,
        "fill",
        "Fills its place; what sticks out is cut off.",
    ),
    choice(Fit::Fit, "fit", "The whole slide, with black beside it."),
    choice(
        Fit::Stretch,
        "stretch",
        "Squeezed to the shape of its place.",
    ),
];

const TURNS: [Choice<Turn>; 4] = [
    choice(Turn::None, "0°", "As it came from the camera."),
    choice(Turn::Quarter, "90°", "A quarter turn clockwise."),
    choice(Turn::Half, "180°", "Upside down."),
    choice(
        Turn::ThreeQuarters,
        "270°",
        "A quarter turn counter-clockwise.",
    ),
];

/// Turn, mirror, fit and the slide's place.
pub(super) fn placement_group_ui(ui: &mut Ui, state: &mut State) {
    let sentence = "How camera and slide lie in the picture.";
    group_ui(ui, "Placement", sentence, |ui| {
        let placement = state.settings().placement;
        let turn = choice_ui(ui, "Turn camera", placement.turn_camera, &TURNS);
        apply_edit(state, turn.map(Edit::TurnCamera));
        let mirrored = row_ui(ui, "", |ui| {
            switch_ui(
                ui,
                "Mirror camera",
                placement.mirror_camera,
                "Flips the camera left to right. Right when the writing on the glass can be read.",
            )
        });
        apply_edit(state, mirrored.map(Edit::MirrorCamera));
        let fit = choice_ui(ui, "Camera fit", placement.camera_fit, &CAMERA_FITS);
        apply_edit(state, fit.map(Edit::CameraFit));
        let fit = choice_ui(ui, "Slide fit", placement.slide_fit, &SLIDE_FITS);
        apply_edit(state, fit.map(Edit::SlideFit));
        let mirrored = row_ui(ui, "", |ui| {
            switch_ui(
                ui,
                "Mirror slide",
                placement.mirror_slide,
                "Flips the slide left to right, text included.",
            )
        });
        apply_edit(state, mirrored.map(Edit::MirrorSlide));
        slide_place_ui(ui, state);
    });
}

/// The four numbers of the slide's rectangle.
fn slide_place_ui(ui: &mut Ui, state: &mut State) {
    let place = state.settings().placement.slide_place;
    for (pair, row_name) in [([0, 1], "Slide place"), ([2, 3], "")] {
        row_ui(ui, row_name, |ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            for index in pair {
                let (label, name, tooltip) = [
                    (
                        "x",
                        "Slide place x",
                        "Left edge of the slide, in percent of the output's width. 0 is the left edge.",
                    ),
                    (
                        "y",
                        "Slide place y",
                        "Top edge of the slide, in percent of the output's height. 0 is the top.",
                    ),
                    (
                        "w",
                        "Slide place width",
                        "Width of the slide, in percent of the output's width. 100 is all of it.",
                    ),
                    (
                        "h",
                        "Slide place height",
                        "Height of the slide, in percent of the output's height. 100 is all of it.",
                    ),
                ][index];
                ui.weak(label);
                let field = NumberField {
                    name,
                    unit: "%",
                    unit_spoken: "percent",
                    tooltip,
                    value: place.percent()[index],
                };
                let change = field_ui(ui, field, false);
                apply_number(state, Setting::SlidePlace, change, |value| {
                    let mut percent = place.percent();
                    percent[index] = value;
                    Edit::SlidePlace(percent)
                });
            }
        });
    }
    refusal_ui(ui, state, Setting::SlidePlace);
    if place != SlidePlace::default() {
        ui.horizontal(|ui| {
            ui.add_space(NAME_WIDTH + 6.0);
            let whole = SlidePlace::default().percent();
            action_button_ui(
                ui,
                state,
                "Over the whole output",
                "Puts the slide back over the whole output.",
                Action::Edit(Edit::SlidePlace(whole)),
            );
        });
    }
}

/// Applies a choice that was made.
pub(super) fn apply_edit(state: &mut State, edit: Option<Edit>) {
    if let Some(edit) = edit {
        state.apply(Action::Edit(edit));
    }
}
