//! The picture's part of the window: pan, wheel, the dividing line, the fixed point and the guides.
//! The picture itself is drawn below by `present`.

use egui::{
    Context, CursorIcon, Event, Id, MouseWheelUnit, Painter, Pos2, Rect, Response, Sense, Ui, Vec2,
    pos2, vec2,
};

use super::action::Action;
use super::finding_marks::{finding_marks, number_findings, paint_finding_marks};
use super::guide_drawing::{name_guides, paint_guides};
use super::look::Look;
use super::overlay_drawing::{name_overlays, paint_overlays};
use super::panels::PictureArea;
use super::picture::{stepped_zoom, to_f32};
use super::picture_names::PictureNames;
use super::picture_pen::Pen;
use super::picture_place::PicturePlace;
use super::state::State;
use super::zone_drawing::{held_zones, paint_zones};
use super::zone_pointer::zone_pointer;

/// Points that the wheel or a touchpad scrolls for one zoom step. Source: egui's height of a line.
const POINTS_PER_STEP: f32 = 40.0;
/// How far in points the pointer may be off the dividing line or the fixed point. Source: chosen, easy to hit.
const GRAB_POINTS: f32 = 7.0;

/// The output pixel under the pointer, with the picture where it lay last.
pub fn hovered_px(ctx: &Context, place: &PicturePlace) -> Option<[u32; 2]> {
    let pointer = ctx.input(|input| input.pointer.latest_pos())?;
    let is_seen = place.visible().contains(pointer);
    place.pixel_at(pointer).filter(|_| is_seen)
}

/// Takes what pointer and wheel do to the picture, and draws what lies over it.
///
/// Returns where the picture now lies.
pub fn picture_ui(ui: &mut Ui, area: &PictureArea, state: &mut State) -> PicturePlace {
    let PictureArea { rect, response } = area;
    let pixels_per_point = ui.ctx().pixels_per_point();
    let before = PicturePlace::new(*rect, pixels_per_point, state);
    let painter = ui.painter_at(*rect);
    // Names of zones stay within the picture.
    let over_picture = |place: &PicturePlace| painter.with_clip_rect(place.visible());
    let zones = zone_pointer(ui, response, &over_picture(&before), &before, state);
    pan_and_zoom(ui, response, &before, !zones.has_drag, state);
    let place = PicturePlace::new(*rect, pixels_per_point, state);
    if response.clicked()
        && !zones.has_click
        && let Some(at) = response.interact_pointer_pos()
    {
        state.apply(Action::Probe(toggled_probe(&place, state, at)));
    }
    divider_ui(ui, response.id, &place, state);
    paint_guides(&painter, &place, state);
    paint_overlays(&painter, &place, state);
    paint_zones(&over_picture(&place), &place, state, zones.drawn);
    paint_finding_marks(&painter, &place, state);
    paint_names(&painter, &place, state);
    paint_probe(&painter, &place, state);
    place
}

/// All names and numbers, over all lines: numbers of findings first, then what overlays and guides are called.
fn paint_names(painter: &Painter, place: &PicturePlace, state: &State) {
    let marks = finding_marks(place, state);
    let marked: Vec<Rect> = marks.iter().map(|mark| mark.rect).collect();
    let mut names = PictureNames::new(painter, place, state, &marked);
    let over_picture = painter.with_clip_rect(place.visible());
    for zone in held_zones(&over_picture, place, state) {
        names.take(zone.label);
    }
    number_findings(&mut names, &marks, state.dimmed);
    name_overlays(&mut names, state);
    name_guides(&mut names, state);
    names.paint();
}

/// A click fixes the read-out; one on the fixed point, or beside the picture, frees it.
fn toggled_probe(place: &PicturePlace, state: &State, clicked_at: Pos2) -> Option<[u32; 2]> {
    let is_on_it = state.probe_px.is_some_and(|probe_px| {
        let fixed_at = place.points(probe_px.map(|v| f64::from(v) + 0.5));
        fixed_at.distance(clicked_at) <= GRAB_POINTS
    });
    let is_seen = place.visible().contains(clicked_at);
    place.pixel_at(clicked_at).filter(|_| is_seen && !is_on_it)
}

