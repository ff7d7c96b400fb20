// What is shown of slide, camera and key. Twin: `src/pixel/views.rs`.

fn is_content(slide: vec3<f32>, background: vec3<f32>, tolerance: f32) -> bool {
    return abs(slide.r - background.r) > tolerance
        || abs(slide.g - background.g) > tolerance
        || abs(slide.b - background.b) > tolerance;
}

fn kept(x: u32, y: u32, slide: vec3<f32>, luma: f32, m: f32, content: bool) -> vec3<f32> {
    let dimmed = slide * DIMMED;
    if !content {
        return dimmed;
    }
    if m > MATTE_SOLID_ABOVE {
        let shade = DIMMED + (1.0 - DIMMED) * luma;
        return BLUISH_GREEN * shade;
    }
    if m < MATTE_DROPPED_BELOW {
        return select(dimmed, VERMILLION, y % BAR_PERIOD_PX < BAR_PX);
    }
    return select(dimmed, YELLOW, (x / CHECK_PX + y / CHECK_PX) % 2u == 0u);
}

fn exposure(x: u32, y: u32, camera: vec3<f32>, luma: f32) -> vec3<f32> {
    let grey = vec3<f32>(luma);
    let all_channels = min(min(camera.r, camera.g), camera.b);
    if luma >= CLIPPED_VALUE || all_channels >= CLIPPED_VALUE {
        let on = (x / CHECK_PX + y / CHECK_PX) % 2u == 0u;
        return select(grey, REDDISH_PURPLE, on);
    }
    if luma < NEAR_BLACK_LUMA {
        let on = x % DOT_PERIOD_PX < DOT_PX && y % DOT_PERIOD_PX < DOT_PX;
        return select(grey, SKY_BLUE, on);
    }
    return grey;
}
