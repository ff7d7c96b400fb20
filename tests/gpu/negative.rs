//! Mistakes made on purpose. Each spoils the shader's text in memory, and parity must see it on the
//! scene and view named here; unspoiled, the same scene and view must pass.

use nightglass::gpu::compositor::Compositor;
use nightglass::gpu::device::Gpu;
use nightglass::gpu::shaders::composite_source;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::reference;
use nightglass::pixel::views::View;

use crate::gpu_compare::{Allowed, Comparison, FromGpu, Truth, compare, look};
use crate::gpu_frames::{size, slide, slide_16};
use crate::harness::{Check, Tally};
use crate::parity::{allowed, find};

/// One mistake.
struct Mistake {
    name: &'static str,
    right: &'static str,
    wrong: &'static str,
    scene: &'static str,
    view: View,
}

const fn mistake(
    name: &'static str,
    right: &'static str,
    wrong: &'static str,
    scene: &'static str,
    view: View,
) -> Mistake {
    Mistake {
        name,
        right,
        wrong,
        scene,
        view,
    }
}

const MISTAKES: [Mistake; 44] = [
    mistake(
        "R' and B' weights changed places",
        "kr * (rgb.r - rgb.g) + kb * (rgb.b - rgb.g)",
        "kb * (rgb.r - rgb.g) + kr * (rgb.b - rgb.g)",
        "odd",
        View::Matte,
    ),
    mistake(
        "BT.709 for BT.601",
        "luma(slide, params.kr, params.kb)",
        "luma(slide, 0.2126, 0.0722)",
        "BT.601",
        View::Composite,
    ),
    mistake(
        "BT.709 for BT.2020, in exposure",
        "luma(camera, params.kr, params.kb)",
        "luma(camera, 0.2126, 0.0722)",
        "BT.2020",
        View::Exposure,
    ),
    mistake(
        "a grey at the threshold is kept",
        "y > t",
        "y >= t",
        "hard step at a grey",
        View::Composite,
    ),
    mistake(
        "a small softness is a step",
        "if s <= 0.0 {",
        "if s <= 0.05 {",
        "odd",
        View::Matte,
    ),
    mistake(
        "softness doubled",
        "(y - t) / s",
        "(y - t) / (2.0 * s)",
        "odd",
        View::Composite,
    ),
    mistake(
        "threshold a percent higher",
        "(y - t) / s",
        "(y - t - 0.01) / s",
        "odd",
        View::Composite,
    ),
    mistake(
        "the ramp begins below the threshold",
        "(y - t) / s",
        "(y - t) / s + 0.5",
        "softness 100",
        View::Matte,
    ),
    mistake(
        "a straight ramp for the smooth one",
        "return m * m * (3.0 - 2.0 * m);",
        "return m;",
        "smooth",
        View::Composite,
    ),
    mistake(
        "straight for premultiplied",
        "min(s + (1.0 - m) * c, vec3<f32>(1.0))",
        "m * s + (1.0 - m) * c",
        "premultiplied",
        View::Composite,
    ),
    mistake(
        "premultiplied for straight",
        "out = m * s + (1.0 - m) * c;",
        "out = min(s + (1.0 - m) * c, vec3<f32>(1.0));",
        "odd",
        View::Composite,
    ),
    mistake(
        "camera and slide changed places",
        "out = m * s + (1.0 - m) * c;",
        "out = m * c + (1.0 - m) * s;",
        "odd",
        View::Composite,
    ),
    mistake(
        "a pixel without red counts as black",
        "(pixel.x & 0xffffffu) == 0u",
        "(pixel.x & 0xffu) == 0u",
        "enlarged slide, odd",
        View::Slide,
    ),
    mistake(
        "in linear light a faint slide counts as dropped",
        "m <= 0.0 && alpha == ALPHA_STRAIGHT",
        "m <= 0.2 && alpha == ALPHA_STRAIGHT",
        "linear light",
        View::Composite,
    ),
    mistake(
        "in linear light a strong slide counts as solid",
        "if m >= 1.0 {",
        "if m >= 0.8 {",
        "linear light",
        View::Composite,
    ),
    mistake(
        "in linear light a premultiplied slide counts as straight",
        "m <= 0.0 && alpha == ALPHA_STRAIGHT",
        "m <= 0.0",
        "linear light, premultiplied, mirrored",
        View::Composite,
    ),
    mistake(
        "linear light left out",
        "blend(m, slide, camera, params.alpha, BLEND_SPACE)",
        "blend(m, slide, camera, params.alpha, BLEND_SPACE_ENCODED)",
        "linear light",
        View::Composite,
    ),
    mistake(
        "an exponent of 2.2",
        "const SRGB_EXPONENT: f32 = 2.4;",
        "const SRGB_EXPONENT: f32 = 2.2;",
        "linear light",
        View::Composite,
    ),
    mistake(
        "the chain left out",
        "if params.chained != 0u {",
        "if params.chained == 7u {",
        "chain",
        View::Composite,
    ),
    mistake(
        "the chain not clamped",
        "clamp(gain * slide + offset, vec3<f32>(0.0), vec3<f32>(1.0))",
        "gain * slide + offset",
        "chain beside a slide",
        View::Kept,
    ),
    mistake(
        "the chain's offset before its gain",
        "gain * slide + offset",
        "gain * (slide + offset)",
        "chain",
        View::Slide,
    ),
    mistake(
        "no chain beside the slide",
        "paint(at.x, at.y, camera.rgb, slide.rgb, slide.inside)",
        "select(paint(at.x, at.y, camera.rgb, slide.rgb, true), camera.rgb, !slide.inside)",
        "chain beside a slide",
        View::Composite,
    ),
    mistake(
        "mirror off",
        "taps[source.columns_start + at.x]",
        "taps[source.columns_start + params.output_width - 1u - at.x]",
        "mirrored camera, odd",
        View::Composite,
    ),
    mistake(
        "mirror off, in tiles",
        "taps[source.columns_start + at.x]",
        "taps[source.columns_start + params.output_width - 1u - at.x]",
        "mirrored camera, even",
        View::Camera,
    ),
    mistake(
        "one row shifted by a pixel",
        "taps[source.columns_start + at.x]",
        "taps[source.columns_start + max(at.x, 1u) - select(0u, 1u, at.y == 50u)]",
        "mirrored camera, odd",
        View::Composite,
    ),
    mistake(
        "turned the other way",
        "taps[source.rows_start + at.y]",
        "taps[source.rows_start + params.output_height - 1u - at.y]",
        "turned by 90",
        View::Camera,
    ),
    mistake(
        "no black beside the picture",
        "select(vec3<f32>(0.0), fetch(which, source, index), inside)",
        "fetch(which, source, index)",
        "letterboxed slide",
        View::Slide,
    ),
    mistake(
        "beside the slide counts as content",
        "inside && is_content",
        "is_content",
        "a background of its own",
        View::Kept,
    ),
    mistake(
        "nearest for bilinear, across",
        "column.last_weight * signal_from_pixel(which, source, upper_right)",
        "column.last_weight * signal_from_pixel(which, source, upper_left)",
        "enlarged slide, odd",
        View::Composite,
    ),
    mistake(
        "nearest for bilinear, down",
        "row.first_weight * upper + row.last_weight * lower",
        "upper",
        "enlarged both, stretched",
        View::Composite,
    ),
    mistake(
        "the last of a tap weighs like the middle",
        "column.last_weight * fetch(which, source, index);",
        "source.column_middle_weight * fetch(which, source, index);",
        "reduced camera",
        View::Composite,
    ),
    mistake(
        "the first of a tap weighs like the middle",
        "weight = row.first_weight;",
        "weight = source.row_middle_weight;",
        "reduced a little, both",
        View::Composite,
    ),
    mistake(
        "one pixel of a tap left out",
        "i < column.count",
        "i + 1u < column.count",
        "reduced camera",
        View::Camera,
    ),
    mistake(
        "the second of two neighbours repeats the first",
        "fetch(which, source, index + 1u)",
        "fetch(which, source, index)",
        "odd",
        View::Camera,
    ),
    mistake(
        "R' and B' changed places",
        "to_code(rgb.r) | (to_code(rgb.g) << 8u) | (to_code(rgb.b) << 16u)",
        "to_code(rgb.b) | (to_code(rgb.g) << 8u) | (to_code(rgb.r) << 16u)",
        "odd",
        View::Composite,
    ),
    mistake(
        "cut off instead of rounded",
        "min(255.0 * v + 0.5, 255.0)",
        "min(255.0 * v, 255.0)",
        "enlarged slide, odd",
        View::Composite,
    ),
    mistake(
        "a code over one more than the largest",
        "return x + x * step;",
        "return x;",
        "hard step at a grey",
        View::Camera,
    ),
    mistake(
        "only the upper byte of 16 bits",
        "& vec4<u32>(0xffffu)",
        "& vec4<u32>(0xff00u)",
        "16 bit",
        View::Composite,
    ),
    mistake(
        "video range spans 224 codes",
        "const VIDEO_SPAN_CODES: f32 = 219.0;",
        "const VIDEO_SPAN_CODES: f32 = 224.0;",
        "video range, both",
        View::Composite,
    ),
    mistake(
        "video range left out",
        "if code_range == CODE_RANGE_VIDEO {",
        "if code_range == 7u {",
        "video range, both",
        View::Slide,
    ),
    mistake(
        "alpha ignored",
        "rgb = rgb * rgba.a;",
        "rgb = rgb * 1.0;",
        "alpha",
        View::Composite,
    ),
    mistake(
        "bars for checks",
        "(x / CHECK_PX + y / CHECK_PX) % 2u == 0u);",
        "(y / CHECK_PX) % 2u == 0u);",
        "odd",
        View::Kept,
    ),
    mistake(
        "a clipped value is not clipped yet",
        "luma >= CLIPPED_VALUE || all_channels >= CLIPPED_VALUE",
        "luma > 0.99 || all_channels > 0.99",
        "odd",
        View::Exposure,
    ),
    mistake(
        "the second pixel of a tile repeats the first",
        "Position(first.x + 1u, y)",
        "Position(first.x, y)",
        "mirrored camera, even",
        View::Composite,
    ),
];

