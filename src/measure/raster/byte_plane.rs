//! One byte a pixel: halving, running extremes, openings. What finding thin bright things is made of.

use rayon::prelude::*;

use crate::pixel::settings::Size;

/// A raster of bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BytePlane {
    width: usize,
    height: usize,
    bytes: Vec<u8>,
}

impl BytePlane {
    /// A plane of this size from its bytes, row by row; missing ones are 0.
    pub fn new(size: Size, mut bytes: Vec<u8>) -> Self {
        bytes.resize(size.area(), 0);
        Self {
            width: size.width() as usize,
            height: size.height() as usize,
            bytes,
        }
    }

    /// Pixels across.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    pub fn height(&self) -> usize {
        self.height
    }

    /// The bytes, row by row.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Half as many pixels each way, rounded up; each the mean of up to four.
    #[must_use]
    pub fn halved(&self) -> Self {
        self.reduced(|a, b, c, d| {
            let sum = u16::from(a) + u16::from(b) + u16::from(c) + u16::from(d);
            u8::try_from((sum + 2) / 4).unwrap_or(u8::MAX)
        })
    }

    /// Half as many pixels each way, rounded up; each the largest of up to four.
    #[must_use]
    pub fn halved_to_most(&self) -> Self {
        self.reduced(|a, b, c, d| a.max(b).max(c).max(d))
    }

    fn reduced(&self, of: impl Fn(u8, u8, u8, u8) -> u8 + Sync) -> Self {
        let (width, height) = (self.width.div_ceil(2), self.height.div_ceil(2));
        let mut bytes = vec![0; width * height];
        bytes
            .par_chunks_mut(width)
            .enumerate()
            .for_each(|(y, out)| {
                let above = self.row(2 * y);
                let below = self.row((2 * y + 1).min(self.height - 1));
                let pairs = above.chunks(2).zip(below.chunks(2));
                for (to, (a, b)) in out.iter_mut().zip(pairs) {
                    *to = of(a[0], a[a.len() - 1], b[0], b[b.len() - 1]);
                }
            });
        Self {
            width,
            height,
            bytes,
        }
    }

    /// A row.
    pub fn row(&self, y: usize) -> &[u8] {
        &self.bytes[y * self.width..(y + 1) * self.width]
    }

    /// The largest byte at most `reach` columns and rows away: grey dilation by a square. Outside does not count.
    #[must_use]
    pub fn dilated(&self, reach: usize) -> Self {
        self.extremes(reach, u8::MIN, u8::max)
    }

    /// The smallest byte at most `reach` columns and rows away: grey erosion by a square. Outside does not count.
    #[must_use]
    pub fn eroded(&self, reach: usize) -> Self {
        self.extremes(reach, u8::MAX, u8::min)
    }

    /// Grey opening by a square of `2 reach + 1`: what is brighter than all around it and narrower than
    /// the square is gone. The plane less this is the white top-hat.
    #[must_use]
    pub fn opened(&self, reach: usize) -> Self {
        self.eroded(reach).dilated(reach)
    }

    /// Windows are doubled: the extreme of `2 n` is that of two times `n`.
    fn extremes(&self, reach: usize, nothing: u8, of: fn(u8, u8) -> u8) -> Self {
        let wanted = 2 * reach + 1;
        let mut bytes = self.bytes.clone();
        let line = self.width + 2 * reach;
        bytes.par_chunks_mut(self.width).for_each_init(
            || vec![nothing; line],
            |padded, row| {
                padded.fill(nothing);
                padded[reach..reach + row.len()].copy_from_slice(row);
                double(padded, wanted, 1, of);
                row.copy_from_slice(&padded[..row.len()]);
            },
        );
        let mut tall = vec![nothing; self.width * (self.height + 2 * reach)];
        tall[self.width * reach..self.width * (reach + self.height)].copy_from_slice(&bytes);
        double(&mut tall, wanted, self.width, of);
        tall.truncate(bytes.len());
        Self {
            bytes: tall,
            ..*self
        }
    }
}

/// Each value becomes the extreme of the `wanted` values from it on, `stride` apart.
fn double(values: &mut [u8], wanted: usize, stride: usize, of: fn(u8, u8) -> u8) {
    let is_most = of(0, 1) == 1;
    let mut covered = 1;
    while covered < wanted {
        let step = covered.min(wanted - covered);
        let shift = step * stride;
        let len = values.len();
        if shift >= len {
            return;
        }
        // Each place is read before it is written over, because reading runs ahead.
        let mut at = 0;
        while at < len - shift {
            let end = (at + shift).min(len - shift);
            let (head, tail) = values.split_at_mut(at + shift);
            let to = &mut head[at..end];
            let from = &tail[..end - at];
            if is_most {
                to.iter_mut()
                    .zip(from)
                    .for_each(|(to, from)| *to = (*to).max(*from));
            } else {
                to.iter_mut()
                    .zip(from)
                    .for_each(|(to, from)| *to = (*to).min(*from));
            }
            at = end;
        }
        covered += step;
    }
}
