//! Colours for slides: solid under the key, and how they read over black and a bright shirt.

use nightglass::measure::palette::palette;
use nightglass::pixel::key::{luma, matte};
use nightglass::pixel::settings::{Key, Settings};
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
fn the_darkest_colours_keep_their_hue() {
    let rows = palette(&Settings::default());
    let red = rows.iter().find(|row| row.name == "red").unwrap().darkest;
    let blue = rows.iter().find(|row| row.name == "blue").unwrap().darkest;
    assert!(red.codes[0] > 2 * red.codes[2], "{red:?}");
    assert!(blue.codes[2] > 2 * blue.codes[0], "{blue:?}");
}
