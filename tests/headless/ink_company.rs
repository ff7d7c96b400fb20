//! What is weighed about the company of a piece, on bars whose places, colours and widths are known.

use nightglass::measure::camera::backdrop::Backdrop;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::parts::ink_company::{COMPANY_NAMES, Company};
use nightglass::measure::parts::ink_contrast::InkContrast;
use nightglass::measure::parts::ink_figures::FIGURES;
use nightglass::measure::parts::ink_pieces::InkPieces;
use nightglass::measure::parts::lone_marks::without_lone_marks;
use nightglass::measure::parts::piece_shape::InkPiece;
use nightglass::measure::parts::writing::least_log_odds;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

const GREEN: [u8; 3] = [60, 230, 90];
const CORAL: [u8; 3] = [240, 110, 90];
/// Bars: left, top, width, height, colour. Two of one pen, 10 px apart; one of its colour, three times as wide, 60 px on; one of
/// another colour 10 px below; one far from all.
const BARS: [(u32, u32, u32, u32, [u8; 3]); 5] = [
    (100, 100, 6, 80, GREEN),
    (116, 100, 6, 80, GREEN),
    (182, 100, 18, 80, GREEN),
    (116, 190, 6, 60, CORAL),
    (560, 300, 6, 50, GREEN),
];

fn pieces() -> InkPieces {
    let size = Size::new(640, 400).unwrap();
    let frame = Frame::from_fn(size, |x, y| {
        let is_in = |&(left, top, width, height, _): &(u32, u32, u32, u32, [u8; 3])| {
            (left..left + width).contains(&x) && (top..top + height).contains(&y)
        };
        BARS.iter()
            .find(|bar| is_in(bar))
            .map_or([16; 3], |bar| bar.4)
    });
    let camera = CameraRaster::new(&frame);
    let backdrop = Backdrop::measure(&camera);
    InkPieces::find(&camera, &backdrop, &InkContrast::measure(&camera))
}

/// Where each bar is among the pieces, which come in an order of their own.
fn places(all: &InkPieces) -> [usize; 5] {
    assert_eq!(all.pieces.len(), BARS.len());
    BARS.map(|bar| {
        let is_bar = |piece: &InkPiece| (piece.bounds.x, piece.bounds.y) == (bar.0, bar.1);
        all.pieces.iter().position(is_bar).unwrap()
    })
}

/// Company of each bar by name, given log odds and shares over the presenter of the bars.
fn company(
    log_odds: [f64; 5],
    over: [f64; 5],
    may_be: [bool; 5],
) -> Vec<Option<impl Fn(&str) -> f64>> {
    let all = pieces();
    let places = places(&all);
    let own = |values: [f64; 5]| {
        let mut sorted = vec![0.0; 5];
        (0..5).for_each(|k| sorted[places[k]] = values[k]);
        sorted
    };
    let mut may = vec![false; 5];
    (0..5).for_each(|k| may[places[k]] = may_be[k]);
    let figures = Company {
        all: &all,
        may_be: &may,
        over: &own(over),
        figures: &[[0.25; FIGURES]; 5],
        log_odds: &own(log_odds),
    }
    .figures();
    let read = |k: usize| {
        figures[places[k]].map(|both| {
            assert_eq!(both[..FIGURES], [0.25; FIGURES]);
            move |name: &str| {
                let nth = COMPANY_NAMES.iter().position(|known| *known == name);
                both[FIGURES + nth.unwrap()]
            }
        })
    };
    (0..5).map(read).collect()
}

#[test]
fn company_is_told_by_distance_colour_and_width() {
    let bars = company([1.5, 2.0, 3.0, 5.0, 7.0], [1.0; 5], [true; 5]);
    let of = |k: usize, name: &str| bars[k].as_ref().unwrap()(name);
    assert_eq!(of(0, "alone"), 1.5);
    assert_eq!([of(0, "near_alike"), of(0, "near_pen")], [2.0, 5.0]);
    assert_eq!([of(1, "near_alike"), of(1, "near_pen")], [1.5, 5.0]);
    assert_eq!(
        [of(0, "far"), of(0, "far_class"), of(0, "far_pen")],
        [5.0, 3.0, 2.0]
    );
    assert_eq!([of(3, "far"), of(3, "far_class")], [3.0, -8.0]);
    // Nobody is within reach of the last.
    for name in ["near_alike", "near_pen", "far", "far_class", "far_pen"] {
        assert_eq!(of(4, name), -8.0, "{name}");
    }
}

#[test]
fn company_that_speaks_for_ink_and_against_it_is_counted() {
    let bars = company([0.0, 2.0, -3.0, 0.5, 7.0], [1.0; 5], [true; 5]);
    let of = |k: usize, name: &str| bars[k].as_ref().unwrap()(name);
    assert_eq!([of(0, "far_for"), of(0, "far_against")], [1.0, 1.0]);
    assert_eq!([of(1, "far_for"), of(1, "far_against")], [0.0, 1.0]);
    assert_eq!([of(4, "far_for"), of(4, "far_against")], [0.0, 0.0]);
}

