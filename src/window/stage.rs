//! All that needs a device: window, engine and clean output. Opened together, and again when it is lost.

use std::sync::Arc;

use egui::Context;
use winit::event_loop::{ActiveEventLoop, EventLoopProxy};
use winit::monitor::MonitorHandle;
use winit::window::WindowId;

use super::action::MessageKind;
use super::engine::{Ingredients, WindowEngine, processor_takes_over};
use super::error_words::error_words;
use super::event::Event;
use super::graphics::Graphics;
use super::look::Look;
use super::main_window::{MainWindow, Shown, ShownPicture, Turn};
use super::output::{CleanOutput, OutputError};
use super::picture_place::PicturePlace;
use super::pictures::Pictures;
use super::present::Presentation;
use super::run::WindowError;
use super::state::State;
use super::surface::SurfaceError;
use crate::gpu::device::{Gpu, GpuError};
use crate::pixel::settings::Engine;
use crate::pixel::views::Background;

/// Factor on the picture in the window with the dim switch on. Source: chosen by eye.
const DIMMED_BRIGHTNESS: f32 = 0.5;

/// Window, engine and clean output on one device.
#[derive(Debug)]
pub struct Stage {
    graphics: Graphics,
    main: MainWindow,
    engine: WindowEngine,
    asked_engine: Engine,
    output: Option<CleanOutput>,
}

impl Stage {
    /// Opens window, device and engine.
    pub fn open(
        event_loop: &ActiveEventLoop,
        proxy: EventLoopProxy<Event>,
        egui: &Context,
        state: &mut State,
    ) -> Result<Self, WindowError> {
        let window = MainWindow::create(event_loop)?;
        let display = event_loop.owned_display_handle();
        let (graphics, surface) = Graphics::open(display, Arc::clone(&window))?;
        let main = MainWindow::new(event_loop, proxy, egui, window, surface, &graphics)?;
        tell_software(state, &graphics.gpu);
        Ok(Self {
            engine: open_engine(&graphics.gpu, state)?,
            asked_engine: state.setup().engine,
            graphics,
            main,
            output: None,
        })
    }

    /// Gives up a lost device and opens everything again with a new one.
    pub fn reopen(
        self,
        event_loop: &ActiveEventLoop,
        state: &mut State,
    ) -> Result<Self, WindowError> {
        let was_software = self.graphics.gpu.is_software();
        let Self {
            mut main,
            output,
            engine,
            ..
        } = self;
        // An adapter that was lost while it computed would be lost again.
        let on_processor = state.setup().engine == Engine::Auto;
        if on_processor && engine.is_on_adapter() {
            let reason = "it was opened anew".to_owned();
            tell_processor(state, &GpuError::DeviceLost { reason });
        }
        drop(engine);
        // The old surfaces must be gone before the windows can have new ones.
        drop(output);
        state.output_hidden = false;
        main.release_device();
        let window = Arc::clone(main.window());
        let (graphics, surface) = Graphics::open(event_loop.owned_display_handle(), window)?;
        main.take_device(surface, &graphics)?;
        if !was_software {
            tell_software(state, &graphics.gpu);
        }
        Ok(Self {
            engine: if on_processor {
                WindowEngine::new(graphics.gpu.clone(), true)?
            } else {
                open_engine(&graphics.gpu, state)?
            },
            asked_engine: state.setup().engine,
            graphics,
            main,
            output: None,
        })
    }

    /// The window with the panels.
    pub fn main(&self) -> &MainWindow {
        &self.main
    }

    /// The window with the panels.
    pub fn main_mut(&mut self) -> &mut MainWindow {
        &mut self.main
    }

    /// What the views are made of.
    pub fn ingredients(&self) -> &Ingredients {
        self.engine.ingredients()
    }

    /// What failed on the device since the last call.
    pub fn check(&self) -> Result<(), GpuError> {
        self.graphics.gpu.check()
    }

    /// Whether this is the window of the clean output.
    pub fn is_output(&self, id: WindowId) -> bool {
        self.output.as_ref().is_some_and(|output| output.id() == id)
    }

    /// Has the clean output drawn again even if its picture is the same.
    pub fn damage_output(&mut self) {
        if let Some(output) = &mut self.output {
            output.damage();
        }
    }

    /// Brings pictures and engine to what the state says; makes the views that are shown.
    pub fn make_views(
        &mut self,
        pictures: &mut Pictures,
        state: &mut State,
    ) -> Result<(), GpuError> {
        if self.asked_engine != state.setup().engine {
            self.asked_engine = state.setup().engine;
            self.engine = open_engine(&self.graphics.gpu, state)?;
            // It counts its pictures from the beginning.
            self.main.damage();
            self.damage_output();
        }
        pictures.want_pages(&state.settings().placement);
        pictures.want_slide(state.slide_index(), state.settings().placement.slide_range);
        pictures.want_measurement(&state.settings_in_force());
        let slide = pictures.slide().filter(|_| !state.slide_hidden);
        let ingredients = Ingredients {
            camera: pictures.camera().cloned(),
            slide: slide.map(|slide| Arc::clone(&slide.frame)),
            background: slide.map_or(Background::BLACK, |slide| slide.background),
            settings: state.settings_in_force(),
        };
        let shown = state.shown_views();
        let made = match self.engine.show(ingredients.clone(), &shown) {
            Err(error)
                if self.engine.is_on_adapter()
                    && processor_takes_over(self.asked_engine, &error) =>
            {
                self.engine.move_to_processor();
                tell_processor(state, &error);
                self.engine.show(ingredients, &shown)
            }
            made => made,
        };
        state.output_size = self.engine.output_size();
        made
    }

