//! The sheet of glass in the picture: from pixels of the output to centimetres on the glass.

use thiserror::Error;

use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// Corners in the picture that no sheet of glass has, or a size that none has.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum GlassError {
    /// The corners do not follow one another around the glass.
    #[error(
        "the corners of the glass must go round it: top left, top right, bottom right, bottom left"
    )]
    Corners,
    /// A side that is none.
    #[error("the glass must be between 1 and 1000 cm wide and high, got {}x{}", got[0], got[1])]
    Size {
        /// What was asked for, width and height.
        got: [f64; 2],
    },
}

/// How far from its corner a place on the plane of the glass is told, sheets. Source: chosen; ticks are made on the
/// sheet itself, and numbers grow without end towards the vanishing line.
const MOST_SHEETS: f64 = 10.0;

/// A flat sheet of glass as a camera without distortion sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glass {
    /// Rows of the matrix that leads from pixels to shares of the glass.
    share_from_px: [[f64; 3]; 3],
    size_cm: [f64; 2],
}

impl Glass {
    /// The glass whose corners lie at these places of the output, px, from the top left one clockwise.
    ///
    /// Source: Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section 2.2.3: with
    /// `s = p0 - p1 + p2 - p3`, `d1 = p1 - p2`, `d2 = p3 - p2`,
    /// `g = (s × d2) / (d1 × d2)`, `h = (d1 × s) / (d1 × d2)`, pixels from shares are
    /// `(p1 - p0 + g p1, p3 - p0 + h p3, p0)` over `(g, h, 1)`.
    pub fn new(corners_px: [[f64; 2]; 4], size_cm: [f64; 2]) -> Result<Self, GlassError> {
        if !size_cm.iter().all(|side| (1.0..=1000.0).contains(side)) {
            return Err(GlassError::Size { got: size_cm });
        }
        let turns_right = |i: usize| {
            let [a, b, c] = [0, 1, 2].map(|step| corners_px[(i + step) % 4]);
            cross(minus(b, a), minus(c, b)) > 0.0
        };
        if !(0..4).all(turns_right) {
            return Err(GlassError::Corners);
        }
        let [p0, p1, p2, p3] = corners_px;
        let (d1, d2) = (minus(p1, p2), minus(p3, p2));
        let s = minus(minus(p0, p1), minus(p3, p2));
        let g = cross(s, d2) / cross(d1, d2);
        let h = cross(d1, s) / cross(d1, d2);
        let row = |c: usize| [p1[c] - p0[c] + g * p1[c], p3[c] - p0[c] + h * p3[c], p0[c]];
        let matrix = adjugate([row(0), row(1), [g, h, 1.0]]);
        // On the glass itself the third row is positive.
        let [a, b, c] = matrix[2];
        let sign = (a * p0[0] + b * p0[1] + c).signum();
        Ok(Self {
            share_from_px: matrix.map(|row| row.map(|entry| sign * entry)),
            size_cm,
        })
    }

    /// Where a place of the output lies on the plane of the glass: cm from its top left corner, to the right and
    /// down, as the picture shows it. None beyond its vanishing line and near it, where it is over ten sheets away.
    pub fn cm_from_px(&self, place: [f64; 2]) -> Option<[f64; 2]> {
        let [across, down] = self.share_of(place)?;
        Some([across * self.size_cm[0], down * self.size_cm[1]])
    }

    /// The same in shares of its sides.
    fn share_of(&self, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
        let [u, v, w] = self.share_from_px.map(|[a, b, c]| a * x + b * y + c);
        let share = [u / w, v / w];
        let is_near = w > 0.0 && share.iter().all(|share| share.abs() <= MOST_SHEETS);
        is_near.then_some(share)
    }

    /// The pixels of an output that are not wholly on the glass.
    pub fn beside(&self, output: Size) -> Runs {
        let (width, height) = (output.width() as usize, output.height() as usize);
        let is_on = |x: usize, y: usize| {
            let share = self.share_of([x as f64, y as f64]);
            share.is_some_and(|share| share.iter().all(|share| (0.0..=1.0).contains(share)))
        };
        let mut above: Vec<bool> = (0..=width).map(|x| is_on(x, 0)).collect();
        let mut bytes = Vec::with_capacity(width * height);
        for y in 1..=height {
            let below: Vec<bool> = (0..=width).map(|x| is_on(x, y)).collect();
            let corners = above.windows(2).zip(below.windows(2));
            bytes.extend(corners.map(|(a, b)| u8::from(a == [true; 2] && b == [true; 2])));
            above = below;
        }
        Runs::of_bytes(output, &bytes, |byte| byte == 0)
    }

    /// The corners of a box of the output on the glass, cm, from the top left one clockwise; none where one of them
    /// is not on its plane.
    pub fn corners_cm(&self, bounds: PixelBox) -> Option<[[f64; 2]; 4]> {
        let [left, top, right, bottom] =
            [bounds.x, bounds.y, bounds.right(), bounds.bottom()].map(f64::from);
        let corner = |x: f64, y: f64| self.cm_from_px([x, y]);
        Some([
            corner(left, top)?,
            corner(right, top)?,
            corner(right, bottom)?,
            corner(left, bottom)?,
        ])
    }
}

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// The inverse of a matrix, times its determinant.
fn adjugate([a, b, c]: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |p: [f64; 3], q: [f64; 3], i: usize, j: usize| p[i] * q[j] - p[j] * q[i];
    [
        [minor(b, c, 1, 2), minor(c, a, 1, 2), minor(a, b, 1, 2)],
        [minor(b, c, 2, 0), minor(c, a, 2, 0), minor(a, b, 2, 0)],
        [minor(b, c, 0, 1), minor(c, a, 0, 1), minor(a, b, 0, 1)],
    ]
}
