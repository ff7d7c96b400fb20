//! What is measured of a slide for the key of its deck: drawn levels are found, edges and specks are not.

use nightglass::measure::check::slide_check::SlideToCheck;
use nightglass::measure::key::slide_levels::{MOST_PIECES, SlideLevels, measure_slide_levels};
use nightglass::measure::limits::Limits;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::statistics::level_counts::Level;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Settings, Size, SlidePlace};

use crate::frames::{hash_at, size};

fn measure_under(slide: &Frame, settings: &Settings) -> SlideLevels {
    measure_slide_levels(&SlideToCheck {
        slide,
        lossy: false,
        cameras: &[],
        settings,
        limits: &Limits::default(),
        reserved: &[],
        zones: &[],
    })
}

/// Untouched on an output of its own size.
fn measure(slide: &Frame) -> SlideLevels {
    let mut settings = Settings::default();
    settings.placement.size = Some(slide.size());
    measure_under(slide, &settings)
}

fn code(code: u8) -> Level {
    Level::at_or_over(f32::from(code) / 255.0)
}

fn is_in(x: u32, y: u32, [left, top, width, height]: [u32; 4]) -> bool {
    (left..left + width).contains(&x) && (top..top + height).contains(&y)
}

fn bounds([x, y, width, height]: [u32; 4]) -> PixelBox {
    PixelBox {
        x,
        y,
        width,
        height,
    }
}

const SIZE: (u32, u32) = (320, 180);

fn raster() -> Size {
    size(SIZE.0, SIZE.1)
}

#[test]
fn drawn_levels_and_boxes_are_found_exactly() {
    let (bright, dark) = ([20, 20, 60, 30], [200, 100, 40, 25]);
    let slide = Frame::from_fn(raster(), |x, y| match (x, y) {
        _ if is_in(x, y, bright) => [200; 3],
        _ if is_in(x, y, dark) => [0, 0, 255],
        _ => [9; 3],
    });
    let found = measure(&slide);
    assert_eq!(found.background_top(), Some(code(9)));
    assert_eq!(
        found.background_places,
        [(code(9), bounds([0, 0, 320, 180]))]
    );
    let floors: Vec<_> = found
        .pieces
        .iter()
        .map(|p| (p.bounds, p.floor, p.color))
        .collect();
    let blue = Level::at_or_under(0.0722);
    assert_eq!(
        floors,
        [
            (bounds(dark), blue, [0, 0, 255]),
            (bounds(bright), code(200), [200; 3])
        ]
    );
    // Background beside content, 2 px wide, does not count.
    let around = 64 * 34 + 44 * 29;
    assert_eq!(
        found.background.total(),
        u64::from(SIZE.0 * SIZE.1 - around)
    );
    let counted: Vec<_> = found.content.iter().collect();
    assert_eq!(counted, [(blue, 40 * 25), (code(200), 60 * 30)]);
}

#[test]
fn soft_edges_do_not_lower_the_floor() {
    // A disc of code 200 on black whose edge takes 1, 2 or 3 pixels.
    for softness in [1.0, 2.0, 3.0] {
        let slide = Frame::from_fn(raster(), |x, y| {
            let away = (f64::from(x) - 160.0).hypot(f64::from(y) - 90.0);
            let kept = ((60.0 - away) / softness).clamp(0.0, 1.0);
            [(200.0 * kept + 0.5) as u8; 3]
        });
        let found = measure(&slide);
        assert_eq!(found.pieces.len(), 1);
        let floor = found.pieces[0].floor;
        assert!(
            floor >= code(197) && floor <= code(200),
            "{softness}: {floor:?}"
        );
        assert_eq!(found.background_top(), Some(code(0)), "{softness}");
    }
}

