//! The zones for the slide shown, as a list with what can be changed about each.

use egui::accesskit::Role;
use egui::{RichText, Ui};

use super::action::Action;
use super::control::{
    Choice, action_button_ui, choice, choice_ui, group_ui, name_control, quiet_ui, refusal_ui,
    row_ui, switch_ui, toggle_ui,
};
use super::edit::Setting;
use super::number_field::{NumberChange, NumberField, field_ui, text_field_ui};
use super::state::State;
use super::zone_drawing::kind_word;
use super::zone_edit::ZoneEdit;
use super::zone_tool::ZoneKey;
use crate::measure::space::zone::{Zone, ZoneKind};

const KINDS: [Choice<ZoneKind>; 3] = [
    choice(
        ZoneKind::KeepOut,
        kind_word(ZoneKind::KeepOut),
        "Slides have no content in it.",
    ),
    choice(
        ZoneKind::KeepIn,
        kind_word(ZoneKind::KeepIn),
        "Slides have no content outside of it, or of the others of this kind.",
    ),
    choice(
        ZoneKind::WriteHere,
        kind_word(ZoneKind::WriteHere),
        "Writing over the slide is meant there: nothing is said about covered writing.",
    ),
];

/// The four numbers of a zone.
const SIDES: [(&str, &str, &str); 4] = [
    (
        "x",
        "Zone x",
        "Left edge of the zone, in percent of the output's width. 0 is the left edge.",
    ),
    (
        "y",
        "Zone y",
        "Top edge of the zone, in percent of the output's height. 0 is the top.",
    ),
    (
        "w",
        "Zone width",
        "Width of the zone, in percent of the output's width.",
    ),
    (
        "h",
        "Zone height",
        "Height of the zone, in percent of the output's height.",
    ),
];

/// Height of the fields of a zone in points. Source: measured by eye.
const FIELDS_HEIGHT: f32 = 170.0;

/// The list, how zones are made, and the selected one.
pub(super) fn zones_group_ui(ui: &mut Ui, state: &mut State) {
    let sentence = "Where content of slides is to be, where not, and where one writes over it.";
    group_ui(ui, "Zones", sentence, |ui| {
        let tooltip = "Draws the zones over the picture. Z.";
        if switch_ui(ui, "Show zones", state.zone_tool.shown, tooltip).is_some() {
            state.apply(Action::ToggleZones);
        }
        ui.horizontal_wrapped(|ui| {
            let response = toggle_ui(ui, "Draw a zone", state.zone_tool.drawing)
                .on_hover_text("The next drag over the picture draws a zone. W.");
            name_control(&response, "Draw a zone");
            if response.clicked() {
                state.apply(Action::DrawZone);
            }
            let tooltip = "Puts a zone into the middle of what is visible. Ctrl W.";
            action_button_ui(ui, state, "Add a zone", tooltip, Action::AddZone);
        });
        list_ui(ui, state);
        let selected = state.selected_zone();
        bring_into_sight(ui, selected);
        if let Some(index) = selected {
            selected_ui(ui, state, index);
        }
        refusal_ui(ui, state, Setting::Zones);
    });
}

/// A line for each zone.
fn list_ui(ui: &mut Ui, state: &mut State) {
    let selected = state.selected_zone();
    let mut clicked = None;
    let zones = state.zones_of_slide();
    for (index, zone) in &zones {
        let holds = selected == Some(*index);
        let words = format!(
            "{}: {}{}",
            zone.name,
            kind_word(zone.kind),
            scope_words(zone)
        );
        let response = ui.selectable_label(holds, &words);
        response.widget_info(|| egui::WidgetInfo::selected(Role::Button, true, holds, &words));
        name_control(&response, format!("Zone {}, {words}", index + 1));
        if response.clicked() {
            clicked = Some((!holds).then_some(*index));
        }
    }
    let others = state.setup().zones.len() - zones.len();
    if others > 0 {
        let (count, are) = if others == 1 {
            ("zone", "is")
        } else {
            ("zones", "are")
        };
        quiet_ui(
            ui,
            &format!("{others} more {count} {are} for other slides."),
        );
    }
    if let Some(index) = clicked {
        state.apply(Action::SelectZone(index));
    }
}

/// For whom a zone is, where that is not the whole deck.
fn scope_words(zone: &Zone) -> &'static str {
    if zone.slide.is_some() || zone.page.is_some() {
        ", this slide"
    } else {
        ""
    }
}

/// What can be changed about a zone.
fn selected_ui(ui: &mut Ui, state: &mut State, index: usize) {
    let Some(zone) = state.setup().zones.get(index).cloned() else {
        return;
    };
    let wants_focus = state.focus == Some(Setting::Zones);
    let name = row_ui(ui, "Name", |ui| {
        let tooltip = "What findings call the zone. R.";
        text_field_ui(
            ui,
            "Name of the zone",
            &zone.name,
            tooltip,
            190.0,
            wants_focus,
        )
    });
    if wants_focus {
        state.focus = None;
    }
    let kind = choice_ui(ui, "Kind", zone.kind, &KINDS);
    for edit in [
        name.map(|name| ZoneEdit::Rename(index, name)),
        kind.map(|kind| ZoneEdit::Kind(index, kind)),
    ] {
        apply(state, edit);
    }
    place_ui(ui, state, index, &zone);
    let alone = zone.slide.is_some() || zone.page.is_some();
    let tooltip = "Off, the zone is for the whole deck. U.";
    let switched = row_ui(ui, "", |ui| {
        switch_ui(ui, "For this slide alone", alone, tooltip)
    });
    apply(state, switched.map(|on| ZoneEdit::ForSlideShown(index, on)));
    row_ui(ui, "", |ui| {
        let tooltip = "Takes the zone away. Delete.";
        action_button_ui(
            ui,
            state,
            "Delete the zone",
            tooltip,
            Action::ZoneKey(ZoneKey::Remove),
        );
    });
}

/// Scrolls to what follows where the zone was selected just now, in the picture say.
fn bring_into_sight(ui: &Ui, selected: Option<usize>) {
    let id = ui.make_persistent_id("zone in sight");
    let before = ui.data(|data| data.get_temp::<Option<usize>>(id).flatten());
    if selected.is_some() && before != selected {
        let below = egui::Rect::from_min_size(ui.cursor().min, egui::vec2(10.0, FIELDS_HEIGHT));
        ui.scroll_to_rect(below, Some(egui::Align::Center));
    }
    ui.data_mut(|data| data.insert_temp(id, selected));
}

/// The four numbers.
fn place_ui(ui: &mut Ui, state: &mut State, index: usize, zone: &Zone) {
    let place = zone.box_percent();
    for (sides, row_name) in [([0, 1], "Place"), ([2, 3], "")] {
        row_ui(ui, row_name, |ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            for side in sides {
                let (label, name, tooltip) = SIDES[side];
                ui.label(RichText::new(label).weak());
                let field = NumberField {
                    name,
                    unit: "%",
                    unit_spoken: "percent",
                    tooltip,
                    value: place[side],
                };
                match field_ui(ui, field, false) {
                    Some(NumberChange::Set(value)) => {
                        let mut place = place;
                        place[side] = value;
                        apply(state, Some(ZoneEdit::Place(index, place)));
                    }
                    Some(NumberChange::Refused(text)) => {
                        state.apply(Action::Refuse(Setting::Zones, text));
                    }
                    _ => {}
                }
            }
        });
    }
}

fn apply(state: &mut State, edit: Option<ZoneEdit>) {
    if let Some(edit) = edit {
        state.apply(Action::Zone(edit));
    }
}
