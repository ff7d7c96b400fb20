// Runs one function over a table of arguments, for `tests/gpu/twins.rs`. Not part of the compositor.

// Twin: `tests/support/gpu_probe.rs`, compared by `tests/headless/shader_contract.rs`.
const PROBE_TO_CODE: u32 = 0u;
const PROBE_EXPAND_VIDEO: u32 = 1u;
const PROBE_SRGB_DECODE: u32 = 2u;
const PROBE_SRGB_ENCODE: u32 = 3u;
const PROBE_LUMA: u32 = 4u;
const PROBE_MATTE: u32 = 5u;
const PROBE_APPLY_CHAIN: u32 = 6u;
const PROBE_BLEND: u32 = 7u;
const PROBE_RGBA_FROM_WORD: u32 = 8u;
const PROBE_RGBA_FROM_WORDS: u32 = 9u;
const PROBE_READ_SIGNAL: u32 = 10u;
const PROBE_IS_CONTENT: u32 = 11u;
const PROBE_KEPT: u32 = 12u;
const PROBE_EXPOSURE: u32 = 13u;

struct ProbeRow {
    function: u32,
    mode: u32,
    mode_2: u32,
    flag: u32,
    x: u32,
    y: u32,
    word: u32,
    word_2: u32,
    a: vec4<f32>,
    b: vec4<f32>,
    c: vec4<f32>,
}

@group(0) @binding(5) var<storage, read> probe_rows: array<ProbeRow>;
@group(0) @binding(6) var<storage, read_write> probe_results: array<vec4<f32>>;

fn probe_row(row: ProbeRow) -> vec4<f32> {
    switch row.function {
        case PROBE_TO_CODE: {
            return vec4<f32>(f32(to_code(row.a.x)));
        }
        case PROBE_EXPAND_VIDEO: {
            return vec4<f32>(expand_video(row.a.x));
        }
        case PROBE_SRGB_DECODE: {
            return vec4<f32>(srgb_decode(row.a.x));
        }
        case PROBE_SRGB_ENCODE: {
            return vec4<f32>(srgb_encode(row.a.x));
        }
        case PROBE_LUMA: {
            return vec4<f32>(luma(row.a.rgb, row.b.x, row.b.y));
        }
        case PROBE_MATTE: {
            return vec4<f32>(matte(row.a.x, row.b.x, row.b.y, row.mode));
        }
        case PROBE_APPLY_CHAIN: {
            return vec4<f32>(apply_chain(row.a.rgb, row.b.x, row.b.y), 0.0);
        }
        case PROBE_BLEND: {
            return vec4<f32>(blend(row.c.x, row.a.rgb, row.b.rgb, row.mode, row.mode_2), 0.0);
        }
        case PROBE_RGBA_FROM_WORD: {
            return rgba_from_word(row.word, row.a.x);
        }
        case PROBE_RGBA_FROM_WORDS: {
            return rgba_from_words(vec2<u32>(row.word, row.word_2), row.a.x);
        }
        case PROBE_READ_SIGNAL: {
            return vec4<f32>(read_signal(row.a, row.mode, row.flag != 0u), 0.0);
        }
        case PROBE_IS_CONTENT: {
            return vec4<f32>(select(0.0, 1.0, is_content(row.a.rgb, row.b.rgb, row.c.x)));
        }
        case PROBE_KEPT: {
            return vec4<f32>(kept(row.x, row.y, row.a.rgb, row.b.x, row.b.y, row.flag != 0u), 0.0);
        }
        case PROBE_EXPOSURE: {
            return vec4<f32>(exposure(row.x, row.y, row.a.rgb, row.b.x), 0.0);
        }
        default: {
            return vec4<f32>(IMPOSSIBLE, -1.0);
        }
    }
}

@compute @workgroup_size(WORKGROUP_THREADS)
fn probe(@builtin(global_invocation_id) id: vec3<u32>) {
    if id.x < arrayLength(&probe_rows) {
        probe_results[id.x] = probe_row(probe_rows[id.x]);
    }
}
