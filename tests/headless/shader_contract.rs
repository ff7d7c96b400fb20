//! Names, numbers and layouts that `shaders/` and Rust share, read out of the parsed shaders.
//! Whether the functions agree is for `tests/gpu`.

use std::collections::BTreeMap;
use std::mem::offset_of;

use naga::{
    AddressSpace, ArraySize, Expression, Handle, Literal, Module, Override, ScalarKind,
    StorageAccess, StructMember, Type, TypeInner, VectorSize,
};
use nightglass::gpu::layout::{
    self, Params, Reading, SourceParams, SourceVariant, TapWords, Variant,
};
use nightglass::gpu::pipeline::{BINDING_KINDS, bindings};
use nightglass::gpu::shaders::{FILES, composite_source};
use nightglass::pixel::color;
use nightglass::pixel::frame::PixelFormat;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, BlendSpace, CodeRange};
use nightglass::pixel::views::{self, View};
use nightglass::window::present::PresentParams;
use wgpu::BufferBindingType;

use crate::gpu_probe::{Function, ProbeRow, RESULTS_BINDING, ROWS_BINDING};

/// The text of the probe, which joins the compositor's.
const PROBE: &str = include_str!("../../shaders/probe.wgsl");

/// A constant's value, floats by their bits.
#[derive(Clone, Debug, PartialEq)]
enum Value {
    F32(u32),
    U32(u32),
    Vector(Vec<u32>),
}

fn float(v: f32) -> Value {
    Value::F32(v.to_bits())
}

fn color(rgb: [f32; 3]) -> Value {
    Value::Vector(rgb.map(f32::to_bits).to_vec())
}

/// Parsed and validated, as an adapter would.
fn parsed() -> Module {
    let text = format!("{}\n{PROBE}", composite_source());
    let module = naga::front::wgsl::parse_str(&text).unwrap_or_else(|error| {
        panic!("{}", error.emit_to_string(&text));
    });
    naga::valid::Validator::new(
        naga::valid::ValidationFlags::all(),
        naga::valid::Capabilities::default(),
    )
    .validate(&module)
    .unwrap();
    module
}

/// Every constant that Rust owns.
fn rust_constants() -> BTreeMap<&'static str, Value> {
    let mut constants = BTreeMap::from([
        ("VIDEO_BLACK_CODE", float(color::VIDEO_BLACK_CODE)),
        ("VIDEO_SPAN_CODES", float(color::VIDEO_SPAN_CODES)),
        ("SRGB_ENCODED_KNEE", float(color::SRGB_ENCODED_KNEE)),
        ("SRGB_LINEAR_KNEE", float(color::SRGB_LINEAR_KNEE)),
        ("SRGB_SLOPE", float(color::SRGB_SLOPE)),
        ("SRGB_OFFSET", float(color::SRGB_OFFSET)),
        ("SRGB_EXPONENT", float(color::SRGB_EXPONENT)),
        ("SOURCE_CAMERA", Value::U32(layout::SOURCE_CAMERA)),
        ("SOURCE_SLIDE", Value::U32(layout::SOURCE_SLIDE)),
        ("MATTE_DROPPED_BELOW", float(views::MATTE_DROPPED_BELOW)),
        ("MATTE_SOLID_ABOVE", float(views::MATTE_SOLID_ABOVE)),
        ("NEAR_BLACK_LUMA", float(views::NEAR_BLACK_LUMA)),
        ("CLIPPED_VALUE", float(views::CLIPPED_VALUE)),
        ("DIMMED", float(views::DIMMED)),
        ("BAR_PERIOD_PX", Value::U32(views::BAR_PERIOD_PX)),
        ("BAR_PX", Value::U32(views::BAR_PX)),
        ("CHECK_PX", Value::U32(views::CHECK_PX)),
        ("DOT_PERIOD_PX", Value::U32(views::DOT_PERIOD_PX)),
        ("DOT_PX", Value::U32(views::DOT_PX)),
        ("SKY_BLUE", color(views::SKY_BLUE)),
        ("YELLOW", color(views::YELLOW)),
        ("VERMILLION", color(views::VERMILLION)),
        ("BLUISH_GREEN", color(views::BLUISH_GREEN)),
        ("REDDISH_PURPLE", color(views::REDDISH_PURPLE)),
        ("IMPOSSIBLE", color(views::IMPOSSIBLE)),
        ("WORKGROUP_THREADS", Value::U32(layout::WORKGROUP_THREADS)),
        ("PIXELS_PER_THREAD", Value::U32(layout::PIXELS_PER_THREAD)),
        ("TILE_PAIRS", Value::U32(layout::TILE_PAIRS)),
    ]);
    for (name, number) in enum_variants() {
        constants.insert(name, Value::U32(number));
    }
    constants
}

