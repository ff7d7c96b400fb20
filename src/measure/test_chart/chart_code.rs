//! The size of a chart as cells in it, so that a capture tells how large the chart was when it was sent.

use crate::pixel::settings::Size;

/// Cells: 15 bits of width, 15 of height, 10 of check.
pub const CODE_CELLS: usize = 40;
/// Bits of a side.
const SIDE_BITS: u32 = 15;
/// Generator `x^10 + x^9 + x^5 + x^4 + x + 1` without its leading term. Source: ITU-T I.610, CRC-10.
const CRC_10: u32 = 0x233;

/// The cells of a size, first width, then height, then check, highest bit first.
pub fn code_bits(size: Size) -> [bool; CODE_CELLS] {
    let sides = (u64::from(size.width()) << SIDE_BITS) | u64::from(size.height());
    let message = (sides << 10) | u64::from(crc_10(sides.into(), 2 * SIDE_BITS));
    std::array::from_fn(|cell| message >> (CODE_CELLS - 1 - cell) & 1 == 1)
}

/// The size that cells carry; none where the check does not fit them.
pub fn size_of_bits(bits: &[bool; CODE_CELLS]) -> Option<Size> {
    let message = bits
        .iter()
        .fold(0_u64, |message, &bit| (message << 1) | u64::from(bit));
    let sides = message >> 10;
    if u64::from(crc_10(sides.into(), 2 * SIDE_BITS)) != message & 0x3FF {
        return None;
    }
    let side = |bits: u64| u32::try_from(bits & 0x7FFF).ok();
    Size::new(side(sides >> SIDE_BITS)?, side(sides)?).ok()
}

/// CRC-10 of the lowest `bits` of a message, highest first.
pub fn crc_10(message: u128, bits: u32) -> u32 {
    (0..bits).rev().fold(0, |crc, bit| {
        let incoming = u32::from(message >> bit & 1 == 1);
        let top = (crc >> 9) & 1;
        let shifted = (crc << 1) & 0x3FF;
        if top == incoming {
            shifted
        } else {
            shifted ^ CRC_10
        }
    })
}
