//! What was found in the camera frame, drawn over the picture at the resolution of the display. Each overlay has lines of
//! its own kind and a name, so that they are told apart without their colours.

use egui::epaint::EllipseShape;
use egui::{Painter, Pos2, Rect, Vec2, pos2, vec2};

use super::camera_drawing::CameraDrawing;
use super::overlays::Overlay;
use super::picture_label::{is_low, letters, lighter, over_picture};
use super::picture_names::PictureNames;
use super::picture_pen::Pen;
use super::picture_place::PicturePlace;
use super::state::State;
use crate::measure::inspect::camera_finding::{CameraFinding, CameraKind};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told;
use crate::pixel::views::{BLUISH_GREEN, SKY_BLUE, VERMILLION, YELLOW};

/// Width of a line in points. Source: chosen by eye.
const LINE: f32 = 1.2;
/// How far a ring is from its reflection, and its least radius, in points. Source: chosen by eye.
const RING_GAP: f32 = 5.0;
const RING_LEAST: f32 = 9.0;
/// How far a name is from what it names, in points. Source: chosen by eye.
const GAP: f32 = 3.0;
/// Dash and gap of a free box, in points. Source: chosen by eye.
const DASHES: [f32; 2] = [9.0, 6.0];

/// The overlays that are switched on. While another frame is looked at there are none, since they would be beside it.
pub(super) fn paint_overlays(painter: &Painter, place: &PicturePlace, state: &State) {
    let Some(seen) = state.camera_check.seen_on(place.layout.output) else {
        return;
    };
    for overlay in shown(state) {
        let color = over_picture(color_of(overlay), state.dimmed);
        let pen = Pen::new(painter, place, color, LINE);
        match overlay {
            Overlay::Presenter => paint_presenter(&pen, &seen.drawing),
            Overlay::Writing => pen.loops(&seen.drawing.writing),
            Overlay::Reflections => paint_reflections(&pen, place, &seen.findings),
            Overlay::FreeRoom => paint_free_room(&pen, state.camera_check.free_boxes()),
        }
    }
}

/// The overlays that are switched on.
fn shown(state: &State) -> impl Iterator<Item = Overlay> {
    let overlays = state.overlays;
    let all = Overlay::ALL.into_iter();
    all.filter(move |overlay| overlays.shows(*overlay))
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

/// The presenter, outlined and filled with slanted lines.
fn paint_presenter(pen: &Pen<'_>, drawing: &CameraDrawing) {
    let slanted = drawing.presenter_lines.iter();
    pen.lines(slanted.map(|line| line.map(|corner| pen.point(corner))));
    pen.loops(&drawing.presenter);
}

/// A ring round each reflection.
fn paint_reflections(pen: &Pen<'_>, place: &PicturePlace, findings: &[CameraFinding]) {
    for (ring, _) in rings(place, findings) {
        let radius = ring.size() / 2.0;
        pen.shapes(|stroke| vec![EllipseShape::stroke(ring.center(), radius, stroke).into()]);
    }
}

/// The rectangle of each ring, and what it is round.
fn rings<'a>(
    place: &'a PicturePlace,
    findings: &'a [CameraFinding],
) -> impl Iterator<Item = (Rect, &'a CameraFinding)> {
    findings.iter().filter_map(|finding| {
        let bounds = finding.bounds?;
        let inner = place.rect_of(bounds);
        let radius = inner.size() / std::f32::consts::SQRT_2 + vec2(RING_GAP, RING_GAP);
        let radius = radius.max(vec2(RING_LEAST, RING_LEAST));
        let ring = Rect::from_center_size(inner.center(), 2.0 * radius);
        (finding.kind == CameraKind::Reflection).then_some((ring, finding))
    })
}

/// Dashed boxes.
fn paint_free_room(pen: &Pen<'_>, boxes: &[PixelBox]) {
    for bounds in boxes {
        pen.dashed_outline(pen.rect(*bounds).shrink(1.0), DASHES);
    }
}

