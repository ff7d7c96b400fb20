//! Puts what egui made onto a surface.
//! Its shader is as plain as it can be: on an adapter in software the panels cost more than the picture.

use egui::Rect;
use egui::epaint::{ClippedPrimitive, ImageDelta, Primitive, TextureId, Vertex};

use super::known_textures::KnownTextures;
use super::painted_textures::PaintedTextures;

/// The shader's text.
const SHADER: &str = include_str!("../../shaders/panels.wgsl");

/// Uniforms of `shaders/panels.wgsl`, same order and names.
#[derive(Clone, Copy, Debug, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(C)]
pub struct PanelParams {
    /// Width of the surface in points.
    pub width_points: f32,
    /// Height of the surface in points.
    pub height_points: f32,
    /// Fills the vector.
    pub reserved: u32,
    /// Fills the vector.
    pub reserved_1: u32,
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
    #[expect(
        clippy::cast_precision_loss,
        reason = "a surface has far fewer than 2^24 pixels a side"
    )]
    fn params(&self) -> PanelParams {
        let [width, height] = self.size_px.map(|px| px as f32 / self.pixels_per_point);
        PanelParams {
            width_points: width,
            height_points: height,
            reserved: 0,
            reserved_1: 0,
        }
    }

    /// The pixels of the surface inside a rectangle in points, as x, y, width, height; none where there are none.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "held inside the surface, which has far fewer than 2^24 pixels a side"
    )]
    fn scissor(&self, clip: Rect) -> Option<[u32; 4]> {
        let [width, height] = self.size_px.map(|px| px as f32);
        let px = |points: f32, end: f32| (points * self.pixels_per_point).round().clamp(0.0, end);
        let [left, right] = [clip.min.x, clip.max.x].map(|x| px(x, width) as u32);
        let [top, bottom] = [clip.min.y, clip.max.y].map(|y| px(y, height) as u32);
        (right > left && bottom > top).then(|| [left, top, right - left, bottom - top])
    }
}

/// What paints on one device.
#[derive(Debug)]
pub struct Painter {
    pipeline: wgpu::RenderPipeline,
    params: wgpu::Buffer,
    params_group: wgpu::BindGroup,
    textures: PaintedTextures,
    vertices: GrowingBuffer,
    indices: GrowingBuffer,
}

impl Painter {
    /// A painter that already has every known texture.
    pub fn new(
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        format: wgpu::TextureFormat,
        known: &KnownTextures,
    ) -> Self {
        let mut textures = PaintedTextures::new(device);
        for (id, whole) in known.iter() {
            textures.upload(device, queue, id, whole);
        }
        let params = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("panel params"),
            size: size_of::<PanelParams>() as u64,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        let params_layout = device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("panel params"),
            entries: &[wgpu::BindGroupLayoutEntry {
                binding: 0,
                visibility: wgpu::ShaderStages::VERTEX,
                ty: wgpu::BindingType::Buffer {
                    ty: wgpu::BufferBindingType::Uniform,
                    has_dynamic_offset: false,
                    min_binding_size: None,
                },
                count: None,
            }],
        });
        let params_group = device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("panel params"),
            layout: &params_layout,
            entries: &[wgpu::BindGroupEntry {
                binding: 0,
                resource: params.as_entire_binding(),
            }],
        });
        let layouts = [&params_layout, textures.layout()];
        let growing = |usage| GrowingBuffer::new(device, usage);
        Self {
            pipeline: pipeline(device, format, layouts),
            params,
            params_group,
            textures,
            vertices: growing(wgpu::BufferUsages::VERTEX),
            indices: growing(wgpu::BufferUsages::INDEX),
        }
    }

    /// Uploads a changed texture.
    pub fn upload(
        &mut self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        id: TextureId,
        delta: &ImageDelta,
    ) {
        self.textures.upload(device, queue, id, delta);
    }

    /// Drops a texture.
    pub fn free(&mut self, id: TextureId) {
        self.textures.free(id);
    }

    /// Uploads the triangles of a frame; comes before [`Painter::paint`].
    pub fn prepare(&mut self, device: &wgpu::Device, queue: &wgpu::Queue, painting: &Painting<'_>) {
        let params = painting.params();
        queue.write_buffer(&self.params, 0, bytemuck::bytes_of(&params));
        let (mut vertices, mut indices) = (Vec::new(), Vec::new());
        // No callbacks are among the shapes, so all primitives are meshes.
        for primitive in painting.primitives {
            if let Primitive::Mesh(mesh) = &primitive.primitive {
                vertices.extend_from_slice(&mesh.vertices);
                indices.extend_from_slice(&mesh.indices);
            }
        }
        self.vertices
            .write(device, queue, bytemuck::cast_slice(&vertices));
        self.indices
            .write(device, queue, bytemuck::cast_slice(&indices));
    }

    /// Paints the prepared triangles.
    pub fn paint(&self, pass: &mut wgpu::RenderPass<'_>, painting: &Painting<'_>) {
        pass.set_pipeline(&self.pipeline);
        pass.set_bind_group(0, &self.params_group, &[]);
        pass.set_vertex_buffer(0, self.vertices.buffer.slice(..));
        pass.set_index_buffer(self.indices.buffer.slice(..), wgpu::IndexFormat::Uint32);
        let (mut first_vertex, mut first_index) = (0_i32, 0_u32);
        for ClippedPrimitive {
            clip_rect,
            primitive,
        } in painting.primitives
        {
            let Primitive::Mesh(mesh) = primitive else {
                continue;
            };
            let end = first_index.saturating_add(count(mesh.indices.len()));
            if let Some([x, y, width, height]) = painting.scissor(*clip_rect)
                && let Some(group) = self.textures.group(mesh.texture_id)
            {
                pass.set_scissor_rect(x, y, width, height);
                pass.set_bind_group(1, group, &[]);
                pass.draw_indexed(first_index..end, first_vertex, 0..1);
            }
            first_index = end;
            first_vertex = first_vertex.saturating_add_unsigned(count(mesh.vertices.len()));
        }
    }
}

