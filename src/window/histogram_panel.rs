//! The slide's dark end: content above the line, background below it, with the key drawn in.

use egui::accesskit::Action as Ability;
use egui::{
    Align2, CursorIcon, FontId, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, Ui, pos2, vec2,
};

use super::action::Action;
use super::control::{Choice, choice, choices_ui, name_control, quiet_ui};
use super::edit::{Edit, Setting};
use super::histogram_axis::{HistogramAxis, axis_numbers};
use super::key_group::PERCENT_RAIL;
use super::key_search::KeySearch;
use super::look::Look;
use super::number_field::{NumberChange, apply_number, stepped};
use super::number_text::format_number;
use super::state::State;
use crate::measure::key::histogram::{HISTOGRAM_BINS, HISTOGRAM_END_PERCENT, NearBlackHistogram};
use crate::pixel::key::matte;
use crate::pixel::settings::Key;

/// Height of the bars above and below the line. Source: chosen by eye.
const HEIGHTS: [f32; 2] = [74.0, 34.0];
/// Height of the strips for the handles, above and below the bars.
const HANDLE_HEIGHT: f32 = 17.0;
/// Height of a line of letters under the axis, and length of its ticks.
const NUMBERS_HEIGHT: f32 = 14.0;
const TICK: f32 = 3.0;
/// Height of all that is under the strips for the handles.
const AXIS_HEIGHT: f32 = TICK + 2.0 * NUMBERS_HEIGHT;
/// How far from a line the pointer still takes it.
const REACH: f32 = 7.0;

/// Whose dark values the histogram shows.
const SHOWN: [Choice<bool>; 2] = [
    choice(false, "This slide", "The dark values of the slide shown."),
    choice(
        true,
        "Whole deck",
        "The dark values of all slides, as the search for a key found them, with the key that it found as a dashed ramp.",
    ),
];