/// Every variant of every enum that a shader tells apart, with the constant's name.
///
/// The matches below do not compile when a variant is added, until it has a name here.
fn enum_variants() -> Vec<(&'static str, u32)> {
    let ramp = |v: Ramp| match v {
        Ramp::Linear => "RAMP_LINEAR",
        Ramp::Smooth => "RAMP_SMOOTH",
    };
    let alpha = |v: Alpha| match v {
        Alpha::Straight => "ALPHA_STRAIGHT",
        Alpha::Premultiplied => "ALPHA_PREMULTIPLIED",
    };
    let blend_space = |v: BlendSpace| match v {
        BlendSpace::Encoded => "BLEND_SPACE_ENCODED",
        BlendSpace::Linear => "BLEND_SPACE_LINEAR",
    };
    let code_range = |v: CodeRange| match v {
        CodeRange::Full => "CODE_RANGE_FULL",
        CodeRange::Video => "CODE_RANGE_VIDEO",
    };
    let pixel_format = |v: PixelFormat| match v {
        PixelFormat::Rgba8 => "PIXEL_FORMAT_RGBA8",
        PixelFormat::Rgba16 => "PIXEL_FORMAT_RGBA16",
    };
    let reading = |v: Reading| match v {
        Reading::None => "READING_NONE",
        Reading::Untouched => "READING_UNTOUCHED",
        Reading::One => "READING_ONE",
        Reading::Two => "READING_TWO",
        Reading::Many => "READING_MANY",
    };
    let view = |v: View| match v {
        View::Composite => "VIEW_COMPOSITE",
        View::Matte => "VIEW_MATTE",
        View::Camera => "VIEW_CAMERA",
        View::Slide => "VIEW_SLIDE",
        View::Kept => "VIEW_KEPT",
        View::Exposure => "VIEW_EXPOSURE",
    };
    let mut variants = Vec::new();
    variants.extend([Ramp::Linear, Ramp::Smooth].map(|v| (ramp(v), v as u32)));
    variants.extend([Alpha::Straight, Alpha::Premultiplied].map(|v| (alpha(v), v as u32)));
    variants.extend([BlendSpace::Encoded, BlendSpace::Linear].map(|v| (blend_space(v), v as u32)));
    variants.extend([CodeRange::Full, CodeRange::Video].map(|v| (code_range(v), v as u32)));
    variants.extend([PixelFormat::Rgba8, PixelFormat::Rgba16].map(|v| (pixel_format(v), v as u32)));
    variants.extend(Reading::ALL.map(|v| (reading(v), v as u32)));
    variants.extend(View::ALL.map(|v| (view(v), v as u32)));
    variants.extend(Function::ALL.map(|(name, v)| (name, v as u32)));
    variants
}

/// The value of a constant expression.
fn value(module: &Module, expression: Handle<Expression>) -> Value {
    match &module.global_expressions[expression] {
        Expression::Literal(Literal::F32(v)) => float(*v),
        Expression::Literal(Literal::U32(v)) => Value::U32(*v),
        Expression::Constant(of) => value(module, module.constants[*of].init),
        Expression::Compose { components, .. } => Value::Vector(
            components
                .iter()
                .map(|c| match value(module, *c) {
                    Value::F32(bits) => bits,
                    other => panic!("a vector of {other:?}"),
                })
                .collect(),
        ),
        other => panic!("a constant that is {other:?}"),
    }
}

fn wgsl_constants(module: &Module) -> BTreeMap<String, Value> {
    module
        .constants
        .iter()
        .filter_map(|(_, constant)| {
            let name = constant.name.clone()?;
            Some((name, value(module, constant.init)))
        })
        .collect()
}

#[test]
fn every_file_parses_together_with_those_before_it() {
    let mut text = String::new();
    for (name, file) in FILES {
        text.push_str(file);
        let outcome = naga::front::wgsl::parse_str(&text);
        assert!(outcome.is_ok(), "{name}: {outcome:?}");
    }
    parsed();
}

