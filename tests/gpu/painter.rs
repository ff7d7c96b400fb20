//! What the panels' painter puts on a surface: colours over each other, textures with their patches, clipped to pixels.
//! Source of "over" with premultiplied colours: Porter and Duff, Compositing Digital Images, 1984.

use egui::epaint::{ClippedPrimitive, ImageDelta, Mesh, Primitive, TextureId};
use egui::{Color32, ColorImage, Rect, TextureOptions, pos2};
use nightglass::gpu::device::Gpu;
use nightglass::window::known_textures::KnownTextures;
use nightglass::window::painter::{Painter, Painting};

use crate::harness::{Check, Tally};
use crate::surface::drawn;

/// 256 bytes a row.
const SURFACE_PX: [u32; 2] = [64, 48];
const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8Unorm;
const PIXELS_PER_POINT: f32 = 2.0;
const TEXTURE: TextureId = TextureId::Managed(7);
/// In points: it covers 40 x 24 pixels from 8, 6.
const PLACE: Rect = Rect::from_min_max(pos2(4.0, 3.0), pos2(24.0, 15.0));
/// Pixels of the texture; each covers four of the surface.
const TEXELS: [usize; 2] = [20, 12];
const PATCH: [usize; 4] = [5, 2, 4, 3];

pub(crate) fn checks() -> Vec<Check> {
    let mut checks = Vec::new();
    for (name, way) in [
        ("one after the other", Way::Uploaded),
        ("from those known", Way::Known),
    ] {
        checks.push(Check::new(
            format!("painter: textures {name}"),
            move |gpu| textured(gpu, way),
        ));
    }
    checks.push(Check::new(
        "painter: colours over each other, clipped",
        over,
    ));
    checks.push(Check::new(
        "painter: more than the first buffers hold",
        many,
    ));
    checks
}

/// How textures come to the painter.
#[derive(Clone, Copy, Debug)]
enum Way {
    Uploaded,
    Known,
}

fn texel(x: usize, y: usize) -> Color32 {
    Color32::from_rgb((x * 12) as u8, (y * 20) as u8, 90)
}

fn is_in_patch(x: usize, y: usize) -> bool {
    let [left, top, width, height] = PATCH;
    (left..left + width).contains(&x) && (top..top + height).contains(&y)
}

fn deltas() -> [ImageDelta; 2] {
    let [width, height] = TEXELS;
    let texels = (0..width * height).map(|i| texel(i % width, i / width));
    let whole = ColorImage::new(TEXELS, texels.collect());
    let [left, top, width, height] = PATCH;
    let patch = ColorImage::filled([width, height], Color32::WHITE);
    [
        ImageDelta::full(whole, TextureOptions::NEAREST),
        ImageDelta::partial([left, top], patch, TextureOptions::NEAREST),
    ]
}

fn textured(gpu: &Gpu, way: Way) -> Result<Tally, String> {
    let (device, queue) = (&gpu.device, &gpu.queue);
    let mut known = KnownTextures::default();
    if matches!(way, Way::Known) {
        for delta in deltas() {
            known.apply(TEXTURE, &delta);
        }
    }
    let mut painter = Painter::new(device, queue, FORMAT, &known);
    if matches!(way, Way::Uploaded) {
        for delta in deltas() {
            painter.upload(device, queue, TEXTURE, &delta);
        }
    }
    let mut mesh = Mesh::with_texture(TEXTURE);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    mesh.add_rect_with_uv(PLACE, whole, Color32::WHITE);
    let seen = painted(gpu, &mut painter, &[clipped(Rect::EVERYTHING, mesh)])?;
    compare(&seen, |x, y| {
        if !(8..48).contains(&x) || !(6..30).contains(&y) {
            return [0.0; 3];
        }
        let (column, row) = ((x as usize - 8) / 2, (y as usize - 6) / 2);
        let color = if is_in_patch(column, row) {
            Color32::WHITE
        } else {
            texel(column, row)
        };
        [color.r(), color.g(), color.b()].map(f64::from)
    })
}

fn white_texture(gpu: &Gpu) -> Painter {
    let mut known = KnownTextures::default();
    let white = ColorImage::filled([1, 1], Color32::WHITE);
    let delta = ImageDelta::full(white, TextureOptions::LINEAR);
    known.apply(TEXTURE, &delta);
    Painter::new(&gpu.device, &gpu.queue, FORMAT, &known)
}

