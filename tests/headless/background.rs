//! What a slide's own background is: what reaches round the border, however large the picture on it.

use nightglass::files::picture_file::read_picture;
use nightglass::measure::slide::background::measure_background;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::CodeRange;

use crate::frames::size;

const WIDTH: u32 = 640;
const HEIGHT: u32 = 360;

/// A slide of one grey with a picture in a box `[left, top, right, bottom]`.
fn slide(grey: u8, [left, top, right, bottom]: [u32; 4], picture: &dyn Fn(u32, u32) -> u8) -> u8 {
    let frame = Frame::from_fn(size(WIDTH, HEIGHT), |x, y| {
        if (left..right).contains(&x) && (top..bottom).contains(&y) {
            [picture(x, y); 3]
        } else {
            [grey; 3]
        }
    });
    code_of(&frame)
}

fn code_of(frame: &Frame) -> u8 {
    let [r, g, b] = measure_background(frame, CodeRange::Full)
        .color
        .map(|v| (255.0 * v).round() as u8);
    assert!(r.abs_diff(g) <= 3 && g.abs_diff(b) <= 3, "{r} {g} {b}");
    r
}

/// The middle of a portrait, most of which is bright: its codes up to 255.
fn portrait() -> impl Fn(u32, u32) -> u8 {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/astronaut.png");
    let frame = read_picture(path.as_ref()).unwrap().frame;
    move |x, y| {
        let Pixels::Rgba8(pixels) = frame.pixels() else {
            panic!("8-bit R'G'B'A");
        };
        pixels[(y % 512) as usize * 512 + (x % 512) as usize][1]
    }
}

#[test]
fn a_white_slide_stays_white_under_a_black_picture_over_three_quarters_of_it() {
    assert_eq!(slide(255, [40, 40, 600, 350], &|_, _| 4), 255);
    // The same where the picture reaches one side of the slide.
    assert_eq!(slide(255, [200, 60, 640, 330], &|_, _| 4), 255);
}

#[test]
fn a_dark_slide_stays_dark_under_a_bright_picture_over_three_quarters_of_it() {
    assert_eq!(slide(0, [40, 40, 600, 350], &|_, _| 240), 0);
    // Full-bleed, from side to side and to the bottom, with the tones of a picture.
    let picture = portrait();
    assert_eq!(slide(0, [0, 110, 640, 360], &picture), 0);
    assert_eq!(slide(0, [190, 0, 640, 360], &picture), 0);
}

#[test]
fn bars_along_the_border_and_a_line_round_the_slide_are_no_background() {
    let bars = |_: u32, y: u32| if (60..320).contains(&y) { 255 } else { 20 };
    assert_eq!(slide(0, [0, 0, 640, 360], &bars), 255);
    let line = |x: u32, y: u32| {
        let on_line = x < 2 || y < 2 || x >= WIDTH - 2 || y >= HEIGHT - 2;
        if on_line { 0 } else { 255 }
    };
    assert_eq!(slide(0, [0, 0, 640, 360], &line), 255);
}

#[test]
fn a_slide_of_a_few_pixels_has_a_background_too() {
    for (width, height) in [(1, 1), (2, 1), (3, 3), (1, 90)] {
        assert_eq!(
            code_of(&Frame::from_fn(size(width, height), |_, _| [200; 3])),
            200
        );
    }
}
