//! Whether the compressed values of a JPEG fill its picture: where some are damaged, decoders go on with what they take for
//! values, and the rest of the picture comes in wrong colours. Reads sequential Huffman coding, which cameras write, and
//! says nothing of other kinds.

use super::huffman::{BitReader, HuffmanTable};

/// Coefficients of a block. Source: ITU-T T.81, A.3.3.
const BLOCK: u32 = 64;
/// Most bits of a DC difference and of an AC coefficient, of pictures of 8 bits. Source: ITU-T T.81, tables F.1 and F.2.
const MOST_DC_BITS: u8 = 11;
const MOST_AC_BITS: u8 = 10;
/// Bytes behind the last value of a scan that mean nothing. Source: chosen, an encoder that fills up to four. Most values
/// that are damaged leave more, or too few; where few are, the rest may come in step again, which nobody can tell.
const MOST_LEFT_BYTES: usize = 3;

/// A component of the frame.
#[derive(Clone, Copy, Debug)]
struct Component {
    id: u8,
    /// How many of its blocks a minimum coded unit has across and down.
    blocks: [u32; 2],
}

/// What the segments before a scan say.
#[derive(Debug, Default)]
struct Frame {
    size: [u32; 2],
    components: Vec<Component>,
    /// Tables of DC and of AC differences by their numbers.
    tables: [[Option<HuffmanTable>; 4]; 2],
    restart_every: u32,
}

/// Whether a JPEG of sequential Huffman coding holds other values than its picture has blocks; no where that is not known.
pub(super) fn is_damaged(bytes: &[u8]) -> bool {
    find_damage(bytes).unwrap_or(false)
}

/// Segment by segment, as ITU-T T.81, annex B, has them; none where something is of another kind.
fn find_damage(bytes: &[u8]) -> Option<bool> {
    let mut frame = Frame::default();
    let mut at = 2;
    loop {
        while bytes.get(at..at + 2)? == [0xFF, 0xFF] {
            at += 1;
        }
        let [0xFF, marker] = *bytes.get(at..at + 2)? else {
            return None;
        };
        at += 2;
        match marker {
            0xD9 => return Some(false),
            0x01 | 0xD0..=0xD7 => continue,
            _ => {}
        }
        let length = usize::from(u16::from_be_bytes(*bytes.get(at..)?.first_chunk()?));
        let segment = bytes.get(at + 2..at + length)?;
        at += length;
        match marker {
            0xC0 | 0xC1 => frame.read_frame(segment)?,
            // Progressive, lossless, hierarchical or arithmetic coding.
            0xC2 | 0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF => return None,
            0xC4 => frame.read_tables(segment)?,
            0xDD => {
                frame.restart_every = u32::from(u16::from_be_bytes(*segment.first_chunk()?));
            }
            0xDA => {
                let scan = bytes.get(at..)?;
                let is_end =
                    |pair: &[u8]| pair[0] == 0xFF && !matches!(pair[1], 0x00 | 0xD0..=0xD7 | 0xFF);
                let end = scan.windows(2).position(is_end)?;
                // Any number of fill bytes may stand before a marker. Source: ITU-T T.81, B.1.1.2.
                let fill = scan[..end].iter().rev().take_while(|byte| **byte == 0xFF);
                let filled_from = end - fill.count();
                if frame.is_scan_damaged(segment, &scan[..filled_from])? {
                    return Some(true);
                }
                at += end;
            }
            _ => {}
        }
    }
}

impl Frame {
    /// Source: ITU-T T.81, B.2.2.
    fn read_frame(&mut self, segment: &[u8]) -> Option<()> {
        let [precision, rest @ ..] = segment else {
            return None;
        };
        let &[h0, h1, w0, w1, count, ref rest @ ..] = rest else {
            return None;
        };
        self.size = [[w0, w1], [h0, h1]].map(|pair| u32::from(u16::from_be_bytes(pair)));
        let components = rest.get(..3 * usize::from(count))?.chunks_exact(3);
        self.components = components
            .map(|one| Component {
                id: one[0],
                blocks: [one[1] >> 4, one[1] & 15].map(u32::from),
            })
            .collect();
        let is_known = |one: &Component| one.blocks.iter().all(|count| (1..=4).contains(count));
        let is_sized = self.size.iter().all(|side| *side > 0);
        (*precision == 8 && is_sized && self.components.iter().all(is_known)).then_some(())
    }

    /// Source: ITU-T T.81, B.2.4.2.
    fn read_tables(&mut self, mut segment: &[u8]) -> Option<()> {
        while let [kind, rest @ ..] = segment {
            let counts: &[u8; 16] = rest.first_chunk()?;
            let values: usize = counts.iter().map(|count| usize::from(*count)).sum();
            let values = rest.get(16..16 + values)?;
            let tables = self.tables.get_mut(usize::from(kind >> 4))?;
            *tables.get_mut(usize::from(kind & 15))? = Some(HuffmanTable::new(counts, values)?);
            segment = &rest[16 + values.len()..];
        }
        Some(())
    }

    /// Source: ITU-T T.81, B.2.3 and A.2: units of several components are interleaved, those of one are its blocks.
    fn is_scan_damaged(&self, header: &[u8], scan: &[u8]) -> Option<bool> {
        let [count, rest @ ..] = header else {
            return None;
        };
        let chosen = rest.get(..2 * usize::from(*count))?.chunks_exact(2);
        let mut blocks = Vec::new();
        let mut alone = [1, 1];
        for one in chosen {
            let component = self.components.iter().find(|known| known.id == one[0])?;
            let dc = self.tables[0].get(usize::from(one[1] >> 4))?.as_ref()?;
            let ac = self.tables[1].get(usize::from(one[1] & 15))?.as_ref()?;
            let each = if *count == 1 {
                1
            } else {
                component.blocks[0] * component.blocks[1]
            };
            blocks.extend((0..each).map(|_| (dc, ac)));
            alone = component.blocks;
        }
        let most = [0, 1].map(|axis| self.components.iter().map(|one| one.blocks[axis]).max());
        let [Some(across), Some(down)] = most else {
            return None;
        };
        let units: u32 = [across, down]
            .into_iter()
            .enumerate()
            .map(|(axis, most)| match count {
                1 => (self.size[axis] * alone[axis]).div_ceil(most).div_ceil(8),
                _ => self.size[axis].div_ceil(8 * most),
            })
            .product();
        let mut reader = BitReader::new(scan);
        for unit in 0..units {
            let is_restart = self.restart_every > 0 && unit > 0 && unit % self.restart_every == 0;
            if is_restart && !reader.skip_restart_marker() {
                return Some(true);
            }
            for (dc, ac) in &blocks {
                if !skip_block(&mut reader, dc, ac) {
                    return Some(true);
                }
            }
        }
        Some(reader.left_bytes() > MOST_LEFT_BYTES)
    }
}

/// Whether a block could be read. Source: ITU-T T.81, F.2.2.
fn skip_block(reader: &mut BitReader<'_>, dc: &HuffmanTable, ac: &HuffmanTable) -> bool {
    let Some(size) = reader.value(dc) else {
        return false;
    };
    if size > MOST_DC_BITS || !reader.skip(size.into()) {
        return false;
    }
    let mut place = 1;
    while place < BLOCK {
        let Some(value) = reader.value(ac) else {
            return false;
        };
        let (run, size) = (value >> 4, value & 15);
        match (run, size) {
            (15, 0) => place += 16,
            (_, 0) => return true,
            _ => place += u32::from(run) + 1,
        }
        if size > MOST_AC_BITS || !reader.skip(size.into()) {
            return false;
        }
    }
    place == BLOCK
}
