//! What `calibrate` measures, held against chains that are known.

use nightglass::measure::test_chart::calibration::Calibration;
use nightglass::measure::test_chart::chain_finding::{ChainKind, chain_findings};
use nightglass::measure::test_chart::chain_noise::false_alarm_deviations;
use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::measure::test_chart::chart_reading::ChartReading;
use nightglass::measure::test_chart::chart_reading_error::ChartReadingError;
use nightglass::measure::test_chart::key_fit::{Dimming, KeyFit, KeyFitError};
use nightglass::measure::test_chart::keyed_curve::read_keyed_curve;
use nightglass::measure::test_chart::knob_fit::KnobFit;
use nightglass::measure::test_chart::range_mistake::Range;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, Size, Turn};

use crate::mixer::{Mixer, keyed};
use crate::simulation::{Levels, Random, Way, capture};

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

const SMALL: (u32, u32) = (960, 540);

fn small() -> Way {
    Way::clean(size(SMALL.0, SMALL.1))
}

fn measured(way: &Way) -> Calibration {
    let (frame, grid) = capture(way, &mut Random(7));
    Calibration::measure(&frame, grid.as_ref()).unwrap_or_else(|error| panic!("{error}: {way:?}"))
}

#[test]
fn a_clean_capture_has_a_chain_that_does_nothing() {
    let found = measured(&small());
    assert!((found.line.gain - 1.0).abs() < 1e-6, "{:?}", found.line);
    assert!(found.line.offset_codes.abs() < 1e-6, "{:?}", found.line);
    assert_eq!(found.range, Range::Correct);
    assert_eq!((found.crushed_steps, found.clipped_steps), (0, 0));
    assert!(found.noise.luma_codes < 1e-6, "{:?}", found.noise);
    assert!(
        found
            .edges
            .iter()
            .all(|edge| edge.lost_px < 0.01 && edge.bar_px < 0.01)
    );
    assert!(chain_findings(&found).is_empty());
}

#[test]
fn the_marks_of_range_mistakes_are_those_of_cta_861() {
    // Source: CTA-861 quantisation ranges; 255 -> 217.82 and 0 -> 29.74 for twice.
    let near = |got: (f64, f64), want: (f64, f64)| {
        assert!(
            (got.0 - want.0).abs() < 1e-5 && (got.1 - want.1).abs() < 0.005,
            "{got:?}"
        );
    };
    near(Range::Expanded.mark(), (1.16438, -18.63));
    near(Range::Compressed.mark(), (0.85882, 16.0));
    let (gain, offset) = Range::CompressedTwice.mark();
    assert!((offset - 29.74).abs() < 0.005 && (255.0 * gain + offset - 217.82).abs() < 0.005);
}

#[test]
fn every_mistake_of_range_is_named() {
    let cases = [
        (Levels::expanded(1), Range::Expanded, 17, 3),
        (Levels::expanded(2), Range::ExpandedTwice, 30, 5),
        (Levels::compressed(1), Range::Compressed, 0, 0),
        (Levels::compressed(2), Range::CompressedTwice, 0, 0),
        (Levels::Floor { code: 16.0 }, Range::BlacksClipped, 17, 0),
    ];
    for (levels, range, crushed, clipped) in cases {
        let found = measured(&Way { levels, ..small() });
        let (gain, offset_codes) = levels.truth();
        assert_eq!(found.range, range);
        assert!(
            (found.line.gain - gain).abs() < 0.005,
            "{range:?} {:?}",
            found.line
        );
        assert!(
            (found.line.offset_codes - offset_codes).abs() < 1.275,
            "{range:?} {:?}",
            found.line
        );
        assert_eq!(
            (found.crushed_steps, found.clipped_steps),
            (crushed, clipped),
            "{range:?}"
        );
        assert!(!chain_findings(&found).is_empty(), "{range:?}");
    }
}

