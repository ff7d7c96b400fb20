//! The outline of a mask, and slanted lines within it.

use nightglass::measure::raster::contours::{Corner, contours, slanted_lines};
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::settings::Size;
use proptest::prelude::*;

fn mask(rows: &[&str]) -> Runs {
    let size = Size::new(rows[0].len() as u32, rows.len() as u32).unwrap();
    let bytes: Vec<u8> = rows.concat().bytes().collect();
    Runs::of_bytes(size, &bytes, |byte| byte == b'#')
}

/// Twice the area within closed lines, mask on the right. Source: the shoelace formula.
fn doubled_area(loops: &[Vec<Corner>]) -> i64 {
    let cross = |line: &Vec<Corner>| -> i64 {
        let next = line.iter().cycle().skip(1);
        let pairs = line.iter().zip(next);
        pairs
            .map(|(a, b)| i64::from(a[0]) * i64::from(b[1]) - i64::from(b[0]) * i64::from(a[1]))
            .sum()
    };
    loops.iter().map(cross).sum()
}

#[test]
fn a_box_has_four_corners_and_a_hole_a_line_of_its_own() {
    let whole = mask(&["....", ".##.", ".##.", "...."]);
    assert_eq!(contours(&whole, 0.0), [[[1, 1], [3, 1], [3, 3], [1, 3]]]);
    let ring = mask(&["###", "#.#", "###"]);
    let lines = contours(&ring, 0.0);
    assert_eq!(lines.len(), 2);
    assert_eq!(doubled_area(&lines), 2 * 8);
    assert!(contours(&mask(&["..", ".."]), 0.0).is_empty());
}

#[test]
fn a_staircase_becomes_a_line_within_the_tolerance() {
    let stairs = mask(&[
        "#.......", "##......", "###.....", "####....", "#####...", "######..", "#######.",
        "########",
    ]);
    assert!(contours(&stairs, 0.0)[0].len() > 12);
    assert!(contours(&stairs, 1.0)[0].len() <= 6);
}

#[test]
fn slanted_lines_are_in_the_mask_and_so_far_apart() {
    let square = mask(&["######"; 6]);
    let lines = slanted_lines(&square, 4);
    // x + y = 0, 4 and 8.
    assert_eq!(lines.len(), 3);
    assert!(lines.contains(&[[0, 4], [4, 0]]));
    assert!(lines.contains(&[[3, 5], [5, 3]]));
    let cut = mask(&["######", "######", "......", "######", "######"]);
    assert!(
        slanted_lines(&cut, 4).contains(&[[1, 3], [1, 3]])
            || slanted_lines(&cut, 4).contains(&[[0, 4], [1, 3]])
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn outlines_hold_exactly_the_area_of_the_mask(bytes in prop::collection::vec(0_u8..2, 12 * 9)) {
        let size = Size::new(12, 9).unwrap();
        let runs = Runs::of_bytes(size, &bytes, |byte| byte == 1);
        prop_assert_eq!(doubled_area(&contours(&runs, 0.0)), 2 * runs.area().cast_signed());
        for [low, high] in slanted_lines(&runs, 3) {
            for (step, y) in (high[1]..=low[1]).enumerate() {
                prop_assert!(runs.contains(high[0] - step as u32, y));
            }
        }
        let on_lines: u64 = slanted_lines(&runs, 3)
            .iter()
            .map(|[low, high]| u64::from(low[1] - high[1]) + 1)
            .sum();
        let expected = (0..9_u32)
            .flat_map(|y| (0..12_u32).map(move |x| (x, y)))
            .filter(|&(x, y)| (x + y) % 3 == 0 && runs.contains(x, y))
            .count();
        prop_assert_eq!(on_lines, expected as u64);
    }
}
