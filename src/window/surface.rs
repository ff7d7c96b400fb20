//! A window's surface: configured to the window's size before every frame, opened again when it is lost.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::Arc;

use thiserror::Error;
use winit::window::Window;

use super::graphics::Graphics;

/// Formats that take code values as they are; an sRGB format would encode them once more.
const FORMATS: [wgpu::TextureFormat; 2] = [
    wgpu::TextureFormat::Bgra8Unorm,
    wgpu::TextureFormat::Rgba8Unorm,
];

/// A window that cannot be drawn on.
#[derive(Debug, Error)]
pub enum SurfaceError {
    /// The window system gives no surface.
    #[error("cannot draw on the window")]
    Create {
        /// What the window system says.
        #[from]
        source: wgpu::CreateSurfaceError,
    },
    /// No format shows code values unchanged.
    #[error("the window offers no 8-bit format without sRGB encoding: {offered:?}")]
    Format {
        /// What it offers.
        offered: Vec<wgpu::TextureFormat>,
    },
}

/// What became of asking for the next frame.
#[derive(Debug)]
pub enum NextFrame {
    /// Draw on this.
    Ready(wgpu::SurfaceTexture),
    /// Ask again a little later.
    Later,
    /// Nothing of the window is visible, or it has no area; it will say when that changes.
    Hidden,
    /// The device gives no frames any more; only another one helps.
    Broken,
}

/// When a frame is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// With the monitor; asking for the next frame may wait for it.
    Monitor,
    /// As soon as possible where that does not tear, so that this window never holds up another.
    NeverWaiting,
}

/// A window with its surface.
#[derive(Debug)]
pub struct WindowSurface {
    window: Arc<Window>,
    surface: wgpu::Surface<'static>,
    config: wgpu::SurfaceConfiguration,
    configured: bool,
}

impl WindowSurface {
    /// The surface of a window, for an adapter that supports it.
    pub fn new(
        window: Arc<Window>,
        surface: wgpu::Surface<'static>,
        adapter: &wgpu::Adapter,
        pace: Pace,
    ) -> Result<Self, SurfaceError> {
        let capabilities = surface.get_capabilities(adapter);
        let format = FORMATS
            .into_iter()
            .find(|format| capabilities.formats.contains(format));
        let Some(format) = format else {
            return Err(SurfaceError::Format {
                offered: capabilities.formats,
            });
        };
        let mailbox = wgpu::PresentMode::Mailbox;
        let present_mode =
            if pace == Pace::NeverWaiting && capabilities.present_modes.contains(&mailbox) {
                mailbox
            } else {
                wgpu::PresentMode::Fifo
            };
        let alpha_mode = if capabilities
            .alpha_modes
            .contains(&wgpu::CompositeAlphaMode::Opaque)
        {
            wgpu::CompositeAlphaMode::Opaque
        } else {
            wgpu::CompositeAlphaMode::Auto
        };
        let config = wgpu::SurfaceConfiguration {
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
            format,
            color_space: wgpu::SurfaceColorSpace::Auto,
            width: 0,
            height: 0,
            present_mode,
            desired_maximum_frame_latency: 1,
            alpha_mode,
            view_formats: Vec::new(),
        };
        Ok(Self {
            window,
            surface,
            config,
            configured: false,
        })
    }

    /// The window.
    pub fn window(&self) -> &Arc<Window> {
        &self.window
    }

    /// The format that frames have.
    pub fn format(&self) -> wgpu::TextureFormat {
        self.config.format
    }

    /// Width and height of the frame last asked for.
    pub fn size_px(&self) -> [u32; 2] {
        [self.config.width, self.config.height]
    }

    /// The next frame, always of the window's present size, so that no picture is ever stretched.
    pub fn next_frame(&mut self, graphics: &Graphics) -> Result<NextFrame, SurfaceError> {
        let size = self.window.inner_size();
        if size.width == 0 || size.height == 0 {
            return Ok(NextFrame::Hidden);
        }
        if self.size_px() != [size.width, size.height] {
            self.config.width = size.width;
            self.config.height = size.height;
            self.configured = false;
        }
        // Once more after the surface was outdated or lost; then it is given time.
        for _ in 0..2 {
            if !self.configured && !self.configure(graphics) {
                return Ok(NextFrame::Broken);
            }
            match self.surface.get_current_texture() {
                wgpu::CurrentSurfaceTexture::Success(frame)
                | wgpu::CurrentSurfaceTexture::Suboptimal(frame) => {
                    return Ok(NextFrame::Ready(frame));
                }
                wgpu::CurrentSurfaceTexture::Occluded => return Ok(NextFrame::Hidden),
                wgpu::CurrentSurfaceTexture::Timeout => return Ok(NextFrame::Later),
                wgpu::CurrentSurfaceTexture::Validation => return Ok(NextFrame::Broken),
                wgpu::CurrentSurfaceTexture::Outdated => self.configured = false,
                wgpu::CurrentSurfaceTexture::Lost => {
                    self.configured = false;
                    self.surface = graphics.instance.create_surface(self.window.clone())?;
                }
            }
        }
        Ok(NextFrame::Later)
    }

    /// Shows a frame that was drawn; whether the device could.
    pub fn show(&self, graphics: &Graphics, frame: wgpu::SurfaceTexture) -> bool {
        if graphics.gpu.is_lost() {
            let_go(frame);
            return false;
        }
        self.window.pre_present_notify();
        graphics.gpu.queue.present(frame);
        true
    }

    /// Applies size and format. Where that fails no frame may be asked for, which would panic.
    fn configure(&mut self, graphics: &Graphics) -> bool {
        self.surface.configure(&graphics.gpu.device, &self.config);
        self.configured = graphics.gpu.check().is_ok();
        self.configured
    }
}

/// Lets go of a frame of a lost device.
///
/// wgpu 30 keeps such a frame in its surface, and panics when that is dropped, but not where the frame was dropped while
/// the thread unwinds.
fn let_go(frame: wgpu::SurfaceTexture) {
    let unwound = catch_unwind(AssertUnwindSafe(move || {
        let _frame = frame;
        resume_unwind(Box::new(()))
    }));
    // It ends so by design.
    drop::<Result<(), _>>(unwound);
}
