//! The window itself as something to draw on: egui's input and output, the picture below the panels.

use std::sync::Arc;
use std::time::Duration;

use egui::{Context, TexturesDelta, Ui, ViewportId};
use egui_winit::{EventResponse, accesskit_winit};
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, EventLoopProxy};
use winit::window::{Window, WindowId};

use super::canvas::Canvas;
use super::damage::Damage;
use super::event::Event;
use super::graphics::Graphics;
use super::known_textures::KnownTextures;
use super::picture::PictureLayout;
use super::present::Presentation;
use super::sight::{MadeView, Sight};
use super::surface::{NextFrame, Pace, SurfaceError, WindowSurface};
use crate::gpu::compositor::OutputBuffer;

/// Points that the window opens with.
const OPENING_SIZE: [f64; 2] = [1200.0, 700.0];
/// Points below which the panels no longer fit.
const SMALLEST_SIZE: [f64; 2] = [480.0, 360.0];

/// What is drawn with a device; made anew with every device.
#[derive(Debug)]
struct Drawing {
    surface: WindowSurface,
    canvas: Canvas,
}

/// A picture to be shown below the panels.
#[derive(Clone, Copy, Debug)]
pub struct ShownPicture<'a> {
    /// Left and right of the dividing line.
    pub views: [&'a OutputBuffer; 2],
    /// How what is in these buffers is laid out, which may be the picture reduced already.
    pub laid_out: PictureLayout,
    /// Which these are.
    pub made: [MadeView; 2],
    /// Where and how.
    pub presentation: Presentation,
}

/// What egui made of a turn.
pub struct Turn {
    textures: TexturesDelta,
    shapes: Vec<egui::epaint::ClippedShape>,
    pixels_per_point: f32,
    /// When egui wants the next turn; [`Duration::MAX`] is never.
    pub next_turn_in: Duration,
}

impl std::fmt::Debug for Turn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Turn")
            .field("next_turn_in", &self.next_turn_in)
            .finish_non_exhaustive()
    }
}

/// What came of drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// It is on its way to the screen, or nobody can see the window.
    Done,
    /// It has to be drawn again a little later.
    Later,
    /// The device gives no frames any more; only another one helps.
    Broken,
}

/// The window with the panels.
pub struct MainWindow {
    window: Arc<Window>,
    input: egui_winit::State,
    textures: KnownTextures,
    drawing: Option<Drawing>,
    on_screen: Option<Sight>,
    is_redraw_asked: bool,
    title: String,
    visible: bool,
}

impl std::fmt::Debug for MainWindow {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("MainWindow")
            .field("title", &self.title)
            .field("drawing", &self.drawing)
            .finish_non_exhaustive()
    }
}

impl MainWindow {
    /// A hidden window; it is shown with its first picture, so that no white one flashes up.
    pub fn create(event_loop: &ActiveEventLoop) -> Result<Arc<Window>, winit::error::OsError> {
        let [width, height] = OPENING_SIZE;
        let [least_width, least_height] = SMALLEST_SIZE;
        let attributes = Window::default_attributes()
            .with_title("nightglass")
            .with_visible(false)
            .with_theme(Some(winit::window::Theme::Dark))
            .with_inner_size(winit::dpi::LogicalSize::new(width, height))
            .with_min_inner_size(winit::dpi::LogicalSize::new(least_width, least_height));
        event_loop.create_window(attributes).map(Arc::new)
    }

    /// Takes over the window and its surface.
    pub fn new(
        event_loop: &ActiveEventLoop,
        proxy: EventLoopProxy<Event>,
        egui: &Context,
        window: Arc<Window>,
        surface: wgpu::Surface<'static>,
        graphics: &Graphics,
    ) -> Result<Self, SurfaceError> {
        #[expect(clippy::cast_possible_truncation, reason = "a scale is 1 to 4")]
        let scale = window.scale_factor() as f32;
        let side = graphics.gpu.device.limits().max_texture_dimension_2d as usize;
        let mut input = egui_winit::State::new(
            egui.clone(),
            ViewportId::ROOT,
            event_loop,
            Some(scale),
            Some(winit::window::Theme::Dark),
            Some(side),
        );
        input.init_accesskit(event_loop, &window, proxy);
        let textures = KnownTextures::default();
        let drawing = Drawing::new(Arc::clone(&window), surface, graphics, &textures)?;
        Ok(Self {
            window,
            input,
            textures,
            drawing: Some(drawing),
            on_screen: None,
            is_redraw_asked: false,
            title: String::new(),
            visible: false,
        })
    }

