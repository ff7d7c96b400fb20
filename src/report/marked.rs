//! Numbered boxes drawn on a picture, readable on any picture: light lines between dark ones.

use crate::measure::finding::PixelBox;
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// Colour of the lines and of the numbers' ground. Source: chosen, white.
const LIGHT_U8: [u8; 3] = [255; 3];
/// Colour on both sides of the lines, and of the numbers. Source: chosen, black; with white 21:1.
const DARK_U8: [u8; 3] = [0; 3];
/// Picture height over the height of a number, and the least height in px. Source: chosen by eye.
const NUMBER_SHARE: f32 = 20.0;
/// Least height of a number, px. Source: chosen by eye.
const NUMBER_LEAST_PX: f32 = 15.0;
/// Distance from what is marked to the line around it, px of the marked picture. Source: chosen by eye.
const CLEARANCE_PX: f64 = 4.0;

/// A place to mark, and its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// What is written at the box.
    pub number: usize,
    /// The place in output pixels; none for the whole picture.
    pub bounds: Option<PixelBox>,
}

/// `[left, top, right, bottom]` in pixels of the marked picture.
type Edges = [f64; 4];

/// Draws a numbered box for every mark. The picture is the output of this size, scaled.
///
/// No number lies on another where there is a free place beside its box, nor on what is marked.
pub fn draw_marks(picture: &mut Frame, output: Size, marks: &[Mark]) {
    let Some(mut canvas) = Canvas::new(picture) else {
        return;
    };
    let size = canvas.size();
    let boxes: Vec<Edges> = marks
        .iter()
        .map(|mark| edges_of(mark.bounds, output, size))
        .collect();
    // All boxes before all numbers: a line through a number would make it another one.
    for &[left, top, right, bottom] in &boxes {
        for (inset, color) in [
            (0.0, DARK_U8),
            (1.0, LIGHT_U8),
            (2.0, LIGHT_U8),
            (3.0, DARK_U8),
        ] {
            let ring = [left + inset, top + inset, right - inset, bottom - inset];
            draw_ring(&mut canvas, ring, color);
        }
    }
    let scale_px = (size.height() as f32 / NUMBER_SHARE).max(NUMBER_LEAST_PX);
    let mut taken: Vec<Edges> = Vec::new();
    for (own, mark) in marks.iter().enumerate() {
        if let Some(number) = Words::new(&mark.number.to_string(), scale_px) {
            let place = free_place(&number, own, &boxes, size, &taken);
            draw_number(&mut canvas, &number, place);
            taken.push(place);
        }
    }
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

/// Where a number goes: beside its box or, where there is no room, in it; off other numbers before all, and off
/// what is marked where it can.
fn free_place(number: &Words, own: usize, boxes: &[Edges], size: Size, taken: &[Edges]) -> Edges {
    let [left, top, right, bottom] = boxes[own];
    let height = f64::from(number.height_px()).ceil() + 2.0;
    let width = (f64::from(number.width_px()).ceil() + 8.0).max(height);
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
    // One number further along, above and below, where the corners are taken.
    let further = [top - height, bottom]
        .into_iter()
        .flat_map(|y| [(left + width, y), (right - 2.0 * width, y)]);
    let place = |(x, y): (f64, f64)| [x, y, x + width, y + height];
    let fits = |p: &Edges| {
        p[0] >= 0.0
            && p[1] >= 0.0
            && p[2] <= f64::from(size.width())
            && p[3] <= f64::from(size.height())
    };
    // Pixels of other numbers, then of what is marked, that the number would cover.
    let covers = |p: &Edges| {
        let numbers: f64 = taken.iter().map(|other| shared_px(p, other)).sum();
        // A box that holds the whole place, a background's say, is everywhere.
        let marked = boxes.iter().filter(|edges| !holds(edges, &boxes[own]));
        let marked: f64 = marked.map(|edges| shared_px(p, edges)).sum();
        (numbers, marked + shared_px(p, &boxes[own]))
    };
    let places = corners.into_iter().chain(further).map(place).filter(fits);
    let mut best: Option<(Edges, (f64, f64))> = None;
    for p in places {
        let cost = covers(&p);
        if best.is_none_or(|(_, least)| cost < least) {
            best = Some((p, cost));
        }
    }
    best.map_or_else(|| place((left, top)), |(p, _)| p)
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

/// A number, dark on a light ground with a dark border.
fn draw_number(canvas: &mut Canvas<'_>, number: &Words, place: Edges) {
    let [left, top, right, bottom] = place;
    canvas.fill(place, DARK_U8, 1.0);
    let ground = [left + 1.0, top + 1.0, right - 1.0, bottom - 1.0];
    canvas.fill(ground, LIGHT_U8, 1.0);
    let spare = (right - left - f64::from(number.width_px())) / 2.0;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions within the picture"
    )]
    let at = [(left + spare) as f32, (top + 1.0) as f32];
    // Twice, half a pixel apart: the font is a light one.
    canvas.draw(number, at, DARK_U8);
    canvas.draw(number, [at[0] + 0.5, at[1]], DARK_U8);
}