#[test]
fn all_ways_round_are_told_apart() {
    for turn in Turn::ALL {
        for is_mirrored in [false, true] {
            let upright = size(SMALL.0, SMALL.1);
            let capture = if turn.swaps_sides() {
                upright.transposed()
            } else {
                upright
            };
            let found = measured(&Way {
                capture,
                turn,
                is_mirrored,
                ..small()
            });
            assert_eq!(
                (found.reading.turn, found.reading.is_mirrored),
                (turn, is_mirrored)
            );
            let is_told = chain_findings(&found)
                .iter()
                .any(|finding| finding.kind == ChainKind::WrongWayRound);
            assert_eq!(is_told, found.reading.is_turned_or_mirrored());
        }
    }
}

#[test]
fn each_edge_says_what_it_loses() {
    let way = Way {
        crop_px: [20.0, 5.0, 31.5, 0.0],
        is_mirrored: true,
        capture: size(800, 600),
        ..small()
    };
    let found = measured(&way);
    for (edge, lost_px) in found.edges.iter().zip(way.crop_px) {
        assert!(
            (edge.lost_px - lost_px).abs() < 0.8,
            "{edge:?} of {lost_px}"
        );
    }
    assert_eq!(found.reading.chart.size(), way.chart);
}

#[test]
fn an_edge_that_is_blanked_is_lost_as_well() {
    let mut frame = draw_chart(Chart::new(size(SMALL.0, SMALL.1)).unwrap());
    for (index, pixel) in frame.rgba8_mut().unwrap().iter_mut().enumerate() {
        if index % 960 < 12 {
            *pixel = [0, 0, 0, 255];
        }
    }
    let found = Calibration::measure(&frame, None).unwrap();
    assert!(
        (found.edges[0].lost_px - 12.0).abs() < 0.6,
        "{:?}",
        found.edges[0]
    );
}

/// A few hundred more are what `cargo run --release --example calibration_score` measures.
#[test]
fn gain_offset_and_noise_hold_through_blur_noise_and_compression() {
    let hd = size(1280, 720);
    let base = Way {
        capture: hd,
        crop_px: [18.0, 9.0, 30.0, 14.0],
        ..Way::clean(hd)
    };
    let ways = [
        Way {
            noise_codes: 2.0,
            ..base
        },
        Way {
            noise_codes: 0.7,
            levels: Levels::compressed(1),
            is_noise_coloured: true,
            ..base
        },
        Way {
            noise_codes: 4.0,
            levels: Levels::expanded(1),
            blur_px: 1.2,
            ..base
        },
        Way {
            noise_codes: 3.0,
            levels: Levels::compressed(2),
            jpeg_quality: Some(75),
            blur_px: 0.8,
            ..base
        },
        Way {
            noise_codes: 5.0,
            levels: Levels::CORRECT,
            jpeg_quality: Some(60),
            ..base
        },
        Way {
            noise_codes: 1.0,
            levels: Levels::expanded(1),
            jpeg_quality: Some(95),
            ..base
        },
    ];
    for way in ways {
        let found = measured(&way);
        let (gain, offset_codes) = way.levels.truth();
        let seen = format!("{:?} {:?} of {way:?}", found.line, found.noise);
        assert!((found.line.gain - gain).abs() < 0.005, "{seen}");
        assert!(
            (found.line.offset_codes - offset_codes).abs() < 0.005 * 255.0,
            "{seen}"
        );
        let share = found.noise.luma_codes / way.luma_noise_codes();
        assert!((share - 1.0).abs() < 0.15, "noise at {share:.3}: {seen}");
    }
}

#[test]
fn false_alarms_count_as_the_normal_distribution_says() {
    // Source: scipy.stats.norm.isf(0.05 / 2073600) = 5.4577.
    assert!((false_alarm_deviations(Size::HD) - 5.4577).abs() < 5e-5);
}

