// Code values and light. Twin: `src/pixel/color.rs`.

fn to_code(v: f32) -> u32 {
    // Becoming a whole number cuts off, which rounds down from 0 on, and makes 0 of what is under it.
    return u32(min(255.0 * v + 0.5, 255.0));
}

fn expand_video(v: f32) -> f32 {
    return clamp((255.0 * v - VIDEO_BLACK_CODE) / VIDEO_SPAN_CODES, 0.0, 1.0);
}

fn srgb_decode(v: f32) -> f32 {
    if v <= SRGB_ENCODED_KNEE {
        return v / SRGB_SLOPE;
    }
    return pow((v + SRGB_OFFSET) / (1.0 + SRGB_OFFSET), SRGB_EXPONENT);
}

fn srgb_encode(v: f32) -> f32 {
    if v <= SRGB_LINEAR_KNEE {
        return v * SRGB_SLOPE;
    }
    return (1.0 + SRGB_OFFSET) * pow(v, 1.0 / SRGB_EXPONENT) - SRGB_OFFSET;
}
