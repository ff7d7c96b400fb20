//! What was found in the camera frame, drawn over the picture at the resolution of the display. Each overlay has lines of
//! its own kind and a name, so that they are told apart without their colours.

use egui::epaint::EllipseShape;
use egui::{Painter, Rect, vec2};

use super::camera_drawing::CameraDrawing;
use super::overlays::Overlay;
use super::picture_area::PicturePlace;
use super::picture_label::{PictureLabel, lighter, over_picture};
use super::picture_pen::Pen;
use super::state::State;
use crate::measure::camera_finding::{CameraFinding, CameraKind};
use crate::measure::finding::PixelBox;
use crate::measure::told_apart::told;
use crate::pixel::views::{BLUISH_GREEN, SKY_BLUE, VERMILLION, YELLOW};

/// Width of a line in points. Source: chosen by eye.
const LINE: f32 = 1.2;
/// How far a ring is from its reflection, and its least radius, in points. Source: chosen by eye.
const RING_GAP: f32 = 5.0;
const RING_LEAST: f32 = 9.0;
/// Dash and gap of a free box, in points. Source: chosen by eye.
const DASHES: [f32; 2] = [9.0, 6.0];

/// The overlays that are switched on. While another frame is looked at there are none, since they would be beside it.
pub(super) fn paint_overlays(painter: &Painter, place: &PicturePlace, state: &State) {
    let Some(seen) = state.camera_check.seen() else {
        return;
    };
    if state.camera_check.is_old() || seen.drawing.output != place.layout.output {
        return;
    }
    let shown = Overlay::ALL
        .into_iter()
        .filter(|overlay| state.overlays.shows(*overlay));
    for overlay in shown {
        let color = over_picture(color_of(overlay), state.dimmed);
        let pen = Pen::new(painter, place, color, LINE);
        match overlay {
            Overlay::Presenter => paint_presenter(&pen, &seen.drawing),
            Overlay::Writing => paint_writing(&pen, &seen.drawing),
            Overlay::Reflections => paint_reflections(&pen, &seen.findings),
            Overlay::FreeRoom => paint_free_room(&pen, state.camera_check.free_boxes()),
        }
    }
}

/// Blue, yellow, red and green that are told apart with every kind of colour vision.
fn color_of(overlay: Overlay) -> [f32; 3] {
    let named = match overlay {
        Overlay::Writing => SKY_BLUE,
        Overlay::Presenter => YELLOW,
        Overlay::Reflections => VERMILLION,
        Overlay::FreeRoom => BLUISH_GREEN,
    };
    lighter(named)
}

/// The writing with a line round it.
fn paint_writing(pen: &Pen<'_>, drawing: &CameraDrawing) {
    pen.loops(&drawing.writing);
    if let Some(place) = drawing.writing_place {
        paint_name_at_right(pen, pen.rect(place), Overlay::Writing.label());
    }
}

/// The presenter, outlined and filled with slanted lines.
fn paint_presenter(pen: &Pen<'_>, drawing: &CameraDrawing) {
    let slanted = drawing.presenter_lines.iter();
    pen.lines(slanted.map(|line| line.map(|corner| pen.point(corner))));
    pen.loops(&drawing.presenter);
    if let Some(place) = drawing.presenter_place {
        paint_name_at_right(pen, pen.rect(place), Overlay::Presenter.label());
    }
}

/// A ring round each reflection.
fn paint_reflections(pen: &Pen<'_>, findings: &[CameraFinding]) {
    let is_reflection = |finding: &&CameraFinding| finding.kind == CameraKind::Reflection;
    for finding in findings.iter().filter(is_reflection) {
        let Some(bounds) = finding.bounds else {
            continue;
        };
        let place = pen.rect(bounds);
        let radius = place.size() / std::f32::consts::SQRT_2 + vec2(RING_GAP, RING_GAP);
        let radius = radius.max(vec2(RING_LEAST, RING_LEAST));
        pen.shapes(|stroke| vec![EllipseShape::stroke(place.center(), radius, stroke).into()]);
        let words = format!("reflection {} %", told(finding.measured, 1));
        let around = Rect::from_center_size(place.center(), 2.0 * radius);
        // Above the middle of a wide ring.
        let left = place.center().x - radius.x.min(40.0);
        paint_name(pen, around.with_min_x(left), &words);
    }
}

/// Dashed boxes, numbered from the largest.
fn paint_free_room(pen: &Pen<'_>, boxes: &[PixelBox]) {
    for (number, bounds) in (1..).zip(boxes) {
        let rect = pen.rect(*bounds).shrink(1.0);
        pen.dashed_outline(rect, DASHES);
        let words = format!("{} {number}", Overlay::FreeRoom.label());
        let inside = Rect::from_min_max(rect.min + vec2(4.0, 22.0), rect.max);
        paint_name(pen, inside, &words);
    }
}

/// The name at the top left of a place, above it where there is room.
fn paint_name(pen: &Pen<'_>, place: Rect, words: &str) {
    if place.intersects(pen.seen()) {
        pen.label(PictureLabel::new(words, place.left_top()));
    }
}

/// The same at the top right, since the numbers of findings stand at the left.
fn paint_name_at_right(pen: &Pen<'_>, place: Rect, words: &str) {
    if place.intersects(pen.seen()) {
        pen.label(PictureLabel {
            ends_there: true,
            ..PictureLabel::new(words, place.right_top())
        });
    }
}