#[test]
fn what_is_no_chart_is_refused_with_what_is_missing() {
    let hd = size(640, 360);
    let flat = |code: u8| Frame::from_fn(hd, |_, _| [code; 3]);
    let refusal = |frame: &Frame| ChartReading::find(frame).unwrap_err();
    assert_eq!(
        refusal(&flat(0)),
        ChartReadingError::Even { shade: "black" }
    );
    assert_eq!(
        refusal(&flat(255)),
        ChartReadingError::Even { shade: "white" }
    );
    assert_eq!(
        refusal(&flat(120)),
        ChartReadingError::Even { shade: "grey" }
    );
    let tiny = Frame::from_fn(size(100, 60), |x, _| [(x * 2) as u8; 3]);
    assert!(matches!(refusal(&tiny), ChartReadingError::Tiny { .. }));
    let stripes = Frame::from_fn(hd, |x, y| [((x / 40 + y / 40) % 2 * 255) as u8; 3]);
    assert!(matches!(
        refusal(&stripes),
        ChartReadingError::Markers { found: 0, .. }
    ));
    let half = small();
    let half = Way {
        crop_px: [480.0, 0.0, 0.0, 0.0],
        ..half
    };
    let (frame, _) = capture(&half, &mut Random(1));
    let error = refusal(&frame);
    assert!(
        matches!(error, ChartReadingError::Markers { found: 2, .. }),
        "{error}"
    );
    assert!(
        error.to_string().contains("found 2 of 4 corner markers"),
        "{error}"
    );
    let mut without_steps = draw_chart(Chart::new(size(SMALL.0, SMALL.1)).unwrap());
    for (index, pixel) in without_steps.rgba8_mut().unwrap().iter_mut().enumerate() {
        let (x, y) = (index % 960, index / 960);
        if (200..760).contains(&x) || (145..395).contains(&y) {
            *pixel = [0, 0, 0, 255];
        }
    }
    assert_eq!(refusal(&without_steps), ChartReadingError::Steps);
}

#[test]
fn the_key_of_a_mixer_is_found_from_one_capture() {
    let noisy = Way {
        noise_codes: 2.0,
        jpeg_quality: Some(80),
        blur_px: 0.6,
        crop_px: [12.0, 5.0, 9.0, 11.0],
        ..Way::clean(size(1280, 720))
    };
    let cases = [
        (
            (6.0, 4.0, Ramp::Linear, Alpha::Straight),
            (Dimming::Colour, 1.0),
            50.0,
        ),
        (
            (12.0, 20.0, Ramp::Smooth, Alpha::Straight),
            (Dimming::Colour, 1.0),
            50.0,
        ),
        (
            (8.0, 12.0, Ramp::Linear, Alpha::Premultiplied),
            (Dimming::Colour, 1.0),
            40.0,
        ),
        (
            (10.0, 9.0, Ramp::Linear, Alpha::Straight),
            (Dimming::Matte, 0.8),
            50.0,
        ),
        (
            (25.0, 15.0, Ramp::Linear, Alpha::Straight),
            (Dimming::Colour, 0.85),
            30.0,
        ),
    ];
    for (key, dimming, over) in cases {
        let mixer = Mixer {
            threshold: key.0,
            softness: key.1,
            ramp: key.2,
            alpha: key.3,
            dimming: dimming.0,
            left: dimming.1,
            over,
        };
        let (frame, _) = keyed(&noisy, &mixer, &mut Random(3));
        let points =
            read_keyed_curve(&frame, None).unwrap_or_else(|error| panic!("{error} {key:?}"));
        let fit = KeyFit::find(&points, over).unwrap();
        assert!(
            (fit.threshold_percent - key.0).abs() < 0.5,
            "{fit:?} of {key:?}"
        );
        assert!(
            (fit.softness_percent - key.1).abs() < 0.5,
            "{fit:?} of {key:?}"
        );
        assert_eq!((fit.ramp, fit.alpha), (key.2, key.3), "{fit:?}");
        assert!(
            (fit.dimming_factor - dimming.1).abs() < 0.01,
            "{fit:?} of {dimming:?}"
        );
        if dimming.1 < 1.0 {
            assert_eq!(fit.dimming, dimming.0, "{fit:?}");
        }
        // Only where the grey behind is as dark as what the ramp lets through, its shape cannot be told.
        assert!(!fit.is_uncertain() || !fit.is_ramp_certain, "{fit:?}");
    }
}

