//! What is counted of a slide's dark end, and what a key leaves of it.

use nightglass::measure::key::histogram::{KeptShares, measure_near_black};
use nightglass::measure::slide::background::measure_background;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{CodeRange, Settings, Size};

/// A slide 100 px wide: a background, then columns of greys, each `width` px wide.
fn slide(background: u8, columns: &[(u8, u32)]) -> Frame {
    Frame::from_fn(Size::new(100, 10).unwrap(), |x, _| {
        let mut left = 20;
        for &(grey, width) in columns {
            if (left..left + width).contains(&x) {
                return [grey; 3];
            }
            left += width;
        }
        [background; 3]
    })
}

fn shares(slide: &Frame) -> Option<KeptShares> {
    let settings = Settings::default();
    let scene = Scene {
        camera: None,
        slide: Some(slide),
        background: measure_background(slide, CodeRange::Full),
        settings: &Settings {
            placement: nightglass::pixel::settings::Placement {
                size: Some(slide.size()),
                ..settings.placement
            },
            ..settings
        },
    };
    measure_near_black(&Plan::new(&scene)).kept_shares(0.06, 0.04, Ramp::Linear)
}

#[test]
fn content_is_told_by_what_becomes_of_it() {
    // Of 40 columns of content 10 are dropped (grey 10, 3.9 %), 10 in the ramp (grey 20, 7.8 %), 20 solid.
    let found = shares(&slide(0, &[(10, 10), (20, 10), (200, 20)])).unwrap();
    let expected = KeptShares {
        content_dropped: 25.0,
        content_in_the_ramp: 25.0,
        content_solid: 50.0,
        background_kept: 0.0,
    };
    assert_eq!(found, expected);
}

#[test]
fn a_grey_background_is_kept() {
    let found = shares(&slide(24, &[(200, 20)])).unwrap();
    assert_eq!((found.background_kept, found.content_solid), (100.0, 100.0));
    let white = shares(&slide(255, &[(0, 20)])).unwrap();
    assert_eq!(
        (white.background_kept, white.content_dropped),
        (100.0, 100.0)
    );
}

#[test]
fn an_empty_slide_has_no_content() {
    assert_eq!(shares(&slide(0, &[])), None);
}
