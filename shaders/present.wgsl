// Draws finished pictures onto a surface: crisp from 1:1 on, averaged over each pixel's area below.
// No twin: what it draws never reaches a file. Placement comes from `src/window/picture.rs`.

struct PresentParams {
    output_width: u32,
    output_height: u32,
    // Where the picture's top left corner lies on the surface.
    left_px: f32,
    top_px: f32,
    // Output pixels for each surface pixel.
    output_per_window: f32,
    // Surface column from which the right view is shown.
    divider_px: f32,
    mirrored: u32,
    // Factor on every value, 1 where nothing is dimmed.
    brightness_frac: f32,
}

@group(0) @binding(0) var<uniform> params: PresentParams;
@group(0) @binding(1) var<storage, read> left_pixels: array<u32>;
@group(0) @binding(2) var<storage, read> right_pixels: array<u32>;

@vertex
fn cover(@builtin(vertex_index) index: u32) -> @builtin(position) vec4<f32> {
    // One triangle that covers the viewport: (-1, -1), (3, -1), (-1, 3).
    let x = f32((index & 1u) * 4u) - 1.0;
    let y = f32((index >> 1u) * 4u) - 1.0;
    return vec4<f32>(x, y, 0.0, 1.0);
}

fn rgb_at(x: u32, y: u32, right: bool) -> vec3<f32> {
    var column = x;
    if params.mirrored != 0u {
        column = params.output_width - 1u - x;
    }
    let index = y * params.output_width + column;
    var word: u32;
    if right {
        word = right_pixels[index];
    } else {
        word = left_pixels[index];
    }
    return unpack4x8unorm(word).rgb;
}

// Mean over the rectangle, each pixel weighted with the part of it that lies inside.
fn area_average(start: vec2<f32>, end: vec2<f32>, right: bool) -> vec3<f32> {
    let last = vec2<f32>(f32(params.output_width), f32(params.output_height));
    let from_edge = clamp(start, vec2<f32>(0.0), last);
    let to_edge = clamp(end, vec2<f32>(0.0), last);
    let first_pixel = vec2<u32>(floor(from_edge));
    let end_pixel = vec2<u32>(ceil(to_edge));
    var sum = vec3<f32>(0.0);
    var weight_sum = 0.0;
    for (var y = first_pixel.y; y < end_pixel.y; y += 1u) {
        let height = min(to_edge.y, f32(y) + 1.0) - max(from_edge.y, f32(y));
        for (var x = first_pixel.x; x < end_pixel.x; x += 1u) {
            let width = min(to_edge.x, f32(x) + 1.0) - max(from_edge.x, f32(x));
            let weight = width * height;
            sum += weight * rgb_at(x, y, right);
            weight_sum += weight;
        }
    }
    return sum / weight_sum;
}

@fragment
fn present(@builtin(position) position: vec4<f32>) -> @location(0) vec4<f32> {
    let corner = vec2<f32>(params.left_px, params.top_px);
    let centre = (position.xy - corner) * params.output_per_window;
    let size = vec2<f32>(f32(params.output_width), f32(params.output_height));
    if any(centre < vec2<f32>(0.0)) || any(centre >= size) {
        discard;
    }
    let right = position.x >= params.divider_px;
    var rgb: vec3<f32>;
    if params.output_per_window <= 1.0 {
        let pixel = vec2<u32>(floor(centre));
        rgb = rgb_at(pixel.x, pixel.y, right);
    } else {
        let half_side = vec2<f32>(0.5 * params.output_per_window);
        rgb = area_average(centre - half_side, centre + half_side, right);
    }
    return vec4<f32>(params.brightness_frac * rgb, 1.0);
}
