//! A box of pixels.

use schemars::JsonSchema;
use serde::Serialize;

use crate::pixel::settings::Size;

/// A rectangle of whole output pixels, at least one each way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(into = "[u32; 4]")]
#[schemars(with = "[u32; 4]")]
pub struct PixelBox {
    /// Left edge.
    pub x: u32,
    /// Top edge.
    pub y: u32,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

impl From<PixelBox> for [u32; 4] {
    fn from(b: PixelBox) -> Self {
        [b.x, b.y, b.width, b.height]
    }
}

impl PixelBox {
    /// The box of a whole raster.
    pub fn of_size(size: Size) -> Self {
        Self {
            x: 0,
            y: 0,
            width: size.width(),
            height: size.height(),
        }
    }

    /// The column just right of the box.
    pub fn right(self) -> u32 {
        self.x + self.width
    }

    /// The row just below the box.
    pub fn bottom(self) -> u32 {
        self.y + self.height
    }

    /// Pixels in all.
    pub fn area(self) -> u64 {
        u64::from(self.width) * u64::from(self.height)
    }

    /// x, y, width and height in percent of the output, to a hundredth.
    pub fn percent_of(self, output: Size) -> [f64; 4] {
        let percent =
            |px: u32, side: u32| (10_000.0 * f64::from(px) / f64::from(side)).round() / 100.0;
        [
            percent(self.x, output.width()),
            percent(self.y, output.height()),
            percent(self.width, output.width()),
            percent(self.height, output.height()),
        ]
    }

    /// The smallest box around both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        let (x, y) = (self.x.min(other.x), self.y.min(other.y));
        Self {
            x,
            y,
            width: self.right().max(other.right()) - x,
            height: self.bottom().max(other.bottom()) - y,
        }
    }

    /// What both have in common; none where they do not overlap.
    pub fn intersection(self, other: Self) -> Option<Self> {
        let (x, y) = (self.x.max(other.x), self.y.max(other.y));
        let (right, bottom) = (
            self.right().min(other.right()),
            self.bottom().min(other.bottom()),
        );
        (x < right && y < bottom).then(|| Self {
            x,
            y,
            width: right - x,
            height: bottom - y,
        })
    }
}
