// The blend, and the pass that makes a picture. Twin: `src/pixel/composite.rs`; the pass follows
// `src/pixel/reference.rs`.

struct Params {
    output_width: u32,
    output_height: u32,
    output_pixels: u32,
    row_threads: u32,
    ramp: u32,
    alpha: u32,
    chained: u32,
    reserved: u32,
    kr: f32,
    kb: f32,
    threshold: f32,
    softness: f32,
    gain: f32,
    offset: f32,
    tolerance: f32,
    reserved_1: u32,
    background: vec4<f32>,
    camera: SourceParams,
    slide: SourceParams,
}

@group(0) @binding(0) var<uniform> params: Params;
@group(0) @binding(4) var<storage, read_write> output_pixels: array<vec2<u32>>;

override VIEW: u32 = VIEW_COMPOSITE;
override BLEND_SPACE: u32 = BLEND_SPACE_ENCODED;
// Workgroups lie on the output as tiles instead of in one line: no division, and neighbours in both
// directions share what they read. For even widths, where no pair of pixels spans two rows.
override TILED: bool = false;

fn apply_chain(slide: vec3<f32>, gain: f32, offset: f32) -> vec3<f32> {
    return clamp(gain * slide + offset, vec3<f32>(0.0), vec3<f32>(1.0));
}

fn blend(m: f32, slide: vec3<f32>, camera: vec3<f32>, alpha: u32, blend_space: u32) -> vec3<f32> {
    var s = slide;
    var c = camera;
    if blend_space == BLEND_SPACE_LINEAR {
        if m >= 1.0 {
            return slide;
        }
        if m <= 0.0 && alpha == ALPHA_STRAIGHT {
            return camera;
        }
        s = vec3<f32>(srgb_decode(s.r), srgb_decode(s.g), srgb_decode(s.b));
        c = vec3<f32>(srgb_decode(c.r), srgb_decode(c.g), srgb_decode(c.b));
    }
    var out = IMPOSSIBLE;
    if alpha == ALPHA_STRAIGHT {
        out = m * s + (1.0 - m) * c;
    } else if alpha == ALPHA_PREMULTIPLIED {
        out = min(s + (1.0 - m) * c, vec3<f32>(1.0));
    }
    if blend_space == BLEND_SPACE_LINEAR {
        out = vec3<f32>(srgb_encode(out.r), srgb_encode(out.g), srgb_encode(out.b));
    }
    return out;
}

fn paint(x: u32, y: u32, camera: vec3<f32>, placed_slide: vec3<f32>, inside: bool) -> vec3<f32> {
    if VIEW == VIEW_CAMERA {
        return camera;
    }
    if VIEW == VIEW_EXPOSURE {
        return exposure(x, y, camera, luma(camera, params.kr, params.kb));
    }
    var slide = placed_slide;
    if params.chained != 0u {
        slide = apply_chain(slide, params.gain, params.offset);
    }
    if VIEW == VIEW_SLIDE {
        return slide;
    }
    let key_luma = luma(slide, params.kr, params.kb);
    let m = matte(key_luma, params.threshold, params.softness, params.ramp);
    if VIEW == VIEW_MATTE {
        return vec3<f32>(m);
    }
    if VIEW == VIEW_KEPT {
        let content = inside && is_content(slide, params.background.rgb, params.tolerance);
        return kept(x, y, slide, key_luma, m, content);
    }
    if VIEW == VIEW_COMPOSITE {
        return blend(m, slide, camera, params.alpha, BLEND_SPACE);
    }
    return IMPOSSIBLE;
}

fn word_from_rgb(rgb: vec3<f32>) -> u32 {
    return to_code(rgb.r) | (to_code(rgb.g) << 8u) | (to_code(rgb.b) << 16u) | 0xff000000u;
}

struct Sampled {
    rgb: vec3<f32>,
    inside: bool,
}

struct SampledPair {
    first: Sampled,
    second: Sampled,
}

struct Position {
    x: u32,
    y: u32,
}

fn sample_at(which: u32, reading: u32, source: SourceParams, at: Position) -> Sampled {
    let column = tap_from_words(taps[source.columns_start + at.x]);
    let row = tap_from_words(taps[source.rows_start + at.y]);
    var rgb = IMPOSSIBLE;
    if reading == READING_ONE {
        rgb = sample_one(which, source, column, row);
    } else if reading == READING_TWO {
        rgb = sample_two(which, source, column, row);
    } else if reading == READING_MANY {
        rgb = sample(which, source, column, row);
    }
    return Sampled(rgb, column.count > 0u && row.count > 0u);
}

// A source at the two pixels of a thread; black where there is none.
fn sample_pair(
    which: u32,
    reading: u32,
    source: SourceParams,
    thread: u32,
    first: Position,
    second: Position,
) -> SampledPair {
    if reading == READING_NONE {
        let black = Sampled(vec3<f32>(0.0), false);
        return SampledPair(black, black);
    }
    if reading == READING_UNTOUCHED {
        let index = thread * PIXELS_PER_THREAD;
        return SampledPair(
            Sampled(fetch(which, source, index), true),
            Sampled(fetch(which, source, index + 1u), true),
        );
    }
    return SampledPair(
        sample_at(which, reading, source, first),
        sample_at(which, reading, source, second),
    );
}

fn pixel(at: Position, camera: Sampled, slide: Sampled) -> u32 {
    return word_from_rgb(paint(at.x, at.y, camera.rgb, slide.rgb, slide.inside));
}

// Two pixels a thread; the last one of an odd count lands in the padding of the buffer.
@compute @workgroup_size(WORKGROUP_THREADS)
fn compose(
    @builtin(global_invocation_id) id: vec3<u32>,
    @builtin(workgroup_id) group: vec3<u32>,
    @builtin(local_invocation_index) local: u32,
) {
    var thread: u32;
    var first: Position;
    var second: Position;
    if TILED {
        let row_pairs = params.output_width / PIXELS_PER_THREAD;
        let pair = group.x * TILE_PAIRS + local % TILE_PAIRS;
        let y = group.y * (WORKGROUP_THREADS / TILE_PAIRS) + local / TILE_PAIRS;
        if pair >= row_pairs || y >= params.output_height {
            return;
        }
        thread = y * row_pairs + pair;
        first = Position(pair * PIXELS_PER_THREAD, y);
        second = Position(first.x + 1u, y);
    } else {
        thread = id.y * params.row_threads + id.x;
        let index = thread * PIXELS_PER_THREAD;
        if index >= params.output_pixels {
            return;
        }
        first = Position(index % params.output_width, index / params.output_width);
        let next = min(index + 1u, params.output_pixels - 1u);
        second = Position(next % params.output_width, next / params.output_width);
    }
    let camera = sample_pair(SOURCE_CAMERA, CAMERA_READING, params.camera, thread, first, second);
    let slide = sample_pair(SOURCE_SLIDE, SLIDE_READING, params.slide, thread, first, second);
    output_pixels[thread] = vec2<u32>(
        pixel(first, camera.first, slide.first),
        pixel(second, camera.second, slide.second),
    );
}
