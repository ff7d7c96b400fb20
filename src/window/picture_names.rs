//! Names and numbers over the picture: each beside what it names, over as little as can be, and never over another.

use std::sync::Arc;

use egui::{Color32, FontId, Galley, Painter, Pos2, Rect, Stroke, Vec2, pos2, vec2};

use super::picture_label::PLATE;
use super::picture_place::PicturePlace;
use super::state::State;
use crate::pixel::label_room::{Edges, LabelRoom, shared};

/// Room round words on their plate, in points. Source: chosen by eye.
const MARGIN: Vec2 = vec2(3.0, 1.0);
/// How far a plate may be from what it names without a line to it, in points. Source: chosen by eye.
const TOUCHING: f32 = 2.0;

/// The names over the picture, as they are put there one after the other, the most important first.
pub(super) struct PictureNames<'a> {
    painter: &'a Painter,
    place: &'a PicturePlace,
    room: LabelRoom,
    /// Writing and presenter.
    seen: Vec<Edges>,
    put: Vec<Name>,
}

/// A name that has its place.
struct Name {
    place: Edges,
    galley: Arc<Galley>,
    color: Color32,
    /// What it stands beside, where a line may be wanted to it.
    named: Option<Rect>,
}

impl<'a> PictureNames<'a> {
    /// No name yet; none will lie on what is marked or on what was found in the camera frame where it need not.
    pub(super) fn new(
        painter: &'a Painter,
        place: &'a PicturePlace,
        state: &State,
        marked: &[Rect],
    ) -> Self {
        let found = state.camera_check.seen_on(place.layout.output);
        let seen = found.into_iter().flat_map(|seen| {
            let writing = seen.drawing.writing_places.iter();
            writing.chain(&seen.drawing.presenter_slices)
        });
        let seen = seen.map(|bounds| edges(place.rect_of(*bounds))).collect();
        let marked = marked.iter().copied().map(edges).collect();
        Self {
            painter,
            place,
            room: LabelRoom::new(edges(painter.clip_rect()), marked),
            seen,
            put: Vec::new(),
        }
    }

    /// A plate that stands where it is.
    pub(super) fn take(&mut self, plate: Rect) {
        self.room.take(edges(plate));
    }

    /// Where the picture lies.
    pub(super) fn place(&self) -> &PicturePlace {
        self.place
    }

    /// Whether something of a place is in sight.
    pub(super) fn shows(&self, rect: Rect) -> bool {
        rect.intersects(self.place.visible())
    }

    /// Words beside a place, above its left corner where there is room, in letters of this size; not at all where every
    /// place near is another's.
    pub(super) fn put_beside(&mut self, words: &str, named: Rect, size: f32, color: Color32) {
        let galley = self.laid_out(words, size, color);
        let plate = galley.size() + 2.0 * MARGIN;
        let seen_px = |place: &Edges| seen_px(&self.seen, place);
        let plate = [plate.x, plate.y].map(f64::from);
        if let Some(place) = self.room.put_beside_free(edges(named), plate, seen_px) {
            self.put.push(Name {
                place,
                galley,
                color,
                named: Some(named),
            });
        }
    }

    /// Words at one of the corners that are given for a plate of their size, the first ones before all; not at all where
    /// there is no room.
    pub(super) fn put_at(
        &mut self,
        words: &str,
        size: f32,
        color: Color32,
        corners: impl FnOnce(Vec2) -> Vec<Pos2>,
    ) {
        let galley = self.laid_out(words, size, color);
        let plate = galley.size() + 2.0 * MARGIN;
        let corners = corners(plate);
        let corners = corners.into_iter().map(|at| [at.x, at.y].map(f64::from));
        let seen_px = |place: &Edges| seen_px(&self.seen, place);
        let plate = [plate.x, plate.y].map(f64::from);
        if let Some(place) = self.room.put_at(corners, plate, seen_px) {
            self.put.push(Name {
                place,
                galley,
                color,
                named: None,
            });
        }
    }

    /// Paints all of them, lines first: a line through a number would make it another one.
    pub(super) fn paint(self) {
        for name in &self.put {
            if let Some(named) = name.named {
                self.lead(rect(name.place), named, name.color);
            }
        }
        for Name {
            place,
            galley,
            color,
            ..
        } in self.put
        {
            let plate = rect(place);
            self.painter.rect_filled(plate, 2.0, PLATE);
            self.painter.galley(plate.min + MARGIN, galley, color);
        }
    }

    fn laid_out(&self, words: &str, size: f32, color: Color32) -> Arc<Galley> {
        let font = FontId::proportional(size);
        self.painter.layout_no_wrap(words.to_owned(), font, color)
    }

    /// A line to what is named, where the plate does not touch it.
    fn lead(&self, plate: Rect, named: Rect, color: Color32) {
        let to = named.clamp(plate.center());
        let from = plate.clamp(to);
        if from.distance(to) > TOUCHING {
            for (width, color) in [(3.0, PLATE), (1.0, color)] {
                let line = Stroke::new(width, color);
                self.painter.line_segment([from, to], line);
            }
        }
    }
}

fn seen_px(seen: &[Edges], place: &Edges) -> f64 {
    seen.iter().map(|other| shared(place, other)).sum()
}

#[expect(clippy::cast_possible_truncation, reason = "points in the window")]
fn rect([left, top, right, bottom]: Edges) -> Rect {
    let corners = [(left, top), (right, bottom)].map(|(x, y)| pos2(x as f32, y as f32));
    Rect::from_min_max(corners[0], corners[1])
}

fn edges(rect: Rect) -> Edges {
    [rect.left(), rect.top(), rect.right(), rect.bottom()].map(f64::from)
}
