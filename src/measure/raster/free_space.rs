//! Room in a picture: the largest rectangles without a pixel of a mask, and masks with room around them.

use super::distance::Distances;
use super::pixel_box::PixelBox;
use super::runs::{Run, Runs};

/// The rectangle within an area that has no pixel of the mask and the highest score, and its score.
///
/// Exact where the score never falls when a side grows: only rectangles that cannot grow are asked for.
/// A score of 0 is no room. Of equal ones, the first by bottom edge, then from the left.
/// Source: largest rectangle under a histogram, found with a stack, for every row of the picture.
pub fn best_free(
    blocked: &Runs,
    within: PixelBox,
    score: impl Fn(u32, u32) -> u64,
) -> Option<(PixelBox, u64)> {
    let width = within.width as usize;
    // Free pixels from this row upwards, of each column.
    let mut heights = vec![0_u32; width];
    let mut best: Option<(PixelBox, u64)> = None;
    let mut open: Vec<(u32, u32)> = Vec::new();
    for y in within.y..within.bottom() {
        for height in &mut heights {
            *height += 1;
        }
        for run in blocked.row(y) {
            let start = run.start.clamp(within.x, within.right()) - within.x;
            let end = run.end.clamp(within.x, within.right()) - within.x;
            heights[start as usize..end as usize].fill(0);
        }
        open.clear();
        for x in 0..=within.width {
            let height = heights.get(x as usize).copied().unwrap_or(0);
            let mut start = x;
            while let Some(&(left, tall)) = open.last()
                && tall >= height
            {
                open.pop();
                start = left;
                let scored = if tall > height {
                    score(x - left, tall)
                } else {
                    0
                };
                if scored > best.map_or(0, |(_, most)| most) {
                    let bounds = PixelBox {
                        x: within.x + left,
                        y: y + 1 - tall,
                        width: x - left,
                        height: tall,
                    };
                    best = Some((bounds, scored));
                }
            }
            open.push((start, height));
        }
    }
    best
}

/// The largest free rectangle within an area, then the largest that has nothing in common with it, and
/// so on: at most `most` of them, none narrower or lower than `least_px`.
pub fn free_rectangles(
    blocked: &Runs,
    within: PixelBox,
    least_px: (u32, u32),
    most: usize,
) -> Vec<PixelBox> {
    let area = |width: u32, height: u32| {
        if width >= least_px.0 && height >= least_px.1 {
            u64::from(width) * u64::from(height)
        } else {
            0
        }
    };
    let mut blocked = blocked.clone();
    let mut found = Vec::new();
    while found.len() < most
        && let Some((bounds, _)) = best_free(&blocked, within, area)
    {
        found.push(bounds);
        blocked = blocked.union(&Runs::of_boxes(blocked.size(), [bounds]));
    }
    found
}

/// The pixels that are less than `clearance_px` away from a pixel of the mask, and the mask itself.
/// Distances are between the middles of pixels, in a straight line.
#[must_use]
pub fn with_clearance(mask: &Runs, clearance_px: f64) -> Runs {
    let size = mask.size();
    if clearance_px <= 1.0 || mask.as_slice().is_empty() {
        return mask.clone();
    }
    let whole = PixelBox::of_size(size);
    let free = Runs::of_boxes(size, [whole]).without(mask);
    let Some(distances) = Distances::within(whole, free.as_slice().iter().copied()) else {
        return mask.clone();
    };
    let limit = clearance_px * clearance_px;
    let near = |&squared: &u32| u8::from(f64::from(squared) < limit);
    let bytes: Vec<u8> = distances.squared_px().iter().map(near).collect();
    Runs::of_bytes(size, &bytes, |byte| byte == 1)
}

/// How many pixels of these runs are in a mask.
pub fn shared_px(runs: &[Run], mask: &Runs) -> u64 {
    let shared = |run: &Run| {
        let row = mask.row(run.y);
        let first = row.partition_point(|other| other.end <= run.start);
        let meeting = row[first..]
            .iter()
            .take_while(|other| other.start < run.end);
        meeting
            .map(|other| u64::from(run.end.min(other.end) - run.start.max(other.start)))
            .sum::<u64>()
    };
    runs.iter().map(shared).sum()
}
