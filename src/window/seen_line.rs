//! Straight lines as far as they are in sight: what is far beside a picture that is shown large is never made.

use egui::{Pos2, Rect};

/// The part of a line within a rectangle; none where they do not meet.
pub fn seen_part(line: [Pos2; 2], seen: Rect) -> Option<[Pos2; 2]> {
    let [from, to] = line;
    let (start, end) = seen_range(from, to, seen)?;
    let at = |share: f32| from + share * (to - from);
    Some([at(start), at(end)])
}

/// The dashes of a line that lie within a rectangle or reach into it. The first dash begins where the line does, so that
/// they stay where they are on the picture when that is moved.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "dashes are counted in thousands, and from 0"
)]
pub fn seen_dashes(
    line: [Pos2; 2],
    [dash, gap]: [f32; 2],
    seen: Rect,
) -> impl Iterator<Item = [Pos2; 2]> {
    let [from, to] = line;
    let length = from.distance(to);
    let period = dash + gap;
    let numbers = match seen_range(from, to, seen) {
        Some((start, end)) if length > 0.0 => {
            let number = |share: f32| (share * length / period).floor() as u32;
            number(start)..number(end) + 1
        }
        _ => 0..0,
    };
    numbers.filter_map(move |number| {
        let start = number as f32 * period;
        let at = |way: f32| from + (way / length).min(1.0) * (to - from);
        (start < length).then(|| [at(start), at(start + dash)])
    })
}

/// From where to where, 0 to 1 of its length, a line is within a rectangle: between the last side that it enters by and
/// the first that it leaves by. Source: Liang and Barsky, ACM Transactions on Graphics 3 (1), 1984.
fn seen_range(from: Pos2, to: Pos2, seen: Rect) -> Option<(f32, f32)> {
    let (mut start, mut end) = (0.0_f32, 1.0_f32);
    for axis in [0, 1] {
        let way = to[axis] - from[axis];
        let [first, last] = [seen.min[axis] - from[axis], seen.max[axis] - from[axis]];
        if way.abs() > 0.0 {
            let [a, b] = [first / way, last / way];
            start = start.max(a.min(b));
            end = end.min(a.max(b));
        } else if first > 0.0 || last < 0.0 {
            return None;
        }
    }
    (start <= end).then_some((start, end))
}
