//! Colours for slides: solid under the key, and how they read over black and a bright shirt.

use nightglass::measure::check::slide_check::{SlideToCheck, check_slide};
use nightglass::measure::dark_slide::darken::{SlideToDarken, darken};
use nightglass::measure::dark_slide::palette::palette;
use nightglass::measure::limits::Limits;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::key::{luma, matte};
use nightglass::pixel::settings::{Key, Settings, Size};
use nightglass::pixel::views::MATTE_SOLID_ABOVE;

fn solid(settings: &Settings, codes: [u8; 3]) -> bool {
    let (kr, kb) = settings.key.luma.weights();
    let y = luma(codes.map(|v| f32::from(v) / 255.0), kr, kb);
    let key = &settings.key;
    matte(y, key.threshold_frac(), key.softness_frac(), key.ramp) > MATTE_SOLID_ABOVE
}

#[test]
fn every_colour_of_the_palette_is_solid_under_its_key() {
    let wide = Settings {
        key: Key::default()
            .with_threshold(30.0)
            .unwrap()
            .with_softness(20.0)
            .unwrap(),
        ..Settings::default()
    };
    for settings in [Settings::default(), wide] {
        let rows = palette(&settings);
        assert_eq!(rows.len(), 11);
        for row in rows {
            for color in [row.darkest, row.between, row.bright] {
                assert!(solid(&settings, color.codes), "{}: {color:?}", row.name);
            }
        }
    }
}

/// The limits are those of WCAG 2.2: 3 to 1 for graphics and large text, 7 to 1 for enhanced text.
#[test]
fn under_the_usual_key_one_colour_of_each_hue_reads_over_both() {
    for row in palette(&Settings::default()) {
        let between = row.between;
        assert!(
            between.over_black >= 3.0 && between.over_shirt >= 3.0,
            "{row:?}"
        );
        assert!(row.bright.over_black >= 7.0, "{row:?}");
        assert!(row.darkest.over_black <= between.over_black, "{row:?}");
    }
}

#[test]
fn the_darkest_grey_is_the_same_in_the_palette_in_advice_and_on_dark_slides() {
    let size = Size::new(640, 360).unwrap();
    let settings = Settings::default();
    let with_box = |ground: u8, grey: u8| {
        Frame::from_fn(size, |x, y| {
            let inside = (100..400).contains(&x) && (100..300).contains(&y);
            [if inside { grey } else { ground }; 3]
        })
    };
    let rows = palette(&settings);
    let [r, g, b] = rows.last().unwrap().darkest.codes;
    // Luma 6 + 4 percent is solid at a matte of 0.98, two percent more is the margin: 30.4 codes.
    assert_eq!([r, g, b], [31; 3]);
    let slide = with_box(0, 12);
    let found = check_slide(&SlideToCheck {
        slide: &slide,
        lossy: false,
        cameras: &[],
        settings: &settings,
        limits: &Limits::default(),
        reserved: &[],
        zones: &[],
    });
    let advice = &found.findings[0].advice;
    assert!(
        advice.contains(&format!("#{r:02X}{g:02X}{b:02X} or lighter")),
        "{advice}"
    );
    let dark = darken(&SlideToDarken {
        slide: &with_box(255, 254 - 5),
        lossy: false,
        settings: &settings,
        limits: &Limits::default(),
        plate: false,
    })
    .unwrap();
    let Pixels::Rgba8(pixels) = dark.frame.pixels() else {
        panic!("8-bit R'G'B'A");
    };
    let [r, g, b, _] = pixels[200 * 640 + 250];
    // A grey of 249 is a little further from the background than the darkest.
    assert!((31..=36).contains(&r) && r == g && g == b, "{r} {g} {b}");
}

#[test]
fn the_darkest_colours_keep_their_hue() {
    let rows = palette(&Settings::default());
    let red = rows.iter().find(|row| row.name == "red").unwrap().darkest;
    let blue = rows.iter().find(|row| row.name == "blue").unwrap().darkest;
    assert!(red.codes[0] > 2 * red.codes[2], "{red:?}");
    assert!(blue.codes[2] > 2 * blue.codes[0], "{blue:?}");
}