    /// Lets go of the device, so that the window can be drawn with another.
    pub fn release_device(&mut self) {
        self.drawing = None;
    }

    /// Draws with another device from now on.
    pub fn take_device(
        &mut self,
        surface: wgpu::Surface<'static>,
        graphics: &Graphics,
    ) -> Result<(), SurfaceError> {
        self.damage();
        let window = Arc::clone(&self.window);
        self.drawing = Some(Drawing::new(window, surface, graphics, &self.textures)?);
        Ok(())
    }

    /// The window.
    pub fn window(&self) -> &Arc<Window> {
        &self.window
    }

    /// Asks for a turn, and for a frame where that changes what is seen.
    pub fn ask_redraw(&mut self) {
        self.is_redraw_asked = true;
        self.window.request_redraw();
    }

    /// A redraw has come. One that nobody here asked for is the window system's, which may have lost what was drawn.
    pub fn take_redraw(&mut self) {
        if !std::mem::take(&mut self.is_redraw_asked) {
            self.damage();
        }
    }

    /// What was drawn may be gone: the next frame is drawn even if it is the same.
    pub fn damage(&mut self) {
        self.on_screen = None;
    }

    /// Whether it was ever drawn and shown.
    pub fn is_shown(&self) -> bool {
        self.visible
    }

    /// Its number in events.
    pub fn id(&self) -> WindowId {
        self.window.id()
    }

    /// Hands an event to egui.
    pub fn take_event(&mut self, event: &WindowEvent) -> EventResponse {
        self.input.on_window_event(&self.window, event)
    }

    /// Whether a key went down that no turn has seen yet.
    pub fn has_waiting_key(&self) -> bool {
        let is_press =
            |event: &egui::Event| matches!(event, egui::Event::Key { pressed: true, .. });
        self.input.egui_input().events.iter().any(is_press)
    }

    /// Hands the wish of a screen reader to egui.
    pub fn take_accessibility(&mut self, event: accesskit_winit::WindowEvent, egui: &Context) {
        match event {
            accesskit_winit::WindowEvent::InitialTreeRequested => egui.enable_accesskit(),
            accesskit_winit::WindowEvent::ActionRequested(request) => {
                self.input.on_accesskit_action_request(request);
            }
            accesskit_winit::WindowEvent::AccessibilityDeactivated => egui.disable_accesskit(),
        }
    }

    /// Sets the title if it is another one.
    pub fn set_title(&mut self, title: String) {
        if self.title != title {
            self.window.set_title(&title);
            self.title = title;
        }
    }

    /// Lets the panels see what came in.
    pub fn run(
        &mut self,
        event_loop: &ActiveEventLoop,
        egui: &Context,
        panels: impl FnMut(&mut Ui),
    ) -> Turn {
        let input = self.input.take_egui_input(&self.window);
        let output = egui.run_ui(input, panels);
        self.input.handle_platform_output_with_event_loop(
            &self.window,
            event_loop,
            output.platform_output,
        );
        let viewport = output.viewport_output.get(&ViewportId::ROOT);
        Turn {
            textures: output.textures_delta,
            shapes: output.shapes,
            pixels_per_point: output.pixels_per_point,
            next_turn_in: viewport.map_or(Duration::MAX, |viewport| viewport.repaint_delay),
        }
    }

