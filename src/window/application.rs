//! The event loop: what comes in, when something is drawn, and what the state asks for.
//! It sleeps while nothing happens.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::Context;
use winit::application::ApplicationHandler;
use winit::event::{ElementState, KeyEvent, StartCause, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow, EventLoopProxy};
use winit::keyboard::{Key, NamedKey};
use winit::monitor::MonitorHandle;
use winit::window::WindowId;

use super::action::{Action, FileKind, Request};
use super::dialogs::show_dialog;
use super::engine::{Ingredients, WindowEngine};
use super::event::Event;
use super::graphics::Graphics;
use super::loader::{Loader, PictureSource};
use super::look::Look;
use super::main_window::{MainWindow, Shown, ShownPicture, Turn};
use super::output::{CleanOutput, list_monitors};
use super::panels::{PanelInputs, install, panels_ui};
use super::picture_area::{PicturePlace, hovered_px, picture_ui};
use super::pictures::{Pictures, tell_error};
use super::present::Presentation;
use super::read_out::ReadOut;
use super::run::{WindowError, WindowStart};
use super::state::State;
use crate::files::setup_file::Setup;
use crate::gpu::device::{Gpu, GpuError};
use crate::pixel::settings::Engine;
use crate::pixel::views::{Background, View};

/// How long to wait before a frame is asked for again that did not come. Source: chosen.
const RETRY_AFTER: Duration = Duration::from_millis(50);
/// Times in a row that a lost device is opened again. Source: chosen; a dead driver does not come back.
const MAX_REOPENINGS: u32 = 3;
/// Factor on the picture in the window with the dim switch on. Source: chosen by eye.
const DIMMED_BRIGHTNESS: f32 = 0.5;

/// All that needs a device.
#[derive(Debug)]
struct Opened {
    graphics: Graphics,
    main: MainWindow,
    engine: WindowEngine,
    output: Option<CleanOutput>,
}

/// The application.
pub struct Application {
    proxy: EventLoopProxy<Event>,
    egui: Context,
    state: State,
    pictures: Pictures,
    monitors: Vec<MonitorHandle>,
    first_monitor: Option<usize>,
    opened: Option<Opened>,
    place: Option<PicturePlace>,
    read_out: Option<ReadOut>,
    dropped: Vec<PathBuf>,
    next_turn: Option<Instant>,
    reopenings: u32,
    failure: Option<WindowError>,
}

impl std::fmt::Debug for Application {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Application")
            .field("state", &self.state)
            .field("opened", &self.opened)
            .finish_non_exhaustive()
    }
}

impl Application {
    /// The application before it has a window.
    pub fn new(start: WindowStart, proxy: EventLoopProxy<Event>, loader: Loader) -> Self {
        let WindowStart {
            setup,
            setup_path,
            demonstration,
            clean_output_monitor,
        } = start;
        let (camera, slides) = (setup.camera.clone(), setup.slides.clone());
        let mut state = State::new(setup, setup_path);
        let mut pictures = Pictures::new(loader);
        if demonstration {
            pictures.take_demonstration(&mut state);
        } else {
            if let Some(camera) = camera {
                pictures.request_camera(PictureSource::File(camera));
            }
            if !slides.is_empty() {
                pictures.request_deck(slides);
            }
        }
        let egui = Context::default();
        install(&egui);
        Self {
            proxy,
            egui,
            state,
            pictures,
            monitors: Vec::new(),
            first_monitor: clean_output_monitor,
            opened: None,
            place: None,
            read_out: None,
            dropped: Vec::new(),
            next_turn: None,
            reopenings: 0,
            failure: None,
        }
    }

    /// How it ended.
    pub fn into_result(self) -> Result<(), WindowError> {
        self.failure.map_or(Ok(()), Err)
    }

