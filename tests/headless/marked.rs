//! Numbered boxes are seen on any picture, where they belong, and no number hides another.

use nightglass::measure::contrast::contrast_of_codes;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::guide_drawing::draw_guides;
use nightglass::pixel::guides::Guide;
use nightglass::pixel::label_room::{LabelRoom, shared};
use nightglass::pixel::settings::Size;
use nightglass::report::marked::{Mark, draw_marks, label_places};

const BOUNDS: PixelBox = PixelBox {
    x: 400,
    y: 300,
    width: 200,
    height: 120,
};

fn mark(number: usize, bounds: Option<PixelBox>) -> Mark {
    Mark {
        label: number.to_string(),
        bounds,
    }
}

/// A half-size picture of an output of 1920x1080 in one colour, marked.
fn marked(color: [u8; 3], marks: &[Mark]) -> Vec<[u8; 4]> {
    let mut picture = Frame::from_fn(Size::new(960, 540).unwrap(), |_, _| color);
    draw_marks(&mut picture, Size::HD, marks);
    match picture.pixels() {
        Pixels::Rgba8(pixels) => pixels.clone(),
        Pixels::Rgba16(_) => panic!("expected 8 bits"),
    }
}

fn at(pixels: &[[u8; 4]], x: usize, y: usize) -> [u8; 3] {
    let [r, g, b, _] = pixels[y * 960 + x];
    [r, g, b]
}

/// WCAG 2.2, success criterion 1.4.11: graphics need 3:1 against what is beside them.
#[test]
fn the_line_is_seen_on_every_grey() {
    for grey in 0..=255 {
        let pixels = marked([grey; 3], &[mark(1, Some(BOUNDS))]);
        // 4 px around the halved box: from 196 to 304 across.
        let line: Vec<[u8; 3]> = (196..200).map(|x| at(&pixels, x, 180)).collect();
        assert_eq!(line, [[0; 3], [255; 3], [255; 3], [0; 3]]);
        assert_eq!(
            (at(&pixels, 195, 180), at(&pixels, 200, 180)),
            ([grey; 3], [grey; 3])
        );
        let best = line
            .iter()
            .map(|&color| contrast_of_codes(color, [grey; 3]));
        assert!(best.fold(0.0, f64::max) >= 3.0, "grey {grey}");
    }
}

#[test]
fn numbers_of_one_place_lie_beside_each_other() {
    let grey = [90; 3];
    let grounds = |count: usize| {
        let marks: Vec<Mark> = (0..count).map(|_| mark(8, Some(BOUNDS))).collect();
        let pixels = marked(grey, &marks);
        pixels
            .iter()
            .filter(|&&[r, g, b, _]| [r, g, b] == [255; 3])
            .count()
    };
    let (none, one, two, four) = (grounds(0), grounds(1), grounds(2), grounds(4));
    assert_eq!(none, 0);
    let number = two - one;
    assert!(number > 200, "a number takes {number} light pixels");
    assert_eq!(four, two + 2 * number);
}

#[test]
fn a_number_keeps_off_what_other_numbers_mark() {
    // What lies right above the box is marked too, so its number goes below.
    let above = PixelBox {
        y: 180,
        height: 100,
        ..BOUNDS
    };
    let pixels = marked([90; 3], &[mark(1, Some(above)), mark(2, Some(BOUNDS))]);
    let light = |rows: std::ops::Range<usize>| {
        let of_row = |y: usize| (204..296).filter(move |&x| x > 0).map(move |x| (x, y));
        let places = rows.flat_map(of_row);
        places
            .filter(|&(x, y)| at(&pixels, x, y) == [255; 3])
            .count()
    };
    // Inside the upper box, halved and without its lines: rows 92 to 138.
    assert_eq!(light(92..138), 0);
    assert!(light(216..240) > 100);
}

#[test]
fn places_at_the_edge_and_the_whole_picture_are_marked_inside() {
    let corner = PixelBox {
        x: 1916,
        y: 1078,
        width: 4,
        height: 2,
    };
    let tall = PixelBox {
        x: 0,
        y: 0,
        width: 1,
        height: 1080,
    };
    for bounds in [None, Some(corner), Some(tall)] {
        let pixels = marked([90; 3], &[mark(123, bounds)]);
        let light = pixels.iter().filter(|pixel| pixel[..3] == [255; 3]).count();
        assert!(light > 300, "{bounds:?} has {light} light pixels");
    }
}

