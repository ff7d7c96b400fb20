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
    mirrored: u32,
    // Factor on every value, 1 where nothing is dimmed.
    brightness_frac: f32,
    reserved: u32,
}

@group(0) @binding(0) var<uniform> params: PresentParams;
@group(0) @binding(1) var<storage, read> pixels: array<u32>;

@vertex
fn cover(@builtin(vertex_index) index: u32) -> @builtin(position) vec4<f32> {
    // One triangle that covers the viewport: (-1, -1), (3, -1), (-1, 3).
    let x = f32((index & 1u) * 4u) - 1.0;
    let y = f32((index >> 1u) * 4u) - 1.0;
    return vec4<f32>(x, y, 0.0, 1.0);
}

fn rgb_at(x: u32, y: u32) -> vec3<f32> {
    let column = select(x, params.output_width - 1u - x, params.mirrored != 0u);
    return unpack4x8unorm(pixels[y * params.output_width + column]).rgb;
}

// Mean over the rectangle, each pixel weighted with the part of it that lies inside.
fn area_average(start: vec2<f32>, end: vec2<f32>) -> vec3<f32> {
    let last = vec2<f32>(f32(params.output_width), f32(params.output_height));
    let from_edge = clamp(start, vec2<f32>(0.0), last);
    let to_edge = clamp(end, vec2<f32>(0.0), last);
    let first_pixel = vec2<u32>(floor(from_edge));
    let end_pixel = vec2<u32>(ceil(to_edge));
    var sum = vec3<f32>(0.0);
    for (var y = first_pixel.y; y < end_pixel.y; y += 1u) {
        var line = vec3<f32>(0.0);
        for (var x = first_pixel.x; x < end_pixel.x; x += 1u) {
            let width = min(to_edge.x, f32(x) + 1.0) - max(from_edge.x, f32(x));
            line += width * rgb_at(x, y);
        }
        sum += (min(to_edge.y, f32(y) + 1.0) - max(from_edge.y, f32(y))) * line;
    }
    let sides = to_edge - from_edge;
    return sum / (sides.x * sides.y);
}

@fragment
fn present(@builtin(position) position: vec4<f32>) -> @location(0) vec4<f32> {
    let corner = vec2<f32>(params.left_px, params.top_px);
    let centre = (position.xy - corner) * params.output_per_window;
    var rgb: vec3<f32>;
    if params.output_per_window <= 1.0 {
        // Which surface pixels are drawn is rounded, so a centre may lie on the far edge.
        let last = vec2<u32>(params.output_width - 1u, params.output_height - 1u);
        let pixel = min(vec2<u32>(floor(max(centre, vec2<f32>(0.0)))), last);
        rgb = rgb_at(pixel.x, pixel.y);
    } else {
        let half_side = vec2<f32>(0.5 * params.output_per_window);
        rgb = area_average(centre - half_side, centre + half_side);
    }
    return vec4<f32>(params.brightness_frac * rgb, 1.0);
}

// What is around the pictures; the blend constant is its colour.
@fragment
fn fill() -> @location(0) vec4<f32> {
    return vec4<f32>(1.0);
}
