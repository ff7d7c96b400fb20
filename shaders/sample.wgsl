// A source's value at an output pixel. Twin: `src/pixel/sample.rs`.

// Which source pixels make one output pixel along one axis: `src/pixel/placement.rs`.
struct Tap {
    first: u32,
    count: u32,
    first_weight: f32,
    middle_weight: f32,
    last_weight: f32,
}

struct SourceParams {
    pixel_format: u32,
    code_range: u32,
    flattened: u32,
    column_stride: u32,
    row_stride: u32,
    columns_start: u32,
    rows_start: u32,
    present: u32,
}

@group(0) @binding(1) var<storage, read> camera_pixels: array<vec2<u32>>;
@group(0) @binding(2) var<storage, read> slide_pixels: array<vec2<u32>>;
@group(0) @binding(3) var<storage, read> taps: array<Tap>;

fn read_words(which: u32, index: u32) -> vec2<u32> {
    if which == SOURCE_CAMERA {
        return camera_pixels[index];
    }
    return slide_pixels[index];
}

// One 8-bit pixel, R'G'B' and alpha.
fn rgba_from_word(word: u32) -> vec4<f32> {
    return vec4<f32>(
        f32(word & 0xffu),
        f32((word >> 8u) & 0xffu),
        f32((word >> 16u) & 0xffu),
        f32(word >> 24u),
    ) / 255.0;
}

fn rgba_from_words(words: vec2<u32>) -> vec4<f32> {
    return vec4<f32>(
        f32(words.x & 0xffffu),
        f32(words.x >> 16u),
        f32(words.y & 0xffffu),
        f32(words.y >> 16u),
    ) / 65535.0;
}

// Expanded from video range and flattened over black, unrounded.
fn read_signal(source: SourceParams, rgba: vec4<f32>) -> vec3<f32> {
    var rgb = rgba.rgb;
    if source.code_range == CODE_RANGE_VIDEO {
        rgb = vec3<f32>(expand_video(rgb.r), expand_video(rgb.g), expand_video(rgb.b));
    }
    if source.flattened != 0u {
        rgb = rgb * rgba.a;
    }
    return rgb;
}

fn fetch(which: u32, source: SourceParams, index: u32) -> vec3<f32> {
    if source.pixel_format == PIXEL_FORMAT_RGBA16 {
        return read_signal(source, rgba_from_words(read_words(which, index)));
    }
    let words = read_words(which, index >> 1u);
    let word = select(words.x, words.y, (index & 1u) == 1u);
    return read_signal(source, rgba_from_word(word));
}

fn weight(tap: Tap, i: u32) -> f32 {
    if i == 0u {
        return tap.first_weight;
    }
    if i + 1u == tap.count {
        return tap.last_weight;
    }
    return tap.middle_weight;
}

fn sample(which: u32, source: SourceParams, column: Tap, row: Tap) -> vec3<f32> {
    var sum = vec3<f32>(0.0);
    for (var j = 0u; j < row.count; j++) {
        var line = vec3<f32>(0.0);
        for (var i = 0u; i < column.count; i++) {
            let index = (row.first + j) * source.row_stride + (column.first + i) * source.column_stride;
            line = line + weight(column, i) * fetch(which, source, index);
        }
        sum = sum + weight(row, j) * line;
    }
    return sum;
}
