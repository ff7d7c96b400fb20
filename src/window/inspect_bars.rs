//! How sharp and how bright writing and presenter are: bars with the limit marked, the same in words.

use egui::{Color32, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};

use super::camera_job::SeenCamera;
use super::look::Look;
use crate::measure::inspect::camera_exposure::CLIP_PERCENT;
use crate::measure::inspect::edge_widths::{PRESENTER_WARN_PX, WRITING_FAIL_PX, WRITING_WARN_PX};
use crate::measure::told_apart::told_apart;

/// Height of a bar in points. Source: chosen by eye.
const BAR_HEIGHT: f32 = 10.0;
/// Points between the lines beyond the limit. Source: chosen by eye.
const BARRED_EVERY: f32 = 6.0;
/// Where the bars of edge widths end, px. Source: chosen, twice the limit and some.
const WRITING_END_PX: f64 = 8.0;
const PRESENTER_END_PX: f64 = 14.0;

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What is measured.
    pub name: &'static str,
    /// What was measured, with its limit; or why there is nothing.
    pub words: String,
    /// How long the bar is, 0 to 1; none where nothing was measured.
    pub length: Option<f64>,
    /// Where the limit is, 0 to 1.
    pub limit: f64,
    /// Whether it is beyond the limit.
    pub is_beyond: bool,
    /// What the bar counts.
    pub tooltip: &'static str,
}

/// What bars of edge widths count.
const SHARPNESS: &str = "How wide edges are in the recording, from a tenth to nine tenths of what they rise by. The \
                         shorter the bar, the sharper; from the line on it is soft.";
/// What bars of exposure count.
const EXPOSURE: &str = "How bright the brightest is, percent of white; a few glints do not count. From the line on it \
                        is as bright as a recording can hold, and loses its colour.";

/// Edge width of writing and presenter, exposure of writing and skin.
pub fn readings(seen: &SeenCamera) -> [Reading; 4] {
    let SeenCamera {
        edges, brightest, ..
    } = seen;
    let nothing =
        |is_there: bool, none: &str, few: &str| if is_there { few } else { none }.to_owned();
    let writing = |few: &str| nothing(seen.is_written, "nothing is written", few);
    let presenter = |few: &str| nothing(seen.is_somebody_there, "nobody is there", few);
    [
        sharpness(
            "Edges of the writing",
            edges.writing_px,
            &[WRITING_FAIL_PX, WRITING_WARN_PX],
            WRITING_END_PX,
            writing("too few strokes to tell"),
        ),
        sharpness(
            "Edges of the presenter",
            edges.presenter_px,
            &[PRESENTER_WARN_PX],
            PRESENTER_END_PX,
            presenter("too few edges to tell"),
        ),
        exposure(
            "Exposure of the writing",
            brightest.writing_percent,
            writing("too few strokes to tell"),
        ),
        exposure(
            "Exposure of the skin",
            brightest.skin_percent,
            presenter("no skin is seen"),
        ),
    ]
}

/// A bar for the width of edges: the longer, the softer. `limits` has the worst first.
fn sharpness(
    name: &'static str,
    width_px: Option<f64>,
    limits: &[f64],
    end_px: f64,
    nothing: String,
) -> Reading {
    let least = limits.last().copied().unwrap_or(end_px);
    let crossed = |width: f64| limits.iter().copied().find(|limit| width >= *limit);
    Reading {
        name,
        words: match width_px {
            None => nothing,
            Some(width) => {
                let limit = crossed(width).unwrap_or(least);
                let [told, limit] = told_apart(width, limit, 1);
                let verdict = if width >= least { "soft" } else { "sharp" };
                format!("{verdict}: {told} px, limit {limit} px")
            }
        },
        length: width_px.map(|width| (width / end_px).min(1.0)),
        limit: least / end_px,
        is_beyond: width_px.is_some_and(|width| width >= least),
        tooltip: SHARPNESS,
    }
}

/// A bar for the brightest part, whose end is white.
fn exposure(name: &'static str, percent: Option<f64>, nothing: String) -> Reading {
    let is_beyond = percent.is_some_and(|percent| percent >= CLIP_PERCENT);
    Reading {
        name,
        words: match percent {
            None => nothing,
            Some(percent) => {
                let verdict = if is_beyond { "too bright" } else { "good" };
                let [told, limit] = told_apart(percent, CLIP_PERCENT, 0);
                format!("{verdict}: up to {told} %, limit {limit} %")
            }
        },
        length: percent.map(|percent| percent / 100.0),
        limit: CLIP_PERCENT / 100.0,
        is_beyond,
        tooltip: EXPOSURE,
    }
}

/// All bars.
pub(super) fn bars_ui(ui: &mut Ui, seen: &SeenCamera) {
    for reading in readings(seen) {
        bar_ui(ui, &reading);
    }
}

/// Name and words over the bar. Beyond the limit the bar is barred.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen positions need no more"
)]
fn bar_ui(ui: &mut Ui, reading: &Reading) {
    let look = Look::of(ui.ctx());
    let width = ui.available_width();
    let group = ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.horizontal(|ui| {
            ui.label(reading.name);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let words = RichText::new(&reading.words).small();
                let words = if reading.is_beyond {
                    words.color(look.warning)
                } else {
                    words.weak()
                };
                ui.add(egui::Label::new(words).truncate());
            });
        });
        let size = vec2(width, BAR_HEIGHT + 4.0);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        let bar = rect.shrink2(vec2(1.0, 2.0));
        let x = |share: f64| bar.left() + bar.width() * share as f32;
        let painter = ui.painter_at(rect);
        painter.rect_filled(bar, 2.0, look.well);
        let limit_x = x(reading.limit);
        bars(&painter, bar.with_min_x(limit_x), look.edge);
        if let Some(length) = reading.length {
            let fill = if reading.is_beyond {
                look.warning
            } else {
                look.accent
            };
            painter.rect_filled(bar.with_max_x(x(length)), 2.0, fill);
            if length > reading.limit {
                let beyond = bar.with_min_x(limit_x).with_max_x(x(length));
                bars(&painter, beyond, look.well);
            }
        }
        let line = Stroke::new(1.0, look.edge);
        painter.rect_stroke(bar, 2.0, line, egui::StrokeKind::Inside);
        painter.vline(limit_x, rect.y_range(), Stroke::new(2.0, look.text));
    });
    let spoken = format!("{}: {}", reading.name, reading.words);
    group.response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Meter, true, spoken.as_str())
    });
    group.response.on_hover_text(reading.tooltip);
}

/// Slanted lines in a rectangle.
fn bars(painter: &egui::Painter, rect: Rect, color: Color32) {
    let painter = painter.with_clip_rect(rect);
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let ends = [pos2(x, rect.bottom()), pos2(x + rect.height(), rect.top())];
        painter.line_segment(ends, Stroke::new(1.5, color));
        x += BARRED_EVERY;
    }
}