#[test]
fn labels_of_guides_keep_off_what_is_seen() {
    let size = Size::HD;
    let room = || LabelRoom::on(size);
    let labelled = |seen: &dyn Fn(&[f64; 4]) -> f64| {
        let mut frame = Frame::from_fn(size, |_, _| [90; 3]);
        draw_guides(&mut frame, &Guide::ALL, &mut room(), seen);
        let Pixels::Rgba8(pixels) = frame.pixels() else {
            panic!("8 bits");
        };
        // The grounds of labels are nearly black; lines are not.
        let dark = pixels
            .iter()
            .enumerate()
            .filter(|(_, p)| p[..3].iter().all(|v| *v < 20));
        dark.map(|(at, _)| (at % 1920, at / 1920))
            .collect::<Vec<_>>()
    };
    let on_the_left = |places: &[(usize, usize)]| places.iter().filter(|(x, _)| *x < 960).count();
    let plain = labelled(&|_| 0.0);
    let crowded = labelled(&|[left, ..]| (960.0 - left).max(0.0));
    assert!(on_the_left(&plain) > 10_000, "{}", on_the_left(&plain));
    assert!(crowded.len() > 20_000);
    assert_eq!(on_the_left(&crowded), 0);
}

/// Letters of half size that a box of the output stands beside, as text drawn in stripes.
const LETTERS: [u32; 4] = [150, 110, 330, 146];

#[test]
fn a_number_keeps_off_what_is_seen_beside_its_box() {
    // Above the box are letters that nobody marked; below it is nothing.
    let [left, top, right, bottom] = LETTERS;
    let picture = Frame::from_fn(Size::new(960, 540).unwrap(), |x, y| {
        let is_letter = (left..right).contains(&x) && (top..bottom).contains(&y) && x % 6 < 3;
        if is_letter { [230; 3] } else { [0; 3] }
    });
    let places = label_places(&picture, Size::HD, &[mark(1, Some(BOUNDS))]);
    let letters = LETTERS.map(f64::from);
    assert!(shared(&places[0], &letters) <= 0.0, "{places:?}");
    // Without them it stands above the left corner.
    let empty = Frame::from_fn(Size::new(960, 540).unwrap(), |_, _| [0; 3]);
    let places = label_places(&empty, Size::HD, &[mark(1, Some(BOUNDS))]);
    assert!(places[0][3] <= 146.0 && places[0][0] <= 196.0, "{places:?}");
}

#[test]
fn numbers_of_the_whole_picture_lie_beside_each_other_and_off_letters() {
    // A page of letters but for a margin on the right.
    let picture = Frame::from_fn(Size::new(960, 540).unwrap(), |x, y| {
        let is_letter = x < 800 && x % 6 < 3 && y % 20 < 12;
        if is_letter { [230; 3] } else { [0; 3] }
    });
    let marks: Vec<Mark> = (1..=4).map(|number| mark(number, None)).collect();
    let places = label_places(&picture, Size::HD, &marks);
    for (index, place) in places.iter().enumerate() {
        assert!(place[0] >= 800.0, "{places:?}");
        for other in &places[index + 1..] {
            assert!(shared(place, other) <= 0.0, "{places:?}");
        }
    }
}

/// Places of a picture that is full of letters but for a band over the box and one far below it.
fn crowded(free: std::ops::Range<u32>) -> Frame {
    Frame::from_fn(Size::new(960, 540).unwrap(), |x, y| {
        let is_letter = !free.contains(&y) && x % 6 < 3;
        if is_letter { [230; 3] } else { [60; 3] }
    })
}

#[test]
fn a_line_leads_from_a_number_that_stands_off_its_box() {
    // The box is from 146 to 214 with its line; the free band is 26 px above it, or as much below.
    for free in [80..120, 240..280] {
        let mut picture = crowded(free.clone());
        let marks = [mark(1, Some(BOUNDS))];
        let place = label_places(&picture, Size::HD, &marks)[0];
        let (low, high) = (f64::from(free.start), f64::from(free.end));
        assert!(place[1] >= low && place[3] <= high, "{place:?}");
        draw_marks(&mut picture, Size::HD, &marks);
        let Pixels::Rgba8(pixels) = picture.pixels() else {
            panic!("8 bits");
        };
        let between = if place[3] < 146.0 {
            place[3] as usize..146
        } else {
            214..place[1] as usize
        };
        assert!(between.len() > 20, "{between:?}");
        let x = f64::midpoint(place[0].max(196.0), place[2].min(304.0));
        let x = x.round() as usize;
        for y in between {
            let across: Vec<[u8; 3]> = (x - 2..x + 2).map(|x| at(pixels, x, y)).collect();
            assert_eq!(across, [[0; 3], [255; 3], [255; 3], [0; 3]], "row {y}");
        }
    }
    // One that touches its box has none.
    let plain = marked([60; 3], &[mark(1, Some(BOUNDS))]);
    let place = label_places(
        &Frame::from_fn(Size::new(960, 540).unwrap(), |_, _| [60; 3]),
        Size::HD,
        &[mark(1, Some(BOUNDS))],
    )[0];
    let touching = place[3] as usize;
    assert_eq!(touching, 146);
    let changed = |y: usize| (0..960).filter(|&x| at(&plain, x, y) != [60; 3]).count();
    // Above the box only the label is drawn, below it nothing.
    assert_eq!(changed(touching - 1), (place[2] - place[0]) as usize);
    assert_eq!(changed(214), 0);
}
