//! Values printed in standards and papers. Each check names its source.

use nightglass::pixel::color::{expand_video, srgb_decode, srgb_encode, to_u8};
use nightglass::pixel::composite::blend;
use nightglass::pixel::guides::{Guide, Shape, guide_shapes};
use nightglass::pixel::key::{Luma, luma};
use nightglass::pixel::settings::{Alpha, BlendSpace, Size};

/// White, yellow, cyan, green, magenta, red, blue, black.
const BARS: [[f32; 3]; 8] = [
    [1.0, 1.0, 1.0],
    [1.0, 1.0, 0.0],
    [0.0, 1.0, 1.0],
    [0.0, 1.0, 0.0],
    [1.0, 0.0, 1.0],
    [1.0, 0.0, 0.0],
    [0.0, 0.0, 1.0],
    [0.0, 0.0, 0.0],
];

/// Luma of the bars at a level, as 10-bit video-range codes: `round(876 Y' + 64)`.
fn bar_lumas_10bit(weights: Luma, level: f32) -> Vec<f32> {
    let (kr, kb) = weights.weights();
    BARS.iter()
        .map(|bar| (876.0 * luma(bar.map(|v| v * level), kr, kb) + 64.0 + 0.5).floor())
        .collect()
}

/// Source: SMPTE RP 219-1, luma of the 75 % bars in 10 bits, BT.709.
#[test]
fn bt709_bars_have_the_printed_luma() {
    let printed = [721.0, 674.0, 581.0, 534.0, 251.0, 204.0, 111.0, 64.0];
    assert_eq!(bar_lumas_10bit(Luma::Bt709, 0.75), printed);
    let full = bar_lumas_10bit(Luma::Bt709, 1.0);
    assert_eq!(
        [full[0], full[1], full[2], full[5], full[6]],
        [940.0, 877.0, 754.0, 250.0, 127.0]
    );
}

/// Source: ITU-R BT.801, the bars of BT.601; 10-bit codes computed from its definition.
#[test]
fn bt601_bars_have_the_printed_luma() {
    let printed_75 = [721.0, 646.0, 525.0, 450.0, 335.0, 260.0, 139.0, 64.0];
    let printed_100 = [940.0, 840.0, 678.0, 578.0, 426.0, 326.0, 164.0, 64.0];
    assert_eq!(bar_lumas_10bit(Luma::Bt601, 0.75), printed_75);
    assert_eq!(bar_lumas_10bit(Luma::Bt601, 1.0), printed_100);
}

/// Source: ITU-R BT.2020-2 weights, 75 % bars in 10 bits, computed and compared with colour-science.
#[test]
fn bt2020_bars_have_the_printed_luma() {
    let printed = [721.0, 682.0, 548.0, 509.0, 276.0, 237.0, 103.0, 64.0];
    assert_eq!(bar_lumas_10bit(Luma::Bt2020, 0.75), printed);
}

/// Source: the full-range and video-range quantization of ITU-R BT.709-6, `y' = (y - 16) 255 / 219`.
#[test]
fn video_range_codes_expand_as_computed() {
    let pairs = [
        (16, 0.0),
        (17, 1.164),
        (32, 18.63),
        (64, 55.89),
        (100, 97.81),
        (126, 128.08),
        (128, 130.41),
        (180, 190.96),
        (234, 253.84),
        (235, 255.0),
    ];
    for (code, expected) in pairs {
        let full = 255.0 * expand_video(code as f32 / 255.0);
        assert!(
            (full - expected).abs() < 0.006,
            "{code} became {full}, not {expected}"
        );
    }
    for code in (0..=16).chain(235..=255) {
        let full = to_u8(expand_video(code as f32 / 255.0));
        assert_eq!(
            full,
            if code <= 16 { 0 } else { 255 },
            "code {code} is not clipped"
        );
    }
}

/// Source: IEC 61966-2-1; pairs computed in double precision, 128 compared with colour-science.
#[test]
fn srgb_codes_decode_as_computed() {
    let pairs = [
        (0, 0.0),
        (1, 0.000_303_527),
        (10, 0.003_035_270),
        (11, 0.003_346_536),
        (16, 0.005_181_517),
        (32, 0.014_443_844),
        (64, 0.051_269_458),
        (118, 0.181_164_244),
        (128, 0.215_860_500),
        (188, 0.502_886_458),
        (235, 0.830_769_877),
        (255, 1.0),
    ];
    for (code, expected) in pairs {
        let linear = srgb_decode(code as f32 / 255.0);
        assert!(
            (linear - expected).abs() < 3e-7,
            "{code} became {linear}, not {expected}"
        );
    }
}

