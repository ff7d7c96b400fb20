//! Numbers in words: a measured value never reads like the limit that it crossed.

use nightglass::measure::told_apart::{told, told_apart};

#[test]
fn two_numbers_that_differ_read_differently() {
    for (measured, limit, decimals, expected) in [
        (5.1, 3.0, 1, ["5.1", "3"]),
        (5.97, 6.0, 0, ["5.97", "6"]),
        (5.97, 6.0, 2, ["5.97", "6"]),
        (2.9999, 3.0, 2, ["2.9999", "3"]),
        (1.299, 1.3, 2, ["1.299", "1.3"]),
        // What is the same stays short.
        (6.0, 6.0, 2, ["6", "6"]),
    ] {
        let told = told_apart(measured, limit, decimals);
        assert_eq!(told, expected.map(str::to_owned));
    }
}

#[test]
fn a_number_has_no_zeros_that_say_nothing() {
    for (number, decimals, expected) in [
        (4.0, 2, "4"),
        (4.5, 2, "4.5"),
        (100.0, 0, "100"),
        (-0.001, 2, "0"),
    ] {
        assert_eq!(told(number, decimals), expected);
    }
}
