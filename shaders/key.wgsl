// The luma key. Twin: `src/pixel/key.rs`.

fn luma(rgb: vec3<f32>, kr: f32, kb: f32) -> f32 {
    return rgb.g + kr * (rgb.r - rgb.g) + kb * (rgb.b - rgb.g);
}

fn matte(y: f32, t: f32, s: f32, ramp: u32) -> f32 {
    if s <= 0.0 {
        return select(0.0, 1.0, y > t);
    }
    let m = clamp((y - t) / s, 0.0, 1.0);
    if ramp == RAMP_SMOOTH {
        return m * m * (3.0 - 2.0 * m);
    }
    return m;
}
