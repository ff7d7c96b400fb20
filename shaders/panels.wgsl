// Draws the triangles of the panels: the vertex's colour times the texture's, both encoded and premultiplied.
// No twin: what it draws never reaches a file. Nothing branches, since an adapter in software computes both sides.

struct PanelParams {
    // Size of the surface in points, which vertices are in.
    width_points: f32,
    height_points: f32,
    reserved: u32,
    reserved_1: u32,
}

@group(0) @binding(0) var<uniform> params: PanelParams;
@group(1) @binding(0) var texels: texture_2d<f32>;
@group(1) @binding(1) var filtering: sampler;

struct Corner {
    @builtin(position) position: vec4<f32>,
    @location(0) uv: vec2<f32>,
    @location(1) color: vec4<f32>,
}

@vertex
fn corner(
    @location(0) position_points: vec2<f32>,
    @location(1) uv: vec2<f32>,
    @location(2) color: vec4<f32>,
) -> Corner {
    let x = 2.0 * position_points.x / params.width_points - 1.0;
    let y = 1.0 - 2.0 * position_points.y / params.height_points;
    return Corner(vec4<f32>(x, y, 0.0, 1.0), uv, color);
}

@fragment
fn paint(in: Corner) -> @location(0) vec4<f32> {
    return in.color * textureSample(texels, filtering, in.uv);
}
