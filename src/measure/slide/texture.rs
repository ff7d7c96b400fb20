//! What photographs have and drawings have not: values that bend a little from pixel to pixel, whichever way one looks.

/// How far apart the pixels are whose bend is texture, px. Source: measured; at neighbours a photograph
/// enlarged three times looks as smooth as a gradient.
pub(super) const TEXTURE_REACH_PX: u32 = 2;
/// Bends of the values that are texture, 8-bit codes, along the row as along the column: along one of them
/// a gradient, a shadow or a straight edge does not bend. Source: chosen; less is rounding, more an edge.
const TEXTURE_CODES: std::ops::RangeInclusive<u16> = 2..=48;

/// Whether the values at a pixel bend so both ways: the smaller of `|a - 2 b + c|` along the row and along the column,
/// of the channel that bends most. `codes` are rows of `width` pixels, and the pixel is not nearer to an edge than
/// [`TEXTURE_REACH_PX`].
pub(super) fn is_texture(codes: &[[u8; 4]], width: usize, here: usize) -> bool {
    let reach = TEXTURE_REACH_PX as usize;
    let bend = |step: usize| {
        let code = |i: usize, c: usize| u16::from(codes[i][c]);
        (0..3).fold(0, |most: u16, c| {
            most.max((code(here - step, c) + code(here + step, c)).abs_diff(2 * code(here, c)))
        })
    };
    TEXTURE_CODES.contains(&bend(reach).min(bend(reach * width)))
}
