//! Safe areas and grids over the picture, at the resolution of the display.

use egui::{Color32, Painter, Rect};

use super::picture_label::dimmed;
use super::picture_names::PictureNames;
use super::picture_pen::Pen;
use super::picture_place::PicturePlace;
use super::state::State;
use crate::pixel::guide_labels::label_corners;
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
}

/// The names of the guides of the setup, where there is room for them.
pub(super) fn name_guides(names: &mut PictureNames<'_>, state: &State) {
    let place = *names.place();
    let output = place.layout.output;
    for guide in &state.setup().guides {
        let [r, g, b] = guide.color_u8();
        let color = dimmed(Color32::from_rgb(r, g, b), state.dimmed);
        let drawn = guide_shapes(*guide, output);
        names.put_at(guide.label(), 11.0, color, |plate| {
            let px = [plate.x, plate.y].map(|points| place.px_of_points(points));
            let corners = label_corners(&drawn, output, px);
            corners.into_iter().map(|at| place.points(at)).collect()
        });
    }
}
