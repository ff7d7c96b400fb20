//! Free rectangles against trying every rectangle, and clearance against trying every pixel.

use nightglass::measure::raster::free_space::{
    best_free, free_rectangles, shared_px, with_clearance,
};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::settings::Size;
use proptest::prelude::*;

const WIDTH: u32 = 11;
const HEIGHT: u32 = 9;

fn size() -> Size {
    Size::new(WIDTH, HEIGHT).unwrap()
}

/// Every rectangle within an area that has no pixel of the mask.
fn every_free(mask: &Runs, within: PixelBox) -> Vec<PixelBox> {
    let mut found = Vec::new();
    for y in within.y..within.bottom() {
        for x in within.x..within.right() {
            for bottom in y + 1..=within.bottom() {
                for right in x + 1..=within.right() {
                    let is_free = (y..bottom).all(|v| (x..right).all(|u| !mask.contains(u, v)));
                    if is_free {
                        let (width, height) = (right - x, bottom - y);
                        found.push(PixelBox {
                            x,
                            y,
                            width,
                            height,
                        });
                    }
                }
            }
        }
    }
    found
}

/// A random mask and an area of its raster.
fn case() -> impl Strategy<Value = (Runs, PixelBox)> {
    let bytes = prop::collection::vec(0_u8..100, (WIDTH * HEIGHT) as usize);
    (bytes, 1_u8..60, 0..WIDTH, 0..HEIGHT, 1..=WIDTH, 1..=HEIGHT).prop_map(
        |(bytes, share, x, y, width, height)| {
            let within = PixelBox {
                x,
                y,
                width: width.min(WIDTH - x),
                height: height.min(HEIGHT - y),
            };
            (Runs::of_bytes(size(), &bytes, |byte| byte < share), within)
        },
    )
}

proptest! {
    #[test]
    fn the_largest_free_rectangle_is_the_one_that_trying_all_finds((mask, within) in case()) {
        let most = every_free(&mask, within).iter().map(|b| b.area()).max();
        let found = best_free(&mask, within, |w, h| u64::from(w) * u64::from(h));
        prop_assert_eq!(found.map(|(_, area)| area), most);
        if let Some((bounds, area)) = found {
            prop_assert_eq!(bounds.area(), area);
            prop_assert_eq!(bounds.intersection(within), Some(bounds));
            prop_assert!(every_free(&mask, within).contains(&bounds));
        }
    }

    #[test]
    fn a_slide_of_any_shape_is_placed_as_large_as_trying_all_allows((mask, within) in case(), across in 1_u32..5, down in 1_u32..5) {
        let score = |w: u32, h: u32| u64::from((w * down).min(h * across));
        let most = every_free(&mask, within).iter().map(|b| score(b.width, b.height)).max();
        let found = best_free(&mask, within, score);
        prop_assert_eq!(found.map(|(_, score)| score), most);
    }

    #[test]
    fn the_next_rectangles_are_the_largest_of_what_is_left((mask, within) in case()) {
        let found = free_rectangles(&mask, within, (2, 3), 4);
        let mut left = mask;
        for bounds in &found {
            prop_assert!(every_free(&left, within).contains(bounds), "{bounds:?} is free");
            let large = every_free(&left, within).into_iter().filter(|b| b.width >= 2 && b.height >= 3);
            prop_assert_eq!(large.map(PixelBox::area).max(), Some(bounds.area()));
            left = left.union(&Runs::of_boxes(size(), [*bounds]));
        }
        if found.len() < 4 {
            prop_assert!(!every_free(&left, within).iter().any(|b| b.width >= 2 && b.height >= 3));
        }
    }

    #[test]
    fn clearance_takes_every_pixel_that_is_nearer((mask, within) in case(), quarters in 0_u32..20) {
        let clearance = f64::from(quarters) / 4.0;
        let cleared = with_clearance(&mask, clearance);
        for y in 0..HEIGHT {
            for x in 0..WIDTH {
                let near = mask.as_slice().iter().any(|run| (run.start..run.end).any(|u| {
                    let squared = x.abs_diff(u).pow(2) + y.abs_diff(run.y).pow(2);
                    squared == 0 || f64::from(squared) < clearance * clearance
                }));
                prop_assert_eq!(cleared.contains(x, y), near, "at {}, {}", x, y);
            }
        }
        let boxed = Runs::of_boxes(size(), [within]);
        prop_assert_eq!(shared_px(mask.as_slice(), &boxed), mask.intersection(&boxed).area());
    }
}

#[test]
fn a_full_picture_has_no_room_and_an_empty_one_is_all_room() {
    let whole = PixelBox::of_size(size());
    let area = |w: u32, h: u32| u64::from(w) * u64::from(h);
    assert_eq!(
        best_free(&Runs::of_boxes(size(), [whole]), whole, area),
        None
    );
    let none = Runs::none(size());
    assert_eq!(best_free(&none, whole, area).map(|(b, _)| b), Some(whole));
    assert_eq!(free_rectangles(&none, whole, (1, 1), 3), [whole]);
}
