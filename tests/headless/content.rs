//! The slide as it reaches the key, and what of it is content.

use nightglass::measure::check::placed_camera::{KeyedOver, PlacedCamera};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::slide::fates::Fate::{Dropped, InTheRamp, Solid};
use nightglass::measure::slide::fates::Fates;
use nightglass::measure::slide::pieces::{Content, Piece};
use nightglass::measure::slide::slide_raster::SlideRaster;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Settings, Size};
use nightglass::pixel::views::Background;

use crate::frames::hash_at;

/// What is made of the plan of a slide under settings that leave it at its own size.
fn planned<T>(slide: &Frame, settings: &Settings, make: impl Fn(&Plan<'_>) -> T) -> T {
    let mut settings = *settings;
    settings.placement.size = settings.placement.size.or(Some(slide.size()));
    make(&Plan::new(&Scene {
        camera: None,
        slide: Some(slide),
        background: Background::BLACK,
        settings: &settings,
    }))
}

/// The raster of a slide.
fn raster(slide: &Frame, settings: &Settings) -> SlideRaster {
    planned(slide, settings, SlideRaster::new)
}

/// A black slide with filled rectangles of a grey.
fn slide(width: u32, height: u32, boxes: &[([u32; 4], u8)]) -> Frame {
    Frame::from_fn(Size::new(width, height).unwrap(), |x, y| {
        let inside = |[left, top, w, h]: [u32; 4]| {
            (left..left + w).contains(&x) && (top..top + h).contains(&y)
        };
        let last = boxes.iter().rev().find(|(bounds, _)| inside(*bounds));
        [last.map_or(0, |(_, grey)| *grey); 3]
    })
}

fn bounds([x, y, width, height]: [u32; 4]) -> PixelBox {
    PixelBox {
        x,
        y,
        width,
        height,
    }
}

#[test]
fn a_grey_exactly_at_the_threshold_is_dropped() {
    // Threshold 20 percent is code 51, solid from 40 percent, code 102.
    let mut settings = Settings::default();
    settings.key = settings.key.with_threshold(20.0).unwrap();
    settings.key = settings.key.with_softness(20.0).unwrap();
    let greys = [51, 52, 53, 100, 101, 102];
    let ramp = slide(
        6,
        1,
        &[0, 1, 2, 3, 4, 5].map(|x: u32| ([x, 0, 1, 1], greys[x as usize])),
    );
    let fates = planned(&ramp, &settings, Fates::new);
    // Matte (v - 51) / 51: 0, 0.0196, 0.039, 0.961, 0.9804, 1.
    assert_eq!(
        [0, 1, 2, 3, 4, 5].map(|x| fates.at(x, 0)),
        [Dropped, Dropped, InTheRamp, InTheRamp, Solid, Solid]
    );
    settings.key = settings.key.with_softness(0.0).unwrap();
    let without_ramp = planned(&ramp, &settings, Fates::new);
    assert_eq!([0, 1].map(|x| without_ramp.at(x, 0)), [Dropped, Solid]);
    assert_eq!(fates.mask_of(Solid).area(), 2);
}

#[test]
fn the_slide_lies_where_it_is_placed_and_goes_through_the_chain() {
    let grey = slide(4, 4, &[([0, 0, 4, 4], 100)]);
    let mut settings = Settings::default();
    settings.placement.size = Some(Size::new(16, 8).unwrap());
    settings.chain = Some(Chain::new(1.0, 10.0, 0.0).unwrap());
    let raster = raster(&grey, &settings);
    assert_eq!(raster.inside(), Some(bounds([4, 0, 8, 8])));
    // 10 percent of 255 is 25.5; black beside the slide is raised too: floor(25.5 + 0.5).
    assert_eq!(raster.color(0, 0), [26; 3]);
    assert_eq!(raster.color(4, 0), [126; 3]);
    let content = Content::measure(&raster, [0.1; 3], false);
    assert_eq!(
        content.pieces(),
        [Piece {
            bounds: bounds([4, 0, 8, 8]),
            area: 64
        }]
    );
}

#[test]
fn the_composite_is_the_one_that_is_recorded() {
    let (slide, camera) = (
        slide(9, 7, &[([2, 2, 4, 4], 200)]),
        slide(9, 7, &[([0, 0, 9, 7], 80)]),
    );
    let size = Size::new(9, 7).unwrap();
    let settings = Settings::default();
    let placed = PlacedCamera::new(&camera, &settings, size);
    let keyed = KeyedOver::new(&slide, &camera, &placed, &settings);
    assert_eq!(keyed.composite()[0], [80, 80, 80, 255]);
    assert_eq!(keyed.composite()[3 * 9 + 3], [200, 200, 200, 255]);
    assert!(
        keyed
            .camera()
            .iter()
            .all(|&pixel| pixel == [80, 80, 80, 255])
    );
}

#[test]
fn pieces_within_four_pixels_are_one() {
    let two = |gap: u32| {
        let right = ([10 + 8 + gap, 5, 8, 8], 200);
        let slide = slide(64, 32, &[([10, 5, 8, 8], 200), right]);
        let raster = raster(&slide, &Settings::default());
        Content::measure(&raster, [0.0; 3], false).pieces().to_vec()
    };
    // Pixels 4 apart have 3 between them.
    assert_eq!(
        two(3),
        [Piece {
            bounds: bounds([10, 5, 19, 8]),
            area: 128
        }]
    );
    assert_eq!(two(4).len(), 2);
}

#[test]
fn content_differs_by_more_than_3_codes_and_has_16_pixels() {
    let pieces = |grey: u8, width: u32| {
        let slide = slide(64, 32, &[([8, 8, width, 3], grey)]);
        let raster = raster(&slide, &Settings::default());
        Content::measure(&raster, [0.0; 3], false).pieces().to_vec()
    };
    assert_eq!(pieces(3, 20), []);
    assert_eq!(
        pieces(4, 20),
        [Piece {
            bounds: bounds([8, 8, 20, 3]),
            area: 60
        }]
    );
    assert_eq!(pieces(200, 5), []);
    assert_eq!(pieces(200, 6).len(), 1);
}

#[test]
fn noise_of_a_lossy_file_is_not_content_but_what_stands_out_of_it_is() {
    let noisy = Frame::from_fn(Size::new(200, 100).unwrap(), |x, y| {
        let noise = (hash_at(7, x, y) % 7) as u8;
        let shape = (100..160).contains(&x) && (40..80).contains(&y);
        [10 + noise + if shape { 40 } else { 0 }; 3]
    });
    let raster = raster(&noisy, &Settings::default());
    let background = [13.0 / 255.0; 3];
    let lossy = Content::measure(&raster, background, true);
    assert!(lossy.tolerance_codes() > 3);
    assert_eq!(
        lossy.pieces(),
        [Piece {
            bounds: bounds([100, 40, 60, 40]),
            area: 2400
        }]
    );
}

#[test]
fn what_compression_leaves_beside_an_edge_is_not_content() {
    let ringing = |distance: u32| {
        let slide = slide(
            200,
            100,
            &[([50, 20, 40, 60], 255), ([90 + distance, 20, 2, 60], 20)],
        );
        let raster = raster(&slide, &Settings::default());
        Content::measure(&raster, [0.0; 3], true).pieces().to_vec()
    };
    let block = Piece {
        bounds: bounds([50, 20, 40, 60]),
        area: 2400,
    };
    assert_eq!(ringing(3), [block]);
    // 9 px away it can be no remains of that edge.
    assert_eq!(ringing(9).len(), 2);
}

#[test]
fn a_slide_of_one_pixel_and_one_of_noise_are_no_trouble() {
    let dot = slide(1, 1, &[([0, 0, 1, 1], 255)]);
    let raster_of_dot = raster(&dot, &Settings::default());
    for lossy in [false, true] {
        assert_eq!(
            Content::measure(&raster_of_dot, [0.0; 3], lossy).pieces(),
            []
        );
    }
    let noise = crate::frames::noise(Size::new(97, 61).unwrap(), 5);
    let raster = raster(&noise, &Settings::default());
    let all = Content::measure(&raster, [0.0; 3], false);
    assert_eq!(all.pieces().len(), 1);
    assert_eq!(all.pieces()[0].bounds, bounds([0, 0, 97, 61]));
}
