//! The marks for verdicts and severities: told apart by shape, colour only helps.

use egui::{Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, pos2, vec2};

use super::deck_check::SlideMark;
use super::look::Look;
use crate::measure::finding::Severity;

/// Side of a mark in a line of text. Source: chosen by eye.
pub(super) const MARK_SIDE: f32 = 12.0;

/// What each mark looks like, for tooltips.
pub(super) const MARKS_TOOLTIP: &str = "Round: pass, nothing that viewers will notice.\n\
     Hooked: accepted, nothing beside what was accepted.\n\
     Pointed: warn, viewers will notice.\n\
     Square: fail, the take is spoilt.\n\
     Three dots: not checked yet. Cross: the file cannot be read.";

/// Round pass, hooked accepted, pointed warn, square fail, three dots while it is not known, a cross where nothing can be read.
pub(super) fn paint_mark(painter: &Painter, look: Look, middle: Pos2, side: f32, mark: SlideMark) {
    let half = side / 2.0;
    match mark {
        SlideMark::Pass => {
            painter.circle_filled(middle, half * 0.8, look.note);
        }
        SlideMark::Accepted => {
            let hook = [vec2(-0.75, 0.05), vec2(-0.25, 0.6), vec2(0.75, -0.6)];
            let hook = hook.map(|corner| middle + half * corner).to_vec();
            painter.add(Shape::line(hook, Stroke::new(2.5, look.quiet_text)));
        }
        SlideMark::Warn => pointed(painter, middle, half, look.warning),
        SlideMark::Fail => square(painter, middle, half, look.error),
        SlideMark::Unchecked => {
            for step in [-1.0, 0.0, 1.0] {
                let at = middle + vec2(step * half * 0.75, 0.0);
                painter.circle_filled(at, half * 0.22, look.quiet_text);
            }
        }
        SlideMark::Unreadable => {
            let arm = half * 0.75;
            for turn in [1.0, -1.0] {
                let ends = [
                    middle - vec2(arm, turn * arm),
                    middle + vec2(arm, turn * arm),
                ];
                painter.line_segment(ends, Stroke::new(2.5, look.error));
            }
        }
    }
}

/// An open ring for what is worth knowing, else as the slide's mark.
pub(super) fn paint_severity(
    painter: &Painter,
    look: Look,
    middle: Pos2,
    side: f32,
    severity: Severity,
) {
    let half = side / 2.0;
    match severity {
        Severity::Info => {
            painter.circle_stroke(middle, half * 0.7, Stroke::new(1.5, look.quiet_text));
        }
        Severity::Warn => pointed(painter, middle, half, look.warning),
        Severity::Fail => square(painter, middle, half, look.error),
    }
}

fn pointed(painter: &Painter, middle: Pos2, half: f32, color: Color32) {
    let corners = [
        vec2(0.0, -half),
        vec2(half, 0.0),
        vec2(0.0, half),
        vec2(-half, 0.0),
    ];
    let corners = corners.map(|corner| middle + corner).to_vec();
    painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
}

fn square(painter: &Painter, middle: Pos2, half: f32, color: Color32) {
    let side = half * 1.6;
    painter.rect_filled(Rect::from_center_size(middle, vec2(side, side)), 0.0, color);
}

/// A mark in a line of text.
pub(super) fn mark_ui(ui: &mut Ui, mark: SlideMark) {
    let (rect, _) = ui.allocate_exact_size(vec2(MARK_SIDE, MARK_SIDE), Sense::hover());
    paint_mark(
        ui.painter(),
        Look::of(ui.ctx()),
        rect.center(),
        MARK_SIDE,
        mark,
    );
}

/// A mark in the corner of a small picture, on a plate so that it shows over anything.
pub(super) fn paint_corner_mark(painter: &Painter, look: Look, picture: Rect, mark: SlideMark) {
    let side = MARK_SIDE + 5.0;
    let plate = Rect::from_min_max(
        pos2(picture.right() - side, picture.bottom() - side),
        picture.max,
    );
    painter.rect_filled(plate, 2.0, look.surround.gamma_multiply(0.9));
    paint_mark(painter, look, plate.center(), MARK_SIDE, mark);
}
