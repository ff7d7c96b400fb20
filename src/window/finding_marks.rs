//! Where findings are: numbered two-tone outlines over the picture, at the resolution of the display.

use egui::{Color32, Painter, Pos2, Rect, Stroke, vec2};

use super::look::Look;
use super::picture_names::PictureNames;
use super::picture_place::PicturePlace;
use super::state::State;
use crate::measure::raster::pixel_box::PixelBox;

/// Around and behind every mark, so that it shows on bright and on dark. Source: chosen by eye.
const DARK: Color32 = Color32::from_black_alpha(210);
/// How far from its place a mark lies, in points, so that it covers nothing of it.
const GAP: f32 = 3.0;
/// Length of the corners of a finding that is not selected, in points.
const CORNER: f32 = 9.0;

/// A mark of a finding.
pub(super) struct FindingMark {
    number: usize,
    /// The line around its place, in points.
    pub(super) rect: Rect,
    is_selected: bool,
}

/// The marks of the list that is open, the selected one last; one of the whole picture is marked only while selected.
pub(super) fn finding_marks(place: &PicturePlace, state: &State) -> Vec<FindingMark> {
    if state.inspect_open {
        let check = &state.camera_check;
        let findings = (1..).zip(check.findings()).filter(|_| !check.is_old());
        let marks = findings.map(|(number, finding)| (number, finding.bounds, true));
        marks_of(place, marks, check.selected())
    } else if state.findings_open() && !state.slide_hidden {
        let check = &state.deck_check;
        let list = check.list(state.slide_index(), &state.setup().accepted);
        let marks = list.map(|listed| (listed.number, listed.finding.bounds, !listed.accepted));
        marks_of(place, marks, check.selected())
    } else {
        Vec::new()
    }
}

/// Of numbers, places (none for the whole picture), and whether they count where they are not selected.
fn marks_of(
    place: &PicturePlace,
    findings: impl Iterator<Item = (usize, Option<PixelBox>, bool)>,
    selected: Option<usize>,
) -> Vec<FindingMark> {
    let mark = |(number, bounds, counts): (usize, Option<PixelBox>, bool)| {
        let is_selected = selected == Some(number - 1);
        let rect = match bounds {
            Some(bounds) => outline(place, bounds),
            None => place.visible().shrink(GAP),
        };
        let is_shown = is_selected || (counts && bounds.is_some());
        is_shown.then_some(FindingMark {
            number,
            rect,
            is_selected,
        })
    };
    let mut marks: Vec<FindingMark> = findings.filter_map(mark).collect();
    marks.sort_by_key(|mark| mark.is_selected);
    marks
}

/// Corners round every finding of the list that is open, a whole outline round the selected one.
pub(super) fn paint_finding_marks(painter: &Painter, place: &PicturePlace, state: &State) {
    let text = Look::new(state.dimmed).text;
    for mark in finding_marks(place, state) {
        if mark.is_selected {
            for (width, color) in [(4.0, DARK), (2.0, text)] {
                let line = Stroke::new(width, color);
                painter.rect_stroke(mark.rect, 0.0, line, egui::StrokeKind::Middle);
            }
        } else {
            paint_corners(painter, text, mark.rect);
        }
    }
}

/// Their numbers, that of the selected one first and larger.
pub(super) fn number_findings(
    names: &mut PictureNames<'_>,
    marks: &[FindingMark],
    is_dimmed: bool,
) {
    let text = Look::new(is_dimmed).text;
    let mut in_turn: Vec<&FindingMark> = marks.iter().collect();
    in_turn.sort_by_key(|mark| !mark.is_selected);
    for mark in in_turn {
        let size = if mark.is_selected { 13.0 } else { 11.0 };
        if names.shows(mark.rect) {
            names.put_beside(&mark.number.to_string(), mark.rect, size, text);
        }
    }
}

/// The rectangle round a place, in points.
fn outline(place: &PicturePlace, bounds: PixelBox) -> Rect {
    let rect = place.rect_of(bounds).expand(GAP);
    Rect::from_min_max(place.crisp(rect.min), place.crisp(rect.max))
}

/// The four corners of a rectangle.
fn paint_corners(painter: &Painter, text: Color32, rect: Rect) {
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
    for (width, color) in [(3.0, DARK), (1.0, text)] {
        for (corner, right, down) in corners {
            let line: Vec<Pos2> = vec![
                corner + vec2(right * length, 0.0),
                corner,
                corner + vec2(0.0, down * length),
            ];
            painter.line(line, Stroke::new(width, color));
        }
    }
}