    /// Opens window, device and engine.
    fn open(&mut self, event_loop: &ActiveEventLoop) -> Result<(), WindowError> {
        let window = MainWindow::create(event_loop)?;
        let display = event_loop.owned_display_handle();
        let (graphics, surface) = Graphics::open(display, Arc::clone(&window))?;
        let proxy = self.proxy.clone();
        let main = MainWindow::new(event_loop, proxy, &self.egui, window, surface, &graphics)?;
        let engine = self.new_engine(&graphics.gpu)?;
        self.opened = Some(Opened {
            graphics,
            main,
            engine,
            output: None,
        });
        self.list_monitors(event_loop);
        if let Some(index) = self.first_monitor.take() {
            self.state.apply(Action::ChooseMonitor(index));
            self.state.apply(Action::ToggleOutput);
        }
        Ok(())
    }

    /// The engine that the setup asks for; on the processor where the adapter cannot.
    fn new_engine(&mut self, gpu: &Gpu) -> Result<WindowEngine, WindowError> {
        let on_processor = match self.state.setup().engine {
            Engine::Auto => gpu.is_software(),
            Engine::Gpu => false,
            Engine::Cpu => true,
        };
        match WindowEngine::new(gpu.clone(), on_processor) {
            Ok(engine) => Ok(engine),
            Err(error) => {
                let hint = error.hint();
                tell_error(&mut self.state, &error, hint);
                let engine = WindowEngine::new(gpu.clone(), true);
                engine.map_err(|error| WindowError::Graphics(error.into()))
            }
        }
    }

    /// Gives up the lost device and opens everything again with a new one.
    fn reopen(&mut self, event_loop: &ActiveEventLoop) -> Result<(), WindowError> {
        self.reopenings += 1;
        let Some(mut opened) = self.opened.take() else {
            return Ok(());
        };
        // The old surfaces must be gone before the windows can have new ones.
        opened.output = None;
        opened.main.release_device();
        let window = Arc::clone(opened.main.window());
        let display = event_loop.owned_display_handle();
        let (graphics, surface) = Graphics::open(display, window)?;
        opened.main.take_device(surface, &graphics)?;
        let engine = self.new_engine(&graphics.gpu)?;
        self.opened = Some(Opened {
            graphics,
            engine,
            ..opened
        });
        self.request_redraw();
        Ok(())
    }

    /// Keeps why it cannot go on, and ends.
    fn fail(&mut self, event_loop: &ActiveEventLoop, error: WindowError) {
        self.failure = Some(error);
        event_loop.exit();
    }

    fn request_redraw(&self) {
        if let Some(opened) = &self.opened {
            opened.main.window().request_redraw();
        }
    }

    fn list_monitors(&mut self, event_loop: &ActiveEventLoop) {
        self.monitors = event_loop.available_monitors().collect();
        self.state.set_monitors(list_monitors(&self.monitors));
    }

    /// Lets the panels see what came in and does what they ask for.
    fn think(&mut self, event_loop: &ActiveEventLoop) -> Option<Turn> {
        if !self.dropped.is_empty() {
            let dropped = std::mem::take(&mut self.dropped);
            self.state.apply(Action::FilesDropped(dropped));
        }
        let opened = self.opened.as_mut()?;
        let (state, place) = (&mut self.state, &mut self.place);
        let thumbnails = self.pictures.thumbnails();
        self.read_out = read_out(state, &opened.engine, place.as_ref(), &self.egui);
        let inputs = PanelInputs {
            histogram: self.pictures.histogram(),
            read_out: self.read_out.as_ref(),
            thumbnails: &thumbnails,
        };
        let turn = opened.main.run(event_loop, &self.egui, |ui| {
            let area = panels_ui(ui, state, inputs);
            *place = Some(picture_ui(ui, &area, state));
        });
        self.next_turn = Instant::now().checked_add(turn.next_turn_in);
        self.do_requests(event_loop);
        Some(turn)
    }

    /// Whether the panels show values that are no longer true.
    fn is_read_out_old(&self) -> bool {
        let Some(opened) = &self.opened else {
            return false;
        };
        let now = read_out(&self.state, &opened.engine, self.place.as_ref(), &self.egui);
        now != self.read_out
    }

