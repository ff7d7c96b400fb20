//! What is shown and how large, and the buttons of the window.

use egui::{Slider, Ui, vec2};

use super::action::Action;
use super::control::{
    Choice, action_button_ui, choice, choices_ui, explained, name_control, rows_ui, toggle_ui,
};
use super::number_field::{NumberChange, NumberField, Rail, field_ui, stepped};
use super::state::State;
use super::zooming::Zoom;
use crate::pixel::views::View;

/// The views with what they tell.
pub(super) const VIEWS: [Choice<View>; 6] = [
    choice(
        View::Composite,
        "Composite",
        "The slide keyed over the camera: what is recorded.",
    ),
    choice(
        View::Matte,
        "Matte",
        "How much of the slide is kept: black dropped, white solid.",
    ),
    choice(View::Camera, "Camera", "The camera alone."),
    choice(
        View::Slide,
        "Slide",
        "The slide alone, as it reaches the key.",
    ),
    choice(
        View::Kept,
        "Kept",
        "What the key leaves of the slide: filled green is solid, checked yellow is in the ramp (half transparent), barred orange is dropped.",
    ),
    choice(
        View::Exposure,
        "Exposure",
        "The camera in grey: blue dots where it is near black, checks where it is too bright.",
    ),
];

/// Where the dividing line can be, percent of the picture area.
const DIVIDER_RAIL: Rail = Rail {
    ends: [0.0, 100.0],
    near_end: 100.0,
    step: 5.0,
};

/// Room beside the words of a button where the window is narrow, in points. Source: measured; with it all is in two rows
/// at 480.
const NARROW_PADDING: f32 = 4.0;
/// Widths of the two zoom buttons with their number, and of the number, in points: in a wide window and a narrow one.
/// Source: chosen by eye; the buttons and "100 %" fit.
const ZOOM_WIDTHS: [f32; 2] = [104.0, 84.0];
const PERCENT_WIDTHS: [f32; 2] = [46.0, 38.0];

/// Views, zoom and buttons, wrapped where the window is narrow.
pub(super) fn top_bar_ui(ui: &mut Ui, state: &mut State) {
    rows_ui(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            // One row at the width that the window opens with, two in the smallest window.
            ui.spacing_mut().item_spacing.x = 4.0;
            let apart = if state.is_narrow { 0.0 } else { 8.0 };
            if state.is_narrow {
                ui.spacing_mut().button_padding.x = NARROW_PADDING;
            }
            ui.scope(|ui| {
                let chosen = choices_ui(ui, "View", state.settings().view, &VIEWS);
                if let Some(view) = chosen {
                    state.apply(Action::LeftView(view));
                }
            });
            compare_ui(ui, state);
            ui.add_space(apart);
            zoom_ui(ui, state);
            ui.add_space(apart);
            window_buttons_ui(ui, state);
        });
        if state.right_view.is_some() {
            ui.horizontal_wrapped(|ui| right_view_ui(ui, state));
        }
    });
}

/// One view, or two with a line between them.
fn compare_ui(ui: &mut Ui, state: &mut State) {
    let compares = state.right_view.is_some();
    let response = explained(
        toggle_ui(ui, "Compare", compares),
        "Shows a second view right of a line that can be dragged.",
    );
    name_control(&response, "Compare");
    if response.clicked() {
        let second = match state.settings().view {
            View::Composite => View::Kept,
            _ => View::Composite,
        };
        state.apply(Action::RightView((!compares).then_some(second)));
    }
}

/// The view right of the line, and where the line is.
fn right_view_ui(ui: &mut Ui, state: &mut State) {
    let Some(right) = state.right_view else {
        return;
    };
    ui.weak("Right of the line");
    let chosen = ui.scope(|ui| choices_ui(ui, "Right of the line", right, &VIEWS));
    if let Some(view) = chosen.inner {
        state.apply(Action::RightView(Some(view)));
    }
    action_button_ui(
        ui,
        state,
        "Swap",
        "Exchanges left and right.",
        Action::SwapViews,
    );
    ui.weak("Line at");
    let mut percent = f64::from(state.divider) * 100.0;
    let tooltip = "Where the dividing line is: 0 at the left edge, 100 at the right.";
    let mut slid = None;
    if !state.is_narrow {
        ui.spacing_mut().slider_width = 90.0;
        let slider = Slider::new(&mut percent, 0.0..=100.0)
            .step_by(0.5)
            .show_value(false);
        let response = ui.add(slider).on_hover_text(tooltip);
        name_control(&response, "Line at");
        slid = if response.changed() {
            Some(NumberChange::Dragged(percent))
        } else {
            stepped(ui, &response, percent, DIVIDER_RAIL)
        };
    }
    let field = NumberField {
        name: "Line at",
        unit: "%",
        unit_spoken: "percent",
        tooltip,
        value: (f64::from(state.divider) * 1000.0).round() / 10.0,
    };
    let typed = field_ui(ui, field, false);
    if let Some(NumberChange::Set(value) | NumberChange::Dragged(value)) = typed.or(slid) {
        state.apply(Action::Divider(narrowed(value / 100.0)));
    }
}

