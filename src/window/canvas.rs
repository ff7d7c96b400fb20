//! The window's picture, kept between frames so that only what changed is drawn.
//! A surface cannot be kept: the window system gives another one with every frame.

use super::damage::Damage;
use super::known_textures::KnownTextures;
use super::painter::{Painter, Painting};
use super::present::{Presentation, Presenter};
use super::sight::Sight;

/// The picture of a window and what it is drawn with, on one device.
#[derive(Debug)]
pub struct Canvas {
    format: wgpu::TextureFormat,
    kept: Option<wgpu::Texture>,
    presenter: Presenter,
    painter: Painter,
    blitter: wgpu::util::TextureBlitter,
}

impl Canvas {
    /// An empty one for surfaces of this format, with every known texture.
    pub fn new(
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        format: wgpu::TextureFormat,
        known: &KnownTextures,
    ) -> Self {
        Self {
            format,
            kept: None,
            presenter: Presenter::new(device, format),
            painter: Painter::new(device, queue, format, known),
            blitter: wgpu::util::TextureBlitter::new(device, format),
        }
    }

    /// What draws the panels, for textures that change.
    pub fn painter_mut(&mut self) -> &mut Painter {
        &mut self.painter
    }

    /// Draws what is damaged of a frame, all of it where the surface has another size than before, and
    /// puts the whole frame onto the surface.
    ///
    /// `picture` is the views left and right of the dividing line, and how they are presented.
    pub fn draw(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        sight: &Sight,
        picture: Option<([&wgpu::Buffer; 2], Presentation)>,
        damage: &Damage,
        surface: &wgpu::Texture,
    ) {
        let size = surface.size();
        let is_fitting = |kept: &wgpu::Texture| kept.size() == size;
        let (kept, damage) = match self.kept.take().filter(is_fitting) {
            Some(kept) => (kept, damage),
            None => (self.empty(device, size), &Damage::Whole),
        };
        let size_px = [size.width, size.height];
        let parts = damage.parts(size_px);
        let painting = Painting::new(&sight.primitives, &parts, size_px, sight.pixels_per_point);
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        self.painter.prepare(device, queue, &mut encoder, &painting);
        let view = kept.create_view(&wgpu::TextureViewDescriptor::default());
        let pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("window"),
            color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                view: &view,
                depth_slice: None,
                resolve_target: None,
                ops: wgpu::Operations {
                    load: wgpu::LoadOp::Load,
                    store: wgpu::StoreOp::Store,
                },
            })],
            ..wgpu::RenderPassDescriptor::default()
        });
        let mut pass = pass.forget_lifetime();
        self.presenter.fill(&mut pass, sight.surround, &parts);
        if let Some((views, presentation)) = picture {
            self.presenter
                .draw(device, queue, &mut pass, views, &presentation, &parts);
        }
        self.painter.paint(&mut pass, &painting);
        drop(pass);
        let on_surface = surface.create_view(&wgpu::TextureViewDescriptor::default());
        self.blitter.copy(device, &mut encoder, &view, &on_surface);
        queue.submit([encoder.finish()]);
        self.kept = Some(kept);
    }

    fn empty(&self, device: &wgpu::Device, size: wgpu::Extent3d) -> wgpu::Texture {
        device.create_texture(&wgpu::TextureDescriptor {
            label: Some("window"),
            size,
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: self.format,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::TEXTURE_BINDING,
            view_formats: &[],
        })
    }
}
