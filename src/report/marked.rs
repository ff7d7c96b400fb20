//! Labelled boxes drawn on a picture, readable on any picture and by any eye: light lines between dark ones, no colours.

use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::Frame;
use crate::pixel::label_room::{Edges, LabelRoom};
use crate::pixel::seen_detail::SeenDetail;
use crate::pixel::settings::Size;

/// Colour of the lines and of the numbers' ground. Source: chosen, white.
const LIGHT_U8: [u8; 3] = [255; 3];
/// Colour on both sides of the lines, and of the numbers. Source: chosen, black; with white 21:1.
const DARK_U8: [u8; 3] = [0; 3];
/// Picture height over the height of a number, and of a label with words. Source: chosen by eye; a page shows pictures
/// with numbers at half their size.
const NUMBER_SHARE: f32 = 20.0;
const WORDS_SHARE: f32 = 28.0;
/// Least height of a label, px. Source: chosen by eye.
const LABEL_LEAST_PX: f32 = 15.0;
/// Distance from what is marked to the line around it, px of the marked picture. Source: chosen by eye.
const CLEARANCE_PX: f64 = 4.0;

/// A place to mark, and its label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// What is written at the box: its number, and a word or two.
    pub label: String,
    /// The place in output pixels; none for the whole picture.
    pub bounds: Option<PixelBox>,
}

/// Draws a labelled box for every mark. The picture is the output of this size, scaled.
///
/// No label lies on another or leaves the picture, nor lies on what is marked or seen where there is a free place beside
/// its box; a line leads from a label that stands farther off.
pub fn draw_marks(picture: &mut Frame, output: Size, marks: &[Mark]) {
    let size = picture.size();
    let (boxes, labels) = (boxes_of(size, output, marks), laid_out(size, marks));
    let places = places_of(&labels, &boxes, size, &SeenDetail::of(picture));
    let Some(mut canvas) = Canvas::new(picture) else {
        return;
    };
    // All boxes before all labels: a line through a number would make it another one.
    for &edges in &boxes {
        draw_two_tone(&mut canvas, edges);
    }
    for (place, edges) in places.iter().zip(&boxes) {
        draw_leader(&mut canvas, place, edges);
    }
    for (label, place) in labels.iter().zip(&places) {
        draw_label(&mut canvas, label, *place);
    }
}

/// Where the labels of marks lie in this picture: left, top, right and bottom, px.
pub fn label_places(picture: &Frame, output: Size, marks: &[Mark]) -> Vec<Edges> {
    let size = picture.size();
    let (boxes, labels) = (boxes_of(size, output, marks), laid_out(size, marks));
    places_of(&labels, &boxes, size, &SeenDetail::of(picture))
}

/// The lines around the marks.
fn boxes_of(size: Size, output: Size, marks: &[Mark]) -> Vec<Edges> {
    let edges = |mark: &Mark| edges_of(mark.bounds, output, size);
    marks.iter().map(edges).collect()
}

/// The labels in the height that the picture asks for.
fn laid_out(size: Size, marks: &[Mark]) -> Vec<Words> {
    let words = |mark: &Mark| {
        let has_words = mark.label.contains(' ');
        let share = if has_words { WORDS_SHARE } else { NUMBER_SHARE };
        let scale_px = (size.height() as f32 / share).max(LABEL_LEAST_PX);
        Words::new(&mark.label, scale_px)
    };
    marks.iter().filter_map(words).collect()
}

/// A place for each, one after the other.
fn places_of(labels: &[Words], boxes: &[Edges], size: Size, detail: &SeenDetail) -> Vec<Edges> {
    let within = [0.0, 0.0, f64::from(size.width()), f64::from(size.height())];
    let mut room = LabelRoom::new(within, boxes.to_vec());
    let mut put = |(label, edges): (&Words, &Edges)| {
        let height = f64::from(label.height_px()).ceil() + 2.0;
        let width = (f64::from(label.width_px()).ceil() + 8.0).max(height);
        room.put_beside(*edges, [width, height], |place| detail.seen_px(place))
    };
    labels.iter().zip(boxes).map(&mut put).collect()
}

/// Light between dark.
fn draw_two_tone(canvas: &mut Canvas<'_>, [left, top, right, bottom]: Edges) {
    for (inset, color) in [
        (0.0, DARK_U8),
        (1.0, LIGHT_U8),
        (2.0, LIGHT_U8),
        (3.0, DARK_U8),
    ] {
        let ring = [left + inset, top + inset, right - inset, bottom - inset];
        draw_ring(canvas, ring, color);
    }
}

/// The line from a label to its box, where they do not touch: straight down or up.
fn draw_leader(canvas: &mut Canvas<'_>, place: &Edges, edges: &Edges) {
    let (from, to) = if place[3] < edges[1] {
        (place[3], edges[1])
    } else if place[1] > edges[3] {
        (edges[3], place[1])
    } else {
        return;
    };
    let x = f64::midpoint(place[0].max(edges[0]), place[2].min(edges[2])).round();
    canvas.fill([x - 2.0, from, x + 2.0, to], DARK_U8, 1.0);
    canvas.fill([x - 1.0, from, x + 1.0, to], LIGHT_U8, 1.0);
}

/// The line around a place, outside of it where the picture leaves room.
fn edges_of(bounds: Option<PixelBox>, output: Size, size: Size) -> Edges {
    let (width, height) = (f64::from(size.width()), f64::from(size.height()));
    let Some(bounds) = bounds else {
        return [0.0, 0.0, width, height];
    };
    let (across, down) = (
        width / f64::from(output.width()),
        height / f64::from(output.height()),
    );
    [
        (f64::from(bounds.x) * across - CLEARANCE_PX).max(0.0),
        (f64::from(bounds.y) * down - CLEARANCE_PX).max(0.0),
        (f64::from(bounds.right()) * across + CLEARANCE_PX).min(width),
        (f64::from(bounds.bottom()) * down + CLEARANCE_PX).min(height),
    ]
    .map(f64::round)
}

/// One pixel wide, inside the edges.
fn draw_ring(canvas: &mut Canvas<'_>, [left, top, right, bottom]: Edges, color: [u8; 3]) {
    if right - left < 2.0 || bottom - top < 2.0 {
        return;
    }
    for side in [
        [left, top, right, top + 1.0],
        [left, bottom - 1.0, right, bottom],
        [left, top, left + 1.0, bottom],
        [right - 1.0, top, right, bottom],
    ] {
        canvas.fill(side, color, 1.0);
    }
}

/// A label, dark on a light ground with a dark border.
fn draw_label(canvas: &mut Canvas<'_>, label: &Words, place: Edges) {
    let [left, top, right, bottom] = place;
    canvas.fill(place, DARK_U8, 1.0);
    let ground = [left + 1.0, top + 1.0, right - 1.0, bottom - 1.0];
    canvas.fill(ground, LIGHT_U8, 1.0);
    let spare = (right - left - f64::from(label.width_px())) / 2.0;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions within the picture"
    )]
    let at = [(left + spare) as f32, (top + 1.0) as f32];
    // Twice, half a pixel apart: the font is a light one.
    canvas.draw(label, at, DARK_U8);
    canvas.draw(label, [at[0] + 0.5, at[1]], DARK_U8);
}
