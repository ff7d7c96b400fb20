//! Draws finished pictures onto a surface, split at the dividing line, at the place that `picture` says.
//! The pictures stay in their buffers; nothing here changes a value except the dimming of the window.

use super::picture::{PictureLayout, WindowRect};

/// The shader's text.
const SHADER: &str = include_str!("../../shaders/present.wgsl");

/// Uniforms of `shaders/present.wgsl`, same order and names.
#[derive(Clone, Copy, Debug, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(C)]
pub struct PresentParams {
    /// Width of the picture.
    pub output_width: u32,
    /// Height of the picture.
    pub output_height: u32,
    /// Surface column of the picture's left edge.
    pub left_px: f32,
    /// Surface row of the picture's top edge.
    pub top_px: f32,
    /// Output pixels for each surface pixel.
    pub output_per_window: f32,
    /// 1 flips left and right.
    pub mirrored: u32,
    /// Factor on every value, 1 where nothing is dimmed.
    pub brightness_frac: f32,
    /// Fills the last vector.
    pub reserved: u32,
}

/// How a picture goes onto a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Presentation {
    /// Where it lies.
    pub layout: PictureLayout,
    /// The part of the surface that may be drawn on.
    pub area: WindowRect,
    /// Surface column from which the right view is shown.
    pub divider_px: f64,
    /// Whether left and right are flipped.
    pub mirrored: bool,
    /// Factor on every value, 1 where nothing is dimmed.
    pub brightness_frac: f32,
}

impl Presentation {
    /// In the numbers of the shader.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions on a surface stay far below 2^24, where f32 is exact"
    )]
    pub fn params(&self) -> PresentParams {
        let Self {
            layout,
            area: _,
            divider_px: _,
            mirrored,
            brightness_frac,
        } = *self;
        PresentParams {
            output_width: layout.output.width(),
            output_height: layout.output.height(),
            left_px: layout.corner_px[0] as f32,
            top_px: layout.corner_px[1] as f32,
            output_per_window: (1.0 / layout.zoom) as f32,
            mirrored: u32::from(mirrored),
            brightness_frac,
            reserved: 0,
        }
    }

    /// What the picture covers left and right of the dividing line.
    fn sides(&self) -> [WindowRect; 2] {
        let picture = self.layout.visible(self.area).rounded();
        let line = self.divider_px.round().max(picture.left_px);
        let left = WindowRect {
            width_px: (line - picture.left_px).min(picture.width_px),
            ..picture
        };
        let right = WindowRect {
            left_px: picture.left_px + left.width_px,
            width_px: picture.width_px - left.width_px,
            ..picture
        };
        [left, right]
    }
}

/// The pipelines for one surface.
#[derive(Debug)]
pub struct Presenter {
    pipeline: wgpu::RenderPipeline,
    filling: wgpu::RenderPipeline,
    bindings: wgpu::BindGroupLayout,
    params: wgpu::Buffer,
}

impl Presenter {
    /// A presenter for surfaces of this format.
    pub fn new(device: &wgpu::Device, format: wgpu::TextureFormat) -> Self {
        let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
            label: Some("present"),
            source: wgpu::ShaderSource::Wgsl(SHADER.into()),
        });
        let bindings = device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("present"),
            entries: &[
                binding(0, wgpu::BufferBindingType::Uniform),
                binding(1, wgpu::BufferBindingType::Storage { read_only: true }),
            ],
        });
        let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
            label: Some("present"),
            bind_group_layouts: &[Some(&bindings)],
            immediate_size: 0,
        });
        let pipeline = |entry_point, layout, blend| {
            device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
                label: Some(entry_point),
                layout,
                vertex: wgpu::VertexState {
                    module: &module,
                    entry_point: Some("cover"),
                    compilation_options: wgpu::PipelineCompilationOptions::default(),
                    buffers: &[],
                },
                primitive: wgpu::PrimitiveState::default(),
                depth_stencil: None,
                multisample: wgpu::MultisampleState::default(),
                fragment: Some(wgpu::FragmentState {
                    module: &module,
                    entry_point: Some(entry_point),
                    compilation_options: wgpu::PipelineCompilationOptions::default(),
                    targets: &[Some(wgpu::ColorTargetState {
                        format,
                        blend,
                        write_mask: wgpu::ColorWrites::ALL,
                    })],
                }),
                multiview_mask: None,
                cache: None,
            })
        };
        let params = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("present params"),
            size: size_of::<PresentParams>() as u64,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        // The colour is the blend constant, so that filling needs no parameters.
        let constant = wgpu::BlendComponent {
            src_factor: wgpu::BlendFactor::Constant,
            dst_factor: wgpu::BlendFactor::Zero,
            operation: wgpu::BlendOperation::Add,
        };
        let constant = wgpu::BlendState {
            color: constant,
            alpha: constant,
        };
        Self {
            pipeline: pipeline("present", Some(&layout), None),
            filling: pipeline("fill", None, Some(constant)),
            bindings,
            params,
        }
    }

    /// Fills parts of the surface with a colour.
    pub fn fill(&self, pass: &mut wgpu::RenderPass<'_>, color: wgpu::Color, parts: &[WindowRect]) {
        pass.set_pipeline(&self.filling);
        pass.set_blend_constant(color);
        draw_parts(pass, parts.iter().copied());
    }

    /// Draws the left and the right picture, both of the size that the layout says, each on its side
    /// of the dividing line, within these parts of the surface.
    ///
    /// The pass must be submitted before the next call, since both share one set of parameters.
    pub fn draw(
        &self,
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        pass: &mut wgpu::RenderPass<'_>,
        views: [&wgpu::Buffer; 2],
        presentation: &Presentation,
        parts: &[WindowRect],
    ) {
        let params = presentation.params();
        queue.write_buffer(&self.params, 0, bytemuck::bytes_of(&params));
        pass.set_pipeline(&self.pipeline);
        for (view, side) in views.into_iter().zip(presentation.sides()) {
            let group = device.create_bind_group(&wgpu::BindGroupDescriptor {
                label: Some("present"),
                layout: &self.bindings,
                entries: &[
                    wgpu::BindGroupEntry {
                        binding: 0,
                        resource: self.params.as_entire_binding(),
                    },
                    wgpu::BindGroupEntry {
                        binding: 1,
                        resource: view.as_entire_binding(),
                    },
                ],
            });
            pass.set_bind_group(0, &group, &[]);
            draw_parts(pass, parts.iter().map(|part| part.intersect(side)));
        }
    }
}

/// Has the pipeline cover parts of the surface.
fn draw_parts(pass: &mut wgpu::RenderPass<'_>, parts: impl Iterator<Item = WindowRect>) {
    for [x, y, width, height] in parts.filter_map(WindowRect::pixels) {
        pass.set_scissor_rect(x, y, width, height);
        pass.draw(0..3, 0..1);
    }
}

/// A buffer that the fragment stage reads.
fn binding(binding: u32, ty: wgpu::BufferBindingType) -> wgpu::BindGroupLayoutEntry {
    wgpu::BindGroupLayoutEntry {
        binding,
        visibility: wgpu::ShaderStages::FRAGMENT,
        ty: wgpu::BindingType::Buffer {
            ty,
            has_dynamic_offset: false,
            min_binding_size: None,
        },
        count: None,
    }
}
