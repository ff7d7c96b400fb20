//! Labelled boxes drawn on a picture, readable on any picture and by any eye: light lines between dark ones, no colours.

use crate::measure::finding::PixelBox;
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// Colour of the lines and of the numbers' ground. Source: chosen, white.
const LIGHT_U8: [u8; 3] = [255; 3];
/// Colour on both sides of the lines, and of the numbers. Source: chosen, black; with white 21:1.
const DARK_U8: [u8; 3] = [0; 3];
/// Picture height over the height of a label. Source: chosen by eye.
const LABEL_SHARE: f32 = 20.0;
/// Least height of a label, px. Source: chosen by eye.
const LABEL_LEAST_PX: f32 = 15.0;
/// How many labels lie above or below each other where their boxes are the same. Source: chosen, more than a page has.
const MOST_STACKED: u32 = 16;
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

/// `[left, top, right, bottom]` in pixels of the marked picture.
type Edges = [f64; 4];

/// Draws a labelled box for every mark. The picture is the output of this size, scaled.
///
/// No label lies on another or leaves the picture, nor lies on what is marked where there is a free place beside its
/// box; a line leads from a label that stands farther off.
pub fn draw_marks(picture: &mut Frame, output: Size, marks: &[Mark]) {
    let Some(mut canvas) = Canvas::new(picture) else {
        return;
    };
    let size = canvas.size();
    let boxes: Vec<Edges> = marks
        .iter()
        .map(|mark| edges_of(mark.bounds, output, size))
        .collect();
    // All boxes before all labels: a line through a number would make it another one.
    for &edges in &boxes {
        draw_two_tone(&mut canvas, edges);
    }
    let labels = laid_out(size, marks);
    let places = places_of(&labels, &boxes, size);
    for (place, edges) in places.iter().zip(&boxes) {
        draw_leader(&mut canvas, place, edges);
    }
    for (label, place) in labels.iter().zip(&places) {
        draw_label(&mut canvas, label, *place);
    }
}

/// Where the labels of marks lie in a picture of this size: left, top, right and bottom, px.
pub fn label_places(size: Size, output: Size, marks: &[Mark]) -> Vec<[f64; 4]> {
    let edges = |mark: &Mark| edges_of(mark.bounds, output, size);
    let boxes: Vec<Edges> = marks.iter().map(edges).collect();
    places_of(&laid_out(size, marks), &boxes, size)
}

/// The labels in the height that the picture asks for.
fn laid_out(size: Size, marks: &[Mark]) -> Vec<Words> {
    let scale_px = (size.height() as f32 / LABEL_SHARE).max(LABEL_LEAST_PX);
    let words = |mark: &Mark| Words::new(&mark.label, scale_px);
    marks.iter().filter_map(words).collect()
}

/// A place for each, one after the other.
fn places_of(labels: &[Words], boxes: &[Edges], size: Size) -> Vec<Edges> {
    let mut places: Vec<Edges> = Vec::new();
    for (own, label) in labels.iter().enumerate() {
        places.push(free_place(label, own, boxes, size, &places));
    }
    places
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

/// Where a label goes: beside its box or, where there is no room, in it; off other labels before all, and off what is
/// marked where it can.
fn free_place(label: &Words, own: usize, boxes: &[Edges], size: Size, taken: &[Edges]) -> Edges {
    let [left, top, right, bottom] = boxes[own];
    let (across, down) = (f64::from(size.width()), f64::from(size.height()));
    let height = f64::from(label.height_px()).ceil() + 2.0;
    let width = (f64::from(label.width_px()).ceil() + 8.0).max(height);
    let corners = [
        (left, top - height),
        (right - width, top - height),
        (left, bottom),
        (right - width, bottom),
        (left - width, top),
        (right, top),
        (left - width, bottom - height),
        (right, bottom - height),
        (left, top),
        (right - width, top),
        (left, bottom - height),
        (right - width, bottom - height),
    ];
    let inside_x = |x: f64| x.clamp(0.0, (across - width).max(0.0));
    let inside_y = |y: f64| y.clamp(0.0, (down - height).max(0.0));
    // A label further along the box, or pushed into the picture, where the corners are taken.
    let beside = [top - height, bottom].into_iter().flat_map(|y| {
        let along = [left + width, right - 2.0 * width];
        let along = along.into_iter().filter(|&x| x < right && x + width > left);
        let pushed = [left, right - width].map(inside_x);
        along.chain(pushed).map(move |x| (x, y))
    });
    // Then farther off above and below, within and beside the box.
    let stacked = (0..MOST_STACKED).flat_map(|k| {
        let off = f64::from(k) * height;
        let rows = [top - height - off, bottom + off, top + off];
        rows.into_iter()
            .flat_map(move |y| [(inside_x(left), y), (inside_x(right - width), y)])
    });
    let place = |(x, y): (f64, f64)| [x, y, x + width, y + height];
    let fits = |p: &Edges| p[0] >= 0.0 && p[1] >= 0.0 && p[2] <= across && p[3] <= down;
    // Pixels of other labels, then of what is marked, that the label would cover.
    let covers = |p: &Edges| {
        let labels: f64 = taken.iter().map(|other| shared_px(p, other)).sum();
        // A box that holds the whole place, a background's say, is everywhere.
        let marked = boxes.iter().filter(|edges| !holds(edges, &boxes[own]));
        let marked: f64 = marked.map(|edges| shared_px(p, edges)).sum();
        (labels, marked + shared_px(p, &boxes[own]))
    };
    let mut near: Option<(Edges, (f64, f64))> = None;
    for p in corners.into_iter().chain(beside).map(place).filter(fits) {
        let cost = covers(&p);
        if near.is_none_or(|(_, least)| cost < least) {
            near = Some((p, cost));
        }
    }
    let best = match near {
        Some((_, (labels, _))) if labels <= 0.0 => near,
        // The nearest that is free of labels.
        _ => stacked
            .map(place)
            .filter(fits)
            .map(|p| (p, covers(&p)))
            .find(|(_, (labels, _))| *labels <= 0.0)
            .or(near),
    };
    best.map_or_else(|| place((inside_x(left), inside_y(top))), |(p, _)| p)
}

/// Pixels that two boxes share.
fn shared_px(a: &Edges, b: &Edges) -> f64 {
    let along = |axis: usize| (a[axis + 2].min(b[axis + 2]) - a[axis].max(b[axis])).max(0.0);
    along(0) * along(1)
}

/// Whether one box holds another.
fn holds(outer: &Edges, inner: &Edges) -> bool {
    outer[0] <= inner[0] && outer[1] <= inner[1] && outer[2] >= inner[2] && outer[3] >= inner[3]
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
