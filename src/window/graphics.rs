//! The device that all windows are drawn with, opened for the first of them.

use std::sync::Arc;

use thiserror::Error;
use winit::event_loop::OwnedDisplayHandle;
use winit::window::Window;

use crate::gpu::device::{Gpu, GpuError};

/// Nothing can be drawn.
#[derive(Debug, Error)]
pub enum GraphicsError {
    /// The window system gives no surface.
    #[error("cannot draw on the window")]
    Surface(#[from] wgpu::CreateSurfaceError),
    /// No adapter can draw on the window.
    #[error("no graphics adapter can draw on the window")]
    NoAdapter(#[from] wgpu::RequestAdapterError),
    /// The adapter cannot be opened.
    #[error("the graphics adapter `{adapter}` refused to be opened")]
    DeviceRefused {
        /// Its name.
        adapter: String,
        /// What wgpu says.
        source: wgpu::RequestDeviceError,
    },
    /// The adapter failed right after it was opened.
    #[error(transparent)]
    Failed(#[from] GpuError),
}

/// An open device and what it takes to open surfaces for it.
#[derive(Debug)]
pub struct Graphics {
    /// Opens surfaces.
    pub instance: wgpu::Instance,
    /// Adapter, device and queue.
    pub gpu: Gpu,
}

impl Graphics {
    /// Opens the adapter that suits the window, and the window's surface with it.
    pub fn open(
        display: OwnedDisplayHandle,
        window: Arc<Window>,
    ) -> Result<(Self, wgpu::Surface<'static>), GraphicsError> {
        let descriptor =
            wgpu::InstanceDescriptor::new_with_display_handle_from_env(Box::new(display));
        let instance = wgpu::Instance::new(descriptor);
        let surface = instance.create_surface(window)?;
        let wanted = wgpu::RequestAdapterOptions {
            power_preference: wgpu::PowerPreference::HighPerformance,
            compatible_surface: Some(&surface),
            ..wgpu::RequestAdapterOptions::default()
        };
        let adapter = pollster::block_on(instance.request_adapter(&wanted))?;
        let (required_features, required_limits) = Gpu::required(&adapter);
        let descriptor = wgpu::DeviceDescriptor {
            label: Some("nightglass window"),
            required_features,
            required_limits,
            ..wgpu::DeviceDescriptor::default()
        };
        let (device, queue) =
            pollster::block_on(adapter.request_device(&descriptor)).map_err(|source| {
                GraphicsError::DeviceRefused {
                    adapter: adapter.get_info().name,
                    source,
                }
            })?;
        let gpu = Gpu::from_parts(adapter, device, queue);
        gpu.check()?;
        Ok((Self { instance, gpu }, surface))
    }
}
