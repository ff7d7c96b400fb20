//! A pen for what lies over the picture: its lines are dark around, so that they show on bright and on dark, and are made
//! only as far as they are in sight.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke};

use super::picture_label::{OUTLINE, PictureLabel};
use super::picture_place::PicturePlace;
use super::seen_line::{seen_dashes, seen_part};
use crate::measure::raster::contours::Corner;
use crate::measure::raster::pixel_box::PixelBox;

/// How much wider than a line what is dark around it is, in points. Source: chosen by eye.
const AROUND: f32 = 2.0;
/// How far beside what is in sight lines are still made, in points, so that no end of one is seen.
const BESIDE: f32 = 4.0;

/// A colour and a width over a picture at its place.
#[derive(Clone)]
pub(super) struct Pen<'a> {
    painter: Painter,
    place: &'a PicturePlace,
    color: Color32,
    width: f32,
}

impl<'a> Pen<'a> {
    /// A pen whose lines end where the picture does; its width is in points.
    pub(super) fn new(
        painter: &Painter,
        place: &'a PicturePlace,
        color: Color32,
        width: f32,
    ) -> Self {
        let seen = place.visible().intersect(painter.clip_rect());
        Self {
            painter: painter.with_clip_rect(seen),
            place,
            color,
            width,
        }
    }

    /// The same pen in another colour and width.
    pub(super) fn with(&self, color: Color32, width: f32) -> Self {
        Self {
            color,
            width,
            ..self.clone()
        }
    }

    /// What of the picture is in sight, in points.
    pub(super) fn seen(&self) -> Rect {
        self.painter.clip_rect()
    }

    /// A corner of output pixels, in points.
    pub(super) fn point(&self, corner: Corner) -> Pos2 {
        self.place.points(corner.map(f64::from))
    }

    /// A box of output pixels, in points.
    pub(super) fn rect(&self, bounds: PixelBox) -> Rect {
        Rect::from_min_max(
            self.point([bounds.x, bounds.y]),
            self.point([bounds.right(), bounds.bottom()]),
        )
    }

    /// The same shapes dark and wider first, so that no line lies under the darkness of another.
    pub(super) fn shapes(&self, shapes: impl Fn(Stroke) -> Vec<Shape>) {
        let around = Stroke::new(self.width + AROUND, OUTLINE);
        self.painter.extend(shapes(around));
        self.painter
            .extend(shapes(Stroke::new(self.width, self.color)));
    }

    /// Straight lines, each from one point to another.
    pub(super) fn lines(&self, lines: impl IntoIterator<Item = [Pos2; 2]>) {
        let seen = self.seen().expand(BESIDE);
        let lines = lines.into_iter().filter_map(|line| seen_part(line, seen));
        let lines: Vec<_> = lines.collect();
        self.shapes(|stroke| segments(&lines, stroke));
    }

    /// Closed lines through corners of output pixels.
    pub(super) fn loops(&self, loops: &[Vec<Corner>]) {
        let points = |corners: &Vec<Corner>| -> Vec<Pos2> {
            corners.iter().map(|corner| self.point(*corner)).collect()
        };
        let is_seen = |line: &Vec<Pos2>| Rect::from_points(line).intersects(self.seen());
        let lines: Vec<_> = loops.iter().map(points).filter(is_seen).collect();
        let closed = |line: &Vec<Pos2>, stroke| Shape::closed_line(line.clone(), stroke);
        self.shapes(|stroke| lines.iter().map(|line| closed(line, stroke)).collect());
    }

    /// The outline of a rectangle, sharp on the display.
    pub(super) fn outline(&self, rect: Rect) {
        let corners = self.corners(rect);
        self.shapes(|stroke| vec![Shape::closed_line(corners.to_vec(), stroke)]);
    }

    /// The same in dashes and gaps of these lengths, in points.
    pub(super) fn dashed_outline(&self, rect: Rect, dashes: [f32; 2]) {
        let [a, b, c, d] = self.corners(rect);
        let seen = self.seen().expand(BESIDE);
        let sides = [[a, b], [b, c], [c, d], [d, a]];
        let dashes = sides
            .iter()
            .flat_map(|side| seen_dashes(*side, dashes, seen));
        let dashes: Vec<_> = dashes.collect();
        self.shapes(|stroke| segments(&dashes, stroke));
    }

    /// Thin lines within a rectangle with nothing dark around, fainter than the pen's own.
    pub(super) fn fill(&self, rect: Rect, color: Color32, lines: impl Iterator<Item = [Pos2; 2]>) {
        let inside = rect.intersect(self.seen());
        let lines: Vec<_> = lines.filter_map(|line| seen_part(line, inside)).collect();
        self.painter
            .extend(segments(&lines, Stroke::new(1.0, color)));
    }

    /// A name in the pen's colour.
    pub(super) fn label(&self, label: PictureLabel<'_>) {
        label.paint(&self.painter, self.color);
    }

    fn corners(&self, rect: Rect) -> [Pos2; 4] {
        [
            rect.left_top(),
            rect.right_top(),
            rect.right_bottom(),
            rect.left_bottom(),
        ]
        .map(|corner| self.place.crisp(corner))
    }
}

fn segments(lines: &[[Pos2; 2]], stroke: Stroke) -> Vec<Shape> {
    let lines = lines.iter();
    lines
        .map(|line| Shape::line_segment(*line, stroke))
        .collect()
}