#[test]
fn every_shader_on_disk_is_joined() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/shaders");
    let mut on_disk: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let mut joined: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
    // Not the compositor's: one belongs to the tests, the other draws on the window.
    joined.extend(["probe.wgsl", "present.wgsl"]);
    on_disk.sort();
    joined.sort_unstable();
    assert_eq!(on_disk, joined);
}

#[test]
fn constants_have_the_same_names_and_values_on_both_sides() {
    let wgsl = wgsl_constants(&parsed());
    let rust = rust_constants();
    let missing: Vec<_> = rust.keys().filter(|n| !wgsl.contains_key(**n)).collect();
    assert!(missing.is_empty(), "not in the shaders: {missing:?}");
    for (name, value) in &wgsl {
        let owner = rust.get(name.as_str());
        assert_eq!(owner, Some(value), "`{name}` in the shaders and in Rust");
    }
    assert!(wgsl.len() > 50, "only {} constants were read", wgsl.len());
}

#[test]
fn enums_are_counted_from_0_without_a_gap() {
    let mut groups: BTreeMap<&str, Vec<u32>> = BTreeMap::new();
    let prefixes = [
        "RAMP_",
        "ALPHA_",
        "BLEND_SPACE_",
        "CODE_RANGE_",
        "PIXEL_FORMAT_",
        "READING_",
        "VIEW_",
        "PROBE_",
    ];
    for (name, value) in wgsl_constants(&parsed()) {
        let prefix = prefixes.iter().find(|p| name.starts_with(**p));
        if let (Some(prefix), Value::U32(number)) = (prefix, value) {
            groups.entry(prefix).or_default().push(number);
        }
    }
    let variants = enum_variants();
    for prefix in prefixes {
        let mut numbers = groups.remove(prefix).unwrap_or_default();
        numbers.sort_unstable();
        let in_rust = variants.iter().filter(|(n, _)| n.starts_with(prefix));
        let count = u32::try_from(in_rust.count()).unwrap();
        assert!(count > 1, "{prefix}");
        assert_eq!(numbers, (0..count).collect::<Vec<_>>(), "{prefix}");
    }
}

/// The struct with this name: its members and its size.
fn structure<'m>(module: &'m Module, name: &str) -> (&'m [StructMember], u32) {
    let found = module.types.iter().find_map(|(_, ty)| match &ty.inner {
        TypeInner::Struct { members, span } if ty.name.as_deref() == Some(name) => {
            Some((members.as_slice(), *span))
        }
        _ => None,
    });
    found.unwrap_or_else(|| panic!("no struct `{name}` in the shaders"))
}

/// Compares names and offsets of all fields, and the size.
fn same_layout(module: &Module, name: &str, rust: &[(&str, usize)], size: usize) {
    let (members, span) = structure(module, name);
    let wgsl: Vec<(&str, usize)> = members
        .iter()
        .map(|m| (m.name.as_deref().unwrap_or(""), m.offset as usize))
        .collect();
    assert_eq!(wgsl, rust, "{name}");
    assert_eq!(span as usize, size, "size of {name}");
}

macro_rules! offsets {
    ($type:ty: $($field:ident),* $(,)?) => {
        [$((stringify!($field), offset_of!($type, $field))),*]
    };
}

#[test]
fn uniforms_have_the_same_layout_on_both_sides() {
    let module = parsed();
    let source = offsets!(SourceParams: column_stride, row_stride, columns_start, rows_start,
        column_middle_weight, row_middle_weight, code_step, reserved);
    same_layout(&module, "SourceParams", &source, size_of::<SourceParams>());
    let params = offsets!(Params: output_width, output_height, output_pixels, row_threads, ramp,
        alpha, chained, reserved, kr, kb, threshold, softness, gain, offset, tolerance, reserved_1,
        background, camera, slide);
    same_layout(&module, "Params", &params, size_of::<Params>());
    let row = offsets!(ProbeRow: function, mode, mode_2, flag, x, y, word, word_2, a, b, c);
    same_layout(&module, "ProbeRow", &row, size_of::<ProbeRow>());
}

#[test]
fn what_draws_on_the_window_has_the_same_layout_on_both_sides() {
    let module = naga::front::wgsl::parse_str(include_str!("../../shaders/present.wgsl")).unwrap();
    let params = offsets!(PresentParams: output_width, output_height, left_px, top_px,
        output_per_window, mirrored, brightness_frac, reserved);
    same_layout(
        &module,
        "PresentParams",
        &params,
        size_of::<PresentParams>(),
    );
}

