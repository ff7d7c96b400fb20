//! Contrast against the figures that W3C prints.

use nightglass::measure::contrast::{contrast_of_codes, relative_luminance};
use nightglass::pixel::guide_drawing::BACKING_OPACITY;
use nightglass::pixel::guides::Guide;

/// Red, green and blue of a hexadecimal number.
fn codes(hex: u32) -> [u8; 3] {
    let [_, r, g, b] = hex.to_be_bytes();
    [r, g, b]
}

#[test]
fn contrast_is_what_w3c_prints() {
    // W3C wcag repository, techniques G183, G195, G207, G223 and Understanding 1.4.11. Some of the
    // printed figures are cut off, one is rounded up, so they hold to a tenth; #DEDEDE is printed as 15.
    let printed = [
        (0xE3_660E, 0xFF_FFFF, 3.4, 0.1),
        (0xFF_3838, 0xFF_FFFF, 3.6, 0.1),
        (0xCA_0000, 0xFF_FFFF, 6.0, 0.1),
        (0x33_66CC, 0x00_0000, 3.9, 0.1),
        (0xFF_F000, 0xFF_FFFF, 1.2, 0.1),
        (0xCC_CCCC, 0xFF_FFFF, 1.6, 0.1),
        (0xAA_AAAA, 0xFF_FFFF, 2.3, 0.1),
        (0x6E_747B, 0xFF_FFFF, 4.7, 0.1),
        (0x9D_9D9D, 0xFF_FFFF, 2.7, 0.1),
        (0x94_9494, 0xFF_FFFF, 3.0, 0.1),
        (0xDE_DEDE, 0x00_0000, 15.0, 0.7),
        (0xE5_E5E5, 0x62_21EA, 5.6, 0.1),
    ];
    for (a, b, expected, tolerance) in printed {
        let ratio = contrast_of_codes(codes(a), codes(b));
        assert!(
            (ratio - expected).abs() < tolerance,
            "#{a:06X} and #{b:06X}: {ratio}, printed {expected}"
        );
    }
    // Often quoted to two digits: #777777 4.48 and #767676 4.54 on white, blue 8.59 on white, 2.15 on red.
    let quoted = [
        (0x77_7777, 0xFF_FFFF, 4.48),
        (0x76_7676, 0xFF_FFFF, 4.54),
        (0x00_00FF, 0xFF_FFFF, 8.59),
        (0x00_00FF, 0xFF_0000, 2.15),
    ];
    for (a, b, expected) in quoted {
        let ratio = contrast_of_codes(codes(a), codes(b));
        assert!((ratio - expected).abs() < 0.005, "#{a:06X}: {ratio}");
    }
}

#[test]
fn contrast_goes_from_1_to_21_whichever_comes_first() {
    let (black, white) = ([0; 3], [255; 3]);
    assert!((contrast_of_codes(black, white) - 21.0).abs() < 1e-5);
    assert_eq!(
        contrast_of_codes(black, white),
        contrast_of_codes(white, black)
    );
    assert_eq!(contrast_of_codes(white, white), 1.0);
    // IEC 61966-2-1: code 188 has 0.502886458 of white's light.
    assert!((relative_luminance([188; 3]) - 0.502_886_458).abs() < 1e-6);
}

#[test]
fn labels_of_guides_are_readable_over_white() {
    // What the backing leaves of white, the brightest that may be behind a label.
    let behind = (255.0 * (1.0 - BACKING_OPACITY)).ceil() as u8;
    for guide in Guide::ALL {
        let ratio = contrast_of_codes(guide.color_u8(), [behind; 3]);
        assert!(ratio >= 4.5, "{}: {ratio:.2}", guide.label());
    }
}
