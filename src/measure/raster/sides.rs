//! The pixels beside a pixel.

use crate::pixel::settings::Size;

/// Column and row of the pixels left, right, above and below, as far as they are in the raster.
pub(crate) fn sides(size: Size, (x, y): (u32, u32)) -> impl Iterator<Item = (u32, u32)> {
    let (right, below) = (x + 1, y + 1);
    [
        x.checked_sub(1).map(|x| (x, y)),
        (right < size.width()).then_some((right, y)),
        y.checked_sub(1).map(|y| (x, y)),
        (below < size.height()).then_some((x, below)),
    ]
    .into_iter()
    .flatten()
}
