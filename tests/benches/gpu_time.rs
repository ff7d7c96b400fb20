//! How long the adapter itself takes for a pass, by timestamps around it. Upload and read-back are
//! not in it.

use nightglass::gpu::compositor::{Compositor, OutputBuffer};
use nightglass::gpu::device::Gpu;
use nightglass::pixel::plan::Plan;

/// Most passes that are timed in one submission.
const MAX_PASSES: u32 = 512;

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