    /// Does what the state asks for, until it asks for no more.
    fn do_requests(&mut self, event_loop: &ActiveEventLoop) {
        loop {
            let requests = self.state.take_requests();
            if requests.is_empty() {
                return;
            }
            for request in requests {
                self.do_request(event_loop, request);
            }
        }
    }

    fn do_request(&mut self, event_loop: &ActiveEventLoop, request: Request) {
        match request {
            Request::Dialog(kind) => {
                let proxy = self.proxy.clone();
                let shown = show_dialog(kind, move |paths| {
                    // A window that is gone needs no answer.
                    proxy.send_event(Event::Chosen(kind, paths)).ok();
                });
                if shown.is_err() {
                    self.state.apply(Action::DialogGaveNothing(kind));
                }
            }
            Request::LoadCamera(path) => self.pictures.request_camera(PictureSource::File(path)),
            Request::LoadSlides(paths) => self.pictures.request_deck(paths),
            Request::LoadDemonstration => self.pictures.take_demonstration(&mut self.state),
            Request::LoadSetup(path) => match Setup::read(&path) {
                Ok(setup) => self.state.setup_loaded(path, setup),
                Err(error) => {
                    let hint = error.hint();
                    tell_error(&mut self.state, &error, hint);
                }
            },
            Request::SaveSetup(path, setup) => match setup.save(&path) {
                Ok(()) => self.state.setup_saved(path, *setup),
                Err(error) => {
                    let words = super::pictures::error_words(&error, error.hint());
                    self.state.save_failed(words);
                }
            },
            Request::Quit => event_loop.exit(),
        }
    }

    /// Brings pictures and engine to what the state says; makes the views that are shown.
    fn make_views(&mut self) -> Result<(), GpuError> {
        let state = &mut self.state;
        let range = state.settings().placement.slide_range;
        self.pictures.want_slide(state.slide_index(), range);
        self.pictures.want_measurement(state.settings());
        let Some(opened) = &mut self.opened else {
            return Ok(());
        };
        let slide = self.pictures.slide().filter(|_| !state.slide_hidden);
        opened.engine.set_ingredients(Ingredients {
            camera: self.pictures.camera().cloned(),
            slide: slide.map(|slide| Arc::clone(&slide.frame)),
            background: slide.map_or(Background::BLACK, |slide| slide.background),
            settings: *state.settings(),
        })?;
        state.output_size = opened.engine.output_size();
        let mut shown = vec![state.left_settings().view];
        shown.extend(state.right_view);
        if state.output_on {
            shown.push(View::Composite);
        }
        opened.engine.keep_only(&shown);
        shown
            .into_iter()
            .try_for_each(|view| opened.engine.make(view))
    }

    /// Opens, moves or closes the clean output as the state says, and draws what changed on it.
    fn show_output(&mut self, event_loop: &ActiveEventLoop) {
        let Some(opened) = &mut self.opened else {
            return;
        };
        let wanted = self.monitors.get(self.state.monitor_index);
        let Some(monitor) = wanted.filter(|_| self.state.output_on) else {
            opened.output = None;
            return;
        };
        if opened
            .output
            .as_ref()
            .is_some_and(|output| output.monitor() != monitor)
        {
            opened.output = None;
        }
        let drawn = match &mut opened.output {
            Some(output) => Ok(output),
            none => CleanOutput::open(event_loop, &opened.graphics, monitor.clone())
                .map(|output| none.insert(output)),
        };
        let drawn = drawn.and_then(|output| match opened.engine.output(View::Composite) {
            None => Ok(true),
            Some(composite) => Ok(output.draw(
                &opened.graphics,
                composite,
                opened.engine.revision(),
                self.state.setup().mirror_monitor,
            )?),
        });
        match drawn {
            Ok(true) => {}
            Ok(false) => self.wake_within(RETRY_AFTER),
            Err(error) => {
                opened.output = None;
                self.state.apply(Action::ToggleOutput);
                tell_error(&mut self.state, &error, None);
            }
        }
    }