fn pan_and_zoom(
    ui: &Ui,
    response: &Response,
    place: &PicturePlace,
    may_pan: bool,
    state: &mut State,
) {
    let dragged = response.drag_delta();
    if may_pan && dragged != Vec2::ZERO {
        let by_px = place.window_px(dragged.to_pos2());
        let centre_uv = place.layout.centre_after_pan(place.area, by_px);
        state.apply(Action::ZoomTo(to_f32(place.layout.zoom), centre_uv));
    }
    let Some(pointer) = response.hover_pos() else {
        return;
    };
    let (steps, pinch) = scrolled(ui, response.id);
    let zoom = stepped(place.layout.zoom * f64::from(pinch), steps);
    if (zoom - place.layout.zoom).abs() > 0.0 {
        let window_px = place.window_px(pointer);
        let centre_uv = place.layout.centre_after_zoom(place.area, zoom, window_px);
        state.apply(Action::ZoomTo(to_f32(zoom), centre_uv));
    }
}

fn stepped(zoom: f64, steps: i32) -> f64 {
    if steps == 0 {
        zoom
    } else {
        stepped_zoom(zoom, steps)
    }
}

/// Whole zoom steps that the wheel made, and the factor of a pinch. What is left of a step waits for more.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a handful of steps a frame"
)]
fn scrolled(ui: &Ui, id: Id) -> (i32, f32) {
    let scrolled = ui.input(|input| {
        let wheel = |event: &Event| match event {
            Event::MouseWheel { unit, delta, .. } => match unit {
                MouseWheelUnit::Point => delta.y / POINTS_PER_STEP,
                MouseWheelUnit::Line | MouseWheelUnit::Page => delta.y,
            },
            _ => 0.0,
        };
        input.events.iter().map(wheel).sum::<f32>()
    });
    let pinch = ui.input(|input| {
        let pinch = |event: &Event| match event {
            Event::Zoom(factor) => *factor,
            _ => 1.0,
        };
        input.events.iter().map(pinch).product::<f32>()
    });
    let waiting = ui.data(|data| data.get_temp::<f32>(id)).unwrap_or(0.0);
    let sum = waiting + scrolled;
    let steps = sum.trunc();
    ui.data_mut(|data| data.insert_temp(id, sum - steps));
    (steps as i32, pinch)
}

/// The dividing line, to be dragged. For the keyboard it has a field among the views.
fn divider_ui(ui: &mut Ui, id: Id, place: &PicturePlace, state: &mut State) {
    if state.right_view.is_none() {
        return;
    }
    let visible = place.visible();
    let x = place.divider_x(state.divider);
    let grab = Rect::from_x_y_ranges(x - GRAB_POINTS..=x + GRAB_POINTS, visible.y_range());
    let response = ui.interact(grab, id.with("divider"), Sense::CLICK | Sense::DRAG);
    let response = response.on_hover_cursor(CursorIcon::ResizeHorizontal);
    if let Some(pointer) = response.interact_pointer_pos()
        && (response.dragged() || response.drag_stopped())
        && visible.width() > 0.0
    {
        state.apply(Action::Divider(
            (pointer.x - visible.left()) / visible.width(),
        ));
    }
    let look = Look::new(state.dimmed);
    let active = response.hovered() || response.dragged();
    let color = if active { look.accent } else { look.text };
    let x = place.divider_x(state.divider);
    let painter = ui.painter_at(place.rect);
    let line = [pos2(x, visible.top()), pos2(x, visible.bottom())];
    Pen::new(&painter, place, color, 1.0).lines([line]);
    let handle = Rect::from_center_size(pos2(x, visible.center().y), vec2(7.0, 28.0));
    painter.rect_filled(handle, 3.0, color);
}

/// The fixed point of the read-out: a cross with its middle left open.
fn paint_probe(painter: &Painter, place: &PicturePlace, state: &State) {
    let Some([x, y]) = state.probe_px else {
        return;
    };
    let middle = place.points([f64::from(x) + 0.5, f64::from(y) + 0.5]);
    let color = Look::new(state.dimmed).accent;
    let arms = [Vec2::UP, Vec2::DOWN, Vec2::LEFT, Vec2::RIGHT];
    let arms = arms.map(|way| [middle + 4.0 * way, middle + 11.0 * way]);
    Pen::new(painter, place, color, 1.0).lines(arms);
}
