//! The smallest convex shape around runs.

use super::runs::Run;

/// A corner of pixels: column and row.
type Corner = (i64, i64);

/// Area of the smallest convex shape around all pixels of runs in order, in pixels.
///
/// Source: Andrew, Another efficient algorithm for convex hulls in two dimensions, 1979; rows come in order already.
pub fn hull_area(runs: &[Run]) -> f64 {
    let rows = runs.chunk_by(|a, b| a.y == b.y).filter_map(|row| {
        let (first, last) = (row.first()?, row.last()?);
        Some((
            i64::from(first.start),
            i64::from(last.end),
            i64::from(first.y),
        ))
    });
    let (mut left, mut right): (Vec<Corner>, Vec<Corner>) = (Vec::new(), Vec::new());
    for (start, end, y) in rows {
        for y in [y, y + 1] {
            extend(&mut left, (start, y), 1);
            extend(&mut right, (end, y), -1);
        }
    }
    left.extend(right.into_iter().rev());
    let next = left.iter().cycle().skip(1);
    let twice: i64 = left
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum();
    twice.abs() as f64 / 2.0
}

/// Adds the next corner of a chain down one side, `side` 1 for the left one and -1 for the right one, and takes away what it leaves
/// inside.
fn extend(chain: &mut Vec<Corner>, corner: Corner, side: i64) {
    while let [.., a, b] = **chain {
        let turn = (b.0 - a.0) * (corner.1 - a.1) - (b.1 - a.1) * (corner.0 - a.0);
        if side * turn < 0 {
            break;
        }
        chain.pop();
    }
    chain.push(corner);
}