/// A place from 0 to 1 in single precision.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen positions need no more"
)]
fn narrowed(share: f64) -> f32 {
    share as f32
}

/// How large the picture is.
fn zoom_ui(ui: &mut Ui, state: &mut State) {
    let fits = state.zoom == Zoom::Fit;
    let response = explained(toggle_ui(ui, "Fit", fits), "The whole picture.");
    name_control(&response, "Zoom: fit");
    if response.clicked() {
        state.apply(Action::ZoomFit);
    }
    let is_actual = state.zoom == Zoom::Scale(1.0);
    let response = explained(
        toggle_ui(ui, "1:1", is_actual),
        "One output pixel on one screen pixel, the sharpest.",
    );
    name_control(&response, "Zoom: one to one");
    if response.clicked() {
        state.apply(Action::ZoomActual);
    }
    // These stay together where the row is full.
    let size = vec2(
        ZOOM_WIDTHS[usize::from(state.is_narrow)],
        ui.spacing().interact_size.y,
    );
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(size, layout, |ui| {
        for (label, spoken, action) in [
            ("−", "Zoom out", Action::ZoomOut),
            ("+", "Zoom in", Action::ZoomIn),
        ] {
            let response = explained(ui.button(label), spoken);
            name_control(&response, spoken);
            if response.clicked() {
                state.apply(action);
            }
        }
        let percent = format!("{:.0} %", state.shown_scale * 100.0);
        let width = PERCENT_WIDTHS[usize::from(state.is_narrow)];
        ui.add_sized([width, 20.0], egui::Label::new(percent));
    });
}

/// Undo, save, light, output, keys.
fn window_buttons_ui(ui: &mut Ui, state: &mut State) {
    let undo = (
        state.can_undo(),
        "Undo",
        "Takes the last change of a setting back. Ctrl Z.",
        Action::Undo,
    );
    let redo = (
        state.can_redo(),
        "Redo",
        "Takes the last undo back. Ctrl Y.",
        Action::Redo,
    );
    for (enabled, label, tooltip, action) in [undo, redo] {
        let response = ui.add_enabled(enabled, egui::Button::new(label));
        let response = explained(response, tooltip);
        name_control(&response, label);
        if response.clicked() {
            state.apply(action);
        }
    }
    let (label, tooltip) = if state.has_unsaved_changes() {
        (
            "Save changes",
            "The setup has changes that are not saved. Ctrl S.",
        )
    } else {
        (
            "Save",
            "Saves the setup to a file. Nothing has changed since. Ctrl S.",
        )
    };
    action_button_ui(ui, state, label, tooltip, Action::Save);
    for (label, holds, tooltip, action) in [
        (
            "Clean output",
            state.output_on,
            "The composite alone, filling the presenter's monitor. F5.",
            Action::ToggleOutput,
        ),
        (
            "Dim",
            state.dimmed,
            "Darkens this window, so that it lights the glass less. The clean output stays as it is.",
            Action::ToggleDim,
        ),
        (
            "Keys",
            state.key_sheet_open,
            "All keys. Press ? for them.",
            Action::ToggleKeySheet,
        ),
        (
            "Findings",
            state.findings_open(),
            "Opens or closes the list of what was found on the slide. C.",
            Action::ToggleFindings,
        ),
        (
            "Inspect",
            state.inspect_open,
            "What was seen in the camera frame: go, or what is wrong and what to do. I.",
            Action::ToggleInspect,
        ),
        (
            "Settings",
            state.settings_open(),
            "Opens or closes the settings beside the picture. E.",
            Action::ToggleSettings,
        ),
    ] {
        if state.findings_are_beside && matches!(label, "Findings" | "Inspect") {
            // There the strip of slides has them.
            continue;
        }
        let shown = if state.is_narrow && label == "Clean output" {
            "Output"
        } else {
            label
        };
        let response = explained(toggle_ui(ui, shown, holds), tooltip);
        name_control(&response, label);
        if response.clicked() {
            state.apply(action);
        }
    }
}