    /// Draws the picture and the panels above it, where they are not on the screen already.
    pub fn draw(
        &mut self,
        graphics: &Graphics,
        egui: &Context,
        turn: Turn,
        surround: wgpu::Color,
        picture: Option<ShownPicture<'_>>,
    ) -> Result<Shown, SurfaceError> {
        let (device, queue) = (&graphics.gpu.device, &graphics.gpu.queue);
        let Turn {
            textures,
            shapes,
            pixels_per_point,
            next_turn_in: _,
        } = turn;
        let freed = self.upload(graphics, textures);
        let sight = Sight {
            primitives: egui.tessellate(shapes, pixels_per_point),
            pixels_per_point,
            surround,
            picture: picture.map(|picture| (picture.made, picture.presentation)),
        };
        let before = self.on_screen.take();
        let damage = before.map_or(Damage::Whole, |before| sight.damage_since(&before));
        let Some(drawing) = &mut self.drawing else {
            return Ok(Shown::Later);
        };
        if damage.is_none() {
            for id in freed {
                drawing.canvas.painter_mut().free(id);
            }
            self.on_screen = Some(sight);
            return Ok(Shown::Done);
        }
        let frame = match drawing.surface.next_frame(graphics)? {
            NextFrame::Ready(frame) => frame,
            NextFrame::Later => return Ok(Shown::Later),
            NextFrame::Hidden => return Ok(Shown::Done),
            NextFrame::Broken => return Ok(Shown::Broken),
        };
        let picture = picture.map(|picture| {
            let presentation = Presentation {
                layout: picture.laid_out,
                ..picture.presentation
            };
            (picture.views.map(OutputBuffer::buffer), presentation)
        });
        let canvas = &mut drawing.canvas;
        canvas.draw(device, queue, &sight, picture, &damage, &frame.texture);
        if !drawing.surface.show(graphics, frame) {
            return Ok(Shown::Broken);
        }
        for id in freed {
            canvas.painter_mut().free(id);
        }
        if self.visible {
            self.on_screen = Some(sight);
        } else {
            self.visible = true;
            self.window.set_visible(true);
            // What was drawn while hidden may be gone once the window is there.
            self.ask_redraw();
        }
        Ok(Shown::Done)
    }

    /// Keeps what a turn changed without drawing it.
    pub fn skip(&mut self, graphics: &Graphics, turn: Turn) {
        let freed = self.upload(graphics, turn.textures);
        if let Some(drawing) = &mut self.drawing {
            for id in freed {
                drawing.canvas.painter_mut().free(id);
            }
        }
    }

    /// Uploads changed textures; returns those that this frame is the last to use.
    #[expect(
        clippy::iter_over_hash_type,
        reason = "textures do not depend on each other"
    )]
    fn upload(&mut self, graphics: &Graphics, mut changed: TexturesDelta) -> Vec<egui::TextureId> {
        let (device, queue) = (&graphics.gpu.device, &graphics.gpu.queue);
        for (id, deltas) in changed.set.drain() {
            for delta in deltas {
                if let Some(drawing) = &mut self.drawing {
                    drawing
                        .canvas
                        .painter_mut()
                        .upload(device, queue, id, &delta);
                }
                if self.textures.apply(id, &delta) {
                    self.on_screen = None;
                }
            }
        }
        let freed: Vec<_> = changed.free.drain().collect();
        for id in &freed {
            self.textures.free(*id);
        }
        freed
    }
}

impl Drawing {
    fn new(
        window: Arc<Window>,
        surface: wgpu::Surface<'static>,
        graphics: &Graphics,
        known: &KnownTextures,
    ) -> Result<Self, SurfaceError> {
        // Waiting for the monitor is of no use to the processor, which is the slower of the two.
        let pace = if graphics.gpu.is_software() {
            Pace::NeverWaiting
        } else {
            Pace::Monitor
        };
        let surface = WindowSurface::new(window, surface, &graphics.gpu.adapter, pace)?;
        let (device, queue) = (&graphics.gpu.device, &graphics.gpu.queue);
        Ok(Self {
            canvas: Canvas::new(device, queue, surface.format(), known),
            surface,
        })
    }
}
