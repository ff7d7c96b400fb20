//! Where findings are: numbered two-tone outlines over the picture, at the resolution of the display.

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Stroke, pos2, vec2};

use super::look::Look;
use super::picture_area::PicturePlace;
use super::state::State;
use crate::measure::finding::PixelBox;

/// Around and behind every mark, so that it shows on bright and on dark. Source: chosen by eye.
const DARK: Color32 = Color32::from_black_alpha(210);
/// How far from its place a mark lies, in points, so that it covers nothing of it.
const GAP: f32 = 3.0;
/// Length of the corners of a finding that is not selected, in points.
const CORNER: f32 = 9.0;

/// Corners round every finding of the list that is open, a whole outline round the selected one.
pub(super) fn paint_finding_marks(painter: &Painter, place: &PicturePlace, state: &State) {
    if state.inspect_open {
        let check = &state.camera_check;
        let findings = (1..).zip(check.findings()).filter(|_| !check.is_old());
        let marks = findings.map(|(number, finding)| (number, finding.bounds, true));
        paint_marks(painter, place, state, marks, check.selected());
    } else if state.findings_open() && !state.slide_hidden {
        let check = &state.deck_check;
        let list = check.list(state.slide_index(), &state.setup().accepted);
        let marks = list.map(|listed| (listed.number, listed.finding.bounds, !listed.accepted));
        paint_marks(painter, place, state, marks, check.selected());
    }
}

/// Marks numbers, places (none for the whole picture), and whether they count where they are not selected.
fn paint_marks(
    painter: &Painter,
    place: &PicturePlace,
    state: &State,
    marks: impl Iterator<Item = (usize, Option<PixelBox>, bool)>,
    selected: Option<usize>,
) {
    let look = Look::new(state.dimmed);
    let mut shown = None;
    for (number, bounds, counts) in marks {
        if selected == Some(number - 1) {
            shown = Some((number, bounds));
        } else if let Some(bounds) = bounds.filter(|_| counts) {
            paint_corners(painter, look, outline(place, bounds), number);
        }
    }
    let Some((number, bounds)) = shown else {
        return;
    };
    let rect = match bounds {
        Some(bounds) => outline(place, bounds),
        None => place.visible().shrink(GAP),
    };
    painter.rect_stroke(rect, 0.0, Stroke::new(4.0, DARK), egui::StrokeKind::Middle);
    painter.rect_stroke(
        rect,
        0.0,
        Stroke::new(2.0, look.text),
        egui::StrokeKind::Middle,
    );
    paint_number(painter, look, rect, number, 13.0);
}

/// The rectangle round a place, in points.
fn outline(place: &PicturePlace, bounds: PixelBox) -> Rect {
    let corner = |x: u32, y: u32| place.points([f64::from(x), f64::from(y)]);
    let rect = Rect::from_min_max(
        corner(bounds.x, bounds.y),
        corner(bounds.right(), bounds.bottom()),
    );
    let rect = rect.expand(GAP);
    Rect::from_min_max(place.crisp(rect.min), place.crisp(rect.max))
}

/// The four corners of a rectangle, with its number.
fn paint_corners(painter: &Painter, look: Look, rect: Rect, number: usize) {
    let length = CORNER
        .min(rect.width() / 3.0)
        .min(rect.height() / 3.0)
        .max(2.0);
    let corners = [
        (rect.left_top(), 1.0, 1.0),
        (rect.right_top(), -1.0, 1.0),
        (rect.left_bottom(), 1.0, -1.0),
        (rect.right_bottom(), -1.0, -1.0),
    ];
    for (width, color) in [(3.0, DARK), (1.0, look.text)] {
        for (corner, right, down) in corners {
            let line: Vec<Pos2> = vec![
                corner + vec2(right * length, 0.0),
                corner,
                corner + vec2(0.0, down * length),
            ];
            painter.line(line, Stroke::new(width, color));
        }
    }
    paint_number(painter, look, rect, number, 11.0);
}

/// The number of a finding on a plate, above its left corner or inside where there is no room above.
fn paint_number(painter: &Painter, look: Look, rect: Rect, number: usize, size: f32) {
    let galley = painter.layout_no_wrap(number.to_string(), FontId::proportional(size), look.text);
    let plate_size = galley.size() + vec2(6.0, 1.0);
    let top = if rect.top() - plate_size.y >= painter.clip_rect().top() {
        rect.top() - plate_size.y - 1.0
    } else {
        rect.top() + 2.0
    };
    let plate = Align2::LEFT_TOP.anchor_size(pos2(rect.left() - 1.0, top), plate_size);
    painter.rect_filled(plate, 2.0, DARK);
    painter.galley(plate.min + vec2(3.0, 0.5), galley, look.text);
}