/// Bars, ramp and the two lines that can be dragged.
pub(super) fn histogram_ui(ui: &mut Ui, state: &mut State, histogram: Option<&NearBlackHistogram>) {
    let look = Look::of(ui.ctx());
    let found = match &state.key_search {
        KeySearch::Found(found) => Some(found.suggestion.clone()),
        _ => None,
    };
    if found.is_some() {
        let chosen =
            ui.horizontal(|ui| choices_ui(ui, "Histogram", state.histogram_of_deck, &SHOWN));
        if let Some(of_deck) = chosen.inner {
            state.apply(Action::HistogramOfDeck(of_deck));
        }
    }
    let found = found.filter(|_| state.histogram_of_deck);
    let histogram = found.as_ref().map(|found| &found.near_black).or(histogram);
    let height = HEIGHTS[0] + HEIGHTS[1] + 2.0 * HANDLE_HEIGHT + AXIS_HEIGHT;
    let (outer, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let outer = outer.shrink2(vec2(8.0, 0.0));
    let bars = Rect::from_min_max(
        pos2(outer.left(), outer.top() + HANDLE_HEIGHT),
        pos2(outer.right(), outer.bottom() - HANDLE_HEIGHT - AXIS_HEIGHT),
    );
    let axis = HistogramAxis { rect: bars };
    let base_y = bars.top() + HEIGHTS[0];
    let painter = ui.painter().clone();
    painter.rect_filled(bars, 0.0, look.well);
    if let Some(histogram) = histogram {
        bars_paint(&painter, look, axis, base_y, histogram);
    }
    painter.hline(bars.x_range(), base_y, Stroke::new(1.0, look.quiet_text));
    names_paint(&painter, look, bars, found.is_some());
    axis_paint(&painter, look, axis);
    if let Some(found) = &found {
        let ramp = ramp_points(axis, base_y, &found.key);
        painter.extend(Shape::dashed_line(
            &ramp,
            Stroke::new(1.5, look.accent),
            5.0,
            4.0,
        ));
    }
    let ramp = ramp_points(axis, base_y, &state.settings().key);
    painter.line(ramp, Stroke::new(1.5, look.text));
    threshold_line_ui(ui, state, axis);
    solid_line_ui(ui, state, axis);
    if histogram.is_none() {
        quiet_ui(ui, "No slide is open.");
    }
}

/// Content as solid bars upwards, background as hatched bars downwards.
fn bars_paint(
    painter: &Painter,
    look: Look,
    axis: HistogramAxis,
    base_y: f32,
    histogram: &NearBlackHistogram,
) {
    let NearBlackHistogram {
        background,
        content,
        background_above: _,
        content_above: _,
    } = histogram;
    let largest = background.iter().chain(content).copied().max().unwrap_or(0);
    let edge =
        |bin: usize| axis.x_of_luma(bin as f64 * HISTOGRAM_END_PERCENT / HISTOGRAM_BINS as f64);
    for (bin, (&content, &background)) in content.iter().zip(background).enumerate() {
        let (left, right) = (edge(bin), edge(bin + 1));
        let up = HEIGHTS[0] * HistogramAxis::bar_share(content, largest);
        let down = HEIGHTS[1] * HistogramAxis::bar_share(background, largest);
        if up > 0.0 {
            let bar = Rect::from_min_max(pos2(left, base_y - up), pos2(right, base_y));
            painter.rect_filled(bar, 0.0, look.content);
        }
        if down > 0.0 {
            // Horizontal strokes over the height of the bar, so that it differs without colour.
            let mut y = base_y + 2.5;
            while y < base_y + down {
                painter.hline(left..=right, y, Stroke::new(1.0, look.background));
                y += 3.0;
            }
            painter.hline(
                left..=right,
                base_y + down,
                Stroke::new(1.0, look.background),
            );
        }
    }
}

/// What the two halves are.
fn names_paint(painter: &Painter, look: Look, bars: Rect, of_deck: bool) {
    let [content, background] = if of_deck {
        ["content of the deck", "backgrounds of the deck"]
    } else {
        ["content of the slide", "background of the slide"]
    };
    let font = FontId::proportional(11.0);
    let right = bars.right() - 4.0;
    for (y, align, words) in [
        (bars.top() + 5.0, Align2::RIGHT_TOP, content),
        (bars.bottom() - 4.0, Align2::RIGHT_BOTTOM, background),
    ] {
        let galley = painter.layout_no_wrap(words.to_owned(), font.clone(), look.text);
        let rect = align.anchor_size(pos2(right, y), galley.size());
        // A plate keeps the words legible over tall bars.
        painter.rect_filled(rect.expand(2.0), 2.0, look.well.gamma_multiply(0.8));
        painter.galley(rect.min, galley, look.text);
    }
}

/// The axis under the bars: a tick and a number every 5 %, and what is counted.
fn axis_paint(painter: &Painter, look: Look, axis: HistogramAxis) {
    let y = axis.rect.bottom() + HANDLE_HEIGHT;
    let line = Stroke::new(1.0, look.quiet_text);
    let font = FontId::proportional(11.0);
    let text = |at: Pos2, text: String| {
        painter.text(at, Align2::CENTER_TOP, text, font.clone(), look.quiet_text);
    };
    painter.hline(axis.rect.x_range(), y, line);
    for percent in axis_numbers() {
        let x = axis.x_of_luma(percent);
        painter.vline(x, y..=y + TICK, line);
        text(pos2(x, y + TICK), format_number(percent, 0));
    }
    let below = pos2(axis.rect.center().x, y + TICK + NUMBERS_HEIGHT);
    text(below, "luma, % of white".to_owned());
}

/// The matte over the upper half, 0 at the line to 1 at the top.
fn ramp_points(axis: HistogramAxis, base_y: f32, key: &Key) -> Vec<Pos2> {
    let (t, s) = (key.threshold_frac(), key.softness_frac());
    let top = axis.rect.top();
    let steps = 120;
    (0..=steps)
        .map(|step| {
            let percent = HISTOGRAM_END_PERCENT * f64::from(step) / f64::from(steps);
            let m = matte(step as f32 / steps as f32 * 0.25, t, s, key.ramp);
            pos2(axis.x_of_luma(percent), base_y + (top - base_y) * m)
        })
        .collect()
}

/// A line that can be dragged, with its grip.
fn line_ui(
    ui: &mut Ui,
    axis: HistogramAxis,
    percent: f64,
    name: &'static str,
    grip_on_top: bool,
) -> (Response, Option<f64>) {
    let look = Look::of(ui.ctx());
    let x = axis.x_of_luma(percent);
    let bars = axis.rect;
    let grip_y = if grip_on_top {
        bars.top() - HANDLE_HEIGHT * 0.5
    } else {
        bars.bottom() + HANDLE_HEIGHT * 0.5
    };
    // Each line is taken on its own half, so that both stay within reach where they meet.
    let half = if grip_on_top {
        Rect::from_min_max(
            bars.min - vec2(0.0, HANDLE_HEIGHT),
            pos2(bars.right(), bars.top() + HEIGHTS[0]),
        )
    } else {
        Rect::from_min_max(
            pos2(bars.left(), bars.top() + HEIGHTS[0]),
            bars.max + vec2(0.0, HANDLE_HEIGHT),
        )
    };
    let reach = Rect::from_x_y_ranges(x - REACH..=x + REACH, half.y_range());
    let id = ui.make_persistent_id(name);
    let response = ui
        .interact(reach, id, Sense::drag())
        .on_hover_cursor(CursorIcon::ResizeHorizontal);
    name_control(&response, name);
    response.ctx.accesskit_node_builder(id, |node| {
        node.set_role(egui::accesskit::Role::Slider);
        node.set_numeric_value(percent);
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(100.0);
        node.add_action(Ability::Increment);
        node.add_action(Ability::Decrement);
    });
    let held = response.dragged() || response.has_focus();
    let color = if held || response.hovered() {
        look.accent
    } else {
        look.text
    };
    let width = if held { 2.0 } else { 1.0 };
    let painter = ui.painter();
    painter.vline(x, half.y_range(), Stroke::new(width, color));
    painter.circle_filled(pos2(x, grip_y), 4.5, color);
    let pointer = response.interact_pointer_pos();
    let dragged_to = pointer
        .filter(|_| response.dragged())
        .map(|pointer| axis.luma_at_x(pointer.x));
    (response, dragged_to)
}

/// The label at a line's grip, on the side where there is room.
fn grip_label(ui: &Ui, axis: HistogramAxis, percent: f64, y: f32, words: &str) {
    let look = Look::of(ui.ctx());
    let x = axis.x_of_luma(percent);
    let on_right = x < axis.rect.center().x;
    let (x, align) = if on_right {
        (x + 9.0, Align2::LEFT_CENTER)
    } else {
        (x - 9.0, Align2::RIGHT_CENTER)
    };
    let text = format!("{words} {} %", format_number(percent, 2));
    ui.painter().text(
        pos2(x, y),
        align,
        text,
        FontId::proportional(11.0),
        look.text,
    );
}

/// The change that a line's response means.
fn change_of(
    ui: &Ui,
    response: &Response,
    dragged_to: Option<f64>,
    value: f64,
    value_at: impl Fn(f64) -> f64,
) -> Option<NumberChange> {
    if response.drag_stopped() {
        return Some(NumberChange::DragEnded);
    }
    if let Some(percent) = dragged_to {
        return Some(NumberChange::Dragged(value_at(percent)));
    }
    let asked =
        |ability| ui.input(|input| input.num_accesskit_action_requests(response.id, ability));
    let steps = asked(Ability::Increment) as f64 - asked(Ability::Decrement) as f64;
    if steps != 0.0 {
        let new = value + steps * PERCENT_RAIL.step;
        return Some(NumberChange::Set(new.clamp(0.0, 100.0)));
    }
    stepped(ui, response, value, PERCENT_RAIL)
}

/// The threshold, dragged by the upper half.
fn threshold_line_ui(ui: &mut Ui, state: &mut State, axis: HistogramAxis) {
    let threshold = state.settings().key.threshold_percent();
    let (response, dragged_to) = line_ui(ui, axis, threshold, "Threshold in the histogram", true);
    let y = axis.rect.top() - HANDLE_HEIGHT * 0.5 - 1.0;
    grip_label(ui, axis, threshold, y, "dropped up to");
    let change = change_of(ui, &response, dragged_to, threshold, |percent| percent);
    apply_number(state, Setting::Threshold, change, Edit::Threshold);
}

/// Threshold plus softness, dragged by the lower half; only the softness changes.
fn solid_line_ui(ui: &mut Ui, state: &mut State, axis: HistogramAxis) {
    let key = state.settings().key;
    let (threshold, softness) = (key.threshold_percent(), key.softness_percent());
    let solid = HistogramAxis::solid_percent(&key);
    let (response, dragged_to) = line_ui(ui, axis, solid, "Softness in the histogram", false);
    let y = axis.rect.bottom() + HANDLE_HEIGHT * 0.5;
    grip_label(ui, axis, solid, y, "solid from");
    let softness_at = |percent: f64| ((percent - threshold).max(0.0) * 100.0).round() / 100.0;
    let change = change_of(ui, &response, dragged_to, softness, softness_at);
    apply_number(state, Setting::Softness, change, Edit::Softness);
}