    /// Draws the window.
    fn show_main(&mut self, turn: Turn) -> Result<(), WindowError> {
        let Some(opened) = &mut self.opened else {
            return Ok(());
        };
        let state = &mut self.state;
        let unsaved = if state.has_unsaved_changes() { "*" } else { "" };
        let slide = state.slide_names().get(state.slide_index());
        let title = slide.map_or_else(
            || format!("{unsaved}nightglass"),
            |slide| format!("{unsaved}{slide} - nightglass"),
        );
        opened.main.set_title(title);
        let picture = self.place.as_mut().and_then(|place| {
            // The picture may have got another size since the panels were laid out.
            *place = PicturePlace::new(place.rect, place.pixels_per_point, state);
            place.tell(state);
            let left = opened.engine.output(state.left_settings().view)?;
            let right = match state.right_view {
                Some(view) => opened.engine.output(view)?,
                None => left,
            };
            let divider_px = match state.right_view {
                Some(_) => place.divider_px(state.divider),
                None => f64::MAX,
            };
            let brightness_frac = if state.dimmed { DIMMED_BRIGHTNESS } else { 1.0 };
            Some(ShownPicture {
                views: [left, right],
                presentation: Presentation {
                    layout: place.layout,
                    area: place.area,
                    divider_px,
                    mirrored: false,
                    brightness_frac,
                },
            })
        });
        let [r, g, b, _] = Look::new(state.dimmed)
            .surround
            .to_array()
            .map(|code| f64::from(code) / 255.0);
        let surround = wgpu::Color { r, g, b, a: 1.0 };
        let shown = opened
            .main
            .draw(&opened.graphics, &self.egui, turn, surround, picture)?;
        if shown == Shown::Later {
            self.wake_within(RETRY_AFTER);
        }
        Ok(())
    }

    /// Makes sure that there is a turn within this time.
    fn wake_within(&mut self, time: Duration) {
        let at = Instant::now() + time;
        self.next_turn = Some(self.next_turn.map_or(at, |next| next.min(at)));
    }

    /// Everything that changed reaches the window and the clean output.
    ///
    /// The clean output comes first and never waits for the window, which may be covered by it.
    fn update(&mut self, event_loop: &ActiveEventLoop, draw_main: bool) {
        let Some(turn) = self.think(event_loop) else {
            return;
        };
        let size_before = self.state.output_size;
        let made = self.make_views();
        self.show_output(event_loop);
        let drawn = if draw_main {
            self.show_main(turn)
        } else {
            if let Some(opened) = &mut self.opened {
                opened.main.skip(&opened.graphics, turn);
            }
            self.request_redraw();
            Ok(())
        };
        if self.state.output_size != size_before || self.is_read_out_old() {
            self.request_redraw();
        }
        if let Err(error) = drawn {
            return self.fail(event_loop, error);
        }
        let checked = match &self.opened {
            Some(opened) => opened.graphics.gpu.check(),
            None => Ok(()),
        };
        match made.and(checked) {
            Ok(()) => self.reopenings = 0,
            Err(GpuError::DeviceLost { .. }) if self.reopenings < MAX_REOPENINGS => {
                if let Err(error) = self.reopen(event_loop) {
                    self.fail(event_loop, error);
                }
            }
            Err(error @ GpuError::DeviceLost { .. }) => {
                self.fail(event_loop, WindowError::Graphics(error.into()));
            }
            Err(error) => {
                let hint = error.hint();
                tell_error(&mut self.state, &error, hint);
            }
        }
    }

