//! The outline of a mask as closed lines, and slanted lines within it: what a drawing of it needs.

use std::collections::BTreeMap;

use super::runs::{Run, Runs};

/// A corner between pixels, x and y in pixels from the top left.
pub type Corner = [u32; 2];

/// Closed lines around all parts of a mask and around their holes, the mask on the right of each; no corner of the mask
/// is farther than `tolerance_px` from them. The last corner is not the first one again.
pub fn contours(mask: &Runs, tolerance_px: f64) -> Vec<Vec<Corner>> {
    let mut next = edges(mask);
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.first_key_value() {
        let mut line = Vec::new();
        let mut at = start;
        while let Some(corner) = take_next(&mut next, at) {
            line.push(at);
            at = corner;
        }
        loops.push(simplified(&line, tolerance_px));
    }
    loops
}

/// Where the line goes on from a corner. Where two parts touch at a corner, two lines do.
fn take_next(next: &mut BTreeMap<Corner, Vec<Corner>>, at: Corner) -> Option<Corner> {
    let ways = next.get_mut(&at)?;
    let way = ways.pop();
    if ways.is_empty() {
        next.remove(&at);
    }
    way
}

/// The edges between pixels of the mask and others, by the corner that they start at.
fn edges(mask: &Runs) -> BTreeMap<Corner, Vec<Corner>> {
    let mut edges: BTreeMap<Corner, Vec<Corner>> = BTreeMap::new();
    let mut add = |from: Corner, to: Corner| edges.entry(from).or_default().push(to);
    let height = mask.size().height();
    let row = |y: Option<u32>| match y {
        Some(y) if y < height => mask.row(y),
        _ => &[],
    };
    for run in mask.as_slice() {
        let (top, bottom) = (run.y, run.y + 1);
        add([run.end, top], [run.end, bottom]);
        add([run.start, bottom], [run.start, top]);
        for (start, end) in open_stretches(*run, row(top.checked_sub(1))) {
            add([start, top], [end, top]);
        }
        for (start, end) in open_stretches(*run, row(Some(bottom))) {
            add([end, bottom], [start, bottom]);
        }
    }
    edges
}

/// The stretches of a run beside which the other row has none.
fn open_stretches(run: Run, row: &[Run]) -> Vec<(u32, u32)> {
    let mut open = Vec::new();
    let mut start = run.start;
    for other in row {
        if other.end > start && other.start < run.end {
            if other.start > start {
                open.push((start, other.start));
            }
            start = other.end;
        }
    }
    if start < run.end {
        open.push((start, run.end));
    }
    open
}

/// A closed line with as few of its corners as stay this close to it.
/// Source: Douglas and Peucker, Algorithms for the reduction of the number of points, 1973.
fn simplified(line: &[Corner], tolerance_px: f64) -> Vec<Corner> {
    let from_first = |corner: &Corner| distance(*corner, line[0]);
    let far =
        (0..line.len()).max_by(|a, b| from_first(&line[*a]).total_cmp(&from_first(&line[*b])));
    let Some(far) = far else {
        return Vec::new();
    };
    let mut kept = vec![false; line.len()];
    (kept[0], kept[far]) = (true, true);
    let mut open = vec![(0, far), (far, line.len())];
    while let Some((start, end)) = open.pop() {
        let ends = [line[start], line[end % line.len()]];
        let off = |at: usize| distance_to_line(line[at], ends);
        let worst = (start + 1..end).max_by(|a, b| off(*a).total_cmp(&off(*b)));
        if let Some(worst) = worst.filter(|worst| off(*worst) > tolerance_px) {
            kept[worst] = true;
            open.extend([(start, worst), (worst, end)]);
        }
    }
    let corners = line.iter().zip(&kept).filter(|(_, kept)| **kept);
    corners.map(|(corner, _)| *corner).collect()
}

fn distance(a: Corner, b: Corner) -> f64 {
    f64::hypot(
        f64::from(a[0]) - f64::from(b[0]),
        f64::from(a[1]) - f64::from(b[1]),
    )
}

/// How far a corner is from a stretch between two others.
fn distance_to_line(corner: Corner, [start, end]: [Corner; 2]) -> f64 {
    let at = |corner: Corner| corner.map(f64::from);
    let ([x, y], [x0, y0], [x1, y1]) = (at(corner), at(start), at(end));
    let (dx, dy) = (x1 - x0, y1 - y0);
    let square = dx * dx + dy * dy;
    let along = if square > 0.0 {
        (((x - x0) * dx + (y - y0) * dy) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    f64::hypot(x - x0 - along * dx, y - y0 - along * dy)
}

/// Lines that rise to the right at 45 degrees, from lower left to upper right pixel, wherever they are in the mask.
/// `apart_px` is how far they are apart along a row, 1 or more.
pub fn slanted_lines(mask: &Runs, apart_px: u32) -> Vec<[Corner; 2]> {
    let apart = apart_px.max(1);
    // Of each line that is in the mask right now, its uppermost and its last pixel.
    let mut open: BTreeMap<u32, [Corner; 2]> = BTreeMap::new();
    let mut lines = Vec::new();
    for run in mask.as_slice() {
        let first = (run.start + run.y).div_ceil(apart);
        let last = (run.end - 1 + run.y) / apart;
        for number in first..=last {
            let pixel = [number * apart - run.y, run.y];
            match open.get_mut(&number) {
                Some([_, low]) if low[1] + 1 == run.y => *low = pixel,
                _ => {
                    if let Some([high, low]) = open.insert(number, [pixel, pixel]) {
                        lines.push([low, high]);
                    }
                }
            }
        }
    }
    lines.extend(open.into_values().map(|[high, low]| [low, high]));
    lines
}
