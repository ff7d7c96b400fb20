//! The luma quantisation of a JPEG file, so that noise can be measured under its compression.

use std::path::Path;

use crate::measure::test_chart::jpeg_noise::JpegGrid;
use crate::pixel::settings::Size;

/// Most bytes of a file that is looked into. Source: chosen, above any still of a recorder.
const MAX_BYTES: u64 = 256 << 20;
/// Where the coefficients of a table belong, row by row. Source: ITU-T T.81, figure A.6.
#[rustfmt::skip]
const ZIGZAG: [usize; 64] = [
     0,  1,  8, 16,  9,  2,  3, 10, 17, 24, 32, 25, 18, 11,  4,  5,
    12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13,  6,  7, 14, 21, 28,
    35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51,
    58, 59, 52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
];

/// The grid of a JPEG file whose picture has `size`; none where it is no such file.
pub fn read_jpeg_grid(path: &Path, size: Size) -> Option<JpegGrid> {
    let is_small = std::fs::metadata(path).ok()?.len() <= MAX_BYTES;
    jpeg_grid(&is_small.then(|| std::fs::read(path).ok())??, size)
}

/// The same from the file's bytes. None also where the file says that it is to be turned.
pub fn jpeg_grid(bytes: &[u8], size: Size) -> Option<JpegGrid> {
    let mut rest = bytes.strip_prefix(&[0xFF, 0xD8])?;
    let mut tables = [None; 4];
    let mut luma_table = None;
    loop {
        let (&[first, marker, high, low], _) = rest.split_first_chunk::<4>()?;
        if first != 0xFF {
            return None;
        }
        let length = usize::from(u16::from_be_bytes([high, low]));
        let segment = rest.get(4..2 + length)?;
        rest = rest.get(2 + length..)?;
        match marker {
            0xDB => read_tables(segment, &mut tables)?,
            // Turned pictures begin their blocks at another corner.
            0xE1 if segment.starts_with(b"Exif\0\0") => return None,
            // Baseline, extended and progressive frames: sides, then components with their tables.
            0xC0..=0xC2 => {
                let &[_, h1, h0, w1, w0, _, _, _, table, ..] = segment else {
                    return None;
                };
                let sides = [[w1, w0], [h1, h0]].map(|side| u32::from(u16::from_be_bytes(side)));
                let same = sides == [size.width(), size.height()];
                luma_table = same.then_some(usize::from(table));
            }
            // Tables stand before or after the frame's head, but before the first scan.
            0xDA => {
                let steps = (*tables.get(luma_table?)?)?;
                return Some(JpegGrid { steps });
            }
            _ => {}
        }
    }
}

/// Takes over the tables of a segment.
fn read_tables(mut segment: &[u8], tables: &mut [Option<[[u16; 8]; 8]>; 4]) -> Option<()> {
    while let Some((&head, values)) = segment.split_first() {
        let bytes = if head >> 4 == 0 { 1 } else { 2 };
        let mut steps = [[0; 8]; 8];
        for (index, value) in values.get(..64 * bytes)?.chunks_exact(bytes).enumerate() {
            let place = ZIGZAG[index];
            steps[place / 8][place % 8] = value
                .iter()
                .fold(0, |step, &byte| step << 8 | u16::from(byte));
        }
        *tables.get_mut(usize::from(head & 15))? = Some(steps);
        segment = &values[64 * bytes..];
    }
    Some(())
}
