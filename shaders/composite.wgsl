// The blend, and the pass that makes a picture. Twin: `src/pixel/composite.rs`; the pass follows
// `src/pixel/reference.rs`.

struct Params {
    output_width: u32,
    output_pixels: u32,
    view: u32,
    ramp: u32,
    alpha: u32,
    blend_space: u32,
    kr: f32,
    kb: f32,
    threshold: f32,
    softness: f32,
    gain: f32,
    offset: f32,
    background: vec4<f32>,
    chained: u32,
    tolerance: f32,
    row_threads: u32,
    reserved: u32,
    camera: SourceParams,
    slide: SourceParams,
}

@group(0) @binding(0) var<uniform> params: Params;
@group(0) @binding(4) var<storage, read_write> output_pixels: array<vec2<u32>>;

// True where the source lies untouched and opaque in 8-bit full range: its words are the output's.
override CAMERA_DIRECT: bool = false;
override SLIDE_DIRECT: bool = false;
override VIEW: u32 = VIEW_COMPOSITE;

fn apply_chain(slide: vec3<f32>, gain: f32, offset: f32) -> vec3<f32> {
    return clamp(gain * slide + offset, vec3<f32>(0.0), vec3<f32>(1.0));
}

fn blend(m: f32, slide: vec3<f32>, camera: vec3<f32>, alpha: u32, blend_space: u32) -> vec3<f32> {
    var s = slide;
    var c = camera;
    if blend_space == BLEND_SPACE_LINEAR {
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
        return blend(m, slide, camera, params.alpha, params.blend_space);
    }
    return IMPOSSIBLE;
}

fn word_from_rgb(rgb: vec3<f32>) -> u32 {
    return to_code(rgb.r) | (to_code(rgb.g) << 8u) | (to_code(rgb.b) << 16u) | 0xff000000u;
}

fn camera_at(column: u32, row: u32) -> vec3<f32> {
    if params.camera.present == 0u {
        return vec3<f32>(0.0);
    }
    return sample(
        SOURCE_CAMERA,
        params.camera,
        taps[params.camera.columns_start + column],
        taps[params.camera.rows_start + row],
    );
}

struct PlacedSlide {
    rgb: vec3<f32>,
    inside: bool,
}

fn slide_at(column: u32, row: u32) -> PlacedSlide {
    if params.slide.present == 0u {
        return PlacedSlide(vec3<f32>(0.0), false);
    }
    let column_tap = taps[params.slide.columns_start + column];
    let row_tap = taps[params.slide.rows_start + row];
    let rgb = sample(SOURCE_SLIDE, params.slide, column_tap, row_tap);
    return PlacedSlide(rgb, column_tap.count > 0u && row_tap.count > 0u);
}

fn pixel(index: u32, camera_word: u32, slide_word: u32) -> u32 {
    let x = index % params.output_width;
    let y = index / params.output_width;
    var camera: vec3<f32>;
    if CAMERA_DIRECT {
        camera = rgba_from_word(camera_word).rgb;
    } else {
        camera = camera_at(x, y);
    }
    var slide: PlacedSlide;
    if SLIDE_DIRECT {
        slide = PlacedSlide(rgba_from_word(slide_word).rgb, true);
    } else {
        slide = slide_at(x, y);
    }
    return word_from_rgb(paint(x, y, camera, slide.rgb, slide.inside));
}

// Two pixels a thread; the last one of an odd count lands in the padding of the buffer.
@compute @workgroup_size(WORKGROUP_THREADS)
fn compose(@builtin(global_invocation_id) id: vec3<u32>) {
    let thread = id.y * params.row_threads + id.x;
    let first = thread * PIXELS_PER_THREAD;
    if first >= params.output_pixels {
        return;
    }
    var camera_words = vec2<u32>(0u);
    var slide_words = vec2<u32>(0u);
    if CAMERA_DIRECT {
        camera_words = camera_pixels[thread];
    }
    if SLIDE_DIRECT {
        slide_words = slide_pixels[thread];
    }
    let second = min(first + 1u, params.output_pixels - 1u);
    output_pixels[thread] = vec2<u32>(
        pixel(first, camera_words.x, slide_words.x),
        pixel(second, camera_words.y, slide_words.y),
    );
}