#[test]
fn uniforms_hold_only_numbers_and_vectors_of_four() {
    let module = parsed();
    for name in ["Params", "SourceParams"] {
        for member in structure(&module, name).0 {
            let inner = &module.types[member.ty].inner;
            let allowed = match inner {
                TypeInner::Scalar(scalar) => {
                    matches!(scalar.kind, ScalarKind::Float | ScalarKind::Uint) && scalar.width == 4
                }
                TypeInner::Vector { size, .. } => *size == VectorSize::Quad,
                TypeInner::Struct { .. } => name == "Params",
                _ => false,
            };
            assert!(allowed, "{name}.{:?} is {inner:?}", member.name);
        }
    }
}

#[test]
fn a_tap_in_the_shaders_has_what_a_tap_in_rust_has_but_the_middle_weight() {
    let module = parsed();
    let (members, span) = structure(&module, "Tap");
    let names: Vec<_> = members.iter().filter_map(|m| m.name.as_deref()).collect();
    assert_eq!(names, ["first", "count", "first_weight", "last_weight"]);
    assert_eq!(span as usize, size_of::<TapWords>());
}

/// What a binding is, in words that both sides have.
fn kind(module: &Module, space: AddressSpace, ty: Handle<Type>) -> (BufferBindingType, usize) {
    let binding = match space {
        AddressSpace::Uniform => BufferBindingType::Uniform,
        AddressSpace::Storage { access } => BufferBindingType::Storage {
            read_only: !access.contains(StorageAccess::STORE),
        },
        other => panic!("a binding in {other:?}"),
    };
    let stride = match &module.types[ty].inner {
        TypeInner::Array {
            stride,
            size: ArraySize::Dynamic,
            ..
        } => *stride,
        TypeInner::Struct { span, .. } => *span,
        other => panic!("a binding that is {other:?}"),
    };
    (binding, stride as usize)
}

#[test]
fn bindings_have_the_same_numbers_kinds_and_strides_on_both_sides() {
    let module = parsed();
    let read = BufferBindingType::Storage { read_only: true };
    let write = BufferBindingType::Storage { read_only: false };
    let uniform = BufferBindingType::Uniform;
    let rust = BTreeMap::from([
        ("params", (bindings::PARAMS, (uniform, size_of::<Params>()))),
        ("camera_words", (bindings::CAMERA_WORDS, (read, 4))),
        ("slide_words", (bindings::SLIDE_WORDS, (read, 4))),
        ("taps", (bindings::TAPS, (read, size_of::<TapWords>()))),
        ("output_pixels", (bindings::OUTPUT_PIXELS, (write, 8))),
        ("probe_rows", (ROWS_BINDING, (read, size_of::<ProbeRow>()))),
        ("probe_results", (RESULTS_BINDING, (write, 16))),
    ]);
    let wgsl: BTreeMap<&str, _> = module
        .global_variables
        .iter()
        .map(|(_, variable)| {
            let at = variable.binding.unwrap();
            assert_eq!(at.group, 0);
            let name = variable.name.as_deref().unwrap();
            (
                name,
                (at.binding, kind(&module, variable.space, variable.ty)),
            )
        })
        .collect();
    assert_eq!(wgsl, rust);
    let laid_out: Vec<_> = BINDING_KINDS.to_vec();
    let mut declared: Vec<_> = wgsl
        .iter()
        .filter(|(name, _)| !name.starts_with("probe"))
        .map(|(_, (number, (kind, _)))| (*number, *kind))
        .collect();
    declared.sort_by_key(|(number, _)| *number);
    assert_eq!(declared, laid_out);
}

#[test]
fn overrides_are_all_set_and_all_there() {
    let module = parsed();
    let source = SourceVariant {
        reading: Reading::None,
        format: PixelFormat::Rgba8,
        range: CodeRange::Full,
        flattened: false,
    };
    let variant = Variant {
        view: View::Composite,
        blend_space: BlendSpace::Encoded,
        tiled: false,
        camera: source,
        slide: source,
    };
    let mut set: Vec<&str> = variant.overrides().iter().map(|(name, _)| *name).collect();
    let name = |(_, o): (Handle<Override>, &Override)| o.name.clone().unwrap();
    let mut there: Vec<String> = module.overrides.iter().map(name).collect();
    set.sort_unstable();
    there.sort();
    assert_eq!(set, there);
}
