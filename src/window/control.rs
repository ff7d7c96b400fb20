//! The parts that every group of controls is made of: rows, choices, switches, refusals.

use egui::{Id, Layout, Rangef, Rect, Response, RichText, Tooltip, Ui, vec2};

use super::action::Action;
use super::edit::Setting;
use super::look::Look;
use super::state::State;

/// Width of the names left of the controls. Source: chosen by eye, fits `Background range`.
pub(super) const NAME_WIDTH: f32 = 88.0;

/// A group under a heading, with a sentence for people who do not know the words.
pub(super) fn group_ui(ui: &mut Ui, heading: &str, sentence: &str, add: impl FnOnce(&mut Ui)) {
    ui.add_space(6.0);
    ui.label(RichText::new(heading).heading().strong());
    if !sentence.is_empty() {
        quiet_ui(ui, sentence);
    }
    ui.add_space(2.0);
    add(ui);
    ui.add_space(6.0);
    ui.separator();
}

/// A line that explains.
pub(super) fn quiet_ui(ui: &mut Ui, text: &str) {
    ui.add(egui::Label::new(RichText::new(text).weak()).wrap());
}

/// A row with a name on the left.
pub(super) fn row_ui<R>(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        let height = ui.spacing().interact_size.y;
        ui.allocate_ui_with_layout(
            vec2(NAME_WIDTH, height),
            Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_width(NAME_WIDTH);
                ui.add(egui::Label::new(name).selectable(false).truncate());
            },
        );
        ui.horizontal_wrapped(add).inner
    })
    .inner
}

/// Gives a control the name that a screen reader says; while it has the keyboard it is in sight
/// and has a ring round it.
pub(super) fn name_control(response: &Response, name: impl Into<String>) {
    let name = name.into();
    response
        .ctx
        .accesskit_node_builder(response.id, |node| node.set_label(name));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    // A control that is partly scrolled away gets no ring, since it would reach over its panel.
    if response.has_focus() && response.interact_rect.contains_rect(response.rect) {
        let line = egui::Stroke::new(1.5, Look::of(&response.ctx).accent);
        let ring = response.rect.expand(2.0);
        let painter = response.ctx.layer_painter(response.layer_id);
        painter.rect_stroke(ring, 4.0, line, egui::StrokeKind::Middle);
    }
}

/// Draws rows of controls whose tooltips open above or below all of them, so that none lies over the next row.
pub(super) fn rows_ui<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let id = ui.make_persistent_id("rows");
    let rows = ui.data(|data| data.get_temp::<Rangef>(id));
    ui.data_mut(|data| data.insert_temp(rows_id(), rows));
    let response = ui.scope(add);
    // Where the rows are is known after they were drawn once.
    ui.data_mut(|data| {
        data.insert_temp(id, response.response.rect.y_range());
        data.remove::<Option<Rangef>>(rows_id());
    });
    response.inner
}

/// Where the rows that are being drawn keep their extent.
fn rows_id() -> Id {
    Id::unique("rows with tooltips beside them")
}

/// Explains a control while the pointer rests on it: beside it, or beside the rows that it is in.
pub(super) fn explained(response: Response, tooltip: &str) -> Response {
    let rows = response
        .ctx
        .data(|data| data.get_temp::<Option<Rangef>>(rows_id()))
        .flatten();
    let Some(rows) = rows else {
        return response.on_hover_text(tooltip);
    };
    let mut shown = Tooltip::for_enabled(&response);
    let anchor = Rect::from_x_y_ranges(response.rect.x_range(), rows);
    shown.popup = shown.popup.anchor(anchor);
    shown.show(|ui| ui.add(egui::Label::new(tooltip)));
    response
}

/// Why the last value was refused, beside its control.
pub(super) fn refusal_ui(ui: &mut Ui, state: &State, setting: Setting) {
    if let Some(text) = state.refusal(setting) {
        let color = Look::of(ui.ctx()).error;
        ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
    }
}

/// One of a few options.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice<T> {
    /// What it stands for.
    pub(super) value: T,
    /// What is written on it.
    pub(super) label: &'static str,
    /// What it does to the picture.
    pub(super) tooltip: &'static str,
}

/// An option with its words.
pub(super) const fn choice<T>(value: T, label: &'static str, tooltip: &'static str) -> Choice<T> {
    Choice {
        value,
        label,
        tooltip,
    }
}

/// A row of options of which one holds; the newly chosen one.
pub(super) fn choice_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    current: T,
    choices: &[Choice<T>],
) -> Option<T> {
    row_ui(ui, name, |ui| choices_ui(ui, name, current, choices))
}

/// The options without their name.
pub(super) fn choices_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    current: T,
    choices: &[Choice<T>],
) -> Option<T> {
    let mut chosen = None;
    ui.spacing_mut().item_spacing.x = 3.0;
    for choice in choices {
        let holds = choice.value == current;
        let response = explained(toggle_ui(ui, choice.label, holds), choice.tooltip);
        name_control(&response, format!("{name}: {}", choice.label));
        if response.clicked() && !holds {
            chosen = Some(choice.value);
        }
    }
    chosen
}

/// A button that shows whether it holds, by an underline as well as by colour.
pub(super) fn toggle_ui(ui: &mut Ui, label: &str, holds: bool) -> Response {
    let look = Look::of(ui.ctx());
    let fill = if holds {
        look.accent_fill
    } else {
        look.control
    };
    let response = ui.add(egui::Button::new(label).fill(fill).selected(holds));
    if holds {
        let rect = response.rect;
        let y = rect.bottom() - 1.5;
        let line = egui::Stroke::new(2.0, look.accent);
        ui.painter()
            .hline(rect.left() + 4.0..=rect.right() - 4.0, y, line);
    }
    response
}

/// A switch with its name beside it; the new value.
pub(super) fn switch_ui(ui: &mut Ui, name: &str, on: bool, tooltip: &str) -> Option<bool> {
    let mut new = on;
    let response = ui.checkbox(&mut new, name).on_hover_text(tooltip);
    name_control(&response, name);
    (new != on).then_some(new)
}

/// A button; whether it was pressed.
pub(super) fn button_ui(ui: &mut Ui, label: &str, tooltip: &str) -> bool {
    named_button_ui(ui, label, tooltip).clicked()
}

/// A button with its response.
pub(super) fn named_button_ui(ui: &mut Ui, label: &str, tooltip: &str) -> Response {
    let response = explained(ui.button(label), tooltip);
    name_control(&response, label);
    response
}

/// A button that does one thing.
pub(super) fn action_button_ui(
    ui: &mut Ui,
    state: &mut State,
    label: &str,
    tooltip: &str,
    action: Action,
) {
    if button_ui(ui, label, tooltip) {
        state.apply(action);
    }
}
