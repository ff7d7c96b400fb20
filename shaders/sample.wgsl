// A source's value at an output pixel. Twin: `src/pixel/sample.rs`.

// Which source pixels make one output pixel along one axis: `src/pixel/placement.rs`.
struct Tap {
    first: u32,
    count: u32,
    first_weight: f32,
    last_weight: f32,
}

struct SourceParams {
    column_stride: u32,
    row_stride: u32,
    columns_start: u32,
    rows_start: u32,
    column_middle_weight: f32,
    row_middle_weight: f32,
    code_step: f32,
    reserved: u32,
}

@group(0) @binding(1) var<storage, read> camera_words: array<u32>;
@group(0) @binding(2) var<storage, read> slide_words: array<u32>;
// One vector a tap, so that a thread reads it at once.
@group(0) @binding(3) var<storage, read> taps: array<vec4<u32>>;

// How a source is read does not change within a pass, so every pipeline is made for one way.
override CAMERA_READING: u32 = READING_NONE;
override CAMERA_FORMAT: u32 = PIXEL_FORMAT_RGBA8;
override CAMERA_RANGE: u32 = CODE_RANGE_FULL;
override SLIDE_READING: u32 = READING_NONE;
override SLIDE_FORMAT: u32 = PIXEL_FORMAT_RGBA8;
override SLIDE_RANGE: u32 = CODE_RANGE_FULL;
override SLIDE_FLATTENED: bool = false;

fn tap_from_words(words: vec4<u32>) -> Tap {
    return Tap(words.x, words.y, bitcast<f32>(words.z), bitcast<f32>(words.w));
}

fn read_word(which: u32, index: u32) -> u32 {
    if which == SOURCE_CAMERA {
        return camera_words[index];
    }
    return slide_words[index];
}

// `v / n` as `x + x * step`, with `x = v / (n + 1)` and `step = 1 / n`: correctly rounded for every
// code, fused or not, as a plain division is not on hardware, where a grey at the threshold would
// then be kept. `codes` holds `v` among the bits of a mantissa, `scale` is what its lowest bit lacks
// to `1 / (n + 1)`; every step to `x` is exact. `step` has to come from a buffer: a compiler that
// sees it makes `x * (1 + step)` of the sum, which is not exact.
fn frac_from_codes(codes: vec4<u32>, scale: vec4<f32>, step: f32) -> vec4<f32> {
    let x = bitcast<vec4<f32>>(codes | vec4<u32>(0x3f800000u)) * scale - scale;
    return x + x * step;
}

// One 8-bit pixel, R'G'B' and alpha.
fn rgba_from_word(word: u32, step: f32) -> vec4<f32> {
    let words = vec4<u32>(word, word, word >> 16u, word >> 16u);
    let codes = words & vec4<u32>(0xffu, 0xff00u, 0xffu, 0xff00u);
    return frac_from_codes(codes, vec4<f32>(32768.0, 128.0, 32768.0, 128.0), step);
}

// One 16-bit pixel.
fn rgba_from_words(words: vec2<u32>, step: f32) -> vec4<f32> {
    let codes = vec4<u32>(words.x, words.x >> 16u, words.y, words.y >> 16u) & vec4<u32>(0xffffu);
    return frac_from_codes(codes, vec4<f32>(128.0), step);
}

// Expanded from video range and flattened over black, unrounded.
fn read_signal(rgba: vec4<f32>, code_range: u32, flattened: bool) -> vec3<f32> {
    var rgb = rgba.rgb;
    if code_range == CODE_RANGE_VIDEO {
        rgb = vec3<f32>(expand_video(rgb.r), expand_video(rgb.g), expand_video(rgb.b));
    }
    if flattened {
        rgb = rgb * rgba.a;
    }
    return rgb;
}

fn format_of(which: u32) -> u32 {
    return select(SLIDE_FORMAT, CAMERA_FORMAT, which == SOURCE_CAMERA);
}