    /// Opens, moves or closes the clean output, and draws what changed on it.
    pub fn show_output(
        &mut self,
        event_loop: &ActiveEventLoop,
        monitor: Option<&MonitorHandle>,
        state: &State,
    ) -> Result<Shown, OutputError> {
        self.output = self
            .output
            .take()
            .filter(|output| Some(output.monitor()) == monitor);
        let Some(monitor) = monitor else {
            return Ok(Shown::Done);
        };
        let output = match &mut self.output {
            Some(output) => output,
            none => none.insert(CleanOutput::open(
                event_loop,
                &self.graphics,
                monitor.clone(),
            )?),
        };
        let Some(view) = state.output_view() else {
            return Ok(Shown::Done);
        };
        let revision = self.engine.revision();
        let mirrored = state.setup().mirror_monitor;
        // The whole composite is brought into its buffer only to be drawn: the window has it reduced there.
        if output.shows(revision, mirrored) {
            return Ok(Shown::Done);
        }
        let Some(composite) = self.engine.whole(view) else {
            return Ok(Shown::Done);
        };
        let drawn = output.draw(&self.graphics, composite, revision, mirrored);
        if drawn.is_err() {
            self.output = None;
        }
        Ok(drawn?)
    }

    /// Draws the window.
    pub fn show_main(
        &mut self,
        egui: &Context,
        turn: Turn,
        place: Option<&PicturePlace>,
        state: &State,
    ) -> Result<Shown, SurfaceError> {
        self.main.set_title(title(state));
        let picture = place.and_then(|place| shown_picture(&mut self.engine, place, state));
        let surround = Look::new(state.dimmed).surround.to_array();
        let [r, g, b, a] = surround.map(|code| f64::from(code) / 255.0);
        let surround = wgpu::Color { r, g, b, a };
        self.main
            .draw(&self.graphics, egui, turn, surround, picture)
    }

    /// Takes what a turn changed without drawing the window.
    pub fn skip_main(&mut self, turn: Turn) {
        self.main.skip(&self.graphics, turn);
    }
}

/// The engine that the setup asks for; on the processor where the adapter cannot.
fn open_engine(gpu: &Gpu, state: &mut State) -> Result<WindowEngine, GpuError> {
    let on_processor = match state.setup().engine {
        Engine::Auto => gpu.is_software(),
        Engine::Gpu => false,
        Engine::Cpu => true,
    };
    WindowEngine::new(gpu.clone(), on_processor).or_else(|error| {
        tell_processor(state, &error);
        WindowEngine::new(gpu.clone(), true)
    })
}

/// Tells where no graphics card draws the windows.
fn tell_software(state: &mut State, gpu: &Gpu) {
    if gpu.is_software() {
        let text = "No graphics card is in use: the processor draws, and slower.";
        state.tell(MessageKind::Warning, text);
    }
}

/// Tells that the processor computes from now on, and why.
fn tell_processor(state: &mut State, why: &dyn std::error::Error) {
    let why = error_words(why, None);
    let text = format!("The processor makes the picture from now on: {why}.");
    state.tell(MessageKind::Warning, text);
}

/// The slide shown, with a star before it while changes are not saved.
fn title(state: &State) -> String {
    let star = if state.has_unsaved_changes() { "*" } else { "" };
    match state.slide_names().get(state.slide_index()) {
        Some(slide) => format!("{star}{slide} - nightglass"),
        None => format!("{star}nightglass"),
    }
}

/// The views at their place; none before they are made.
fn shown_picture<'a>(
    engine: &'a mut WindowEngine,
    place: &PicturePlace,
    state: &State,
) -> Option<ShownPicture<'a>> {
    let left_view = state.left_view();
    let (right_view, divider_px) = match state.right_view {
        Some(view) => (view, place.divider_px(state.divider)),
        None => (left_view, f64::MAX),
    };
    engine.lay_out(left_view, &place.layout, place.area)?;
    let laid_out = engine.lay_out(right_view, &place.layout, place.area)?;
    Some(ShownPicture {
        views: [engine.output(left_view)?, engine.output(right_view)?],
        laid_out,
        made: [engine.made_view(left_view)?, engine.made_view(right_view)?],
        presentation: Presentation {
            layout: place.layout,
            area: place.area,
            divider_px,
            mirrored: false,
            brightness_frac: if state.dimmed { DIMMED_BRIGHTNESS } else { 1.0 },
        },
    })
}
