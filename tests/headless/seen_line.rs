//! Lines as far as they are in sight, beside lines that are made whole.

use egui::{Pos2, Rect, pos2};
use nightglass::window::seen_line::{seen_dashes, seen_part};

fn seen() -> Rect {
    Rect::from_min_max(pos2(100.0, 50.0), pos2(300.0, 150.0))
}

/// Places that a line can begin or end at: on all sides of the rectangle, on its edges, in it and far away.
fn places() -> Vec<Pos2> {
    let xs = [-60_000.0, 40.0, 100.0, 180.0, 300.0, 310.0, 61_440.0];
    let ys = [-30_000.0, 20.0, 50.0, 90.5, 150.0, 190.0, 34_560.0];
    let row = |y| xs.into_iter().map(move |x| pos2(x, y));
    ys.into_iter().flat_map(row).collect()
}

#[test]
fn the_seen_part_is_the_line_within_the_rectangle() {
    let mut met = 0;
    for from in places() {
        for to in places() {
            // Close enough that a line which crosses the rectangle has some of them in it.
            let steps = 400_000_u32;
            let at = |step: u32| from + (step as f32 / steps as f32) * (to - from);
            let near = |at: Pos2| seen().expand(0.3).contains(at);
            if let Some(part) = seen_part([from, to], seen()) {
                met += 1;
                for (end, whole) in part.into_iter().zip([from, to]) {
                    assert!(near(end), "{from:?} {to:?}: {end:?}");
                    // Each end is an end of the line or on an edge.
                    let is_on_edge = !seen().shrink(0.3).contains(end);
                    assert!(end.distance(whole) < 0.1 || is_on_edge, "{from:?} {to:?}");
                }
            } else {
                let is_in = |step: &u32| seen().shrink(0.3).contains(at(*step));
                let inside = (0..=steps).step_by(97).find(is_in);
                assert_eq!(inside, None, "{from:?} {to:?}");
            }
        }
    }
    assert!(met > 500, "{met}");
}

#[test]
fn seen_dashes_are_those_of_the_whole_line_that_meet_the_rectangle() {
    let lengths = [9.0, 6.0];
    let everything = Rect::from_min_max(pos2(-1e6, -1e6), pos2(1e6, 1e6));
    let mut compared = 0;
    for line in [
        [pos2(-800.0, 90.0), pos2(900.0, 90.0)],
        [pos2(900.0, 90.0), pos2(-800.0, 90.0)],
        [pos2(120.0, 40.0), pos2(120.0, 61.0)],
        [pos2(-400.0, -200.0), pos2(700.0, 350.0)],
        [pos2(0.0, 10.0), pos2(400.0, 10.0)],
        [pos2(200.0, 100.0), pos2(200.0, 100.0)],
    ] {
        let all: Vec<_> = seen_dashes(line, lengths, everything).collect();
        let length = line[0].distance(line[1]);
        assert_eq!(all.len(), (length / 15.0).ceil() as usize, "{line:?}");
        let dashes: Vec<_> = seen_dashes(line, lengths, seen()).collect();
        let met = |dash: &&[Pos2; 2]| seen_part(**dash, seen()).is_some();
        let expected: Vec<_> = all.iter().filter(met).copied().collect();
        for dash in &expected {
            assert!(dashes.contains(dash), "{line:?}: {dash:?}");
        }
        // The gap beside each edge may be counted to the dash before it.
        assert!(dashes.len() <= expected.len() + 2, "{line:?}");
        compared += expected.len();
    }
    assert!(compared > 25, "{compared}");
}
