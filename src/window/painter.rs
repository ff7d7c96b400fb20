//! Puts what egui made onto a surface.

use egui::epaint::{ClippedPrimitive, ImageDelta, TextureId};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};

use super::known_textures::KnownTextures;

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
#[derive(Clone, Copy, Debug)]
pub struct Painting<'a> {
    /// Triangles.
    pub primitives: &'a [ClippedPrimitive],
    /// Size of the frame.
    pub size_px: [u32; 2],
    /// Physical pixels for each of egui's points.
    pub pixels_per_point: f32,
}

impl Painting<'_> {
    /// The frame as the renderer wants it described.
    fn screen(&self) -> ScreenDescriptor {
        ScreenDescriptor {
            size_in_pixels: self.size_px,
            pixels_per_point: self.pixels_per_point,
        }
    }
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
        painting: &Painting<'_>,
    ) {
        // No paint callbacks are used, so there are no command buffers to submit before this one.
        self.renderer.update_buffers(
            device,
            queue,
            encoder,
            painting.primitives,
            &painting.screen(),
        );
    }

    /// Paints the prepared triangles.
    pub fn paint(&self, pass: &mut wgpu::RenderPass<'static>, painting: &Painting<'_>) {
        self.renderer
            .render(pass, painting.primitives, &painting.screen());
    }
}