// The words of the pixel with this index: two at 16 bits, at 8 bits one and nothing.
fn read_pixel(which: u32, index: u32) -> vec2<u32> {
    if format_of(which) == PIXEL_FORMAT_RGBA16 {
        return vec2<u32>(read_word(which, 2u * index), read_word(which, 2u * index + 1u));
    }
    return vec2<u32>(read_word(which, index), 0u);
}

// Whether all colour bits are 0, which is black in either range. Of pixels joined by `|`: all of them.
fn is_black(which: u32, pixel: vec2<u32>) -> bool {
    if format_of(which) == PIXEL_FORMAT_RGBA16 {
        return (pixel.x | (pixel.y & 0xffffu)) == 0u;
    }
    return (pixel.x & 0xffffffu) == 0u;
}

fn signal_from_pixel(which: u32, source: SourceParams, pixel: vec2<u32>) -> vec3<f32> {
    var rgba: vec4<f32>;
    if format_of(which) == PIXEL_FORMAT_RGBA16 {
        rgba = rgba_from_words(pixel, source.code_step);
    } else {
        rgba = rgba_from_word(pixel.x, source.code_step);
    }
    if which == SOURCE_CAMERA {
        return read_signal(rgba, CAMERA_RANGE, false);
    }
    return read_signal(rgba, SLIDE_RANGE, SLIDE_FLATTENED);
}

fn fetch(which: u32, source: SourceParams, index: u32) -> vec3<f32> {
    return signal_from_pixel(which, source, read_pixel(which, index));
}

// Any placement.
fn sample(which: u32, source: SourceParams, column: Tap, row: Tap) -> vec3<f32> {
    var sum = vec3<f32>(0.0);
    var start = row.first * source.row_stride + column.first * source.column_stride;
    for (var j = 0u; j < row.count; j++) {
        var index = start;
        var line = column.first_weight * fetch(which, source, index);
        for (var i = 2u; i < column.count; i++) {
            index += source.column_stride;
            line = line + source.column_middle_weight * fetch(which, source, index);
        }
        if column.count > 1u {
            index += source.column_stride;
            line = line + column.last_weight * fetch(which, source, index);
        }
        var weight = source.row_middle_weight;
        if j == 0u {
            weight = row.first_weight;
        } else if j + 1u == row.count {
            weight = row.last_weight;
        }
        sum = sum + weight * line;
        start += source.row_stride;
    }
    return sum;
}

// The same where no tap has more than one pixel: mirrored, turned, cropped, letterboxed.
fn sample_one(which: u32, source: SourceParams, column: Tap, row: Tap) -> vec3<f32> {
    let index = row.first * source.row_stride + column.first * source.column_stride;
    let inside = column.count > 0u && row.count > 0u;
    return select(vec3<f32>(0.0), fetch(which, source, index), inside);
}

// The same where no tap has more than two: enlarged, or halved. A weight that is missing is 0.
// Slides for a luma key are mostly black, and black needs no arithmetic.
fn sample_two(which: u32, source: SourceParams, column: Tap, row: Tap) -> vec3<f32> {
    let index = row.first * source.row_stride + column.first * source.column_stride;
    let right = select(0u, source.column_stride, column.count > 1u);
    let down = select(0u, source.row_stride, row.count > 1u);
    let upper_left = read_pixel(which, index);
    let upper_right = read_pixel(which, index + right);
    let lower_left = read_pixel(which, index + down);
    let lower_right = read_pixel(which, index + down + right);
    let all = upper_left | upper_right | lower_left | lower_right;
    if which == SOURCE_SLIDE && is_black(which, all) {
        return vec3<f32>(0.0);
    }
    let upper = column.first_weight * signal_from_pixel(which, source, upper_left)
        + column.last_weight * signal_from_pixel(which, source, upper_right);
    let lower = column.first_weight * signal_from_pixel(which, source, lower_left)
        + column.last_weight * signal_from_pixel(which, source, lower_right);
    return row.first_weight * upper + row.last_weight * lower;
}