/// The checks of this file.
pub(crate) fn checks() -> Vec<Check> {
    let mut checks: Vec<Check> = MISTAKES
        .iter()
        .map(|mistake| {
            Check::new(format!("negative: {}", mistake.name), move |gpu| {
                must_be_seen(gpu, mistake)
            })
        })
        .collect();
    checks.push(Check::new(
        "negative: the comparer sees one pixel off by 2 codes",
        |_| comparer_sees_one_pixel(),
    ));
    checks.push(Check::new(
        "negative: the comparer refuses what cannot be compared",
        |_| comparer_refuses(),
    ));
    checks
}

fn must_be_seen(gpu: &Gpu, mistake: &Mistake) -> Result<Tally, String> {
    let right = composite_source();
    let places = right.matches(mistake.right).count();
    if places != 1 {
        return Err(format!("`{}` is in {places} places", mistake.right));
    }
    let wrong = right.replace(mistake.right, mistake.wrong);
    if wrong == right {
        return Err("the text did not change".to_owned());
    }
    find(mistake.scene).with_plan(mistake.view, |plan| {
        let truth = Truth(reference::compose(plan));
        let made = |shader: &str| {
            let mut compositor = Compositor::with_shader(gpu, shader)?;
            compositor.compose(plan).map(FromGpu)
        };
        let allowed = allowed(gpu, plan);
        let good = made(&right).map_err(|error| error.to_string())?;
        compare(mistake.scene, &truth, &good, allowed)?;
        let bad = made(&wrong).map_err(|error| format!("the wrong shader fails: {error}"))?;
        let Comparison {
            pixels,
            largest,
            off_by_one,
            off_by_more,
        } = look(&truth, &bad)?;
        if allowed.grants(off_by_one, off_by_more, &largest, pixels) {
            return Err(format!(
                "was not seen: {off_by_one} pixels off by 1 code, {off_by_more} by more"
            ));
        }
        let worst = largest.iter().map(|l| l.codes).max().unwrap_or(0);
        Ok(Tally {
            compared: pixels,
            note: format!(
                "seen: {} pixels differ, by {worst} codes at most",
                off_by_one + off_by_more
            ),
            ..Tally::default()
        })
    })
}

