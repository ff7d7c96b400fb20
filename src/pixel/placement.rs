//! Where a source lies on the output: turn, mirror, fit and scaling, boiled down to two lists of taps.
//! All three engines read the same lists, so geometry is decided once, in exact integers.

use super::settings::{Fit, Placement, Size, SlidePlace, Turn};

/// A rectangle in output pixels; it may reach beyond the output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rect {
    /// Left edge.
    pub x: i64,
    /// Top edge.
    pub y: i64,
    /// Pixels across, at least 1.
    pub width: i64,
    /// Pixels down, at least 1.
    pub height: i64,
}

/// Which source pixels make one output pixel along one axis, and how much each counts.
///
/// `count` pixels from `first` on: the first weighs `first_weight`, the last (if there are two or
/// more) `last_weight`, those between `middle_weight`. `count` 0 is black, outside the picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(C)]
pub struct Tap {
    /// Index of the first source pixel along its axis.
    pub first: u32,
    /// How many source pixels take part.
    pub count: u32,
    /// Weight of the first, 0 to 1.
    pub first_weight: f32,
    /// Weight of each between first and last, 0 to 1.
    pub middle_weight: f32,
    /// Weight of the last, 0 to 1.
    pub last_weight: f32,
}

impl Tap {
    /// One source pixel, untouched.
    fn one(index: u32) -> Self {
        Self {
            first: index,
            count: 1,
            first_weight: 1.0,
            middle_weight: 0.0,
            last_weight: 0.0,
        }
    }

    /// Weight of the `i`-th pixel that takes part.
    pub fn weight(&self, i: u32) -> f32 {
        if i == 0 {
            self.first_weight
        } else if i + 1 == self.count {
            self.last_weight
        } else {
            self.middle_weight
        }
    }
}

/// A source placed on the output.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// One tap for each output column.
    pub columns: Vec<Tap>,
    /// One tap for each output row.
    pub rows: Vec<Tap>,
    /// Pixels between neighbours along the source axis that output columns walk.
    pub column_stride: u32,
    /// Pixels between neighbours along the source axis that output rows walk.
    pub row_stride: u32,
    /// Whether every output pixel is the source pixel of the same index.
    pub untouched: bool,
}

/// The size of the output: given, else the camera's after turning, else high definition.
pub fn output_size(placement: &Placement, camera: Option<Size>) -> Size {
    let turned = |size: Size| {
        if placement.turn_camera.swaps_sides() {
            size.transposed()
        } else {
            size
        }
    };
    placement.size.or(camera.map(turned)).unwrap_or(Size::HD)
}

/// The camera on the output.
pub fn place_camera(placement: &Placement, camera: Size, output: Size) -> Placed {
    let whole = whole_output(output);
    place(
        camera,
        placement.turn_camera,
        placement.mirror_camera,
        placement.camera_fit,
        whole,
        output,
    )
}

/// The slide on the output.
pub fn place_slide(placement: &Placement, slide: Size, output: Size) -> Placed {
    let into = slide_rect(placement.slide_place, output);
    place(
        slide,
        Turn::None,
        placement.mirror_slide,
        placement.slide_fit,
        into,
        output,
    )
}

/// How many output pixels a pixel of the slide becomes across and down, whether or not all of it is shown; under 1 where
/// it is reduced.
pub fn slide_enlargement(placement: &Placement, slide: Size, output: Size) -> [f64; 2] {
    let into = slide_rect(placement.slide_place, output);
    let fitted = fitted_rect(slide, placement.slide_fit, into);
    [
        fitted.width as f64 / f64::from(slide.width()),
        fitted.height as f64 / f64::from(slide.height()),
    ]
}

/// The output as a rectangle.
fn whole_output(output: Size) -> Rect {
    Rect {
        x: 0,
        y: 0,
        width: output.width().into(),
        height: output.height().into(),
    }
}

/// The slide's rectangle in output pixels: each edge at `floor(x + 0.5)` of its exact place.
pub fn slide_rect(slide_place: SlidePlace, output: Size) -> Rect {
    let [x, y, width, height] = slide_place.percent();
    let (left, right) = edges_px(x, width, output.width());
    let (top, bottom) = edges_px(y, height, output.height());
    Rect {
        x: left,
        y: top,
        width: right - left,
        height: bottom - top,
    }
}

/// Both edges of `start` and `length` percent of `side_px`, at least a pixel apart.
#[expect(
    clippy::cast_possible_truncation,
    reason = "at most 3 * MAX_SIDE_PX, checked by SlidePlace"
)]
fn edges_px(start_percent: f64, length_percent: f64, side_px: u32) -> (i64, i64) {
    let edge = |percent: f64| (percent * f64::from(side_px) / 100.0 + 0.5).floor() as i64;
    let start = edge(start_percent);
    (start, edge(start_percent + length_percent).max(start + 1))
}

