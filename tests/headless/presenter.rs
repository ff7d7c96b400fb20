//! Who is a presenter: somebody solid who is lit, and not what light and wiping leave on the glass.

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use nightglass::measure::parts::ink_glow::slope_at;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::frames::hash_at;

/// A frame with so many codes over a backdrop, and noise.
fn frame(size: [u32; 2], backdrop: f64, over: impl Fn(f64, f64) -> f64) -> Frame {
    Frame::from_fn(Size::new(size[0], size[1]).unwrap(), |x, y| {
        let noise = f64::from(hash_at(3, x, y) % 256) / 64.0 - 2.0;
        let code = backdrop + over(f64::from(x), f64::from(y)) + noise;
        [code.round().clamp(0.0, 255.0) as u8; 3]
    })
}

fn parts_of(frame: &Frame) -> CameraParts {
    find_camera_parts(&CameraStills {
        camera: &CameraRaster::new(frame),
        empty: None,
        before: None,
    })
}

/// What is found in a frame of 1280x720 with so many codes over a backdrop of 8.
fn found(over: impl Fn(f64, f64) -> f64) -> CameraParts {
    parts_of(&frame([1280, 720], 8.0, over))
}

/// The same in one of 1920x1080 that was a JPEG of quality 75: its blocks make steps of a slow change.
fn found_in_jpeg(over: impl Fn(f64, f64) -> f64) -> CameraParts {
    let drawn = frame([1920, 1080], 8.0, over);
    let Pixels::Rgba8(pixels) = drawn.pixels() else {
        panic!("an 8-bit picture");
    };
    let greys: Vec<u8> = pixels.iter().map(|pixel| pixel[0]).collect();
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 75)
        .write_image(&greys, 1920, 1080, ExtendedColorType::L8)
        .unwrap();
    let read = image::load_from_memory(&bytes).unwrap().to_rgb8();
    parts_of(&Frame::from_fn(drawn.size(), |x, y| read.get_pixel(x, y).0))
}

/// A light that falls off by a normal curve of these deviations around a place.
fn glow(at: (f64, f64), middle: (f64, f64), deviations: (f64, f64)) -> f64 {
    let square =
        ((at.0 - middle.0) / deviations.0).powi(2) + ((at.1 - middle.1) / deviations.1).powi(2);
    (-0.5 * square).exp()
}

#[test]
fn a_broad_glow_is_nobody() {
    for (wide, high, peak) in [(60.0, 120.0, 60.0), (90.0, 80.0, 60.0), (60.0, 90.0, 60.0)] {
        let parts = found_in_jpeg(|x, y| peak * glow((x, y), (1000.0, 500.0), (wide, high)));
        assert_eq!(
            parts.presenter.area(),
            0,
            "{wide} {high} {peak}: {:?}",
            parts.presenter_place
        );
    }
}

/// Wiped glass with a streak of light at its end, codes. Both are larger than a face.
fn wiped((x, y): (f64, f64), fine: f64) -> f64 {
    let inside = 1.0 - ((x - 600.0) / 190.0).powi(2) - ((y - 400.0) / 75.0).powi(2);
    let thread = (1.2 * (y * fine + (x * 0.03).sin()).sin() + 0.3).clamp(0.0, 1.0);
    let light = 32.0 * thread * (2.0 * inside).clamp(0.0, 1.0);
    light + 40.0 * glow((x, y), (480.0, 330.0), (8.0, 90.0))
}

#[test]
fn wiped_glass_beside_a_streak_is_nobody() {
    for fine in [0.15, 0.3, 0.6] {
        let parts = found(|x, y| wiped((x, y), fine));
        let place = parts.presenter_place;
        assert_eq!(parts.presenter.area(), 0, "{fine}: {place:?}");
    }
}

/// Head and trunk around a column, blurred by so many px.
fn person((x, y): (f64, f64), column: f64, blur: f64) -> f64 {
    let head = (((x - column) / 60.0).hypot((y - 290.0) / 80.0) - 1.0) * 60.0;
    let trunk = ((x - column).abs() - 150.0).max(360.0 - y);
    1.0 / (1.0 + (head.min(trunk) / blur).exp())
}

#[test]
fn somebody_out_of_focus_in_a_dim_frame_is_the_presenter() {
    for (blur, codes) in [(0.4, 45.0), (3.5, 45.0), (3.5, 150.0)] {
        let place = found(|x, y| codes * person((x, y), 640.0, blur)).presenter_place;
        let place =
            place.unwrap_or_else(|| panic!("nobody with {codes} codes and a blur of {blur} px"));
        assert!(
            place.x.abs_diff(490) < 20 && place.y.abs_diff(210) < 20,
            "{place:?}"
        );
    }
}

#[test]
fn somebody_beside_something_larger_on_the_glass_is_the_presenter() {
    let is_head = |x: f64, y: f64| ((x - 1000.0) / 70.0).hypot((y - 300.0) / 120.0) < 1.0;
    let place = found(|x, y| {
        if is_head(x, y) {
            140.0
        } else {
            wiped((x, y), 0.6)
        }
    })
    .presenter_place;
    let place = place.unwrap();
    assert!(
        place.x.abs_diff(930) < 10 && place.right().abs_diff(1070) < 10,
        "{place:?}"
    );
}

#[test]
fn a_lamp_with_a_smear_beside_it_is_nobody() {
    // With the smear it is as large as a presenter, without it is not.
    let parts = found(|x, y| {
        let lamp = (x - 500.0).hypot(y - 300.0) < 50.0;
        let inside = 1.0 - ((x - 620.0) / 90.0).powi(2) - ((y - 320.0) / 150.0).powi(2);
        let thread = (1.2 * (y * 0.4 + (x * 0.03).sin()).sin() + 0.3).clamp(0.0, 1.0);
        let smear = 34.0 * thread * (2.0 * inside).clamp(0.0, 1.0);
        if lamp { 150.0 } else { smear }
    });
    assert_eq!(parts.presenter.area(), 0, "{:?}", parts.presenter_place);
}

#[test]
fn clothes_darker_than_the_backdrop_end_at_once_too() {
    let is_trunk = |x: f64, y: f64| (x - 640.0).abs() < 150.0 && (372.0..640.0).contains(&y);
    let parts = parts_of(&frame([1280, 720], 36.0, |x, y| {
        let is_head = ((x - 640.0) / 60.0).hypot((y - 290.0) / 90.0) < 1.0;
        match (is_head, is_trunk(x, y)) {
            (true, _) => 140.0,
            (_, true) => -24.0,
            _ => 0.0,
        }
    }));
    let place = parts.presenter_place.unwrap();
    assert!(
        place.bottom().abs_diff(640) < 12 && place.width > 280,
        "{place:?}"
    );
}

#[test]
fn a_code_is_as_much_light_at_black_as_just_over_it() {
    // Source: IEC 61966-2-1, light is V / 12.92 up to V = 0.04045, which is 10 of 255.
    for code in [0.0, 0.2, 0.5, 3.0, 9.0] {
        let light = slope_at(code);
        assert!(
            (light * 12.92 * 255.0 - 1.0).abs() < 1e-3,
            "{light} at {code}"
        );
    }
}
