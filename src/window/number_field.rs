//! A number that can be typed, and dragged on a slider or stepped with + and -.
//! Arrow keys never change it: they belong to the slide clicker.

use egui::text::CCursorRange;
use egui::{Event, Key, Response, Slider, TextEdit, Ui};

use super::action::Action;
use super::control::{name_control, refusal_ui, row_ui};
use super::edit::{Edit, Setting};
use super::number_text::{format_number, parse_number};
use super::state::State;

/// Width of the field that is typed into. Source: chosen by eye, fits `-100.25`.
const FIELD_WIDTH: f32 = 52.0;
/// Decimals that are shown at most.
const MAX_DECIMALS: usize = 3;

/// What a field is about.
#[derive(Clone, Copy, Debug)]
pub(super) struct NumberField<'a> {
    /// What it is called.
    pub(super) name: &'a str,
    /// What is written behind the number.
    pub(super) unit: &'a str,
    /// The unit as it is spoken.
    pub(super) unit_spoken: &'a str,
    /// What each end does to the picture.
    pub(super) tooltip: &'a str,
    /// Its value now.
    pub(super) value: f64,
}

/// What a slider adds to a field.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rail {
    /// Smallest and largest value.
    pub(super) ends: [f64; 2],
    /// Where the rail ends as long as the value is below: the part that matters, in full length.
    pub(super) near_end: f64,
    /// What + and - add and take.
    pub(super) step: f64,
}

/// What happened to a number.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum NumberChange {
    /// A finished change.
    Set(f64),
    /// A change while something is held.
    Dragged(f64),
    /// What was held was let go.
    DragEnded,
    /// What was typed is no number.
    Refused(String),
}

/// Passes a change on.
pub(super) fn apply_number(
    state: &mut State,
    setting: Setting,
    change: Option<NumberChange>,
    edit_to: impl Fn(f64) -> Edit,
) {
    match change {
        None => {}
        Some(NumberChange::Set(value)) => state.apply(Action::Edit(edit_to(value))),
        Some(NumberChange::Dragged(value)) => state.apply(Action::Drag(edit_to(value))),
        Some(NumberChange::DragEnded) => state.apply(Action::EndDrag),
        Some(NumberChange::Refused(text)) => state.apply(Action::Refuse(setting, text)),
    }
}

/// A row with name, slider, field and unit, and the refusal under it.
pub(super) fn slider_row_ui(
    ui: &mut Ui,
    state: &mut State,
    setting: Setting,
    field: NumberField<'_>,
    rail: Rail,
    edit_to: impl Fn(f64) -> Edit,
) {
    let wants_focus = state.focus == Some(setting);
    let change = row_ui(ui, field.name, |ui| {
        let unit_width = 18.0;
        let gaps = 2.0 * ui.spacing().item_spacing.x;
        let rest = ui.available_width() - FIELD_WIDTH - unit_width - gaps - 10.0;
        let slid = rail_ui(ui, field, rail, rest.max(60.0));
        let typed = field_ui(ui, field, wants_focus);
        typed.or(slid)
    });
    if wants_focus {
        state.focus = None;
    }
    apply_number(state, setting, change, edit_to);
    refusal_ui(ui, state, setting);
}

/// The slider alone.
fn rail_ui(ui: &mut Ui, field: NumberField<'_>, rail: Rail, width: f32) -> Option<NumberChange> {
    let [start, end] = rail.ends;
    let far_id = ui.unique_id().with((field.name, "far"));
    let was_far = ui.data(|data| data.get_temp::<bool>(far_id).unwrap_or(false));
    let shown_end = if was_far { end } else { rail.near_end };
    let mut value = field.value;
    ui.spacing_mut().slider_width = width;
    let response = ui
        .add(
            Slider::new(&mut value, start..=shown_end)
                .clamping(egui::SliderClamping::Never)
                .step_by(0.1)
                .show_value(false),
        )
        .on_hover_text(field.tooltip);
    name_control(&response, field.name);
    if !response.dragged() {
        // While it is dragged the rail keeps its scale, else the handle would jump.
        let is_far = field.value > rail.near_end;
        ui.data_mut(|data| data.insert_temp(far_id, is_far));
        if is_far != was_far {
            ui.request_repaint();
        }
    }
    if response.drag_stopped() {
        return Some(NumberChange::DragEnded);
    }
    if response.changed() {
        return Some(NumberChange::Dragged(value.clamp(start, end)));
    }
    stepped(ui, &response, field.value, rail)
}

