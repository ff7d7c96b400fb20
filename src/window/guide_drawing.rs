//! Safe areas and grids over the picture, at the resolution of the display.

use egui::{Align2, Color32, FontId, Painter, Rect};

use super::picture_area::PicturePlace;
use super::picture_label::{OUTLINE, dimmed};
use super::picture_pen::Pen;
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
    let pen = Pen::new(painter, place, color, 1.0);
    let crisp = |at| place.crisp(place.points(at));
    for shape in drawn.shapes {
        match shape {
            Shape::Outline { x0, y0, x1, y1 } => {
                let corners = [[x0, y0], [x1, y1]].map(|at| place.points(at));
                pen.outline(Rect::from_min_max(corners[0], corners[1]));
            }
            Shape::Vertical { x } => pen.lines([[[x, 0.0], [x, height]].map(crisp)]),
            Shape::Horizontal { y } => pen.lines([[[0.0, y], [width, y]].map(crisp)]),
        }
    }
    let at = place.points([drawn.label_at.0, drawn.label_at.1]);
    let font = FontId::proportional(11.0);
    let galley = painter.layout_no_wrap(guide.label().to_owned(), font, color);
    let back = Align2::LEFT_TOP.anchor_size(at, galley.size()).expand(2.0);
    painter.rect_filled(back, 2.0, OUTLINE);
    painter.galley(at, galley, color);
}
