//! How long the adapter itself takes for a pass, by timestamps around it. Upload and read-back are
//! not in it.

use std::time::{Duration, Instant};

use nightglass::gpu::compositor::{Compositor, OutputBuffer};
use nightglass::gpu::device::Gpu;
use nightglass::pixel::plan::Plan;

/// Most passes that are timed in one submission.
const MAX_PASSES: u32 = 512;

/// Work without memory traffic. The sum is stored so that it is not left out.
const BUSY: &str = "
@group(0) @binding(0) var<storage, read_write> sums: array<u32>;
@compute @workgroup_size(256)
fn busy(@builtin(global_invocation_id) id: vec3<u32>) {
    var sum = id.x;
    for (var i = 0u; i < 20000u; i++) {
        sum = sum * 1664525u + 1013904223u;
    }
    sums[id.x % 256u] = sum;
}";
/// Workgroups of such work, enough for the largest adapters.
const BUSY_WORKGROUPS: u32 = 4096;
/// How long an adapter is kept busy before it is timed. Source: chosen; an H100 rests at 345 MHz
/// while frames are made, works at 1980 MHz, and without this was timed in between, 2026-11-25.
const WAKE_TIME: Duration = Duration::from_millis(300);

/// Brings an adapter to the clock rate that it has under load.
pub(crate) struct Waker {
    pipeline: wgpu::ComputePipeline,
    bind_group: wgpu::BindGroup,
}

impl Waker {
    pub(crate) fn new(gpu: &Gpu) -> Self {
        let device = &gpu.device;
        let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
            label: Some("busy"),
            source: wgpu::ShaderSource::Wgsl(BUSY.into()),
        });
        let pipeline = device.create_compute_pipeline(&wgpu::ComputePipelineDescriptor {
            label: Some("busy"),
            layout: None,
            module: &module,
            entry_point: Some("busy"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            cache: None,
        });
        let sums = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("busy"),
            size: 1024,
            usage: wgpu::BufferUsages::STORAGE,
            mapped_at_creation: false,
        });
        let bind_group = device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("busy"),
            layout: &pipeline.get_bind_group_layout(0),
            entries: &[wgpu::BindGroupEntry {
                binding: 0,
                resource: sums.as_entire_binding(),
            }],
        });
        Self {
            pipeline,
            bind_group,
        }
    }

    fn submit(&self, gpu: &Gpu) {
        let mut encoder = gpu
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        let mut pass = encoder.begin_compute_pass(&wgpu::ComputePassDescriptor::default());
        pass.set_pipeline(&self.pipeline);
        pass.set_bind_group(0, &self.bind_group, &[]);
        pass.dispatch_workgroups(BUSY_WORKGROUPS, 1, 1);
        drop(pass);
        gpu.queue.submit([encoder.finish()]);
    }

    /// Keeps the adapter busy, and leaves it work for the time in which passes are encoded.
    pub(crate) fn wake(&self, gpu: &Gpu) -> Result<(), String> {
        let start = Instant::now();
        while start.elapsed() < WAKE_TIME {
            self.submit(gpu);
            gpu.device
                .poll(wgpu::PollType::wait_indefinitely())
                .map_err(|error| error.to_string())?;
        }
        for _ in 0..8 {
            self.submit(gpu);
        }
        Ok(())
    }
}

/// Times `passes` passes of a plan whose frames are uploaded, in milliseconds, shortest first.
pub(crate) fn time_passes(
    gpu: &Gpu,
    compositor: &mut Compositor,
    plan: &Plan<'_>,
    passes: u32,
) -> Result<Vec<f64>, String> {
    if !gpu
        .device
        .features()
        .contains(wgpu::Features::TIMESTAMP_QUERY)
    {
        return Err("the adapter has no timestamps".to_owned());
    }
    let passes = passes.clamp(1, MAX_PASSES);
    let text = |error: nightglass::gpu::device::GpuError| error.to_string();
    let output = OutputBuffer::new(gpu, plan.output).map_err(text)?;
    let queries = gpu.device.create_query_set(&wgpu::QuerySetDescriptor {
        label: Some("pass times"),
        ty: wgpu::QueryType::Timestamp,
        count: 2 * passes,
    });
    let bytes = 2 * u64::from(passes) * 8;
    let buffer = |usage| {
        gpu.device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("pass times"),
            size: bytes,
            usage,
            mapped_at_creation: false,
        })
    };
    let resolved = buffer(wgpu::BufferUsages::QUERY_RESOLVE | wgpu::BufferUsages::COPY_SRC);
    let staging = buffer(wgpu::BufferUsages::MAP_READ | wgpu::BufferUsages::COPY_DST);
    let mut encoder = gpu
        .device
        .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    for pass in 0..passes {
        let writes = wgpu::ComputePassTimestampWrites {
            query_set: &queries,
            beginning_of_pass_write_index: Some(2 * pass),
            end_of_pass_write_index: Some(2 * pass + 1),
        };
        compositor
            .encode_timed(&mut encoder, plan, &output, writes)
            .map_err(text)?;
    }
    encoder.resolve_query_set(&queries, 0..2 * passes, &resolved, 0);
    encoder.copy_buffer_to_buffer(&resolved, 0, &staging, 0, bytes);
    gpu.queue.submit([encoder.finish()]);
    staging.map_async(wgpu::MapMode::Read, .., |_| {});
    gpu.device
        .poll(wgpu::PollType::wait_indefinitely())
        .map_err(|error| error.to_string())?;
    gpu.check().map_err(text)?;
    let mapped = staging
        .get_mapped_range(..)
        .map_err(|error| error.to_string())?;
    let ticks: &[u64] = bytemuck::cast_slice(&mapped);
    let ms_per_tick = f64::from(gpu.queue.get_timestamp_period()) / 1e6;
    let mut times: Vec<f64> = ticks
        .chunks_exact(2)
        .map(|pair| pair[1].saturating_sub(pair[0]) as f64 * ms_per_tick)
        .collect();
    times.sort_by(f64::total_cmp);
    Ok(times)
}
