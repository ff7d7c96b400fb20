//! The key for a whole deck, chosen from levels that are known.

use nightglass::measure::key::key_suggestion::{
    FALSE_ALARMS_PER_FRAME, KeySuggestion, KeyTerms, LevelPlace, suggest_key,
};
use nightglass::measure::key::slide_levels::{ContentFloor, SlideLevels};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::statistics::level_counts::{Level, LevelCounts};
use nightglass::measure::statistics::noise_ceiling::{noise_ceiling, upper_tail};
use nightglass::pixel::key::{Ramp, matte};
use nightglass::pixel::settings::{Alpha, Key};
use proptest::prelude::*;

/// Pixels of 1920 x 1080.
const HD_PX: u32 = 1920 * 1080;

fn terms() -> KeyTerms {
    KeyTerms {
        current: Key::default(),
        noise_percent: 0.0,
        false_alarms: FALSE_ALARMS_PER_FRAME,
        not_dark_percent: 25.0,
        haze_percent: 1.0,
    }
}

/// The level of a grey with this 8-bit code.
fn code(code: u8) -> Level {
    Level::at_or_over(f32::from(code) / 255.0)
}

fn percent(code: u8) -> f64 {
    100.0 * f64::from(code) / 255.0
}

fn bounds(x: u32, y: u32) -> PixelBox {
    PixelBox {
        x,
        y,
        width: 40,
        height: 20,
    }
}

/// A slide of 1920 x 1080 with backgrounds and content of these levels and numbers of pixels.
fn slide(background: &[(Level, u32)], content: &[(Level, u32)]) -> SlideLevels {
    let whole = PixelBox {
        x: 0,
        y: 0,
        width: 1920,
        height: 1080,
    };
    let main = background.iter().max_by_key(|(_, pixels)| *pixels);
    let mut pieces: Vec<ContentFloor> = (0..)
        .zip(content)
        .map(|(i, &(floor, _))| ContentFloor {
            bounds: bounds(100 * i, 10),
            floor,
            color: [floor.index() as u8; 3],
        })
        .collect();
    pieces.sort_by_key(|piece| piece.floor);
    let mut background_places: Vec<_> = background
        .iter()
        .map(|&(level, _)| (level, whole))
        .collect();
    background_places.sort_by_key(|(level, _)| *level);
    SlideLevels {
        background_percent: main.map_or(0.0, |(level, _)| level.percent()),
        background: background.iter().copied().collect(),
        background_places,
        content: content.iter().copied().collect(),
        pieces,
        output_px: u64::from(HD_PX),
    }
}

fn matte_of(key: &Key, percent: f64) -> f32 {
    let luma = (percent / 100.0) as f32;
    matte(luma, key.threshold_frac(), key.softness_frac(), key.ramp)
}

#[test]
fn tails_of_the_normal_distribution_are_as_published() {
    // Source: standard values, computed with scipy.stats.norm.sf.
    for (k, tail) in [
        (3.0, 1.349_898e-3),
        (4.0, 3.167_124e-5),
        (5.0, 2.866_516e-7),
        (6.0, 9.865_876e-10),
    ] {
        assert!((upper_tail(k) / tail - 1.0).abs() < 1e-6, "{k}");
    }
}

#[test]
fn the_ceiling_of_a_noisy_flat_frame_has_the_published_factor() {
    // Source: scipy.stats.norm.isf(expected / 2,073,600).
    let flat: LevelCounts = [(code(20), HD_PX)].into_iter().collect();
    for (expected, k) in [(1.0, 4.8987), (0.05, 5.4577), (0.01, 5.7369)] {
        for noise in [0.1, 0.5, 1.25] {
            let ceiling = noise_ceiling(&flat, noise, expected).unwrap();
            let found = (ceiling - percent(20)) / noise;
            assert!(
                (found - k).abs() < 6e-5,
                "{expected} pixels, {noise}: {found}"
            );
        }
    }
}

#[test]
fn a_few_brighter_pixels_widen_the_ceiling_by_what_they_are_expected_to_add() {
    // A thousand pixels of code 30 in a frame of code 20: only they come near the ceiling, so the
    // factor is the one for a thousand. Source: scipy.stats.norm.isf(0.01 / 1000) = 4.2649.
    let counts: LevelCounts = [(code(20), HD_PX - 1000), (code(30), 1000)]
        .into_iter()
        .collect();
    let ceiling = noise_ceiling(&counts, 0.2, 0.01).unwrap();
    assert!(
        ((ceiling - percent(30)) / 0.2 - 4.2649).abs() < 1e-4,
        "{ceiling}"
    );
}

#[test]
fn a_speck_of_15_pixels_is_no_background_and_16_are() {
    let with = |pixels: u32| -> LevelCounts {
        [(code(10), HD_PX), (code(40), pixels)]
            .into_iter()
            .collect()
    };
    assert_eq!(noise_ceiling(&with(15), 0.0, 0.01), Some(percent(10)));
    assert_eq!(noise_ceiling(&with(16), 0.0, 0.01), Some(percent(40)));
    assert_eq!(noise_ceiling(&LevelCounts::default(), 0.0, 0.01), None);
}

