//! What must hold for every slide, camera and key.

use nightglass::pixel::composite::blend;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::{Luma, Ramp, luma, matte};
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::reference;
use nightglass::pixel::settings::{Alpha, BlendSpace, Key, Settings, SettingsError, Size};
use nightglass::pixel::views::{Background, View, is_content};
use proptest::prelude::*;

const ALL_LUMA: [Luma; 3] = [Luma::Bt709, Luma::Bt601, Luma::Bt2020];

fn frame(width: u32, height: u32, seed: u32) -> Frame {
    Frame::from_fn(Size::new(width, height).unwrap(), |x, y| {
        let mixed = (x.wrapping_mul(0x9E37_79B9) ^ y.wrapping_mul(0x85EB_CA6B) ^ seed)
            .wrapping_mul(0xC2B2_AE35);
        [mixed as u8, (mixed >> 8) as u8, (mixed >> 16) as u8]
    })
}

#[test]
fn a_grey_exactly_at_the_threshold_is_dropped_under_all_weights() {
    for code in 0..=255_u32 {
        let grey = code as f32 / 255.0;
        for weights in ALL_LUMA {
            let (kr, kb) = weights.weights();
            let y = luma([grey; 3], kr, kb);
            assert_eq!(
                y.to_bits(),
                grey.to_bits(),
                "luma of grey {code} is not exact"
            );
            for softness in [0.0, 0.0001, 0.04, 1.0] {
                for ramp in [Ramp::Linear, Ramp::Smooth] {
                    assert_eq!(
                        matte(y, grey, softness, ramp),
                        0.0,
                        "grey {code}, {softness}"
                    );
                }
            }
        }
    }
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "what an adapter does that fuses is the question"
)]
fn codes_over_a_power_of_two_and_a_step_more_are_exact_fractions_fused_or_not() {
    for (largest, step) in [(255_u32, 1.0 / 255.0_f32), (65_535, 1.0 / 65_535.0)] {
        for code in 0..=largest {
            let x = code as f32 / (largest + 1) as f32;
            let exact = code as f32 / largest as f32;
            assert_eq!(x + x * step, exact, "{code} of {largest}");
            assert_eq!(x.mul_add(step, x), exact, "{code} of {largest}, fused");
        }
    }
}

#[test]
fn three_codes_off_the_background_is_no_content_and_four_are() {
    for code in 0..=255_u8 {
        let background = [f32::from(code) / 255.0; 3];
        let off = |codes: u8| [f32::from(code.wrapping_add(codes)) / 255.0; 3];
        let content = |codes| is_content(off(codes), background, Background::TOLERANCE);
        if code <= 255 - 3 {
            assert!(!content(3), "{code}");
        }
        if code <= 255 - 4 {
            assert!(content(4), "{code}");
        }
    }
}

#[test]
fn in_linear_light_what_is_dropped_or_solid_stays_itself() {
    let (slide, camera) = ([0.1, 0.7, 0.33], [0.9, 0.2, 0.51]);
    let linear = BlendSpace::Linear;
    assert_eq!(blend(0.0, slide, camera, Alpha::Straight, linear), camera);
    for alpha in [Alpha::Straight, Alpha::Premultiplied] {
        assert_eq!(blend(1.0, slide, camera, alpha, linear), slide);
    }
}

#[test]
fn softness_zero_is_a_hard_step() {
    let t = 0.06;
    assert_eq!(matte(t, t, 0.0, Ramp::Linear), 0.0);
    assert_eq!(matte(t.next_up(), t, 0.0, Ramp::Linear), 1.0);
    assert_eq!(matte(0.0, 0.0, 0.0, Ramp::Smooth), 0.0);
}

#[test]
fn at_threshold_plus_softness_the_slide_is_solid() {
    for ramp in [Ramp::Linear, Ramp::Smooth] {
        assert_eq!(matte(0.25 + 0.5, 0.25, 0.5, ramp), 1.0);
    }
}

#[test]
fn values_out_of_range_are_refused() {
    let key = Key::default();
    for bad in [-0.1, 100.1, f64::NAN, f64::INFINITY] {
        assert!(
            matches!(
                key.with_threshold(bad),
                Err(SettingsError::Threshold { .. })
            ),
            "{bad}"
        );
    }
    for bad in [-1.0, 0.005, 100.5, f64::NAN] {
        assert!(
            matches!(key.with_softness(bad), Err(SettingsError::Softness { .. })),
            "{bad}"
        );
    }
    assert!(key.with_softness(0.01).is_ok() && key.with_softness(0.0).is_ok());
    assert!(Size::new(16_385, 1).is_err() && Size::new(0, 1).is_err());
}