#[test]
fn a_premultiplied_key_is_found_where_the_chain_raises_black() {
    let way = Way {
        levels: Levels::compressed(1),
        ..Way::clean(size(1280, 720))
    };
    let mixer = Mixer {
        threshold: 14.0,
        softness: 10.0,
        ramp: Ramp::Linear,
        alpha: Alpha::Premultiplied,
        dimming: Dimming::Colour,
        left: 1.0,
        over: 35.0,
    };
    let (frame, _) = keyed(&way, &mixer, &mut Random(3));
    // Source: CTA-861, 219 / 255 and 16 / 255.
    let chain = Chain::new(219.0 / 255.0, 1600.0 / 255.0, 0.0).unwrap();
    let points = read_keyed_curve(&frame, Some(chain)).unwrap();
    let fit = KeyFit::find(&points, mixer.over).unwrap();
    assert!((fit.threshold_percent - 14.0).abs() < 0.5, "{fit:?}");
    assert!((fit.softness_percent - 10.0).abs() < 0.5, "{fit:?}");
    assert_eq!(fit.alpha, Alpha::Premultiplied, "{fit:?}");
}

#[test]
fn a_chart_over_a_bright_grey_is_found_and_a_narrow_ramp_is_called_uncertain() {
    let way = Way {
        noise_codes: 1.0,
        jpeg_quality: Some(80),
        ..Way::clean(size(1280, 720))
    };
    let mixer = Mixer {
        threshold: 25.0,
        softness: 6.5,
        ramp: Ramp::Smooth,
        alpha: Alpha::Straight,
        dimming: Dimming::Colour,
        left: 1.0,
        over: 37.0,
    };
    let found = |mixer: &Mixer| {
        let (frame, _) = keyed(&way, mixer, &mut Random(3));
        KeyFit::find(&read_keyed_curve(&frame, None).unwrap(), mixer.over).unwrap()
    };
    let narrow = found(&mixer);
    let off = (narrow.threshold_percent - mixer.threshold).abs();
    assert!(off <= 0.5 || narrow.is_uncertain(), "{narrow:?}");
    assert!(
        off <= narrow.threshold_margin_percent.max(0.1),
        "{narrow:?}"
    );
    assert!(!narrow.is_ramp_certain, "{narrow:?}");
    let wide = found(&Mixer {
        threshold: 12.0,
        softness: 18.0,
        over: 58.0,
        ..mixer
    });
    assert!(wide.is_ramp_certain && !wide.is_uncertain(), "{wide:?}");
    assert_eq!(wide.ramp, Ramp::Smooth, "{wide:?}");
    assert!((wide.threshold_percent - 12.0).abs() < 0.5, "{wide:?}");
    assert!((wide.softness_percent - 18.0).abs() < 0.5, "{wide:?}");
}

#[test]
fn a_chart_that_is_not_keyed_gives_no_key() {
    let (frame, _) = capture(&small(), &mut Random(1));
    let points = read_keyed_curve(&frame, None).unwrap();
    assert!(matches!(
        KeyFit::find(&points, 50.0),
        Err(KeyFitError::NotOver { .. })
    ));
    assert!(matches!(
        KeyFit::find(&points, 99.0),
        Err(KeyFitError::Over { .. })
    ));
}

#[test]
fn knob_positions_give_the_scale() {
    let fit = KnobFit::find("threshold", &[(12.0, 7.7), (20.0, 10.9), (30.0, 14.9)]).unwrap();
    let scale = fit.scale.unwrap();
    assert!(
        (scale.zero_percent() - 2.9).abs() < 1e-9 && (scale.per_step_percent() - 0.4).abs() < 1e-9
    );
    for position in [0.0, 40.0] {
        let points = [(position, 8.0), (position, 8.5)];
        let still = KnobFit::find("softness", &points).unwrap();
        assert_eq!((still.scale, still.miss_percent), (None, 0.5));
    }
    assert!(KnobFit::find("threshold", &[(10.0, 5.0), (20.0, 5.0)]).is_err());
}
