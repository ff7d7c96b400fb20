//! Masks as runs of pixels, so that cost follows what is there and not the raster.

use super::pixel_box::PixelBox;
use crate::pixel::settings::Size;

/// Pixels `start..end` of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// The row.
    pub y: u32,
    /// The first column.
    pub start: u32,
    /// The column after the last.
    pub end: u32,
}

impl Run {
    /// Pixels in the run.
    pub fn length(self) -> u32 {
        self.end - self.start
    }

    /// Hands over the columns that none of a neighbouring row's runs covers.
    pub fn uncovered_by(self, row: &[Self], mut found: impl FnMut(u32)) {
        let first = row.partition_point(|other| other.end <= self.start);
        let mut x = self.start;
        let covering = row[first..]
            .iter()
            .take_while(|other| other.start < self.end);
        for other in covering {
            (x..other.start).for_each(&mut found);
            x = other.end;
        }
        (x..self.end).for_each(&mut found);
    }

    /// Its box.
    pub fn bounds(self) -> PixelBox {
        PixelBox {
            x: self.start,
            y: self.y,
            width: self.length(),
            height: 1,
        }
    }
}

/// A mask: the longest possible runs, by row, then by column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Runs {
    size: Size,
    list: Vec<Run>,
    /// Where each row's runs begin, and after the last row their number.
    row_starts: Vec<usize>,
}

impl Runs {
    /// The pixels whose byte is kept. `bytes` are a raster of this size, row by row.
    pub fn of_bytes(size: Size, bytes: &[u8], keep: impl Fn(u8) -> bool) -> Self {
        let kept: [bool; 256] = std::array::from_fn(|byte| u8::try_from(byte).is_ok_and(&keep));
        let mut mask = Self::empty(size);
        let rows = bytes.chunks(size.width() as usize);
        for (y, row) in (0..size.height()).zip(rows) {
            mask.push_bytes(y, row, &kept);
            mask.row_starts.push(mask.list.len());
        }
        mask
    }

