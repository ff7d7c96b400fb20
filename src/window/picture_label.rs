//! Names over the picture, on a plate so that they show on bright and on dark.

use std::sync::Arc;

use egui::{Color32, FontId, Galley, Painter, Pos2, Rect, Vec2, pos2, vec2};

use crate::pixel::color::to_u8;

/// Around lines over the picture, so that they show on bright and on dark. Source: chosen by eye.
pub(super) const OUTLINE: Color32 = Color32::from_black_alpha(150);
/// Behind a name, so that it can be read over letters of a slide. Source: chosen by eye.
const PLATE: Color32 = Color32::from_black_alpha(225);
/// What the dim switch leaves of a line over the picture. Source: chosen by eye.
const DIMMED: f32 = 0.7;

/// Room round a name on its plate, in points.
const MARGIN: f32 = 2.0;

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
    rgb.map(|v| v + (1.0 - v) * 0.35)
}

/// A name above a point, moved so that all of it is in sight.
pub(super) fn paint_label(painter: &Painter, at: Pos2, words: &str, color: Color32) {
    let galley = galley_of(painter, words, color);
    let plate = plate(painter, at, galley.size());
    painter.rect_filled(plate, 2.0, PLATE);
    painter.galley(plate.min + vec2(MARGIN, MARGIN), galley, color);
}

/// The plate of such a name.
pub(super) fn label_plate(painter: &Painter, at: Pos2, words: &str) -> Rect {
    plate(
        painter,
        at,
        galley_of(painter, words, Color32::WHITE).size(),
    )
}

fn galley_of(painter: &Painter, words: &str, color: Color32) -> Arc<Galley> {
    painter.layout_no_wrap(words.to_owned(), FontId::proportional(12.0), color)
}

fn plate(painter: &Painter, at: Pos2, text: Vec2) -> Rect {
    let seen = painter.clip_rect();
    let size = text + 2.0 * vec2(MARGIN, MARGIN);
    let place = pos2(
        at.x.min(seen.right() - size.x).max(seen.left()),
        (at.y - size.y).min(seen.bottom() - size.y).max(seen.top()),
    );
    Rect::from_min_size(place, size)
}
