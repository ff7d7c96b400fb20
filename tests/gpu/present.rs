//! What `shaders/present.wgsl` puts on a surface: exact pixels from 1:1 on, the mean of the area below.

use nightglass::gpu::compositor::OutputBuffer;
use nightglass::gpu::device::Gpu;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;
use nightglass::window::picture::{PictureLayout, WindowRect, layout};
use nightglass::window::present::{Presentation, Presenter};
use nightglass::window::zooming::Zoom;

use crate::harness::{Check, Tally};
use crate::read_back::{bytes, surface};

/// Pixels of the surface; 256 bytes a row, as a copy to a buffer wants.
const SURFACE_PX: [u32; 2] = [64, 48];
const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8Unorm;

const AREA: WindowRect = WindowRect {
    left_px: 4.0,
    top_px: 3.0,
    width_px: 57.0,
    height_px: 41.0,
};

pub(crate) fn checks() -> Vec<Check> {
    let mut checks = Vec::new();
    for (name, zoom) in [
        ("one to one", Zoom::Scale(1.0)),
        ("three times the size", Zoom::Scale(3.0)),
        ("fitted", Zoom::Fit),
        ("a third of the size", Zoom::Scale(1.0 / 3.0)),
    ] {
        for (side, mirrored) in [("", false), (", mirrored", true)] {
            checks.push(Check::new(format!("present: {name}{side}"), move |gpu| {
                compare(gpu, zoom, mirrored)
            }));
        }
    }
    checks
}

fn view(seed: u32) -> Frame {
    Frame::from_fn(Size::new(131, 97).unwrap(), |x, y| {
        [0, 1, 2].map(|c| (x * 7 + y * 13 + c * 29 + seed + (x * y) % 11 * 19) as u8)
    })
}

fn compare(gpu: &Gpu, zoom: Zoom, mirrored: bool) -> Result<Tally, String> {
    let views = [view(0), view(101)];
    let laid = layout(zoom, [0.4, 0.6], views[0].size(), AREA);
    let presentation = Presentation {
        layout: laid,
        area: AREA,
        divider_px: 30.0,
        mirrored,
        brightness_frac: 1.0,
    };
    let seen = presented(gpu, &views, &presentation)?;
    let visible = laid.visible(AREA).rounded();
    let mut tally = Tally::default();
    for y in 0..SURFACE_PX[1] {
        for x in 0..SURFACE_PX[0] {
            let got = &seen[(y * SURFACE_PX[0] + x) as usize * 4..][..3];
            let frame = &views[usize::from(x >= 30)];
            let middle = [f64::from(x) + 0.5, f64::from(y) + 0.5];
            let inside = laid.pixel_at(middle).is_some() && is_in(visible, middle);
            let expected = if inside {
                mean(frame, &laid, [x, y], mirrored)
            } else {
                [0.0; 3]
            };
            for c in 0..3 {
                let off = (f64::from(got[c]) - expected[c]).abs();
                tally.compared += 1;
                // A mean that lies between two codes may be rounded either way.
                if off > 0.51 {
                    tally.off_by_one += 1;
                }
                if off > 1.0 {
                    tally.off_by_more += 1;
                }
            }
        }
    }
    if laid.zoom >= 1.0 && tally.off_by_one > 0 || tally.off_by_more > 0 {
        return Err(format!("{tally:?}"));
    }
    Ok(tally)
}

fn is_in(rect: WindowRect, at: [f64; 2]) -> bool {
    at[0] >= rect.left_px
        && at[1] >= rect.top_px
        && at[0] < rect.left_px + rect.width_px
        && at[1] < rect.top_px + rect.height_px
}

/// The mean code over the area of a surface pixel; the pixel itself from 1:1 on.
fn mean(frame: &Frame, laid: &PictureLayout, at: [u32; 2], mirrored: bool) -> [f64; 3] {
    let (width, height) = (frame.size().width(), frame.size().height());
    let code = |x: u32, y: u32| {
        let column = if mirrored { width - 1 - x } else { x };
        let index = (y * width + column) as usize * 4;
        [0, 1, 2].map(|c| f64::from(frame.bytes()[index + c]))
    };
    let [x, y] = at.map(f64::from);
    if laid.zoom >= 1.0 {
        let (column, row) = laid.pixel_at([x + 0.5, y + 0.5]).unwrap();
        return code(column, row);
    }
    let from = laid.output_from_window([x, y]);
    let to = laid.output_from_window([x + 1.0, y + 1.0]);
    let part = |pixel: u32, from: f64, to: f64| {
        (to.min(f64::from(pixel) + 1.0) - from.max(f64::from(pixel))).max(0.0)
    };
    let (mut sum, mut weights) = ([0.0; 3], 0.0);
    for row in 0..height {
        for column in 0..width {
            let weight = part(column, from[0], to[0]) * part(row, from[1], to[1]);
            weights += weight;
            let rgb = code(column, row);
            sum = [0, 1, 2].map(|c| sum[c] + weight * rgb[c]);
        }
    }
    sum.map(|v| v / weights)
}

/// The surface's bytes after the views were presented on black.
fn presented(
    gpu: &Gpu,
    views: &[Frame; 2],
    presentation: &Presentation,
) -> Result<Vec<u8>, String> {
    let (device, queue) = (&gpu.device, &gpu.queue);
    let mut buffers = Vec::new();
    for frame in views {
        let buffer = OutputBuffer::new(gpu, frame.size()).map_err(|error| error.to_string())?;
        buffer.write(queue, frame);
        buffers.push(buffer);
    }
    let surface = surface(gpu, SURFACE_PX, FORMAT);
    let presenter = Presenter::new(device, FORMAT);
    let target = surface.create_view(&wgpu::TextureViewDescriptor::default());
    let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    let mut pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
        label: Some("present"),
        color_attachments: &[Some(wgpu::RenderPassColorAttachment {
            view: &target,
            depth_slice: None,
            resolve_target: None,
            ops: wgpu::Operations {
                load: wgpu::LoadOp::Clear(wgpu::Color::BLACK),
                store: wgpu::StoreOp::Store,
            },
        })],
        ..wgpu::RenderPassDescriptor::default()
    });
    let sources = [buffers[0].buffer(), buffers[1].buffer()];
    let all = [WindowRect::of_surface(SURFACE_PX)];
    presenter.draw(device, queue, &mut pass, sources, presentation, &all);
    drop(pass);
    queue.submit([encoder.finish()]);
    bytes(gpu, &surface)
}