fn comparer_sees_one_pixel() -> Result<Tally, String> {
    let good = slide(size(64, 64));
    let Pixels::Rgba8(pixels) = good.pixels() else {
        return Err("not 8 bits".to_owned());
    };
    let mut spoiled = pixels.clone();
    spoiled[7][1] = spoiled[7][1].wrapping_add(if spoiled[7][1] > 100 { 254 } else { 2 });
    let bad = Frame::new(good.size(), Pixels::Rgba8(spoiled)).unwrap();
    let truth = Truth(good.clone());
    compare("the same", &truth, &FromGpu(good), Allowed::NOTHING)?;
    let outcome = compare("one pixel", &truth, &FromGpu(bad), Allowed::FUSED);
    match outcome {
        Err(message) if message.contains("G' by 2 at 7,0") => Ok(Tally {
            compared: 2 * 64 * 64,
            ..Tally::default()
        }),
        other => Err(format!("got {other:?}")),
    }
}

fn comparer_refuses() -> Result<Tally, String> {
    let truth = Truth(slide(size(8, 8)));
    let other_size = FromGpu(slide(size(8, 9)));
    let other_depth = FromGpu(slide_16(size(8, 8), true));
    if look(&truth, &other_size).is_ok() || look(&truth, &other_depth).is_ok() {
        return Err("compared what cannot be compared".to_owned());
    }
    Ok(Tally {
        compared: 2,
        ..Tally::default()
    })
}