    /// What happens to the window with the panels.
    fn main_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        let Some(opened) = &mut self.opened else {
            return;
        };
        let response = opened.main.take_event(event);
        match event {
            // A new size is drawn at once, so that no old frame is stretched to it. After a redraw
            // egui asks for another turn; honouring that would never end.
            WindowEvent::RedrawRequested | WindowEvent::Resized(_) => {
                self.update(event_loop, true);
            }
            WindowEvent::CloseRequested => {
                self.state.apply(Action::Close);
                self.request_redraw();
            }
            WindowEvent::DroppedFile(path) => {
                self.dropped.push(path.clone());
                self.request_redraw();
            }
            _ if response.repaint => self.request_redraw(),
            _ => {}
        }
    }

    /// What happens to the clean output. Its keys are the window's, so that a clicker works there too.
    fn output_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        let Some(opened) = &mut self.opened else {
            return;
        };
        match event {
            WindowEvent::CloseRequested => self.close_output(),
            WindowEvent::KeyboardInput { event: key, .. } if is_escape(key) => {
                self.close_output();
            }
            WindowEvent::KeyboardInput { .. } | WindowEvent::ModifiersChanged(_)
                if opened.main.take_event(event).repaint =>
            {
                self.update(event_loop, false);
            }
            WindowEvent::Focused(true) => {
                // Letters pressed here are keys, never text for a field of the window.
                self.egui.memory_mut(egui::Memory::stop_text_input);
            }
            WindowEvent::RedrawRequested | WindowEvent::Resized(_) => {
                if let Some(output) = &mut opened.output {
                    output.damage();
                }
                self.show_output(event_loop);
            }
            _ => {}
        }
    }

    fn close_output(&mut self) {
        if self.state.output_on {
            self.state.apply(Action::ToggleOutput);
        }
        self.request_redraw();
    }
}

impl ApplicationHandler<Event> for Application {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        if self.opened.is_some() {
            return;
        }
        match self.open(event_loop) {
            Ok(()) => self.update(event_loop, true),
            Err(error) => self.fail(event_loop, error),
        }
    }

    fn new_events(&mut self, _event_loop: &ActiveEventLoop, cause: StartCause) {
        if let StartCause::ResumeTimeReached { .. } = cause {
            self.next_turn = None;
            self.request_redraw();
        }
    }

    fn window_event(&mut self, event_loop: &ActiveEventLoop, id: WindowId, event: WindowEvent) {
        let Some(opened) = &self.opened else {
            return;
        };
        if id == opened.main.id() {
            self.main_event(event_loop, &event);
        } else if opened
            .output
            .as_ref()
            .is_some_and(|output| output.id() == id)
        {
            self.output_event(event_loop, &event);
        }
    }

    fn user_event(&mut self, event_loop: &ActiveEventLoop, event: Event) {
        match event {
            Event::Loaded(loaded) => {
                self.pictures.take(*loaded, &mut self.state, &self.egui);
                self.update(event_loop, false);
            }
            Event::Chosen(kind, paths) => {
                self.state.apply(chosen(kind, paths));
                self.update(event_loop, false);
            }
            Event::Accessibility(event) => {
                if let Some(opened) = &mut self.opened {
                    opened
                        .main
                        .take_accessibility(event.window_event, &self.egui);
                }
                self.request_redraw();
            }
        }
    }

    fn about_to_wait(&mut self, event_loop: &ActiveEventLoop) {
        event_loop.set_control_flow(match self.next_turn {
            Some(at) => ControlFlow::WaitUntil(at),
            None => ControlFlow::Wait,
        });
    }
}

/// The values under the pointer or at the fixed point.
fn read_out(
    state: &State,
    engine: &WindowEngine,
    place: Option<&PicturePlace>,
    egui: &Context,
) -> Option<ReadOut> {
    let hovered = || place.and_then(|place| hovered_px(egui, place));
    let at_px = state.probe_px.or_else(hovered)?;
    let ingredients = engine.ingredients();
    ReadOut::at(&ingredients.plan(state.settings()), at_px)
}

/// Whether the key closes what covers the screen.
fn is_escape(key: &KeyEvent) -> bool {
    key.state == ElementState::Pressed && key.logical_key == Key::Named(NamedKey::Escape)
}

/// What a closed dialog means.
fn chosen(kind: FileKind, mut paths: Vec<PathBuf>) -> Action {
    match paths.pop() {
        None => Action::DialogGaveNothing(kind),
        Some(path) if paths.is_empty() => Action::PathGiven(kind, path),
        Some(path) => {
            paths.push(path);
            Action::FilesDropped(paths)
        }
    }
}
