//! What was found in the camera frame, drawn over the picture at the resolution of the display. Each overlay has lines of
//! its own kind and a name, so that they are told apart without their colours.

use egui::epaint::EllipseShape;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, vec2};

use super::camera_drawing::CameraDrawing;
use super::overlays::Overlay;
use super::picture_area::PicturePlace;
use super::picture_label::{OUTLINE, lighter, over_picture, paint_label};
use super::state::State;
use crate::measure::camera_finding::{CameraFinding, CameraKind};
use crate::measure::contours::Corner;
use crate::measure::finding::PixelBox;
use crate::measure::told_apart::told;
use crate::pixel::views::{BLUISH_GREEN, SKY_BLUE, VERMILLION, YELLOW};

/// Width of a line and of what is dark around it, in points. Source: chosen by eye.
const LINE: f32 = 1.2;
const AROUND: f32 = 3.0;
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
    let painter = painter.with_clip_rect(place.visible());
    let color = |overlay: Overlay| over_picture(color_of(overlay), state.dimmed);
    for overlay in Overlay::ALL {
        if !state.overlays.shows(overlay) {
            continue;
        }
        let pen = Pen {
            painter: &painter,
            place,
            color: color(overlay),
        };
        match overlay {
            Overlay::Presenter => pen.presenter(&seen.drawing),
            Overlay::Writing => pen.writing(&seen.drawing),
            Overlay::Reflections => pen.reflections(&seen.findings),
            Overlay::FreeRoom => pen.free_room(state.camera_check.free_boxes()),
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

/// Draws one overlay.
struct Pen<'a> {
    painter: &'a Painter,
    place: &'a PicturePlace,
    color: Color32,
}

impl Pen<'_> {
    fn point(&self, corner: Corner) -> Pos2 {
        self.place.points(corner.map(f64::from))
    }

    fn rect(&self, bounds: PixelBox) -> Rect {
        Rect::from_min_max(
            self.point([bounds.x, bounds.y]),
            self.point([bounds.right(), bounds.bottom()]),
        )
    }

    /// Everything is dark around first, so that no line lies under the darkness of another.
    fn both(&self, shapes: impl Fn(Stroke) -> Vec<Shape>) {
        self.painter.extend(shapes(Stroke::new(AROUND, OUTLINE)));
        self.painter.extend(shapes(Stroke::new(LINE, self.color)));
    }

    /// Closed lines.
    fn loops(&self, lines: &[Vec<Corner>]) {
        let lines: Vec<Vec<Pos2>> = lines
            .iter()
            .map(|line| line.iter().map(|corner| self.point(*corner)).collect())
            .collect();
        let seen = self.painter.clip_rect();
        let is_seen = |line: &&Vec<Pos2>| Rect::from_points(line).intersects(seen);
        let shapes = |stroke: Stroke| {
            let seen = lines.iter().filter(is_seen);
            seen.map(|line| Shape::closed_line(line.clone(), stroke))
                .collect()
        };
        self.both(shapes);
    }

    /// The name at the top left of a place, above it where there is room.
    fn label(&self, place: Rect, words: &str) {
        if place.intersects(self.painter.clip_rect()) {
            paint_label(self.painter, place.left_top(), words, self.color);
        }
    }

    fn writing(&self, drawing: &CameraDrawing) {
        self.loops(&drawing.writing);
        if let Some(place) = drawing.writing_place {
            self.label(self.rect(place), Overlay::Writing.label());
        }
    }

    fn presenter(&self, drawing: &CameraDrawing) {
        self.both(|stroke| {
            let segment = |line: &[Corner; 2]| {
                Shape::line_segment(line.map(|corner| self.point(corner)), stroke)
            };
            drawing.presenter_lines.iter().map(segment).collect()
        });
        self.loops(&drawing.presenter);
        if let Some(place) = drawing.presenter_place {
            self.label(self.rect(place), Overlay::Presenter.label());
        }
    }

    fn reflections(&self, findings: &[CameraFinding]) {
        let is_reflection = |finding: &&CameraFinding| finding.kind == CameraKind::Reflection;
        for finding in findings.iter().filter(is_reflection) {
            let Some(bounds) = finding.bounds else {
                continue;
            };
            let place = self.rect(bounds);
            let radius = place.size() / std::f32::consts::SQRT_2 + vec2(RING_GAP, RING_GAP);
            let radius = radius.max(vec2(RING_LEAST, RING_LEAST));
            self.both(|stroke| vec![EllipseShape::stroke(place.center(), radius, stroke).into()]);
            let words = format!("reflection {} %", told(finding.measured, 1));
            let around = Rect::from_center_size(place.center(), 2.0 * radius);
            // Above the middle of a wide ring.
            let left = place.center().x - radius.x.min(40.0);
            self.label(around.with_min_x(left), &words);
        }
    }

    fn free_room(&self, boxes: &[PixelBox]) {
        let [dash, gap] = DASHES;
        for (number, bounds) in (1..).zip(boxes) {
            let rect = self.rect(*bounds).shrink(1.0);
            let corners = [
                rect.left_top(),
                rect.right_top(),
                rect.right_bottom(),
                rect.left_bottom(),
                rect.left_top(),
            ]
            .map(|corner| self.place.crisp(corner));
            self.both(|stroke| Shape::dashed_line(&corners, stroke, dash, gap));
            let words = format!("{} {number}", Overlay::FreeRoom.label());
            let inside = Rect::from_min_max(rect.min + vec2(4.0, 22.0), rect.max);
            self.label(inside, &words);
        }
    }
}
