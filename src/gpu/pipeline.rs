//! The compute pipelines, one for each variant that was asked for, made on first use and kept.

use wgpu::{
    BindGroupLayout, BindGroupLayoutDescriptor, BindGroupLayoutEntry, BindingType,
    BufferBindingType, ComputePipeline, ComputePipelineDescriptor, PipelineCompilationOptions,
    PipelineLayout, PipelineLayoutDescriptor, ShaderModule, ShaderModuleDescriptor, ShaderSource,
    ShaderStages,
};

use super::device::{Gpu, GpuError};
use super::layout::Variant;

/// Binding numbers of the pass.
pub mod bindings {
    /// The uniform buffer.
    pub const PARAMS: u32 = 0;
    /// The camera's pixels.
    pub const CAMERA_WORDS: u32 = 1;
    /// The slide's pixels.
    pub const SLIDE_WORDS: u32 = 2;
    /// Both sources' taps.
    pub const TAPS: u32 = 3;
    /// What is made.
    pub const OUTPUT_PIXELS: u32 = 4;
}

/// Name of the pass in `shaders/composite.wgsl`.
const ENTRY_POINT: &str = "compose";

/// The kind of each binding, in the order of their numbers.
pub const BINDING_KINDS: [(u32, BufferBindingType); 5] = [
    (bindings::PARAMS, BufferBindingType::Uniform),
    (
        bindings::CAMERA_WORDS,
        BufferBindingType::Storage { read_only: true },
    ),
    (
        bindings::SLIDE_WORDS,
        BufferBindingType::Storage { read_only: true },
    ),
    (
        bindings::TAPS,
        BufferBindingType::Storage { read_only: true },
    ),
    (
        bindings::OUTPUT_PIXELS,
        BufferBindingType::Storage { read_only: false },
    ),
];

/// The shader and what was made of it.
#[derive(Debug)]
pub struct Pipelines {
    module: ShaderModule,
    bindings: BindGroupLayout,
    layout: PipelineLayout,
    made: Vec<(Variant, ComputePipeline)>,
}

impl Pipelines {
    /// Hands the shader to the adapter; no pipeline is made yet.
    pub fn new(gpu: &Gpu, shader: &str) -> Result<Self, GpuError> {
        let module = gpu.device.create_shader_module(ShaderModuleDescriptor {
            label: Some("composite"),
            source: ShaderSource::Wgsl(shader.into()),
        });
        let entries = BINDING_KINDS.map(|(binding, ty)| BindGroupLayoutEntry {
            binding,
            visibility: ShaderStages::COMPUTE,
            ty: BindingType::Buffer {
                ty,
                has_dynamic_offset: false,
                min_binding_size: None,
            },
            count: None,
        });
        let bindings = gpu
            .device
            .create_bind_group_layout(&BindGroupLayoutDescriptor {
                label: Some("composite"),
                entries: &entries,
            });
        let layout = gpu
            .device
            .create_pipeline_layout(&PipelineLayoutDescriptor {
                label: Some("composite"),
                bind_group_layouts: &[Some(&bindings)],
                immediate_size: 0,
            });
        gpu.check()?;
        Ok(Self {
            module,
            bindings,
            layout,
            made: Vec::new(),
        })
    }

    /// The layout that every bind group of the pass has.
    pub fn bindings(&self) -> &BindGroupLayout {
        &self.bindings
    }

    /// The pipeline for a variant.
    pub fn get(&mut self, gpu: &Gpu, variant: Variant) -> ComputePipeline {
        let made = self.made.iter().find(|(of, _)| *of == variant);
        if let Some((_, pipeline)) = made {
            return pipeline.clone();
        }
        let constants = variant.overrides();
        let descriptor = ComputePipelineDescriptor {
            label: Some("composite"),
            layout: Some(&self.layout),
            module: &self.module,
            entry_point: Some(ENTRY_POINT),
            compilation_options: PipelineCompilationOptions {
                constants: &constants,
                ..PipelineCompilationOptions::default()
            },
            cache: None,
        };
        let pipeline = gpu.device.create_compute_pipeline(&descriptor);
        self.made.push((variant, pipeline.clone()));
        pipeline
    }
}