#[test]
fn ink_before_the_backdrop_shows_colour_and_width() {
    let over = [1.0, 0.0, 1.0, 1.0, 0.0];
    let bars = company([1.0, 5.0, 6.0, 1.0, 3.0], over, [true; 5]);
    let of = |k: usize, name: &str| bars[k].as_ref().unwrap()(name);
    assert!(of(0, "ink_color") < 0.01, "{}", of(0, "ink_color"));
    assert!(of(0, "ink_width") < 0.1, "{}", of(0, "ink_width"));
    // Red against green, and three times as wide.
    assert!(
        (of(3, "ink_color") - 180.0 / 255.0).abs() < 0.02,
        "{}",
        of(3, "ink_color")
    );
    assert!(
        (of(2, "ink_width") - 3.0_f64.ln()).abs() < 0.2,
        "{}",
        of(2, "ink_width")
    );
    // The only ink there is does not show its own.
    assert_eq!([of(1, "ink_color"), of(1, "ink_width")], [2.0, 3.0]);
}

#[test]
fn what_can_hardly_be_ink_has_no_company_and_is_none() {
    let odds = [1.0, 6.0, -5.0, 5.0, 5.0];
    let bars = company(odds, [1.0; 5], [true, false, true, true, true]);
    assert!(bars[1].is_none() && bars[2].is_none());
    let of = |k: usize, name: &str| bars[k].as_ref().unwrap()(name);
    assert_eq!([of(0, "near_alike"), of(0, "far")], [-8.0, 5.0]);
    assert_eq!(of(0, "far_against"), 0.0);
}

#[test]
fn short_marks_alone_over_the_presenter_are_no_writing() {
    let all = pieces();
    let places = places(&all);
    // A group is written from 120 px of strokes on: the two of one pen are near and alike.
    let tall = Size::new(640, 1500).unwrap();
    let kept = |over: [f64; 5], was: [bool; 5]| {
        let (mut shares, mut all_kept) = (vec![0.0; 5], vec![false; 5]);
        for k in 0..5 {
            (shares[places[k]], all_kept[places[k]]) = (over[k], was[k]);
        }
        let kept = without_lone_marks(&all, &all_kept, &shares, tall);
        places.map(|place| kept[place])
    };
    assert_eq!(kept([1.0; 5], [true; 5]), [true, true, false, false, false]);
    assert_eq!(kept([1.0; 5], [false, true, true, true, true]), [false; 5]);
    // Before the backdrop a short mark is writing, and so is what is one group with it.
    assert_eq!(
        kept([1.0, 1.0, 1.0, 1.0, 0.0], [true; 5]),
        [true, true, false, false, true]
    );
    assert_eq!(
        kept([0.0, 1.0, 1.0, 1.0, 1.0], [true, true, false, false, false]),
        [true, true, false, false, false]
    );
}

#[test]
fn what_is_small_over_the_presenter_must_be_surer_ink() {
    let all = pieces();
    let bar = &all.pieces[places(&all)[1]];
    assert_eq!(bar.area, 480);
    let usual = least_log_odds(bar, 0.0, 4000);
    // It is three ten-thousandths of the height squared in a frame 1265 px high, and a quarter of that in one twice as high.
    assert_eq!(least_log_odds(bar, 1.0, 1264), usual);
    let quarter = least_log_odds(bar, 1.0, 2530);
    assert!((quarter - usual - 4.0_f64.ln()).abs() < 0.001, "{quarter}");
}

#[test]
fn a_plate_with_letters_in_it_must_be_surer_ink_wherever_it_is() {
    // A plate of 80 x 54 px with two dark lines in it, and a ring.
    let frame = Frame::from_fn(Size::new(640, 400).unwrap(), |x, y| {
        let (left, top) = (x.wrapping_sub(100), y.wrapping_sub(100));
        let is_letter =
            (6..54).contains(&left) && [10, 33].iter().any(|from| (*from..from + 8).contains(&top));
        let off = (f64::from(x) - 400.0).hypot(f64::from(y) - 120.0);
        let is_ink = left < 80 && top < 54 && !is_letter || (20.0..28.0).contains(&off);
        if is_ink { CORAL } else { [16; 3] }
    });
    let camera = CameraRaster::new(&frame);
    let backdrop = Backdrop::measure(&camera);
    let all = InkPieces::find(&camera, &backdrop, &InkContrast::measure(&camera));
    assert_eq!(all.pieces.len(), 2);
    let least = |is_plate: bool| {
        let is_it = |piece: &&InkPiece| (piece.bounds.x < 300) == is_plate;
        least_log_odds(all.pieces.iter().find(is_it).unwrap(), 0.0, 1080)
    };
    assert!(
        least(true) > least(false) + 2.0,
        "{} {}",
        least(true),
        least(false)
    );
}
