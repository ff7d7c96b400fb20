//! Where a picture shows something, so that labels keep off it: edges in full, even things half, its ground not at all.

use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::seen_detail::SeenDetail;
use nightglass::pixel::settings::Size;
use nightglass::report::marked::{Mark, label_places};

/// 960x540 has cells of 4 px, on whose edges these lie.
const HALF: (u32, u32) = (960, 540);
const CLOTHES: [u32; 4] = [200, 100, 400, 300];
const PIXELS: f64 = 200.0 * 200.0;

/// A picture of one grey with clothes of another, whatever they show.
fn with_clothes(ground: u8, clothes: impl Fn(u32) -> u8) -> Frame {
    let [left, top, right, bottom] = CLOTHES;
    Frame::from_fn(Size::new(HALF.0, HALF.1).unwrap(), |x, y| {
        let is_in = (left..right).contains(&x) && (top..bottom).contains(&y);
        [if is_in { clothes(x) } else { ground }; 3]
    })
}

fn seen_px(picture: &Frame, place: [u32; 4]) -> f64 {
    SeenDetail::of(picture).seen_px(&place.map(f64::from))
}

#[test]
fn even_clothes_count_half_of_what_letters_do() {
    let even = with_clothes(4, |_| 120);
    assert!((seen_px(&even, CLOTHES) - 0.5 * PIXELS).abs() < 1e-6);
    // Part of them, and nothing beside them.
    let part = seen_px(&even, [0, 200, 300, 300]);
    assert!((part - 0.5 * 100.0 * 100.0).abs() < 1e-6, "{part}");
    assert!(seen_px(&even, [400, 0, 960, 540]).abs() < 1e-6);
    let letters = with_clothes(4, |x| if x % 4 < 2 { 120 } else { 4 });
    assert!((seen_px(&letters, CLOTHES) - PIXELS).abs() < 1e-6);
}

#[test]
fn what_is_even_is_seen_by_how_far_it_is_from_the_ground() {
    for (ground, clothes, weight) in [
        (4, 44, 0.0),
        (4, 45, 0.5),
        // Dark clothes before what is lit, and a ground that is lit itself.
        (200, 160, 0.0),
        (200, 20, 0.5),
        (200, 200, 0.0),
    ] {
        let seen = seen_px(&with_clothes(ground, |_| clothes), CLOTHES);
        assert!(
            (seen - weight * PIXELS).abs() < 1e-6,
            "{clothes} on {ground}: {seen}"
        );
    }
}

#[test]
fn pure_blue_is_seen_and_noise_is_not() {
    let blue = |strength: u8| {
        Frame::from_fn(Size::new(HALF.0, HALF.1).unwrap(), |x, _| {
            [0, 0, if x % 4 < 2 { strength } else { 0 }]
        })
    };
    let all = f64::from(HALF.0 * HALF.1);
    let whole = [0, 0, HALF.0, HALF.1];
    assert!((seen_px(&blue(33), whole) - all).abs() < 1e-6);
    assert!(seen_px(&blue(32), whole).abs() < 1e-6);
}

#[test]
fn of_a_picture_of_16_bits_nothing_is_known() {
    let size = Size::new(16, 16).unwrap();
    let stripes = (0..256).map(|at| [if at % 2 == 0 { 0 } else { u16::MAX }; 4]);
    let picture = Frame::new(size, Pixels::Rgba16(stripes.collect())).unwrap();
    assert!(seen_px(&picture, [0, 0, 16, 16]).abs() < 1e-6);
}

#[test]
fn a_number_covers_the_ground_before_clothes_and_clothes_before_letters() {
    let clothes: fn(u32) -> u8 = |_| 120;
    let letters: fn(u32) -> u8 = |x| if x % 4 < 2 { 230 } else { 4 };
    let ground: fn(u32) -> u8 = |_| 4;
    // What is asked about is above and below the box; in it and beside it are letters.
    let number = |above: fn(u32) -> u8, below: fn(u32) -> u8| {
        let picture = Frame::from_fn(Size::new(HALF.0, HALF.1).unwrap(), |x, y| {
            let value = match y {
                ..148 => above(x),
                208.. => below(x),
                _ => letters(x),
            };
            let is_near = (100..500).contains(&x);
            [if is_near { value } else { 4 }; 3]
        });
        let marked = nightglass::measure::raster::pixel_box::PixelBox {
            x: 400,
            y: 300,
            width: 200,
            height: 112,
        };
        let mark = Mark {
            label: "1".to_owned(),
            bounds: Some(marked),
        };
        label_places(&picture, Size::HD, &[mark])[0]
    };
    // The box is from 146 to 210 with its clearance.
    let is_above = |place: [f64; 4]| place[3] <= 150.0;
    let is_below = |place: [f64; 4]| place[1] >= 206.0;
    assert!(is_above(number(ground, ground)));
    assert!(is_below(number(clothes, ground)));
    assert!(is_below(number(letters, clothes)));
    assert!(is_above(number(clothes, letters)));
}
