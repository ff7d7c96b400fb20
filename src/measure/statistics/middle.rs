//! The value in the middle of many, which some that are far off do not move.

use std::cmp::Ordering;

/// Half of the values are smaller: of an even number it is the larger of the two in the middle. None where there are none.
/// The values are reordered.
pub(crate) fn middle_of<T: Copy>(
    values: &mut [T],
    order: impl FnMut(&T, &T) -> Ordering,
) -> Option<T> {
    let at = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(at, order).1)
}

/// The first of these values, each with its weight, at which a share of all weight, 0 to 1, is reached. They come with the
/// smallest first. None where there are none.
pub(crate) fn reached_by_weight(values: &[(f64, f64)], share: f64) -> Option<f64> {
    let whole: f64 = values.iter().map(|(_, weight)| weight).sum();
    let mut under = 0.0;
    values.iter().find_map(|(value, weight)| {
        under += weight;
        (under >= share * whole).then_some(*value)
    })
}
