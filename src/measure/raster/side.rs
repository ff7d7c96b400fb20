//! The four sides of the picture, and what lies between two boxes at each.

use super::pixel_box::PixelBox;

/// A side of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Side {
    Left,
    Top,
    Right,
    Bottom,
}

impl Side {
    /// All of them.
    pub(crate) const ALL: [Self; 4] = [Self::Left, Self::Top, Self::Right, Self::Bottom];

    /// In words.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Top => "top",
            Self::Right => "right",
            Self::Bottom => "bottom",
        }
    }

    /// From this side of an outer box to the same side of an inner one.
    pub(crate) fn gap(self, outer: PixelBox, inner: PixelBox) -> u32 {
        match self {
            Self::Left => inner.x.saturating_sub(outer.x),
            Self::Top => inner.y.saturating_sub(outer.y),
            Self::Right => outer.right().saturating_sub(inner.right()),
            Self::Bottom => outer.bottom().saturating_sub(inner.bottom()),
        }
    }

    /// What lies between this side of the output and the same side of a box in it.
    pub(crate) fn margin(self, output: PixelBox, safe: PixelBox) -> Option<PixelBox> {
        let cut = |x: u32, y: u32, right: u32, bottom: u32| {
            (x < right && y < bottom).then(|| PixelBox {
                x,
                y,
                width: right - x,
                height: bottom - y,
            })
        };
        match self {
            Self::Left => cut(output.x, output.y, safe.x, output.bottom()),
            Self::Top => cut(output.x, output.y, output.right(), safe.y),
            Self::Right => cut(safe.right(), output.y, output.right(), output.bottom()),
            Self::Bottom => cut(output.x, safe.bottom(), output.right(), output.bottom()),
        }
    }
}
