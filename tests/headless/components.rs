//! Masks, components and distances against published figures and against the plainest way to get them.

use std::path::Path;

use nightglass::files::picture_file::read_picture;
use nightglass::measure::raster::components::{Components, Neighbours};
use nightglass::measure::raster::distance::Distances;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::{Run, Runs};
use nightglass::pixel::frame::Pixels;
use nightglass::pixel::settings::Size;
use proptest::prelude::*;

/// A picture's first channel.
fn grey_picture(path: &Path) -> (Size, Vec<u8>) {
    let frame = read_picture(path).unwrap().frame;
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("an 8-bit picture");
    };
    (frame.size(), pixels.iter().map(|pixel| pixel[0]).collect())
}

/// The whole raster as a box.
fn whole(size: Size) -> PixelBox {
    PixelBox {
        x: 0,
        y: 0,
        width: size.width(),
        height: size.height(),
    }
}

fn text_picture() -> Runs {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/text.png");
    let (size, greys) = grey_picture(&path);
    Runs::of_bytes(size, &greys, |grey| grey <= 109)
}

#[test]
fn components_of_a_picture_of_text_are_those_of_three_libraries() {
    // Computed alike by scikit-image label, SciPy label and OpenCV.
    let mask = text_picture();
    let four = Components::of(&mask, Neighbours::Four);
    let eight = Components::of(&mask, Neighbours::EIGHT);
    let largest = eight.list().iter().map(|c| c.area).max();
    assert_eq!(mask.area(), 10_255);
    assert_eq!((four.list().len(), eight.list().len()), (206, 143));
    assert_eq!(largest, Some(2776));
}

#[test]
fn distances_in_a_picture_of_text_are_those_of_scipy() {
    // Computed with SciPy's distance_transform_edt, OpenCV's precise mode within 4e-6.
    let mask = text_picture();
    let distances = Distances::within(whole(mask.size()), mask.as_slice().iter().copied()).unwrap();
    let squared = distances.squared_px();
    let sum: f64 = squared.iter().map(|&v| f64::from(v).sqrt()).sum();
    let width = mask.size().width() as usize;
    assert_eq!(squared.iter().max(), Some(&40));
    assert_eq!(squared[5 * width + 45], 40);
    assert!((distances.largest_px() - 6.324_555).abs() < 1e-6);
    assert!((sum - 14_822.638_7).abs() < 1e-3, "sum {sum}");
}

#[test]
fn the_edge_of_the_box_is_not_outside() {
    // SciPy: 5 x 5 all true but the middle: corners 2.8284, middles of edges 2, beside 1, diagonals 1.4142.
    let size = Size::new(5, 5).unwrap();
    let mut bytes = vec![1; 25];
    bytes[12] = 0;
    let mask = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let distances = Distances::within(whole(size), mask.as_slice().iter().copied()).unwrap();
    let expected = [
        8, 5, 4, 5, 8, 5, 2, 1, 2, 5, 4, 1, 0, 1, 4, 5, 2, 1, 2, 5, 8, 5, 4, 5, 8,
    ];
    assert_eq!(distances.squared_px(), expected);
    let full = Runs::of_bytes(size, &[1; 25], |byte| byte == 1);
    assert_eq!(
        Distances::within(whole(size), full.as_slice().iter().copied()),
        None
    );
}

/// A size and a mask of that size, one byte a pixel.
fn masks() -> impl Strategy<Value = (u32, u32, Vec<bool>)> {
    (1_u32..24, 1_u32..24, 0.05..0.95_f64).prop_flat_map(|(width, height, density)| {
        let pixels =
            prop::collection::vec(prop::bool::weighted(density), (width * height) as usize);
        (Just(width), Just(height), pixels)
    })
}

fn runs_of(width: u32, height: u32, pixels: &[bool]) -> Runs {
    let bytes: Vec<u8> = pixels.iter().map(|&on| u8::from(on)).collect();
    Runs::of_bytes(Size::new(width, height).unwrap(), &bytes, |byte| byte == 1)
}

fn pixels_of(mask: &Runs) -> Vec<bool> {
    let (width, height) = (mask.size().width(), mask.size().height());
    let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    places.map(|(x, y)| mask.contains(x, y)).collect()
}

/// Column and row of a pixel.
fn place_of(i: usize, width: u32) -> (i64, i64) {
    let i = i64::try_from(i).unwrap();
    (i % i64::from(width), i / i64::from(width))
}