/// The rectangle a picture of `source` size takes when fitted into `into`.
///
/// The scaled side is `floor(side + 0.5)`, at least 1; what centring leaves over goes right and bottom.
pub fn fitted_rect(source: Size, fit: Fit, into: Rect) -> Rect {
    let (w, h) = (i128::from(source.width()), i128::from(source.height()));
    let (into_w, into_h) = (i128::from(into.width), i128::from(into.height));
    let wider_than_into = w * into_h > into_w * h;
    let (width, height) = match (fit, wider_than_into) {
        (Fit::Stretch, _) => (into_w, into_h),
        (Fit::Fit, true) | (Fit::Fill, false) => (into_w, rounded_ratio(h * into_w, w)),
        (Fit::Fit, false) | (Fit::Fill, true) => (rounded_ratio(w * into_h, h), into_h),
    };
    let narrow = |v: i128| i64::try_from(v).unwrap_or(i64::MAX);
    let (width, height) = (narrow(width), narrow(height));
    Rect {
        x: into.x + (into.width - width).div_euclid(2),
        y: into.y + (into.height - height).div_euclid(2),
        width,
        height,
    }
}

/// `floor(a / b + 0.5)`, at least 1.
fn rounded_ratio(a: i128, b: i128) -> i128 {
    ((2 * a + b) / (2 * b)).max(1)
}

/// Turns, mirrors and fits a source into a rectangle, cut to that rectangle and the output.
fn place(source: Size, turn: Turn, mirrored: bool, fit: Fit, into: Rect, output: Size) -> Placed {
    let turned = if turn.swaps_sides() {
        source.transposed()
    } else {
        source
    };
    let placed = fitted_rect(turned, fit, into);
    // A clockwise quarter turn makes output columns walk the source rows from the bottom up.
    let column_reversed = matches!(turn, Turn::Quarter | Turn::Half) != mirrored;
    let row_reversed = matches!(turn, Turn::Half | Turn::ThreeQuarters);
    let (column_stride, row_stride) = if turn.swaps_sides() {
        (source.width(), 1)
    } else {
        (1, source.width())
    };
    let columns = Axis {
        output_px: output.width(),
        clip: (into.x, into.x + into.width),
        placed: (placed.x, placed.width),
        source_px: turned.width(),
        reversed: column_reversed,
    };
    let rows = Axis {
        output_px: output.height(),
        clip: (into.y, into.y + into.height),
        placed: (placed.y, placed.height),
        source_px: turned.height(),
        reversed: row_reversed,
    };
    let untouched = source == output
        && placed == whole_output(output)
        && into == placed
        && turn == Turn::None
        && !mirrored;
    Placed {
        columns: columns.taps(),
        rows: rows.taps(),
        column_stride,
        row_stride,
        untouched,
    }
}

/// One axis of a placement.
struct Axis {
    output_px: u32,
    clip: (i64, i64),
    placed: (i64, i64),
    source_px: u32,
    reversed: bool,
}

impl Axis {
    fn taps(&self) -> Vec<Tap> {
        let (start, length) = self.placed;
        (0..i64::from(self.output_px))
            .map(|output| {
                let position = output - start;
                let inside =
                    (0..length).contains(&position) && (self.clip.0..self.clip.1).contains(&output);
                match (inside, self.reversed) {
                    (false, _) => Tap::default(),
                    (true, false) => scaled_tap(position, length, self.source_px),
                    (true, true) => scaled_tap(length - 1 - position, length, self.source_px),
                }
            })
            .collect()
    }
}

/// The tap of output pixel `position` where `source_px` pixels are brought to `placed_px`.
///
/// Reducing: the share of `[i source / placed, (i + 1) source / placed]` that each pixel overlaps.
/// Enlarging: linear between the two nearest centres, `(i + 0.5) source / placed - 0.5`, clamped at the edges.
/// Equal: untouched.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "indices lie within the source and weights within 0..=1 by construction"
)]
fn scaled_tap(position: i64, placed_px: i64, source_px: u32) -> Tap {
    let (i, placed, source) = (
        i128::from(position),
        i128::from(placed_px),
        i128::from(source_px),
    );
    if placed == source {
        return Tap::one(position as u32);
    }
    let share = |part: i128, whole: i128| (part as f64 / whole as f64) as f32;
    if placed < source {
        // Positions in units of 1/placed source pixel.
        let (start, end) = (i * source, (i + 1) * source);
        let (first, last) = (start / placed, (end - 1) / placed);
        return Tap {
            first: first as u32,
            count: (last - first + 1) as u32,
            first_weight: share(end.min((first + 1) * placed) - start, source),
            middle_weight: share(placed, source),
            last_weight: share(end - last * placed, source),
        };
    }
    // Twice the position of the output centre minus half a source pixel, in units of 1/placed source pixel.
    let centre = (2 * i + 1) * source - placed;
    let before = centre.div_euclid(2 * placed);
    if before < 0 {
        return Tap::one(0);
    }
    if before >= source - 1 {
        return Tap::one(source_px - 1);
    }
    let after_weight = share(centre - before * 2 * placed, 2 * placed);
    Tap {
        first: before as u32,
        count: 2,
        first_weight: 1.0 - after_weight,
        middle_weight: 0.0,
        last_weight: after_weight,
    }
}
