// Every number that the shaders share with Rust. Rust owns them; `tests/headless/shader_contract.rs`
// compares names and values.

const VIDEO_BLACK_CODE: f32 = 16.0;
const VIDEO_SPAN_CODES: f32 = 219.0;

const SRGB_ENCODED_KNEE: f32 = 0.04045;
const SRGB_LINEAR_KNEE: f32 = 0.0031308;
const SRGB_SLOPE: f32 = 12.92;
const SRGB_OFFSET: f32 = 0.055;
const SRGB_EXPONENT: f32 = 2.4;

const RAMP_LINEAR: u32 = 0u;
const RAMP_SMOOTH: u32 = 1u;

const ALPHA_STRAIGHT: u32 = 0u;
const ALPHA_PREMULTIPLIED: u32 = 1u;

const BLEND_SPACE_ENCODED: u32 = 0u;
const BLEND_SPACE_LINEAR: u32 = 1u;

const CODE_RANGE_FULL: u32 = 0u;
const CODE_RANGE_VIDEO: u32 = 1u;

const PIXEL_FORMAT_RGBA8: u32 = 0u;
const PIXEL_FORMAT_RGBA16: u32 = 1u;

const SOURCE_CAMERA: u32 = 0u;
const SOURCE_SLIDE: u32 = 1u;

const READING_NONE: u32 = 0u;
const READING_UNTOUCHED: u32 = 1u;
const READING_ONE: u32 = 2u;
const READING_TWO: u32 = 3u;
const READING_MANY: u32 = 4u;

const VIEW_COMPOSITE: u32 = 0u;
const VIEW_MATTE: u32 = 1u;
const VIEW_CAMERA: u32 = 2u;
const VIEW_SLIDE: u32 = 3u;
const VIEW_KEPT: u32 = 4u;
const VIEW_EXPOSURE: u32 = 5u;

const MATTE_DROPPED_BELOW: f32 = 0.02;
const MATTE_SOLID_ABOVE: f32 = 0.98;

const NEAR_BLACK_LUMA: f32 = 0.04;
const CLIPPED_VALUE: f32 = 0.92156863;

const DIMMED: f32 = 0.35;
const BAR_PERIOD_PX: u32 = 6u;
const BAR_PX: u32 = 3u;
const CHECK_PX: u32 = 2u;
const DOT_PERIOD_PX: u32 = 8u;
const DOT_PX: u32 = 2u;

const SKY_BLUE: vec3<f32> = vec3<f32>(0.3372549, 0.7058824, 0.9137255);
const YELLOW: vec3<f32> = vec3<f32>(0.9411765, 0.89411765, 0.25882354);
const VERMILLION: vec3<f32> = vec3<f32>(0.8352941, 0.36862746, 0.0);
const BLUISH_GREEN: vec3<f32> = vec3<f32>(0.0, 0.61960787, 0.4509804);
const REDDISH_PURPLE: vec3<f32> = vec3<f32>(0.8, 0.4745098, 0.654902);
const IMPOSSIBLE: vec3<f32> = vec3<f32>(1.0, 0.0, 1.0);

const WORKGROUP_THREADS: u32 = 256u;
const PIXELS_PER_THREAD: u32 = 2u;
const TILE_PAIRS: u32 = 8u;