fn over(gpu: &Gpu) -> Result<Tally, String> {
    let below = Color32::from_rgb(200, 40, 90);
    let above = Color32::from_rgba_premultiplied(30, 60, 10, 100);
    let clip = Rect::from_min_max(pos2(10.0, 0.0), pos2(32.0, 9.0));
    let primitives = [
        clipped(Rect::EVERYTHING, rect_of(PLACE, below)),
        // Of no height: nothing of it may be seen.
        clipped(
            Rect::from_min_max(pos2(0.0, 4.0), pos2(32.0, 4.0)),
            rect_of(PLACE, Color32::WHITE),
        ),
        clipped(clip, rect_of(PLACE, above)),
    ];
    let seen = painted(gpu, &mut white_texture(gpu), &primitives)?;
    compare(&seen, |x, y| {
        if !(8..48).contains(&x) || !(6..30).contains(&y) {
            return [0.0; 3];
        }
        let below = [200.0, 40.0, 90.0];
        if x < 20 || y >= 18 {
            return below;
        }
        let shines_through = 1.0 - 100.0 / 255.0;
        [
            30.0 + below[0] * shines_through,
            60.0 + below[1] * shines_through,
            10.0 + below[2] * shines_through,
        ]
    })
}

fn many(gpu: &Gpu) -> Result<Tally, String> {
    // 20 bytes a corner, four corners a rectangle, in buffers of half a mebibyte.
    let mut mesh = Mesh::with_texture(TEXTURE);
    for _ in 0..20_000 {
        let corner = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        mesh.append(rect_of(corner, Color32::WHITE));
    }
    let last = rect_of(PLACE, Color32::from_rgb(10, 20, 30));
    let primitives = [
        clipped(Rect::EVERYTHING, mesh),
        clipped(Rect::EVERYTHING, last),
    ];
    let seen = painted(gpu, &mut white_texture(gpu), &primitives)?;
    compare(&seen, |x, y| {
        if x < 2 && y < 2 {
            [255.0; 3]
        } else if (8..48).contains(&x) && (6..30).contains(&y) {
            [10.0, 20.0, 30.0]
        } else {
            [0.0; 3]
        }
    })
}

fn rect_of(place: Rect, color: Color32) -> Mesh {
    let mut mesh = Mesh::with_texture(TEXTURE);
    mesh.add_rect_with_uv(
        place,
        Rect::from_min_max(pos2(0.5, 0.5), pos2(0.5, 0.5)),
        color,
    );
    mesh
}

fn clipped(clip_rect: Rect, mesh: Mesh) -> ClippedPrimitive {
    ClippedPrimitive {
        clip_rect,
        primitive: Primitive::Mesh(mesh),
    }
}

fn painted(
    gpu: &Gpu,
    painter: &mut Painter,
    primitives: &[ClippedPrimitive],
) -> Result<Vec<u8>, String> {
    let painting = Painting {
        primitives,
        size_px: SURFACE_PX,
        pixels_per_point: PIXELS_PER_POINT,
    };
    painter.prepare(&gpu.device, &gpu.queue, &painting);
    drawn(gpu, SURFACE_PX, FORMAT, |pass| {
        painter.paint(pass, &painting);
    })
}

fn compare(seen: &[u8], expected: impl Fn(u32, u32) -> [f64; 3]) -> Result<Tally, String> {
    let mut tally = Tally::default();
    for y in 0..SURFACE_PX[1] {
        for x in 0..SURFACE_PX[0] {
            let got = &seen[(y * SURFACE_PX[0] + x) as usize * 4..][..3];
            for (got, expected) in got.iter().zip(expected(x, y)) {
                let off = (f64::from(*got) - expected).abs();
                tally.compared += 1;
                // Adapters blend in a precision of their own.
                if off > 0.51 {
                    tally.off_by_one += 1;
                }
                if off > 1.0 {
                    tally.off_by_more += 1;
                }
            }
        }
    }
    if tally.off_by_more > 0 {
        return Err(format!("{tally:?}"));
    }
    Ok(tally)
}