/// Of each pixel of the mask the first pixel that it is connected with, by flooding.
fn flooded(
    width: u32,
    height: u32,
    pixels: &[bool],
    near: impl Fn(i64, i64) -> bool,
) -> Vec<usize> {
    let mut first = vec![usize::MAX; pixels.len()];
    for seed in 0..pixels.len() {
        if !pixels[seed] || first[seed] != usize::MAX {
            continue;
        }
        let mut open = vec![seed];
        first[seed] = seed;
        while let Some(at) = open.pop() {
            for (other, &on) in pixels.iter().enumerate() {
                let place = |i: usize| place_of(i, width);
                let ((x, y), (u, v)) = (place(at), place(other));
                if on && first[other] == usize::MAX && near((x - u).abs(), (y - v).abs()) {
                    first[other] = seed;
                    open.push(other);
                }
            }
        }
    }
    assert_eq!(first.len(), (width * height) as usize);
    first
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn components_are_what_flooding_finds((width, height, pixels) in masks(), reach in 0_i64..6) {
        let mask = runs_of(width, height, &pixels);
        let (neighbours, first) = if reach == 0 {
            (Neighbours::Four, flooded(width, height, &pixels, |dx, dy| dx + dy <= 1))
        } else {
            let near = |dx, dy| dx <= reach && dy <= reach;
            (Neighbours::Within(reach as u32), flooded(width, height, &pixels, near))
        };
        let components = Components::of(&mask, neighbours);
        let mut seeds: Vec<usize> = first.iter().copied().filter(|&f| f != usize::MAX).collect();
        seeds.sort_unstable();
        seeds.dedup();
        prop_assert_eq!(components.list().len(), seeds.len());
        for (label, seed) in seeds.into_iter().enumerate() {
            let members: Vec<usize> = (0..pixels.len()).filter(|&i| first[i] == seed).collect();
            let component = components.list()[label];
            let column = |i: &usize| (i % width as usize) as u32;
            let row = |i: &usize| (i / width as usize) as u32;
            let (left, right) = (members.iter().map(column).min().unwrap(), members.iter().map(column).max().unwrap());
            let (top, bottom) = (members.iter().map(row).min().unwrap(), members.iter().map(row).max().unwrap());
            let bounds = PixelBox { x: left, y: top, width: right - left + 1, height: bottom - top + 1 };
            prop_assert_eq!(component.bounds, bounds);
            prop_assert_eq!(component.area, members.len() as u64);
            let in_runs: Vec<usize> = components
                .runs_of(label)
                .iter()
                .flat_map(|run| (run.start..run.end).map(|x| (run.y * width + x) as usize))
                .collect();
            prop_assert_eq!(in_runs, members);
        }
    }

    #[test]
    fn masks_are_combined_pixel_by_pixel((width, height, a) in masks(), seed in any::<u32>(), reach in 0_u32..6) {
        let b: Vec<bool> = (0..a.len() as u32).map(|i| crate::frames::hash_at(seed, i, 0).is_multiple_of(3)).collect();
        let (mask, other) = (runs_of(width, height, &a), runs_of(width, height, &b));
        prop_assert_eq!(pixels_of(&mask), a.clone());
        let both = |combine: fn(bool, bool) -> bool| -> Vec<bool> {
            a.iter().zip(&b).map(|(&a, &b)| combine(a, b)).collect()
        };
        prop_assert_eq!(pixels_of(&mask.union(&other)), both(|a, b| a || b));
        prop_assert_eq!(pixels_of(&mask.intersection(&other)), both(|a, b| a && b));
        prop_assert_eq!(pixels_of(&mask.without(&other)), both(|a, b| a && !b));
        let grown: Vec<bool> = (0..i64::from(height))
            .flat_map(|y| (0..i64::from(width)).map(move |x| (x, y)))
            .map(|(x, y)| {
                (0..a.len()).any(|i| {
                    let (u, v) = place_of(i, width);
                    a[i] && (x - u).abs() <= i64::from(reach) && (y - v).abs() <= i64::from(reach)
                })
            })
            .collect();
        let found = mask.grown(reach);
        prop_assert_eq!(pixels_of(&found), grown.clone());
        // Runs are as long as they can be, so equal masks are equal.
        prop_assert_eq!(found, runs_of(width, height, &grown));
    }

    #[test]
    fn distances_are_the_nearest_of_all((width, height, pixels) in masks()) {
        let mask = runs_of(width, height, &pixels);
        let found = Distances::within(whole(mask.size()), mask.as_slice().iter().copied());
        let outside: Vec<usize> = (0..pixels.len()).filter(|&i| !pixels[i]).collect();
        let nearest = |i: usize| {
            let place = |i: usize| place_of(i, width);
            let (x, y) = place(i);
            outside.iter().map(|&o| place(o)).map(|(u, v)| (x - u).pow(2) + (y - v).pow(2)).min()
        };
        match found {
            None => prop_assert!(outside.is_empty()),
            Some(found) => {
                for (i, &squared) in found.squared_px().iter().enumerate() {
                    prop_assert_eq!(Some(i64::from(squared)), nearest(i));
                }
            }
        }
    }
}

#[test]
fn masks_are_made_of_runs_in_any_order_and_enlarged_to_what_is_no_multiple() {
    let run = |y: u32, start: u32, end: u32| Run { y, start, end };
    let size = |width: u32, height: u32| Size::new(width, height).unwrap();
    let mask = Runs::of_runs(size(4, 2), &[run(1, 3, 4), run(0, 0, 2), run(0, 1, 3)]);
    assert_eq!(mask.as_slice(), [run(0, 0, 3), run(1, 3, 4)]);
    // Squares of three on a raster that ends within the last column, and below the last row.
    let large = mask.enlarged(3, size(11, 7));
    let expected: Vec<Run> = (0..7)
        .map(|y| if y < 3 { run(y, 0, 9) } else { run(y, 9, 11) })
        .collect();
    assert_eq!(large.as_slice(), expected);
    assert_eq!(large.row(6), [run(6, 9, 11)]);
}