#[test]
fn levels_round_away_from_the_key_and_greys_are_exact() {
    for v in 0..=255_u8 {
        let luma = f32::from(v) / 255.0;
        assert_eq!(Level::at_or_over(luma), Level::at_or_under(luma), "{v}");
        assert_eq!(Level::at_or_over(luma).index(), 16 * usize::from(v));
    }
    // Blue, 7.22 percent: 294.576 levels.
    assert_eq!(Level::at_or_over(0.0722).index(), 295);
    assert_eq!(Level::at_or_under(0.0722).index(), 294);
}

#[test]
fn planted_levels_are_found_and_the_gap_is_shared_as_said() {
    let deck = [
        slide(
            &[(code(0), 2_000_000)],
            &[(code(200), 5000), (code(51), 400)],
        ),
        slide(&[(code(12), 2_000_000)], &[(code(90), 5000)]),
        slide(&[], &[(code(250), 5000)]),
    ];
    let found = suggest_key(&deck, &terms());
    let ceiling = found.ceiling.unwrap();
    let floor = found.floor.unwrap();
    assert_eq!((ceiling.slide, ceiling.percent), (1, percent(12)));
    assert_eq!((floor.slide, floor.percent), (0, percent(51)));
    assert_eq!(floor.bounds, Some(bounds(100, 10)));
    assert!(found.is_clean());
    // The gap is 15.29: a quarter is 3.82, half is 7.65; in tenths 4.71 + 3.82 = 8.5 and 7.6.
    assert_eq!(found.key.threshold_percent(), 8.5);
    assert_eq!(found.key.softness_percent(), 7.6);
    assert_eq!(found.cost.content_lost_percent, 0.0);
    assert_eq!(found.cost.haze_percent, 0.0);
    // The current key, 6 and 4, costs the deck nothing either.
    assert_eq!(found.current_cost, found.cost);
}

#[test]
fn a_wide_gap_leaves_the_rest_above_the_ramp() {
    let found = suggest_key(&[slide(&[(code(0), 100)], &[(code(255), 100)])], &terms());
    assert_eq!(found.key.threshold_percent(), 4.0);
    assert_eq!(found.key.softness_percent(), 8.0);
    assert_eq!(found.margin_below(), Some(4.0));
    assert_eq!(found.margin_above(), Some(88.0));
}

#[test]
fn noise_raises_the_threshold_and_can_close_the_gap() {
    let deck = [slide(&[(code(5), HD_PX)], &[(code(20), 500)])];
    let with = |noise_percent| {
        suggest_key(
            &deck,
            &KeyTerms {
                noise_percent,
                ..terms()
            },
        )
    };
    let (quiet, noisy, too_noisy) = (with(0.0), with(0.5), with(1.1));
    assert!(noisy.key.threshold_percent() > quiet.key.threshold_percent() + 1.0);
    assert!(noisy.is_clean());
    // 1.96 + 5.7369 x 1.1 is over 7.84.
    let conflict = too_noisy.conflict.unwrap();
    assert_eq!(conflict.backgrounds.len(), 1);
    assert_eq!(conflict.contents.len(), 1);
}

/// Places without the slide's index, which follows the order of the deck.
fn place(p: &LevelPlace) -> (Option<PixelBox>, u64) {
    (p.bounds, p.percent.to_bits())
}

/// What does not depend on the order of the slides.
fn essence(found: &KeySuggestion) -> impl PartialEq + std::fmt::Debug + use<> {
    (
        found.key,
        found.cost,
        found.current_cost,
        // Two slides may have the same ceiling or floor; which of them is named follows the order.
        found.ceiling.map(|place| place.percent),
        found.floor.map(|place| place.percent),
        found.near_black.clone(),
        found.conflict.as_ref().map(|conflict| {
            let sorted = |places: &[LevelPlace]| {
                let mut places: Vec<_> = places.iter().map(place).collect();
                places.sort_by_key(|(bounds, percent)| (*percent, *bounds));
                places
            };
            (sorted(&conflict.backgrounds), sorted(&conflict.contents))
        }),
    )
}

#[test]
fn a_conflict_names_both_sides_and_gives_up_what_costs_least() {
    // A grey background under half the screen against a small blue caption.
    let grey = slide(&[(code(25), HD_PX)], &[(code(220), 20_000)]);
    let caption = slide(
        &[(code(0), HD_PX - 900)],
        &[(code(18), 300), (code(230), 60_000)],
    );
    let clean = slide(&[(code(0), HD_PX)], &[(code(230), 60_000)]);
    let deck = [clean, caption, grey];
    let found = suggest_key(&deck, &terms());
    let conflict = found.conflict.clone().unwrap();
    assert_eq!(conflict.backgrounds.len(), 1);
    assert_eq!(conflict.backgrounds[0].slide, 2);
    assert_eq!(conflict.backgrounds[0].bounds.unwrap().width, 1920);
    assert_eq!(conflict.contents.len(), 1);
    assert_eq!(conflict.contents[0].slide, 1);
    assert_eq!(conflict.contents[0].bounds, Some(bounds(0, 10)));
    assert!(!found.is_clean());
    // Haze of a third of 9.8 percent outweighs a third of 0.5 percent of the content.
    assert!(matte_of(&found.key, percent(25)) < 0.02, "{:?}", found.key);
    assert!(matte_of(&found.key, percent(220)) > 0.98);
    assert!((found.cost.content_lost_percent - 100.0 * 300.0 / 60_300.0 / 3.0).abs() < 1e-3);
    assert!(found.cost.haze_percent < 0.01);
}