#[test]
fn specks_and_invisible_content_decide_nothing() {
    let speck = [50, 50, 5, 3];
    let slide = |height| {
        Frame::from_fn(raster(), move |x, y| match (x, y) {
            _ if is_in(x, y, speck) => [90; 3],
            // Contrast to black: code 15 has 1.0957, code 16 has 1.1036 (WCAG 2.2).
            _ if is_in(x, y, [100, 50, 40, height]) => [15; 3],
            _ if is_in(x, y, [200, 50, 40, 40]) => [16; 3],
            _ => [0; 3],
        })
    };
    let found = measure(&slide(40));
    assert_eq!(found.pieces.len(), 1);
    assert_eq!(found.pieces[0].bounds, bounds([200, 50, 40, 40]));
    assert_eq!(found.pieces[0].floor, code(16));
    // Neither is background: the speck and what cannot be seen are left out of both.
    assert_eq!(found.background_top(), Some(code(0)));
}

#[test]
fn one_darker_pixel_in_content_does_not_move_its_floor() {
    let slide = |pixels: u32| {
        Frame::from_fn(raster(), move |x, y| match (x, y) {
            _ if y == 60 && (40..40 + pixels).contains(&x) => [40; 3],
            _ if is_in(x, y, [30, 30, 100, 60]) => [42; 3],
            _ => [0; 3],
        })
    };
    assert_eq!(measure(&slide(15)).pieces[0].floor, code(42));
    assert_eq!(measure(&slide(16)).pieces[0].floor, code(40));
}

#[test]
fn dither_is_background_as_it_is() {
    let slide = Frame::from_fn(raster(), |x, y| [10 + (hash_at(7, x, y) % 3) as u8; 3]);
    let found = measure(&slide);
    assert_eq!(found.background_top(), Some(code(12)));
    assert_eq!(found.background.total(), u64::from(SIZE.0 * SIZE.1));
    assert!(found.pieces.is_empty());
}

#[test]
fn a_gradient_is_background_up_to_its_end_and_a_glow_is_not() {
    let gradient = Frame::from_fn(raster(), |x, y| {
        if is_in(x, y, [100, 60, 80, 40]) {
            [220; 3]
        } else {
            [(x / 8) as u8; 3]
        }
    });
    let found = measure(&gradient);
    assert_eq!(found.background_top(), Some(code(39)));
    // The brightest part is at the right edge.
    let place = found.background_at(code(39).percent()).unwrap();
    assert_eq!(place, bounds([312, 0, 8, 180]));
    assert_eq!(found.pieces.len(), 1);
    assert_eq!(found.pieces[0].floor, code(220));

    let glow = Frame::from_fn(raster(), |x, y| {
        let away = (f64::from(x) - 160.0).hypot(f64::from(y) - 90.0);
        [(60.0 - 2.0 * away).max(0.0) as u8; 3]
    });
    // Its own tail is too near to it to be background.
    assert_eq!(measure(&glow).background_top(), Some(code(0)));
}

#[test]
fn the_chain_moves_backgrounds_and_content_and_black_beside_the_slide() {
    let slide = Frame::from_fn(raster(), |x, y| {
        if is_in(x, y, [100, 60, 80, 40]) {
            [100; 3]
        } else {
            [0; 3]
        }
    });
    let mut settings = Settings::default();
    settings.placement.size = Some(size(640, 360));
    settings.placement.slide_place = SlidePlace::new([0.0, 0.0, 50.0, 50.0]).unwrap();
    settings.chain = Some(Chain::new(1.1, 3.0, 0.5).unwrap());
    let found = measure_under(&slide, &settings);
    // 0.03, and 1.1 x 100 / 255 + 0.03.
    assert_eq!(found.background_top(), Some(Level::at_or_over(0.03)));
    assert_eq!(
        found.pieces[0].floor,
        Level::at_or_under(1.1 * 100.0 / 255.0 + 0.03)
    );
    assert_eq!(found.output_px, 640 * 360);
    assert_eq!(found.background.total(), 640 * 360 - 84 * 44);
}

#[test]
fn a_crowded_slide_keeps_its_darkest_pieces() {
    let slide = Frame::from_fn(size(640, 360), |x, y| {
        if x % 40 < 8 && y % 40 < 8 {
            [(40 + 2 * (x / 40) + (y / 40)) as u8; 3]
        } else {
            [0; 3]
        }
    });
    let found = measure(&slide);
    assert_eq!(found.pieces.len(), MOST_PIECES);
    assert_eq!(found.pieces[0].floor, code(40));
    assert!(found.pieces.is_sorted_by_key(|piece| piece.floor));
}
