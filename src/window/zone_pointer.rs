//! Zones under the pointer: a drag draws, moves or resizes one, a click selects one.

use egui::{CursorIcon, Id, Painter, Pos2, Response, Ui};

use super::action::Action;
use super::picture_place::PicturePlace;
use super::state::State;
use super::zone_drawing::held_zones;
use super::zone_edit::{ZoneEdit, moved, resized, spanned};
use super::zone_grip::{Grip, grip_at};
use crate::measure::space::zone::ZoneKind;

/// What a drag that is under way does. Places are percent of the output.
#[derive(Clone, Copy, Debug)]
enum ZoneDrag {
    /// Draws a zone from here.
    Draw { from: [f64; 2] },
    /// Moves or resizes a zone that was like this, one of so many.
    Hold {
        grip: Grip,
        from: [f64; 2],
        start: [f64; 4],
        count: usize,
    },
}

/// What zones made of the pointer.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ZonePointer {
    /// Whether a drag is theirs, so that it does not move the picture.
    pub(super) has_drag: bool,
    /// Whether a click was theirs, so that it fixes no point.
    pub(super) has_click: bool,
    /// The box that is being drawn, percent of the output.
    pub(super) drawn: Option<[f64; 4]>,
}

/// Takes drags and clicks that are about zones, and shows by the pointer what a drag would do.
pub(super) fn zone_pointer(
    ui: &Ui,
    response: &Response,
    painter: &Painter,
    place: &PicturePlace,
    state: &mut State,
) -> ZonePointer {
    let zones = held_zones(painter, place, state);
    let id = response.id.with("zone drag");
    if zones.is_empty() && !state.zone_tool.drawing {
        // What was dragged may have been hidden or deleted.
        if ui
            .data_mut(|data| data.remove_temp::<Option<ZoneDrag>>(id))
            .flatten()
            .is_some()
        {
            state.apply(Action::EndDrag);
        }
        return ZonePointer::default();
    }
    let under = |at: Pos2| grip_at(&zones, place.visible(), at);
    if response.drag_started()
        && let Some(at) = ui.input(|input| input.pointer.press_origin())
    {
        let from = place.percent_at(at);
        let drag = if state.zone_tool.drawing {
            place
                .visible()
                .contains(at)
                .then_some(ZoneDrag::Draw { from })
        } else {
            under(at).map(|grip| {
                state.apply(Action::HoldZone(grip.zone));
                let zones = &state.setup().zones;
                ZoneDrag::Hold {
                    grip,
                    from,
                    start: zones[grip.zone].box_percent(),
                    count: zones.len(),
                }
            })
        };
        remember(ui, id, drag);
    }
    let drag: Option<ZoneDrag> = ui.data(|data| data.get_temp::<Option<ZoneDrag>>(id).flatten());
    if let Some(drag) = drag {
        let now = response
            .interact_pointer_pos()
            .map(|at| place.percent_at(at));
        return dragged(ui, response, id, (drag, now), state);
    }
    let hovered = response
        .hover_pos()
        .filter(|at| place.visible().contains(*at));
    if let Some(at) = hovered {
        if state.zone_tool.drawing {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
        } else if let Some(grip) = under(at) {
            ui.ctx().set_cursor_icon(grip.cursor());
        }
    }
    let mut pointer = ZonePointer::default();
    if response.clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        let grip = under(at);
        pointer.has_click = grip.is_some() || state.selected_zone().is_some();
        pointer.has_click |= state.zone_tool.drawing;
        if pointer.has_click && !state.zone_tool.drawing {
            state.apply(Action::SelectZone(grip.map(|grip| grip.zone)));
        }
    }
    pointer
}

/// Goes on with a drag; it ends where the button is let go.
fn dragged(
    ui: &Ui,
    response: &Response,
    id: Id,
    (drag, now): (ZoneDrag, Option<[f64; 2]>),
    state: &mut State,
) -> ZonePointer {
    let mut pointer = ZonePointer {
        has_drag: true,
        ..ZonePointer::default()
    };
    let is_over = response.drag_stopped() || !response.dragged();
    match drag {
        ZoneDrag::Draw { from } => {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
            // Escape stops the drawing, and with it this drag.
            let drawn = now.and_then(|now| spanned(from, now));
            pointer.drawn = drawn.filter(|_| state.zone_tool.drawing);
            if is_over && let Some(drawn) = pointer.drawn.take() {
                state.apply(Action::Zone(ZoneEdit::Add(ZoneKind::KeepOut, drawn)));
            }
        }
        // Escape lets go of the zone, and what is left of the drag does nothing.
        ZoneDrag::Hold { .. } if !state.zone_tool.held => {}
        ZoneDrag::Hold {
            grip,
            from,
            start,
            count,
        } => {
            let is_gone = count != state.setup().zones.len();
            ui.ctx().set_cursor_icon(grip.cursor());
            if let Some(now) = now.filter(|_| !is_gone) {
                let by = [now[0] - from[0], now[1] - from[1]];
                let place = match grip.sides {
                    [0, 0] => moved(start, by),
                    sides => resized(start, sides, by),
                };
                state.apply(Action::DragZone(ZoneEdit::Place(grip.zone, place)));
            }
            if is_over || is_gone {
                state.apply(Action::EndDrag);
            }
        }
    }
    if is_over {
        remember(ui, id, None);
    }
    pointer
}

fn remember(ui: &Ui, id: Id, drag: Option<ZoneDrag>) {
    ui.data_mut(|data| data.insert_temp(id, drag));
}