#[test]
fn content_that_matters_more_than_a_little_haze_stays() {
    let grey = slide(
        &[(code(0), HD_PX - 20_000), (code(20), 20_000)],
        &[(code(220), 20_000)],
    );
    let blue = slide(&[(code(0), HD_PX)], &[(code(18), 40_000)]);
    let found = suggest_key(&[grey, blue], &terms());
    assert!(found.conflict.is_some());
    assert!(matte_of(&found.key, percent(18)) > 0.98, "{:?}", found.key);
    assert!(matte_of(&found.key, 0.0) < 0.02);
    // 20,000 of 2,073,600 pixels at 7.84 percent, half the slides.
    let haze = percent(20) * 20_000.0 / f64::from(HD_PX) / 2.0;
    assert!((found.cost.haze_percent - haze).abs() < 1e-6);
    assert!(found.cost.content_lost_percent < 0.1);
}

#[test]
fn a_white_slide_is_named_and_does_not_count() {
    let white = slide(&[(code(255), HD_PX)], &[(code(30), 20_000)]);
    let dark = slide(&[(code(0), HD_PX)], &[(code(102), 20_000)]);
    let found = suggest_key(&[white.clone(), dark], &terms());
    assert_eq!(found.not_dark.len(), 1);
    assert_eq!(
        (found.not_dark[0].slide, found.not_dark[0].percent),
        (0, 100.0)
    );
    assert_eq!(found.floor.unwrap().percent, percent(102));
    assert!(found.conflict.is_none() && !found.is_clean());
    // Of a deck that is all white nothing can be said, and the key stays.
    let found = suggest_key(&[white], &terms());
    assert_eq!(found.key, Key::default());
}

#[test]
fn a_premultiplied_slide_adds_its_background_whatever_the_key() {
    let deck = [slide(&[(code(10), HD_PX)], &[(code(200), 500)])];
    let straight = suggest_key(&deck, &terms());
    let mut current = Key::default();
    current.alpha = Alpha::Premultiplied;
    let premultiplied = suggest_key(&deck, &KeyTerms { current, ..terms() });
    assert_eq!(straight.cost.haze_percent, 0.0);
    assert!((premultiplied.cost.haze_percent - percent(10)).abs() < 1e-6);
}

fn any_slide() -> impl Strategy<Value = SlideLevels> {
    let levels = |range: std::ops::Range<u8>, pixels: std::ops::Range<u32>| {
        prop::collection::vec((range, pixels), 0..5).prop_map(|list| {
            list.into_iter()
                .map(|(c, n)| (code(c), n))
                .collect::<Vec<_>>()
        })
    };
    (levels(0..40, 16..2_000_000), levels(8..255, 16..100_000))
        .prop_map(|(background, content)| slide(&background, &content))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn the_order_of_the_slides_does_not_matter(
        deck in prop::collection::vec(any_slide(), 1..4),
        noise_percent in prop_oneof![Just(0.0), 0.01..1.0],
    ) {
        let terms = KeyTerms { noise_percent, ..terms() };
        let forward = suggest_key(&deck, &terms);
        let mut turned = deck.clone();
        turned.reverse();
        prop_assert_eq!(essence(&forward), essence(&suggest_key(&turned, &terms)));
    }

    #[test]
    fn where_there_is_a_gap_every_background_is_dropped_and_all_content_is_solid(
        low in 0..120_u8, gap in 1..130_u8, noise_percent in prop_oneof![Just(0.0), 0.01..0.5], smooth: bool,
    ) {
        let high = low + gap;
        let mut current = Key::default();
        current.ramp = if smooth { Ramp::Smooth } else { Ramp::Linear };
        let terms = KeyTerms { noise_percent, current, not_dark_percent: 100.0, ..terms() };
        let deck = [slide(&[(code(low), HD_PX)], &[(code(high), 900)])];
        let found = suggest_key(&deck, &terms);
        prop_assume!(found.conflict.is_none());
        let key = &found.key;
        let ceiling = found.ceiling.unwrap().percent;
        prop_assert!(key.threshold_percent() >= ceiling);
        prop_assert!(key.threshold_percent() + key.softness_percent() <= percent(high));
        prop_assert!(found.margin_below().unwrap() > 0.0 && found.margin_above().unwrap() > 0.0);
        prop_assert_eq!(matte_of(key, ceiling), 0.0);
        prop_assert_eq!(matte_of(key, percent(low)), 0.0);
        prop_assert!(matte_of(key, percent(high)) > 0.999);
    }
}