fn view(camera: &Frame, slide: &Frame, settings: &Settings) -> Frame {
    reference::compose(&Plan::new(&Scene {
        camera: Some(camera),
        slide: Some(slide),
        background: Background::BLACK,
        settings,
    }))
}

#[test]
fn mirroring_twice_is_identity() {
    let (camera, slide) = (frame(37, 23, 1), frame(37, 23, 2));
    for view_shown in [View::Camera, View::Slide] {
        let mut settings = Settings {
            view: view_shown,
            ..Settings::default()
        };
        let plain = view(&camera, &slide, &settings);
        settings.placement.mirror_camera = true;
        settings.placement.mirror_slide = true;
        let once = view(&camera, &slide, &settings);
        assert_ne!(once, plain, "mirroring does nothing to {view_shown:?}");
        let twice = view(&once, &once, &settings);
        assert_eq!(twice, plain, "{view_shown:?}");
    }
}

#[test]
fn four_quarter_turns_are_identity() {
    let camera = frame(37, 23, 3);
    let mut settings = Settings {
        view: View::Camera,
        ..Settings::default()
    };
    settings.placement.turn_camera = nightglass::pixel::settings::Turn::Quarter;
    let mut turned = camera.clone();
    for quarter in 1..=4 {
        turned = view(&turned, &camera, &settings);
        assert_eq!(
            turned.size().width(),
            if quarter % 2 == 1 { 23 } else { 37 }
        );
    }
    assert_eq!(turned, camera);
}

#[test]
fn a_clockwise_turn_brings_the_left_edge_to_the_top() {
    let camera = Frame::from_fn(Size::new(3, 2).unwrap(), |x, y| [(10 * x + y) as u8, 0, 0]);
    let mut settings = Settings {
        view: View::Camera,
        ..Settings::default()
    };
    settings.placement.turn_camera = nightglass::pixel::settings::Turn::Quarter;
    let turned = view(&camera, &camera, &settings);
    let expected = Frame::from_fn(Size::new(2, 3).unwrap(), |x, y| {
        [(10 * y + (1 - x)) as u8, 0, 0]
    });
    assert_eq!(turned, expected);
}

proptest! {
    #[test]
    fn straight_output_lies_between_slide_and_camera(
        m in 0.0_f32..=1.0,
        s in prop::array::uniform3(0.0_f32..=1.0),
        c in prop::array::uniform3(0.0_f32..=1.0),
        linear in any::<bool>(),
    ) {
        let space = if linear { BlendSpace::Linear } else { BlendSpace::Encoded };
        let out = blend(m, s, c, Alpha::Straight, space);
        for i in 0..3 {
            let (low, high) = (s[i].min(c[i]), s[i].max(c[i]));
            // The curve there and back costs a few units in the last place.
            let slack = 4e-6;
            prop_assert!(out[i] >= low - slack && out[i] <= high + slack, "{out:?}");
        }
    }

    #[test]
    fn matte_never_falls_as_luma_rises(
        a in 0.0_f32..=1.0,
        b in 0.0_f32..=1.0,
        t in 0.0_f32..=1.0,
        s in 0.0001_f32..=1.0,
        smooth in any::<bool>(),
    ) {
        let ramp = if smooth { Ramp::Smooth } else { Ramp::Linear };
        let (low, high) = (a.min(b), a.max(b));
        let (m_low, m_high) = (matte(low, t, s, ramp), matte(high, t, s, ramp));
        // The cubic's last step may round down by a unit in the last place.
        prop_assert!(m_low <= m_high + f32::EPSILON, "{m_low} {m_high}");
        prop_assert!((0.0..=1.0).contains(&m_low));
    }

    #[test]
    fn premultiplied_output_is_never_darker_than_the_slide(
        m in 0.0_f32..=1.0,
        s in prop::array::uniform3(0.0_f32..=1.0),
        c in prop::array::uniform3(0.0_f32..=1.0),
    ) {
        let out = blend(m, s, c, Alpha::Premultiplied, BlendSpace::Encoded);
        for i in 0..3 {
            prop_assert!(out[i] >= s[i] && out[i] <= 1.0);
        }
    }
}