    /// The pixels in any of these runs, which come in any order and may lie on each other.
    pub fn of_runs<'a>(size: Size, runs: impl IntoIterator<Item = &'a Run>) -> Self {
        let mut bytes = vec![0_u8; size.area()];
        for run in runs {
            let row = run.y as usize * size.width() as usize;
            bytes[row + run.start as usize..row + run.end as usize].fill(1);
        }
        Self::of_bytes(size, &bytes, |byte| byte == 1)
    }

    /// The pixels in any of these boxes, which are cut to the raster.
    pub fn of_boxes(size: Size, boxes: impl IntoIterator<Item = PixelBox>) -> Self {
        let mut bytes = vec![0_u8; size.area()];
        let whole = PixelBox::of_size(size);
        let cut = |bounds: PixelBox| bounds.intersection(whole);
        for bounds in boxes.into_iter().filter_map(cut) {
            for row in bytes
                .chunks_mut(size.width() as usize)
                .skip(bounds.y as usize)
                .take(bounds.height as usize)
            {
                row[bounds.x as usize..bounds.right() as usize].fill(1);
            }
        }
        Self::of_bytes(size, &bytes, |byte| byte == 1)
    }

    /// A mask without a pixel.
    pub fn none(size: Size) -> Self {
        Self {
            size,
            list: Vec::new(),
            row_starts: vec![0; size.height() as usize + 1],
        }
    }

    /// A mask without rows yet.
    fn empty(size: Size) -> Self {
        let mut row_starts = Vec::with_capacity(size.height() as usize + 1);
        row_starts.push(0);
        Self {
            size,
            list: Vec::new(),
            row_starts,
        }
    }

    /// Width and height of the raster.
    pub fn size(&self) -> Size {
        self.size
    }

    /// All runs, by row, then by column.
    pub fn as_slice(&self) -> &[Run] {
        &self.list
    }

    /// The runs of a row.
    pub fn row(&self, y: u32) -> &[Run] {
        &self.list[self.row_starts[y as usize]..self.row_starts[y as usize + 1]]
    }

    /// Pixels in the mask.
    pub fn area(&self) -> u64 {
        self.list.iter().map(|run| u64::from(run.length())).sum()
    }

    /// The box around it; none where nothing is in it.
    pub fn bounds(&self) -> Option<PixelBox> {
        self.list
            .iter()
            .map(|run| run.bounds())
            .reduce(PixelBox::union)
    }

    /// Whether a pixel is in the mask.
    pub fn contains(&self, x: u32, y: u32) -> bool {
        self.place_of(x, y).is_some()
    }

    /// The run with a pixel in it, by its place among all runs.
    pub fn place_of(&self, x: u32, y: u32) -> Option<usize> {
        let row = self.row(y);
        let at = row.partition_point(|run| run.start <= x).checked_sub(1)?;
        (x < row[at].end).then(|| self.row_starts[y as usize] + at)
    }

    /// The pixels of both masks.
    ///
    /// # Panics
    ///
    /// If the masks are of different sizes, as for the next three.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        self.combined(other, |a, b| a || b)
    }

    /// The pixels that are in both masks.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        self.combined(other, |a, b| a && b)
    }

    /// The pixels that are in this mask alone.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        self.combined(other, |a, b| a && !b)
    }

    /// The mask of those of these runs that are kept.
    #[must_use]
    pub fn filtered(&self, mut keep: impl FnMut(usize, Run) -> bool) -> Self {
        let mut mask = Self::empty(self.size);
        let mut next = 0;
        for &end in &self.row_starts[1..] {
            for i in next..end {
                if keep(i, self.list[i]) {
                    mask.list.push(self.list[i]);
                }
            }
            next = end;
            mask.row_starts.push(mask.list.len());
        }
        mask
    }

    /// The mask with a square of `side` px for every pixel, cut to a raster of this size. Rows below the last square are
    /// as in it.
    #[must_use]
    pub fn enlarged(&self, side: u32, size: Size) -> Self {
        let mut large = Self::empty(size);
        let last = self.size.height() - 1;
        for y in 0..size.height() {
            let squares = self.row((y / side).min(last)).iter().map(|run| Run {
                y,
                start: run.start * side,
                end: (run.end * side).min(size.width()),
            });
            large.list.extend(squares.filter(|run| run.start < run.end));
            large.row_starts.push(large.list.len());
        }
        large
    }

    /// The pixels at most `reach` columns and rows away from a pixel of the mask.
    #[must_use]
    pub fn grown(&self, reach: u32) -> Self {
        let height = self.size.height();
        let wide: Vec<Vec<Run>> = (0..height).map(|y| self.widened(y, reach)).collect();
        // Windows of rows from y on, twice as high each time: the union of two that overlap.
        let mut windows = wide;
        let (mut covered, wanted) = (1, 2 * reach as usize + 1);
        while covered < wanted {
            let step = covered.min(wanted - covered);
            windows = (0..windows.len() + step)
                .map(|y| {
                    let row = |y: Option<usize>| y.and_then(|y| windows.get(y)).map(Vec::as_slice);
                    let (below, above) = (row(Some(y)), row(y.checked_sub(step)));
                    joined(below.unwrap_or(&[]), above.unwrap_or(&[]))
                })
                .collect();
            covered += step;
        }
        let mut mask = Self::empty(self.size);
        let rows = windows.iter().skip(reach as usize);
        for (y, row) in (0..height).zip(rows) {
            mask.list.extend(row.iter().map(|run| Run { y, ..*run }));
            mask.row_starts.push(mask.list.len());
        }
        mask
    }

    /// The runs of a row, `reach` longer at both ends.
    fn widened(&self, y: u32, reach: u32) -> Vec<Run> {
        let mut wide: Vec<Run> = Vec::new();
        for run in self.row(y) {
            let start = run.start.saturating_sub(reach);
            let end = run.end.saturating_add(reach).min(self.size.width());
            match wide.last_mut() {
                Some(last) if start <= last.end => last.end = end,
                _ => wide.push(Run { y, start, end }),
            }
        }
        wide
    }

    /// Appends the kept stretches of a row of bytes. Equal bytes are skipped eight at a time.
    fn push_bytes(&mut self, y: u32, row: &[u8], kept: &[bool; 256]) {
        let mut x = 0;
        let first = self.list.len();
        while let Some(&byte) = row.get(x) {
            let start = x;
            let same = [byte; 8];
            x += 1;
            while row.get(x..x + 8) == Some(&same[..]) {
                x += 8;
            }
            while row.get(x) == Some(&byte) {
                x += 1;
            }
            if kept[usize::from(byte)] {
                let (start, end) = (column(start), column(x));
                match self.list[first..].last_mut() {
                    Some(last) if last.end == start => last.end = end,
                    _ => self.list.push(Run { y, start, end }),
                }
            }
        }
    }

    /// The pixels that `keep` wants, told in which of the two masks they are. Never those in neither.
    fn combined(&self, other: &Self, keep: impl Fn(bool, bool) -> bool) -> Self {
        assert_eq!(self.size, other.size, "masks of one raster");
        let mut mask = Self::empty(self.size);
        for y in 0..self.size.height() {
            let first = mask.list.len();
            let (mut a, mut b) = (self.row(y), other.row(y));
            let mut x = 0;
            while !(a.is_empty() && b.is_empty()) {
                let (in_a, end_a) = stretch(a, x);
                let (in_b, end_b) = stretch(b, x);
                let end = end_a.min(end_b);
                if (in_a || in_b) && keep(in_a, in_b) {
                    match mask.list[first..].last_mut() {
                        Some(last) if last.end == x => last.end = end,
                        _ => mask.list.push(Run { y, start: x, end }),
                    }
                }
                x = end;
                a = left_of_it(a, x);
                b = left_of_it(b, x);
            }
            mask.row_starts.push(mask.list.len());
        }
        mask
    }
}

/// Whether column `x` is in the first of these runs, and up to where that holds.
fn stretch(runs: &[Run], x: u32) -> (bool, u32) {
    match runs.first() {
        Some(run) if x < run.start => (false, run.start),
        Some(run) => (true, run.end),
        None => (false, u32::MAX),
    }
}

/// The runs that do not end before or at column `x`.
fn left_of_it(runs: &[Run], x: u32) -> &[Run] {
    match runs {
        [first, rest @ ..] if first.end <= x => rest,
        _ => runs,
    }
}

/// Two sorted lists of runs as one, overlapping and touching ones joined.
fn joined(a: &[Run], b: &[Run]) -> Vec<Run> {
    let mut all: Vec<Run> = Vec::with_capacity(a.len() + b.len());
    let (mut a, mut b) = (a.iter().peekable(), b.iter().peekable());
    loop {
        let next = match (a.peek(), b.peek()) {
            (Some(x), Some(y)) if x.start <= y.start => a.next(),
            (_, Some(_)) => b.next(),
            (_, None) => a.next(),
        };
        let Some(&run) = next else { return all };
        match all.last_mut() {
            Some(last) if run.start <= last.end => last.end = last.end.max(run.end),
            _ => all.push(run),
        }
    }
}

/// A column of a raster, whose sides fit easily.
fn column(x: usize) -> u32 {
    u32::try_from(x).unwrap_or(u32::MAX)
}
