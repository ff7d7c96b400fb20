//! Safe areas and grids over the picture, at the resolution of the display.

use egui::{Align2, Color32, FontId, Painter, Pos2, Stroke};

use super::picture_area::PicturePlace;
use super::picture_label::{OUTLINE, dimmed};
use super::state::State;
use crate::pixel::guides::{Guide, Shape, guide_shapes};

/// The guides of the setup, in the colours that they have in files.
pub(super) fn paint_guides(painter: &Painter, place: &PicturePlace, state: &State) {
    for guide in &state.setup().guides {
        let [r, g, b] = guide.color_u8();
        let color = dimmed(Color32::from_rgb(r, g, b), state.dimmed);
        paint_guide(painter, place, *guide, color);
    }
}

/// A guide at the resolution of the display.
fn paint_guide(painter: &Painter, place: &PicturePlace, guide: Guide, color: Color32) {
    let output = place.layout.output;
    let [width, height] = [f64::from(output.width()), f64::from(output.height())];
    let drawn = guide_shapes(guide, output);
    for shape in drawn.shapes {
        let corners = match shape {
            Shape::Outline { x0, y0, x1, y1 } => {
                vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]
            }
            Shape::Vertical { x } => vec![[x, 0.0], [x, height]],
            Shape::Horizontal { y } => vec![[0.0, y], [width, y]],
        };
        let crisp = |at| place.crisp(place.points(at));
        let line: Vec<Pos2> = corners.into_iter().map(crisp).collect();
        painter.line(line.clone(), Stroke::new(3.0, OUTLINE));
        painter.line(line, Stroke::new(1.0, color));
    }
    let at = place.points([drawn.label_at.0, drawn.label_at.1]);
    let font = FontId::proportional(11.0);
    let galley = painter.layout_no_wrap(guide.label().to_owned(), font, color);
    let back = Align2::LEFT_TOP.anchor_size(at, galley.size()).expand(2.0);
    painter.rect_filled(back, 2.0, OUTLINE);
    painter.galley(at, galley, color);
}
