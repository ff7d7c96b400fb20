//! Zones over the picture, at the resolution of the display: each kind has lines of its own and says what it is.

use egui::{Color32, Painter, Pos2, Rect, Stroke, Vec2, pos2, vec2};

use super::look::Look;
use super::picture_label::{PictureLabel, is_low, letters, lighter, over_picture};
use super::picture_pen::Pen;
use super::picture_place::PicturePlace;
use super::state::State;
use super::zone_grip::{HeldZone, handles};
use crate::measure::space::zone::{Zone, ZoneKind};
use crate::pixel::views::REDDISH_PURPLE;

/// How far lines within a zone are apart, in points. Source: chosen by eye.
const APART: f32 = 18.0;
/// What is left of the colour within a zone, so that the picture stays in sight. Source: chosen by eye.
const WITHIN: f32 = 0.45;
/// Dash and gap of a dashed outline, in points. Source: chosen by eye.
const DASHES: [f32; 2] = [7.0, 5.0];

/// From the top left corner of a zone to the lower left one of its name's plate, inside and on the edge, in points.
/// Source: chosen by eye.
const INSIDE: Vec2 = vec2(2.0, 22.0);
const ON_EDGE: Vec2 = vec2(4.0, 6.0);

/// What a kind is called.
pub(super) const fn kind_word(kind: ZoneKind) -> &'static str {
    match kind {
        ZoneKind::KeepOut => "keep out",
        ZoneKind::KeepIn => "keep in",
        ZoneKind::WriteHere => "write here",
    }
}

/// A zone's name and kind; its name alone over a low picture, where its lines have to say the kind.
fn words(zone: &Zone, is_short: bool) -> String {
    if is_short {
        return zone.name.clone();
    }
    let alone = if zone.slide.is_some() || zone.page.is_some() {
        ", this slide"
    } else {
        ""
    };
    format!("{}: {}{alone}", zone.name, kind_word(zone.kind))
}

/// The name of a zone, inside at its top left, over a low picture on its upper edge. It is no wider than the zone, but for
/// that of the selected one.
fn label(rect: Rect, words: &str, is_selected: bool, shown: Rect) -> PictureLabel<'_> {
    let below = if is_low(shown) { ON_EDGE } else { INSIDE };
    PictureLabel {
        words,
        at: rect.left_top() + below,
        room: if is_selected {
            f32::INFINITY
        } else {
            rect.width() - 8.0
        },
        letters: letters(shown),
    }
}

/// The zones where they are now, as far as something of them is in sight.
pub(super) fn held_zones(painter: &Painter, place: &PicturePlace, state: &State) -> Vec<HeldZone> {
    let selected = state.selected_zone();
    let zones = state.zones_in_sight();
    let shown = place.shown();
    let held = |(index, zone): &(usize, &Zone)| {
        let rect = rect_of(place, zone.box_percent());
        let is_selected = selected == Some(*index);
        let words = words(zone, is_low(shown) && !is_selected);
        HeldZone {
            index: *index,
            rect,
            label: label(rect, &words, is_selected, shown).plate(painter),
            is_selected,
        }
    };
    let is_seen = |zone: &HeldZone| zone.rect.intersects(place.visible());
    zones.iter().map(held).filter(is_seen).collect()
}

/// A box in percent of the output, in points.
fn rect_of(place: &PicturePlace, [x, y, width, height]: [f64; 4]) -> Rect {
    let output = place.layout.output;
    let px = |percent: f64, side: u32| percent / 100.0 * f64::from(side);
    let corner = |x: f64, y: f64| place.points([px(x, output.width()), px(y, output.height())]);
    Rect::from_min_max(corner(x, y), corner(x + width, y + height))
}

/// All zones in sight, the selected one with its handles on top, and the box that is being drawn.
pub(super) fn paint_zones(
    painter: &Painter,
    place: &PicturePlace,
    state: &State,
    drawn: Option<[f64; 4]>,
) {
    let selected = state.selected_zone();
    let (chosen, others): (Vec<_>, Vec<_>) = state
        .zones_in_sight()
        .into_iter()
        .partition(|(index, _)| selected == Some(*index));
    let color = over_picture(lighter(REDDISH_PURPLE), state.dimmed);
    let pen = Pen::new(painter, place, color, 1.2);
    for (_, zone) in others {
        paint_zone(&pen, place, zone, color, false);
    }
    let look = Look::new(state.dimmed);
    let pen = Pen::new(painter, place, look.text, 2.0);
    for (_, zone) in chosen {
        paint_zone(&pen, place, zone, look.text, true);
        let rect = rect_of(place, zone.box_percent());
        let handles = handles(rect, place.visible());
        let is_seen = rect.intersects(place.visible());
        for (_, handle) in handles.into_iter().filter(|_| is_seen) {
            painter.rect_filled(handle, 2.0, look.surround);
            let line = Stroke::new(2.0, look.text);
            painter.rect_stroke(handle, 2.0, line, egui::StrokeKind::Inside);
        }
    }
    if let Some(drawn) = drawn {
        pen.dashed_outline(rect_of(place, drawn), DASHES);
    }
}

/// Keep out is filled with falling lines, keep in has two outlines, write here is dashed and ruled.
fn paint_zone(pen: &Pen<'_>, place: &PicturePlace, zone: &Zone, color: Color32, is_selected: bool) {
    let rect = rect_of(place, zone.box_percent());
    if !rect.intersects(pen.seen()) {
        return;
    }
    let within = color.gamma_multiply(WITHIN);
    match zone.kind {
        ZoneKind::KeepOut => {
            pen.fill(rect, within, falling_lines(rect));
            pen.outline(rect);
        }
        ZoneKind::KeepIn => {
            pen.outline(rect);
            pen.with(within, 1.0).outline(rect.shrink(5.0));
        }
        ZoneKind::WriteHere => {
            pen.fill(rect, within, ruling(rect));
            pen.dashed_outline(rect, DASHES);
        }
    }
    let shown = place.shown();
    let words = words(zone, is_low(shown) && !is_selected);
    pen.label(label(rect, &words, is_selected, shown));
}

/// Lines that fall to the right all over a rectangle.
fn falling_lines(rect: Rect) -> impl Iterator<Item = [Pos2; 2]> {
    let first = rect.left() - rect.height();
    apart(first, rect.right()).map(move |x| {
        let to = pos2(x + rect.height(), rect.bottom());
        [pos2(x, rect.top()), to]
    })
}

/// Level lines, as paper has them.
fn ruling(rect: Rect) -> impl Iterator<Item = [Pos2; 2]> {
    let [left, right] = [rect.left(), rect.right()];
    apart(rect.top() + APART, rect.bottom()).map(move |y| [pos2(left, y), pos2(right, y)])
}

/// Places from `first` on, up to `end`.
fn apart(first: f32, end: f32) -> impl Iterator<Item = f32> {
    let after = |at: &f32| Some(at + APART);
    std::iter::successors(Some(first), after).take_while(move |at| *at < end)
}
