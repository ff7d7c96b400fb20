//! Names over the picture, on a plate so that they show on bright and on dark.

use std::sync::Arc;

use egui::text::{LayoutJob, TextWrapping};
use egui::{Color32, FontId, Galley, Painter, Pos2, Rect, Vec2, pos2, vec2};

use crate::pixel::color::to_u8;

/// Around lines over the picture, so that they show on bright and on dark. Source: chosen by eye.
pub(super) const OUTLINE: Color32 = Color32::from_black_alpha(150);
/// Behind a name, so that it can be read over letters of a slide. Source: chosen by eye.
pub(super) const PLATE: Color32 = Color32::from_black_alpha(225);
/// What the dim switch leaves of a line over the picture. Source: chosen by eye.
const DIMMED: f32 = 0.7;
/// How far a lighter colour is on the way to white, 0 to 1. Source: chosen by eye.
const LIGHTER: f32 = 0.35;

/// Height of a picture in points below which names over it are small and short, so that something of it stays in sight.
/// Source: chosen by eye.
const LOW_PICTURE: f32 = 260.0;
/// Size of letters of names over a picture, and over a low one, in points. Source: chosen by eye.
const LETTERS: [f32; 2] = [12.0, 10.0];

/// Whether names over a picture that is shown in this rectangle are small and short.
pub(super) fn is_low(shown: Rect) -> bool {
    shown.height() < LOW_PICTURE
}

/// Size of their letters, in points.
pub(super) fn letters(shown: Rect) -> f32 {
    LETTERS[usize::from(is_low(shown))]
}

/// Room round a name on its plate, in points. Source: chosen by eye.
const MARGIN: f32 = 2.0;
/// Least room that a name is cut to, in points. Source: chosen, some letters.
const LEAST_ROOM: f32 = 30.0;

/// A colour of a line over the picture.
pub(super) fn over_picture(rgb: [f32; 3], is_dimmed: bool) -> Color32 {
    let [r, g, b] = rgb.map(to_u8);
    dimmed(Color32::from_rgb(r, g, b), is_dimmed)
}

/// What the dim switch leaves of a colour.
pub(super) fn dimmed(color: Color32, is_dimmed: bool) -> Color32 {
    if is_dimmed {
        color.gamma_multiply(DIMMED)
    } else {
        color
    }
}

/// Closer to white, since a colour that is told apart from others is dark on a dark picture.
pub(super) fn lighter(rgb: [f32; 3]) -> [f32; 3] {
    rgb.map(|v| v + (1.0 - v) * LIGHTER)
}

/// A name over the picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct PictureLabel<'a> {
    /// What stands there.
    pub(super) words: &'a str,
    /// The lower left corner of its plate, which is moved so that all of it is in sight.
    pub(super) at: Pos2,
    /// How wide it may be, in points; what is longer is cut, and says so.
    pub(super) room: f32,
    /// Size of its letters, in points.
    pub(super) letters: f32,
}

impl PictureLabel<'_> {
    /// Paints it.
    pub(super) fn paint(&self, painter: &Painter, color: Color32) {
        let galley = self.galley(painter, color);
        let plate = self.plate_of(painter, galley.size());
        painter.rect_filled(plate, 2.0, PLATE);
        painter.galley(plate.min + vec2(MARGIN, MARGIN), galley, color);
    }

    /// Its plate.
    pub(super) fn plate(&self, painter: &Painter) -> Rect {
        self.plate_of(painter, self.galley(painter, Color32::WHITE).size())
    }

    fn galley(&self, painter: &Painter, color: Color32) -> Arc<Galley> {
        let words = self.words.to_owned();
        let mut job =
            LayoutJob::simple_singleline(words, FontId::proportional(self.letters), color);
        if self.room.is_finite() {
            job.wrap = TextWrapping::truncate_at_width(self.room.max(LEAST_ROOM));
        }
        painter.layout_job(job)
    }

    fn plate_of(&self, painter: &Painter, text: Vec2) -> Rect {
        let seen = painter.clip_rect();
        let size = text + 2.0 * vec2(MARGIN, MARGIN);
        let place = pos2(
            self.at.x.min(seen.right() - size.x).max(seen.left()),
            (self.at.y - size.y)
                .min(seen.bottom() - size.y)
                .max(seen.top()),
        );
        Rect::from_min_size(place, size)
    }
}