/// What the overlays that are switched on are called: each name at the edge of what it names.
pub(super) fn name_overlays(names: &mut PictureNames<'_>, state: &State) {
    let place = *names.place();
    let Some(seen) = state.camera_check.seen_on(place.layout.output) else {
        return;
    };
    let size = letters(place.shown());
    let reflection = if is_low(place.shown()) {
        ""
    } else {
        "reflection "
    };
    for overlay in shown(state) {
        let color = over_picture(color_of(overlay), state.dimmed);
        let label = overlay.label();
        match overlay {
            Overlay::Writing => {
                let lines = rects(&place, &seen.drawing.writing_places);
                names.put_at(label, size, color, |plate| beside_lines(&lines, plate));
            }
            Overlay::Presenter => {
                let slices = rects(&place, &seen.drawing.presenter_slices);
                names.put_at(label, size, color, |plate| beside_slices(&slices, plate));
            }
            Overlay::Reflections => {
                for (ring, finding) in rings(&place, &seen.findings) {
                    let words = format!("{reflection}{} %", told(finding.measured, 1));
                    names.put_at(&words, size, color, |plate| beside_ring(ring, plate));
                }
            }
            Overlay::FreeRoom => {
                for (number, bounds) in (1..).zip(state.camera_check.free_boxes()) {
                    let rect = place.rect_of(*bounds);
                    let words = format!("free {number}");
                    names.put_at(&words, size, color, |plate| in_box(rect, plate));
                }
            }
        }
    }
}

/// Boxes in sight, in points.
fn rects(place: &PicturePlace, boxes: &[PixelBox]) -> Vec<Rect> {
    let rects = boxes.iter().map(|bounds| place.rect_of(*bounds));
    rects
        .filter(|rect| rect.intersects(place.visible()))
        .collect()
}

/// At the lines of writing, from the top one on: behind it, above it, below it.
fn beside_lines(lines: &[Rect], plate: Vec2) -> Vec<Pos2> {
    let mut lines = lines.to_vec();
    lines.sort_by(|a, b| a.top().total_cmp(&b.top()));
    let corners = |line: &Rect| {
        let middle = line.center().y - plate.y / 2.0;
        [
            pos2(line.right() + GAP, middle),
            pos2(line.left(), line.top() - plate.y - GAP),
            pos2(line.left(), line.bottom() + GAP),
            pos2(line.left() - plate.x - GAP, middle),
        ]
    };
    lines.iter().flat_map(corners).collect()
}

/// At the outline of the presenter: above the head, then down along both sides.
fn beside_slices(slices: &[Rect], plate: Vec2) -> Vec<Pos2> {
    let Some(head) = slices.first() else {
        return Vec::new();
    };
    let above = pos2(head.center().x - plate.x / 2.0, head.top() - plate.y - GAP);
    let sides = slices.iter().flat_map(|slice| {
        let middle = slice.center().y - plate.y / 2.0;
        [
            pos2(slice.right() + GAP, middle),
            pos2(slice.left() - plate.x - GAP, middle),
        ]
    });
    [above].into_iter().chain(sides).collect()
}

/// At a ring: above, below, beside.
fn beside_ring(ring: Rect, plate: Vec2) -> Vec<Pos2> {
    let [left, top] = [
        ring.center().x - plate.x / 2.0,
        ring.center().y - plate.y / 2.0,
    ];
    vec![
        pos2(left, ring.top() - plate.y - 1.0),
        pos2(left, ring.bottom() + 1.0),
        pos2(ring.right() + 1.0, top),
        pos2(ring.left() - plate.x - 1.0, top),
        pos2(ring.center().x, ring.top() - plate.y - 1.0),
        pos2(ring.center().x - plate.x, ring.top() - plate.y - 1.0),
    ]
}

/// In a free box where its name fits into it, else beside it.
fn in_box(rect: Rect, plate: Vec2) -> Vec<Pos2> {
    let inner = rect.shrink(GAP);
    let inside = [
        inner.left_top(),
        inner.left_bottom() - vec2(0.0, plate.y),
        inner.right_top() - vec2(plate.x, 0.0),
        inner.right_bottom() - plate,
    ];
    let beside = [
        rect.left_top() - vec2(0.0, plate.y + 1.0),
        rect.left_bottom() + vec2(0.0, 1.0),
        rect.right_top() - vec2(plate.x, plate.y + 1.0),
        rect.right_bottom() - vec2(plate.x, -1.0),
    ];
    let fits = inner.width() >= plate.x && inner.height() >= plate.y;
    let inside = inside.into_iter().filter(|_| fits);
    inside.chain(beside).collect()
}
