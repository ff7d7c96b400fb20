//! egui's textures on a device, each bound with the sampler that it asks for.

use std::collections::HashMap;

use egui::epaint::{ImageData, ImageDelta, TextureId};
use egui::{TextureFilter, TextureOptions, TextureWrapMode};

/// The textures of one device.
#[derive(Debug)]
pub(super) struct PaintedTextures {
    layout: wgpu::BindGroupLayout,
    bound: HashMap<TextureId, BoundTexture>,
}

/// A texture with its binding.
#[derive(Debug)]
struct BoundTexture {
    texture: wgpu::Texture,
    group: wgpu::BindGroup,
}

impl PaintedTextures {
    /// No textures yet.
    pub(super) fn new(device: &wgpu::Device) -> Self {
        let entry = |binding, ty| wgpu::BindGroupLayoutEntry {
            binding,
            visibility: wgpu::ShaderStages::FRAGMENT,
            ty,
            count: None,
        };
        let texels = wgpu::BindingType::Texture {
            sample_type: wgpu::TextureSampleType::Float { filterable: true },
            view_dimension: wgpu::TextureViewDimension::D2,
            multisampled: false,
        };
        let filtering = wgpu::BindingType::Sampler(wgpu::SamplerBindingType::Filtering);
        Self {
            layout: device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
                label: Some("texture of the panels"),
                entries: &[entry(0, texels), entry(1, filtering)],
            }),
            bound: HashMap::new(),
        }
    }

    /// How a texture is bound.
    pub(super) fn layout(&self) -> &wgpu::BindGroupLayout {
        &self.layout
    }

    /// The binding of a texture; none where egui freed it.
    pub(super) fn group(&self, id: TextureId) -> Option<&wgpu::BindGroup> {
        self.bound.get(&id).map(|bound| &bound.group)
    }

    /// Takes over a change: a whole texture, or a patch of one that is there.
    pub(super) fn upload(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        id: TextureId,
        delta: &ImageDelta,
    ) {
        let ImageData::Color(image) = &delta.image;
        let [width, height] = image.size.map(px);
        if width == 0 || height == 0 {
            return;
        }
        let size = wgpu::Extent3d {
            width,
            height,
            depth_or_array_layers: 1,
        };
        let corner = delta.pos.map(|corner| corner.map(px));
        if corner.is_none() {
            let bound = self.bind(device, size, delta.options);
            self.bound.insert(id, bound);
        }
        let Some(bound) = self.bound.get(&id) else {
            return;
        };
        let mut target = bound.texture.as_image_copy();
        [target.origin.x, target.origin.y] = corner.unwrap_or_default();
        queue.write_texture(
            target,
            bytemuck::cast_slice(&image.pixels),
            wgpu::TexelCopyBufferLayout {
                offset: 0,
                bytes_per_row: Some(4 * width),
                rows_per_image: None,
            },
            size,
        );
    }

    /// Drops a texture.
    pub(super) fn free(&mut self, id: TextureId) {
        self.bound.remove(&id);
    }

    fn bind(
        &self,
        device: &wgpu::Device,
        size: wgpu::Extent3d,
        options: TextureOptions,
    ) -> BoundTexture {
        let texture = device.create_texture(&wgpu::TextureDescriptor {
            label: Some("texture of the panels"),
            size,
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: wgpu::TextureFormat::Rgba8Unorm,
            usage: wgpu::TextureUsages::TEXTURE_BINDING | wgpu::TextureUsages::COPY_DST,
            view_formats: &[],
        });
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let wrap = address_mode(options.wrap_mode);
        let sampler = device.create_sampler(&wgpu::SamplerDescriptor {
            label: Some("texture of the panels"),
            address_mode_u: wrap,
            address_mode_v: wrap,
            mag_filter: filter_mode(options.magnification),
            min_filter: filter_mode(options.minification),
            ..wgpu::SamplerDescriptor::default()
        });
        let group = device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("texture of the panels"),
            layout: &self.layout,
            entries: &[
                wgpu::BindGroupEntry {
                    binding: 0,
                    resource: wgpu::BindingResource::TextureView(&view),
                },
                wgpu::BindGroupEntry {
                    binding: 1,
                    resource: wgpu::BindingResource::Sampler(&sampler),
                },
            ],
        });
        BoundTexture { texture, group }
    }
}

/// A side of a texture, which a device limits to far less than this can hold.
fn px(side: usize) -> u32 {
    u32::try_from(side).unwrap_or(u32::MAX)
}

fn filter_mode(filter: TextureFilter) -> wgpu::FilterMode {
    match filter {
        TextureFilter::Nearest => wgpu::FilterMode::Nearest,
        TextureFilter::Linear => wgpu::FilterMode::Linear,
    }
}

fn address_mode(wrap: TextureWrapMode) -> wgpu::AddressMode {
    match wrap {
        TextureWrapMode::ClampToEdge => wgpu::AddressMode::ClampToEdge,
        TextureWrapMode::Repeat => wgpu::AddressMode::Repeat,
        TextureWrapMode::MirroredRepeat => wgpu::AddressMode::MirrorRepeat,
    }
}
