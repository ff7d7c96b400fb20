//! A texture in the place of a window's surface, what was drawn on it, and what is in a buffer.

use nightglass::gpu::device::Gpu;

/// A texture of this size to draw on; a row is a multiple of 256 bytes, as a copy to a buffer wants.
pub(crate) fn surface(
    gpu: &Gpu,
    [width, height]: [u32; 2],
    format: wgpu::TextureFormat,
) -> wgpu::Texture {
    gpu.device.create_texture(&wgpu::TextureDescriptor {
        label: Some("surface"),
        size: wgpu::Extent3d {
            width,
            height,
            depth_or_array_layers: 1,
        },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format,
        usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
        view_formats: &[],
    })
}

/// The bytes of a surface, four a pixel, once everything that was submitted is drawn.
pub(crate) fn bytes(gpu: &Gpu, surface: &wgpu::Texture) -> Result<Vec<u8>, String> {
    let row = surface.width() * 4;
    read(
        gpu,
        u64::from(row * surface.height()),
        |encoder, read_back| {
            encoder.copy_texture_to_buffer(
                surface.as_image_copy(),
                wgpu::TexelCopyBufferInfo {
                    buffer: read_back,
                    layout: wgpu::TexelCopyBufferLayout {
                        offset: 0,
                        bytes_per_row: Some(row),
                        rows_per_image: None,
                    },
                },
                surface.size(),
            );
        },
    )
}

/// The first bytes of a buffer, once everything that was submitted is done.
pub(crate) fn buffer_bytes(
    gpu: &Gpu,
    buffer: &wgpu::Buffer,
    count: usize,
) -> Result<Vec<u8>, String> {
    let count = count as u64;
    read(gpu, count, |encoder, read_back| {
        encoder.copy_buffer_to_buffer(buffer, 0, read_back, 0, count);
    })
}

/// What a command copies into a buffer of this many bytes.
fn read(
    gpu: &Gpu,
    count: u64,
    copy: impl FnOnce(&mut wgpu::CommandEncoder, &wgpu::Buffer),
) -> Result<Vec<u8>, String> {
    let (device, queue) = (&gpu.device, &gpu.queue);
    let read_back = device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("read back"),
        size: count,
        usage: wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ,
        mapped_at_creation: false,
    });
    let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    copy(&mut encoder, &read_back);
    queue.submit([encoder.finish()]);
    read_back.map_async(wgpu::MapMode::Read, .., |_| {});
    device
        .poll(wgpu::PollType::wait_indefinitely())
        .map_err(|error| error.to_string())?;
    let bytes = read_back
        .get_mapped_range(..)
        .map_err(|error| error.to_string())?;
    Ok(bytes.to_vec())
}
