//! Colours of a light slide turned dark.

use nightglass::measure::dark_slide::dark_color::{DarkColors, Turn, lightness, solid_luma};
use nightglass::pixel::chain::Chain;
use nightglass::pixel::key::{luma, matte};
use nightglass::pixel::settings::{Key, Settings};
use nightglass::pixel::views::MATTE_SOLID_ABOVE;

fn codes(rgb: [u8; 3]) -> [f32; 3] {
    rgb.map(|v| f32::from(v) / 255.0)
}

/// Source: CIE 15, computed for sRGB greys as printed in the published pairs of code and L*.
#[test]
fn lightness_is_that_of_cie() {
    for (code, expected) in [
        (0, 0.0),
        (16, 4.6804),
        (32, 12.25),
        (64, 27.0934),
        (119, 50.0344),
        (128, 53.585),
        (186, 75.5148),
        (255, 100.0),
    ] {
        let got = lightness(codes([code; 3]));
        assert!((got - expected).abs() < 2e-3, "code {code}: {got}");
    }
}

#[test]
fn black_on_white_becomes_white_on_black() {
    let settings = Settings::default();
    let colors = DarkColors::new(&settings, Turn::Reverse { background: 100.0 });
    let white = colors.turned([0.0; 3]);
    assert!(white.iter().all(|v| *v > 0.999), "{white:?}");
}

#[test]
fn every_turned_colour_is_solid_and_keeps_its_order() {
    let with_chain = Settings {
        chain: Some(Chain::new(0.859, 6.3, 0.4).unwrap()),
        ..Settings::default()
    };
    let wide = Settings {
        key: Key::default()
            .with_threshold(15.0)
            .unwrap()
            .with_softness(20.0)
            .unwrap(),
        ..Settings::default()
    };
    for settings in [Settings::default(), with_chain, wide] {
        let colors = DarkColors::new(&settings, Turn::Reverse { background: 100.0 });
        let (kr, kb) = settings.key.luma.weights();
        let (gain, offset) = settings
            .chain
            .map_or((1.0, 0.0), |c| c.gain_and_offset_frac());
        for r in (0..=255).step_by(51) {
            for g in (0..=255).step_by(51) {
                for b in (0..=255).step_by(51) {
                    let turned = colors.turned(codes([r, g, b]));
                    let y = luma(turned, kr, kb) * gain + offset;
                    let key = &settings.key;
                    let m = matte(y, key.threshold_frac(), key.softness_frac(), key.ramp);
                    assert!(m > MATTE_SOLID_ABOVE, "{r} {g} {b}: {turned:?} has {m}");
                }
            }
        }
        let mut last = -1.0;
        for grey in (0..=250_u8).rev() {
            let now = lightness(colors.turned(codes([grey; 3])));
            assert!(now >= last - 0.05, "grey {grey}: {now} after {last}");
            last = now;
        }
    }
}

#[test]
fn hue_is_kept() {
    use palette::{FromColor, Oklch, Srgb};
    let colors = DarkColors::new(&Settings::default(), Turn::Reverse { background: 100.0 });
    for rgb in [[0, 0, 255], [160, 20, 20], [0, 110, 60], [200, 120, 0]] {
        let before = codes(rgb);
        let after = colors.turned(before);
        let hue = |[r, g, b]: [f32; 3]| {
            Oklch::from_color(Srgb::new(r, g, b))
                .hue
                .into_positive_degrees()
        };
        let turned_by = (hue(before) - hue(after)).abs();
        assert!(turned_by.min(360.0 - turned_by) < 2.0, "{rgb:?}: {after:?}");
    }
}

#[test]
fn a_hard_step_needs_the_least_luma() {
    let hard = Settings {
        key: Key::default().with_softness(0.0).unwrap(),
        ..Settings::default()
    };
    assert!((solid_luma(&hard) - 0.08).abs() < 1e-3);
    let soft = solid_luma(&Settings::default());
    assert!((soft - (0.06 + 0.98 * 0.04 + 0.02)).abs() < 1e-3, "{soft}");
}
