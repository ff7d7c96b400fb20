//! The clean output: the composite alone, filling one monitor. Nothing else is ever drawn on it.

use std::sync::Arc;

use thiserror::Error;
use winit::event_loop::ActiveEventLoop;
use winit::monitor::MonitorHandle;
use winit::window::{Fullscreen, Window, WindowId};

use super::graphics::Graphics;
use super::main_window::Shown;
use super::picture::{WindowRect, layout};
use super::present::{Presentation, Presenter};
use super::surface::{NextFrame, Pace, SurfaceError, WindowSurface};
use super::zooming::Zoom;
use crate::gpu::compositor::OutputBuffer;

/// The clean output could not be opened.
#[derive(Debug, Error)]
pub enum OutputError {
    /// The window system gives no window.
    #[error("cannot open a window on the monitor")]
    Window(#[from] winit::error::OsError),
    /// The window gives no surface.
    #[error(transparent)]
    Create(#[from] wgpu::CreateSurfaceError),
    /// The surface cannot be drawn on.
    #[error(transparent)]
    Surface(#[from] SurfaceError),
}

/// Everything that decides what the monitor shows; it is drawn again only when this changes.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Drawn {
    revision: u64,
    size_px: [u32; 2],
    mirrored: bool,
}

/// The window on the presenter's monitor.
#[derive(Debug)]
pub struct CleanOutput {
    surface: WindowSurface,
    presenter: Presenter,
    monitor: MonitorHandle,
    drawn: Option<Drawn>,
    visible: bool,
}

impl CleanOutput {
    /// Opens it on a monitor; it is shown with its first picture.
    pub fn open(
        event_loop: &ActiveEventLoop,
        graphics: &Graphics,
        monitor: MonitorHandle,
    ) -> Result<Self, OutputError> {
        // Position and size are for window systems that do not honour full screen.
        let attributes = Window::default_attributes()
            .with_title("nightglass: clean output")
            .with_visible(false)
            .with_decorations(false)
            .with_position(monitor.position())
            .with_inner_size(monitor.size())
            .with_fullscreen(Some(Fullscreen::Borderless(Some(monitor.clone()))));
        let window = Arc::new(event_loop.create_window(attributes)?);
        window.set_cursor_visible(false);
        let (surface, presenter) = draw_on(graphics, &window)?;
        Ok(Self {
            surface,
            presenter,
            monitor,
            drawn: None,
            visible: false,
        })
    }

    /// The window's number in events.
    pub fn id(&self) -> WindowId {
        self.surface.window().id()
    }

    /// The monitor that it was opened on.
    pub fn monitor(&self) -> &MonitorHandle {
        &self.monitor
    }

    /// Makes the next drawing happen even though the picture is the same.
    pub fn damage(&mut self) {
        self.drawn = None;
    }

    /// Whether it shows this making of the composite already.
    pub fn shows(&self, revision: u64, mirrored: bool) -> bool {
        self.drawn == Some(self.drawn_with(revision, mirrored))
    }

    fn drawn_with(&self, revision: u64, mirrored: bool) -> Drawn {
        let size = self.surface.window().inner_size();
        Drawn {
            revision,
            size_px: [size.width, size.height],
            mirrored,
        }
    }

    /// Shows the composite, as large as fits.
    pub fn draw(
        &mut self,
        graphics: &Graphics,
        composite: &OutputBuffer,
        revision: u64,
        mirrored: bool,
    ) -> Result<Shown, SurfaceError> {
        let drawn = self.drawn_with(revision, mirrored);
        let device = &graphics.gpu.device;
        let frame = match self.surface.next_frame(graphics)? {
            NextFrame::Ready(frame) => frame,
            NextFrame::Later => return Ok(Shown::Later),
            NextFrame::Hidden => return Ok(Shown::Done),
            NextFrame::Broken => return Ok(Shown::Broken),
        };
        let size_px = [frame.texture.width(), frame.texture.height()];
        let area = WindowRect::of_surface(size_px);
        let presentation = Presentation {
            layout: layout(Zoom::Fit, [0.5; 2], composite.size(), area),
            area,
            divider_px: f64::from(size_px[0]),
            mirrored,
            brightness_frac: 1.0,
        };
        let view = frame
            .texture
            .create_view(&wgpu::TextureViewDescriptor::default());
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        let mut pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("clean output"),
            color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                view: &view,
                depth_slice: None,
                resolve_target: None,
                ops: wgpu::Operations {
                    load: wgpu::LoadOp::Clear(wgpu::Color::BLACK),
                    store: wgpu::StoreOp::Store,
                },
            })],
            ..wgpu::RenderPassDescriptor::default()
        });
        self.presenter.draw(
            device,
            &graphics.gpu.queue,
            &mut pass,
            [composite.buffer(), composite.buffer()],
            &presentation,
            &[area],
        );
        drop(pass);
        graphics.gpu.queue.submit([encoder.finish()]);
        if !self.surface.show(graphics, frame) {
            return Ok(Shown::Broken);
        }
        self.drawn = Some(drawn);
        if !self.visible {
            self.visible = true;
            self.surface.window().set_visible(true);
        }
        Ok(Shown::Done)
    }
}

/// Surface and presenter for a window on another monitor.
fn draw_on(
    graphics: &Graphics,
    window: &Arc<Window>,
) -> Result<(WindowSurface, Presenter), OutputError> {
    let surface = graphics.instance.create_surface(Arc::clone(window))?;
    let surface = WindowSurface::new(
        Arc::clone(window),
        surface,
        &graphics.gpu.adapter,
        Pace::NeverWaiting,
    )?;
    let presenter = Presenter::new(&graphics.gpu.device, surface.format());
    Ok((surface, presenter))
}
