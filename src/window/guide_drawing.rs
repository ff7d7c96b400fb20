//! Safe areas and grids over the picture, at the resolution of the display.

use egui::{Color32, Painter, Pos2, Rect, Vec2, pos2};

use super::picture_label::{dimmed, is_low};
use super::picture_names::PictureNames;
use super::picture_pen::Pen;
use super::picture_place::PicturePlace;
use super::state::State;
use crate::pixel::guide_labels::label_corners;
use crate::pixel::guides::{Guide, GuideShapes, Shape, guide_shapes};

/// Size of letters of a guide's name, and over a low picture, in points. Source: chosen by eye, smaller than other names.
const LETTERS: f32 = 11.0;
const LOW_LETTERS: f32 = 10.0;
/// How far a name beside the picture is from it, in points. Source: chosen by eye.
const BESIDE: f32 = 3.0;
/// How many places are tried for it on each side. Source: chosen, one for each guide.
const BESIDE_ROWS: u8 = 7;

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

/// The names of the guides of the setup, where there is room for them: beside the picture before all, where they hide
/// nothing of it, and short where it is low.
pub(super) fn name_guides(names: &mut PictureNames<'_>, state: &State) {
    let place = *names.place();
    let output = place.layout.output;
    let is_low = is_low(place.shown());
    for guide in &state.setup().guides {
        let [r, g, b] = guide.color_u8();
        let color = dimmed(Color32::from_rgb(r, g, b), state.dimmed);
        let drawn = guide_shapes(*guide, output);
        let (words, size) = if is_low {
            (guide.short_label(), LOW_LETTERS)
        } else {
            (guide.label(), LETTERS)
        };
        names.put_at(words, size, color, |plate| {
            let px = [plate.x, plate.y].map(|points| place.px_of_points(points));
            let corners = label_corners(&drawn, output, px);
            let over = corners.into_iter().map(|at| place.points(at));
            let beside = beside_picture(&place, &drawn, plate);
            beside.into_iter().chain(over).collect()
        });
    }
}

/// Corners for a name of this size beside the picture: where the guide's first line ends, and on from there.
fn beside_picture(place: &PicturePlace, guide: &GuideShapes, plate: Vec2) -> Vec<Pos2> {
    let shown = place.shown();
    let start = match guide.shapes.first() {
        Some(&Shape::Outline { x0, y0, .. }) => place.points([x0, y0]),
        Some(&Shape::Vertical { x }) => place.points([x, 0.0]),
        Some(&Shape::Horizontal { y }) => place.points([0.0, y]),
        None => return Vec::new(),
    };
    let rows = (0..BESIDE_ROWS).map(|row| start.y + f32::from(row) * plate.y);
    let sides = rows.flat_map(|y| {
        [
            pos2(shown.right() + BESIDE, y),
            pos2(shown.left() - BESIDE - plate.x, y),
        ]
    });
    let lines = (0..BESIDE_ROWS).flat_map(|row| {
        let off = BESIDE + f32::from(row) * plate.y;
        [
            pos2(start.x, shown.bottom() + off),
            pos2(start.x, shown.top() - off - plate.y),
        ]
    });
    sides.chain(lines).collect()
}