/// The value after + or - was pressed on a focused control.
pub(super) fn stepped(
    ui: &Ui,
    response: &Response,
    value: f64,
    rail: Rail,
) -> Option<NumberChange> {
    if !response.has_focus() {
        return None;
    }
    let mut steps = 0.0;
    let mut held = false;
    ui.input_mut(|input| {
        input.events.retain(|event| match event {
            Event::Key {
                key: key @ (Key::Plus | Key::Equals | Key::Minus),
                pressed: true,
                repeat,
                modifiers,
                ..
            } if !modifiers.command && !modifiers.alt => {
                steps += if *key == Key::Minus { -1.0 } else { 1.0 };
                held |= *repeat;
                false
            }
            _ => true,
        });
    });
    if steps == 0.0 {
        return None;
    }
    let [start, end] = rail.ends;
    // Sums of tenths drift in binary; nobody types more decimals than these.
    let sum = ((value + steps * rail.step) * 1e6).round() / 1e6;
    let new = sum.clamp(start, end);
    Some(if held {
        NumberChange::Dragged(new)
    } else {
        NumberChange::Set(new)
    })
}

/// The field that is typed into, with the unit behind it. Enter or leaving takes the text, Escape does not.
pub(super) fn field_ui(
    ui: &mut Ui,
    field: NumberField<'_>,
    wants_focus: bool,
) -> Option<NumberChange> {
    let shown = format_number(field.value, MAX_DECIMALS);
    let spoken = if field.unit_spoken.is_empty() {
        format!("{} as a number", field.name)
    } else {
        format!("{} in {}", field.name, field.unit_spoken)
    };
    let text = text_field_ui(ui, &spoken, &shown, field.tooltip, FIELD_WIDTH, wants_focus);
    if !field.unit.is_empty() {
        ui.weak(field.unit);
    }
    match text.map(|text| parse_number(&text, field.unit)) {
        None => None,
        Some(Ok(value)) => Some(NumberChange::Set(value)),
        Some(Err(refusal)) => Some(NumberChange::Refused(refusal)),
    }
}

/// A field whose text is taken as a whole when it is left; the text if it is a new one.
pub(super) fn text_field_ui(
    ui: &mut Ui,
    name: &str,
    shown: &str,
    tooltip: &str,
    width: f32,
    wants_focus: bool,
) -> Option<String> {
    let id = ui.make_persistent_id(("field", name));
    let draft_id = id.with("draft");
    let draft = ui.data(|data| data.get_temp::<String>(draft_id));
    let mut text = draft.unwrap_or_else(|| shown.to_owned());
    let edit = TextEdit::singleline(&mut text).id(id).desired_width(width);
    let response = ui.add(edit).on_hover_text(tooltip);
    name_control(&response, name);
    if wants_focus {
        response.request_focus();
    }
    if response.gained_focus() {
        let mut edit_state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
        edit_state
            .cursor
            .set_char_range(Some(CCursorRange::select_all_str(&text)));
        TextEdit::store_state(ui.ctx(), id, edit_state);
    }
    if response.lost_focus() {
        ui.data_mut(|data| data.remove::<String>(draft_id));
        let dropped = ui.input(|input| input.key_pressed(Key::Escape));
        return (!dropped && text != shown).then_some(text);
    }
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(draft_id, text));
    }
    None
}
