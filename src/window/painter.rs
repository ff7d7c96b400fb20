//! Puts what egui made onto a surface, and remembers its textures so that a new device can be given them again.

use egui::epaint::{ClippedPrimitive, ImageData, ImageDelta, TextureId};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};

/// The textures that egui believes the device has.
#[derive(Default)]
pub struct KnownTextures {
    whole: Vec<(TextureId, ImageDelta)>,
}

impl std::fmt::Debug for KnownTextures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("KnownTextures")
            .field("count", &self.whole.len())
            .finish()
    }
}

impl KnownTextures {
    /// Takes over a change: a whole texture, or a patch of one that is known.
    pub fn apply(&mut self, id: TextureId, delta: &ImageDelta) {
        let known = self.whole.iter_mut().find(|(known, _)| *known == id);
        match (known, delta.pos) {
            (Some((_, whole)), Some(corner)) => patch(whole, delta, corner),
            (Some((_, whole)), None) => *whole = delta.clone(),
            (None, _) => self.whole.push((id, delta.clone())),
        }
    }

    /// Forgets a texture.
    pub fn free(&mut self, id: TextureId) {
        self.whole.retain(|(known, _)| *known != id);
    }
}

/// Copies a patch into a whole texture at a corner.
fn patch(whole: &mut ImageDelta, delta: &ImageDelta, corner: [usize; 2]) {
    let ImageData::Color(from) = &delta.image;
    let ImageData::Color(shared) = &mut whole.image;
    let into = std::sync::Arc::make_mut(shared);
    let [width, _] = into.size;
    for (row, line) in from.pixels.chunks_exact(from.size[0].max(1)).enumerate() {
        let start = (corner[1] + row) * width + corner[0];
        if let Some(target) = into.pixels.get_mut(start..start + line.len()) {
            target.copy_from_slice(line);
        }
    }
    whole.options = delta.options;
}

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
#[derive(Debug)]
pub struct Painting {
    /// Triangles.
    pub primitives: Vec<ClippedPrimitive>,
    /// Size of the frame.
    pub size_px: [u32; 2],
    /// Physical pixels for each of egui's points.
    pub pixels_per_point: f32,
}

impl Painting {
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
        for (id, delta) in &known.whole {
            renderer.update_texture(device, queue, *id, delta);
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