/// Source: IEC 61966-2-1; 0.18 printed by colour-science, the rest computed.
#[test]
fn linear_values_encode_as_computed() {
    let pairs = [
        (0.18, 0.461_356_13),
        (0.214_041_1, 0.5),
        (0.5, 0.735_356_98),
        (0.05, 0.247_800_53),
        (0.01, 0.099_852_82),
    ];
    for (linear, expected) in pairs {
        assert!((srgb_encode(linear) - expected).abs() < 5e-7, "{linear}");
    }
}

/// Source: W3C Compositing and Blending Level 1, red at 50 % over white; it prints the truncated 127.
#[test]
fn red_at_half_over_white_is_the_w3c_example() {
    let out = blend(
        0.5,
        [1.0, 0.0, 0.0],
        [1.0; 3],
        Alpha::Straight,
        BlendSpace::Encoded,
    );
    let codes = out.map(to_u8);
    for (code, printed) in codes.into_iter().zip([255_u8, 127, 127]) {
        assert!(code.abs_diff(printed) <= 1, "{codes:?}");
    }
}

/// Source: Porter and Duff, 1984, the operator over; 8-bit cases computed.
#[test]
fn over_gives_the_worked_codes() {
    let over = |m: f32| {
        let (s, c) = ([200.0 / 255.0; 3], [50.0 / 255.0; 3]);
        blend(m, s, c, Alpha::Straight, BlendSpace::Encoded)[0] * 255.0
    };
    assert!((over(64.0 / 255.0) - 87.647).abs() < 1e-3);
    assert!((over(128.0 / 255.0) - 125.294).abs() < 1e-3);
}

/// Source: the same operator with an alpha of 0.5, foreground 0.8 and background 0.2: 0.5 when right, 0.3
/// when premultiplied data is treated as straight, 0.9 when straight data is treated as premultiplied.
#[test]
fn a_wrong_alpha_shows_its_signature() {
    let mix = |s: f32, alpha| blend(0.5, [s; 3], [0.2; 3], alpha, BlendSpace::Encoded)[0];
    let close = |a: f32, b: f32| (a - b).abs() < 1e-6;
    assert!(close(mix(0.8, Alpha::Straight), 0.5));
    assert!(close(mix(0.4, Alpha::Premultiplied), 0.5));
    assert!(close(mix(0.4, Alpha::Straight), 0.3));
    assert!(close(mix(0.8, Alpha::Premultiplied), 0.9));
}

/// Source: 50 % white over black is code 127.5 mixed on sRGB codes and 187.516 mixed in linear light; computed.
#[test]
fn the_blend_space_decides_between_two_greys() {
    let mix = |space| 255.0 * blend(0.5, [1.0; 3], [0.0; 3], Alpha::Straight, space)[0];
    assert!((mix(BlendSpace::Encoded) - 127.5).abs() < 1e-4);
    assert!((mix(BlendSpace::Linear) - 187.516).abs() < 1e-3);
}

/// Left, top, width and height of a guide's outline.
fn area(guide: Guide, width: u32, height: u32) -> [f64; 4] {
    let size = Size::new(width, height).unwrap();
    match guide_shapes(guide, size).shapes[0] {
        Shape::Outline { x0, y0, x1, y1 } => [x0, y0, x1 - x0, y1 - y0],
        other => panic!("{guide:?} is no outline: {other:?}"),
    }
}

/// Source: EBU R 95, figures 4 (1920x1080) and 5 (3840x2160).
#[test]
fn safe_areas_are_those_of_ebu_r95() {
    assert_eq!(
        area(Guide::ActionSafe, 1920, 1080),
        [67.0, 38.0, 1786.0, 1004.0]
    );
    assert_eq!(
        area(Guide::GraphicsSafe, 1920, 1080),
        [96.0, 54.0, 1728.0, 972.0]
    );
    assert_eq!(
        area(Guide::ActionSafe, 3840, 2160),
        [134.0, 76.0, 3572.0, 2008.0]
    );
    assert_eq!(
        area(Guide::GraphicsSafe, 3840, 2160),
        [192.0, 108.0, 3456.0, 1944.0]
    );
}

/// Source: SMPTE ST 2046-1:2009, sizes at 1280x720 and 1920x1080.
#[test]
fn safe_areas_have_the_sizes_of_st_2046_1() {
    for (width, height, action, title) in [
        (1920, 1080, [1786.0, 1004.0], [1728.0, 972.0]),
        (1280, 720, [1190.0, 670.0], [1152.0, 648.0]),
    ] {
        assert_eq!(area(Guide::ActionSafe, width, height)[2..], action);
        assert_eq!(area(Guide::GraphicsSafe, width, height)[2..], title);
    }
}

/// Source: SMPTE RP 218-2009, title area 80 %, at 1920x1080 and 720x480.
#[test]
fn the_legacy_title_area_is_80_percent() {
    assert_eq!(area(Guide::TitleLegacy, 1920, 1080)[2..], [1536.0, 864.0]);
    assert_eq!(area(Guide::TitleLegacy, 720, 480)[2..], [576.0, 384.0]);
}