/// How many corners or triangles there are, which no window has 2^32 of.
fn count(len: usize) -> u32 {
    u32::try_from(len).unwrap_or(u32::MAX)
}

/// A buffer that is made anew, twice as large, where what is written does not fit.
#[derive(Debug)]
struct GrowingBuffer {
    buffer: wgpu::Buffer,
    usage: wgpu::BufferUsages,
}

/// Bytes that a buffer begins with. Source: chosen, a window of panels fits.
const FIRST_BYTES: u64 = 1 << 19;

impl GrowingBuffer {
    fn new(device: &wgpu::Device, usage: wgpu::BufferUsages) -> Self {
        Self {
            buffer: Self::make(device, usage, FIRST_BYTES),
            usage,
        }
    }

    fn write(&mut self, device: &wgpu::Device, queue: &wgpu::Queue, bytes: &[u8]) {
        let size = bytes.len() as u64;
        if size > self.buffer.size() {
            self.buffer = Self::make(device, self.usage, size.max(2 * self.buffer.size()));
        }
        queue.write_buffer(&self.buffer, 0, bytes);
    }

    fn make(device: &wgpu::Device, usage: wgpu::BufferUsages, size: u64) -> wgpu::Buffer {
        device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("triangles of the panels"),
            size,
            usage: usage | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        })
    }
}

fn pipeline(
    device: &wgpu::Device,
    format: wgpu::TextureFormat,
    layouts: [&wgpu::BindGroupLayout; 2],
) -> wgpu::RenderPipeline {
    let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
        label: Some("panels"),
        source: wgpu::ShaderSource::Wgsl(SHADER.into()),
    });
    let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
        label: Some("panels"),
        bind_group_layouts: &layouts.map(Some),
        immediate_size: 0,
    });
    device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
        label: Some("panels"),
        layout: Some(&layout),
        vertex: wgpu::VertexState {
            module: &module,
            entry_point: Some("corner"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            buffers: &[Some(wgpu::VertexBufferLayout {
                array_stride: size_of::<Vertex>() as u64,
                step_mode: wgpu::VertexStepMode::Vertex,
                attributes: &wgpu::vertex_attr_array![0 => Float32x2, 1 => Float32x2, 2 => Unorm8x4],
            })],
        },
        primitive: wgpu::PrimitiveState::default(),
        depth_stencil: None,
        multisample: wgpu::MultisampleState::default(),
        fragment: Some(wgpu::FragmentState {
            module: &module,
            entry_point: Some("paint"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            targets: &[Some(wgpu::ColorTargetState {
                format,
                blend: Some(wgpu::BlendState::PREMULTIPLIED_ALPHA_BLENDING),
                write_mask: wgpu::ColorWrites::ALL,
            })],
        }),
        multiview_mask: None,
        cache: None,
    })
}
