//! Puts what egui made onto a surface.

use egui::epaint::{ClippedPrimitive, ImageDelta, Mesh, Primitive, TextureId};
use egui::{Rect, pos2};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};

use super::known_textures::KnownTextures;
use super::picture::{WindowRect, to_f32};

/// egui's renderer for one device.
pub struct Painter {
    renderer: Renderer,
}

impl std::fmt::Debug for Painter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Painter").finish_non_exhaustive()
    }
}

/// What is painted in a frame.
#[derive(Clone, Debug)]
pub struct Painting {
    primitives: Vec<ClippedPrimitive>,
    size_px: [u32; 2],
    pixels_per_point: f32,
}

impl Painting {
    /// The triangles that are seen in parts of a frame of this size, of which no two overlap.
    pub fn new(
        primitives: &[ClippedPrimitive],
        parts: &[WindowRect],
        size_px: [u32; 2],
        pixels_per_point: f32,
    ) -> Self {
        let seen = parts.iter().flat_map(|part| {
            let part = rect_in_points(*part, pixels_per_point);
            let seen_in_part = move |primitive| seen_within(primitive, part);
            primitives.iter().filter_map(seen_in_part)
        });
        Self {
            primitives: seen.collect(),
            size_px,
            pixels_per_point,
        }
    }

    /// The frame as the renderer wants it described.
    fn screen(&self) -> ScreenDescriptor {
        ScreenDescriptor {
            size_in_pixels: self.size_px,
            pixels_per_point: self.pixels_per_point,
        }
    }
}

/// A rectangle in pixels as one in points.
fn rect_in_points(part: WindowRect, pixels_per_point: f32) -> Rect {
    let points = |pixels: f64| to_f32(pixels) / pixels_per_point;
    Rect::from_min_max(
        pos2(points(part.left_px), points(part.top_px)),
        pos2(
            points(part.left_px + part.width_px),
            points(part.top_px + part.height_px),
        ),
    )
}

/// What of a primitive is seen in a part of the frame.
fn seen_within(primitive: &ClippedPrimitive, part: Rect) -> Option<ClippedPrimitive> {
    let clip_rect = primitive.clip_rect.intersect(part);
    // Callbacks are not used.
    let Primitive::Mesh(mesh) = &primitive.primitive else {
        return None;
    };
    if !clip_rect.is_positive() {
        return None;
    }
    let is_seen = |triangle: &&[u32]| {
        let mut rect = Rect::NOTHING;
        for corner in triangle
            .iter()
            .filter_map(|&index| mesh.vertices.get(index as usize))
        {
            rect.extend_with(corner.pos);
        }
        rect.intersects(clip_rect)
    };
    let triangles = mesh.indices.chunks_exact(3);
    let indices: Vec<u32> = triangles.filter(is_seen).flatten().copied().collect();
    (!indices.is_empty()).then(|| ClippedPrimitive {
        clip_rect,
        primitive: Primitive::Mesh(Mesh {
            indices,
            vertices: mesh.vertices.clone(),
            texture_id: mesh.texture_id,
        }),
    })
}

impl Painter {
    /// A painter that already has every known texture.
    pub fn new(
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        format: wgpu::TextureFormat,
        known: &KnownTextures,
    ) -> Self {
        let options = RendererOptions {
            dithering: false,
            ..RendererOptions::default()
        };
        let mut renderer = Renderer::new(device, format, options);
        for (id, whole) in known.iter() {
            renderer.update_texture(device, queue, id, whole);
        }
        Self { renderer }
    }

    /// Uploads a changed texture.
    pub fn upload(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        id: TextureId,
        delta: &ImageDelta,
    ) {
        self.renderer.update_texture(device, queue, id, delta);
    }

    /// Drops a texture.
    pub fn free(&mut self, id: TextureId) {
        self.renderer.free_texture(&id);
    }

    /// Uploads the triangles of a frame; comes before [`Painter::paint`].
    pub fn prepare(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        encoder: &mut wgpu::CommandEncoder,
        painting: &Painting,
    ) {
        // No paint callbacks are used, so there are no command buffers to submit before this one.
        self.renderer.update_buffers(
            device,
            queue,
            encoder,
            &painting.primitives,
            &painting.screen(),
        );
    }

    /// Paints the prepared triangles.
    pub fn paint(&self, pass: &mut wgpu::RenderPass<'static>, painting: &Painting) {
        self.renderer
            .render(pass, &painting.primitives, &painting.screen());
    }
}
