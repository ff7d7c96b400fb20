//! What the marks of a view mean, beside the values under the pointer.

use egui::{Align, Color32, Label, Layout, Painter, Rect, RichText, Sense, Ui, pos2, vec2};

use super::read_out::CELL_HEIGHT;
use super::state::State;
use crate::pixel::color::to_u8;
use crate::pixel::views::{BLUISH_GREEN, REDDISH_PURPLE, SKY_BLUE, VERMILLION, View, YELLOW};

/// Size of a sample of a mark. Source: chosen by eye.
const SAMPLE: [f32; 2] = [24.0, 14.0];
/// Side of a check, and height and distance of the bars in a sample: twice what the views paint,
/// so that they can be told apart at this size.
const COARSE: f32 = 4.0;

/// Width of a legend, its words included. Source: the longest one at the size that the panels have.
const WIDTH: f32 = 258.0;
/// Height of the window from which there is room for a legend; below, the views' tooltips must do.
const ROOM_FROM: f32 = 450.0;

/// How a mark is painted.
#[derive(Clone, Copy, Debug)]
enum Pattern {
    Filled,
    Checked,
    Barred,
    Dotted,
}

/// A mark and what it means.
struct Mark {
    pattern: Pattern,
    color: [f32; 3],
    meaning: &'static str,
}

/// The marks of `kept`, as `pixel::views::kept` paints them.
const KEPT: [Mark; 3] = [
    Mark {
        pattern: Pattern::Filled,
        color: BLUISH_GREEN,
        meaning: "solid",
    },
    Mark {
        pattern: Pattern::Checked,
        color: YELLOW,
        meaning: "in the ramp",
    },
    Mark {
        pattern: Pattern::Barred,
        color: VERMILLION,
        meaning: "dropped",
    },
];

/// The marks of `exposure`, as `pixel::views::exposure` paints them.
const EXPOSURE: [Mark; 2] = [
    Mark {
        pattern: Pattern::Dotted,
        color: SKY_BLUE,
        meaning: "near black",
    },
    Mark {
        pattern: Pattern::Checked,
        color: REDDISH_PURPLE,
        meaning: "too bright",
    },
];

/// The legends of the views that have marks; nothing for the others.
pub(super) fn legend_ui(ui: &mut Ui, state: &State) {
    if ui.ctx().content_rect().height() < ROOM_FROM {
        return;
    }
    let left = state.settings().view;
    let shows = |view| left == view || state.right_view == Some(view);
    if shows(View::Kept) {
        marks_ui(ui, "What the key leaves of the slide", &KEPT);
    }
    if shows(View::Exposure) {
        marks_ui(ui, "How the camera is exposed", &EXPOSURE);
    }
}

/// One legend: its heading over the marks. It goes to the next line as a whole.
fn marks_ui(ui: &mut Ui, heading: &str, marks: &[Mark]) {
    let layout = Layout::top_down(Align::Min);
    ui.allocate_ui_with_layout(vec2(WIDTH, CELL_HEIGHT), layout, |ui| {
        ui.set_width(WIDTH);
        ui.label(RichText::new(heading).small().weak());
        ui.horizontal(|ui| {
            for mark in marks {
                let (rect, _) = ui.allocate_exact_size(SAMPLE.into(), Sense::hover());
                let [r, g, b] = mark.color.map(to_u8);
                paint_sample(ui.painter(), rect, mark.pattern, Color32::from_rgb(r, g, b));
                ui.add(Label::new(mark.meaning).extend());
            }
        });
    });
}

fn paint_sample(painter: &Painter, rect: Rect, pattern: Pattern, color: Color32) {
    painter.rect_filled(rect, 0.0, Color32::BLACK);
    let cells =
        |x: f32, y: f32| Rect::from_min_size(pos2(x, y), vec2(COARSE, COARSE)).intersect(rect);
    let columns = 0..whole(SAMPLE[0] / COARSE);
    let rows = 0..whole(SAMPLE[1] / COARSE);
    match pattern {
        Pattern::Filled => {
            painter.rect_filled(rect, 0.0, color);
        }
        Pattern::Barred => {
            for row in rows.step_by(2) {
                let top = rect.top() + f32::from(row) * COARSE;
                painter.rect_filled(
                    Rect::from_min_size(pos2(rect.left(), top), vec2(SAMPLE[0], COARSE / 2.0)),
                    0.0,
                    color,
                );
            }
        }
        Pattern::Checked | Pattern::Dotted => {
            let dotted = matches!(pattern, Pattern::Dotted);
            for (row, column) in
                rows.flat_map(|row| columns.clone().map(move |column| (row, column)))
            {
                let on = if dotted {
                    row % 2 == 0 && column % 2 == 0
                } else {
                    (row + column) % 2 == 0
                };
                if on {
                    let (x, y) = (f32::from(column) * COARSE, f32::from(row) * COARSE);
                    let cell = cells(rect.left() + x, rect.top() + y);
                    let cell = if dotted {
                        cell.shrink(COARSE / 4.0)
                    } else {
                        cell
                    };
                    painter.rect_filled(cell, 0.0, color);
                }
            }
        }
    }
}

/// Cells that fit, the last one cut.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a handful of cells in a sample"
)]
fn whole(cells: f32) -> u16 {
    cells.ceil() as u16
}
