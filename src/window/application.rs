//! The event loop: what comes in, when something is drawn, and what the state asks for.
//! It sleeps while nothing happens.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::Context;
use winit::application::ApplicationHandler;
use winit::error::EventLoopError;
use winit::event::{StartCause, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow, EventLoopProxy};
use winit::window::WindowId;

use super::action::{Action, MessageKind, Request};
use super::checks::Checks;
use super::dialogs::{action_of, show_dialog};
use super::event::Event;
use super::followed_files::{FollowedFiles, take_changed};
use super::key_event::{is_escape, is_key_press, shows_nothing};
use super::loader::{Loader, PictureSource};
use super::main_window::{Shown, Turn};
use super::monitors::Monitors;
use super::panels::{PanelInputs, install, panels_ui};
use super::picture_area::{PicturePlace, hovered_px, picture_ui};
use super::pictures::{Pictures, error_words, tell_error};
use super::read_out::ReadOut;
use super::requests::do_request;
use super::run::{WindowError, WindowStart};
use super::stage::Stage;
use super::state::State;
use crate::gpu::device::GpuError;

/// How long to wait before a frame is asked for again that did not come. Source: chosen.
const RETRY_AFTER: Duration = Duration::from_millis(50);
/// Times in a row that a lost device is opened again. Source: chosen; a dead driver does not come back.
const MAX_REOPENINGS: u32 = 3;

/// The application.
pub struct Application {
    proxy: EventLoopProxy<Event>,
    egui: Context,
    state: State,
    pictures: Pictures,
    checks: Checks,
    followed: FollowedFiles,
    monitors: Monitors,
    first_monitor: Option<usize>,
    stage: Option<Stage>,
    place: Option<PicturePlace>,
    read_out: Option<ReadOut>,
    dropped: Vec<PathBuf>,
    next_turn: Option<Instant>,
    reopenings: u32,
    was_shown: bool,
    failure: Option<WindowError>,
}

impl std::fmt::Debug for Application {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Application")
            .field("state", &self.state)
            .field("stage", &self.stage)
            .finish_non_exhaustive()
    }
}

impl Application {
    /// The application before it has a window.
    pub fn new(
        start: WindowStart,
        proxy: EventLoopProxy<Event>,
        loader: Loader,
        checks: Checks,
    ) -> Self {
        let WindowStart {
            setup,
            setup_path,
            demonstration,
            clean_output_monitor,
        } = start;
        let (camera, like) = (setup.camera.clone(), setup.like.clone());
        let slides = setup.slides.clone();
        let mut state = State::new(setup, setup_path);
        // Followed before they are read, so that no change is missed.
        let mut followed = FollowedFiles::default();
        followed.follow(&mut state, &proxy);
        let mut pictures = Pictures::new(loader);
        if demonstration {
            pictures.take_demonstration(&mut state);
        } else {
            if let Some(camera) = camera {
                pictures.request_camera(PictureSource::File(camera));
            }
            if let Some(like) = like {
                pictures.request_like(like);
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
            checks,
            followed,
            monitors: Monitors::default(),
            first_monitor: clean_output_monitor,
            stage: None,
            place: None,
            read_out: None,
            dropped: Vec::new(),
            next_turn: None,
            reopenings: 0,
            was_shown: false,
            failure: None,
        }
    }

    /// How it ended. An unsaved setup is rescued where the window did not close by itself.
    pub fn into_result(self, ran: Result<(), EventLoopError>) -> Result<(), WindowError> {
        let failure = self.failure.or(ran.err().map(WindowError::from));
        match failure {
            None => Ok(()),
            Some(failure) if self.was_shown => Err(failure.after_it_was_shown(&self.state)),
            Some(failure) => Err(failure),
        }
    }

    /// Opens the window, and the clean output if it is wanted from the start.
    fn open(&mut self, event_loop: &ActiveEventLoop) -> Result<(), WindowError> {
        let proxy = self.proxy.clone();
        let stage = Stage::open(event_loop, proxy, &self.egui, &mut self.state)?;
        self.monitors.list(event_loop, &mut self.state);
        let shown_on = stage.main().window().current_monitor();
        let first = self.first_monitor.take();
        self.monitors
            .choose_first(first, shown_on.as_ref(), &mut self.state);
        self.stage = Some(stage);
        Ok(())
    }

    /// Gives up the lost device and opens everything again with a new one.
    fn reopen(&mut self, event_loop: &ActiveEventLoop) -> Result<(), WindowError> {
        if self.reopenings == MAX_REOPENINGS {
            return Err(WindowError::Lost);
        }
        self.reopenings += 1;
        if let Some(stage) = self.stage.take() {
            self.stage = Some(stage.reopen(event_loop, &mut self.state)?);
        }
        self.request_redraw();
        Ok(())
    }

    /// Keeps why it cannot go on, and ends.
    fn fail(&mut self, event_loop: &ActiveEventLoop, error: WindowError) {
        self.failure = Some(error);
        event_loop.exit();
    }

    fn request_redraw(&mut self) {
        if let Some(stage) = &mut self.stage {
            stage.main_mut().ask_redraw();
        }
    }

    /// Lets the panels see what came in and does what they ask for.
    fn think(&mut self, event_loop: &ActiveEventLoop) -> Option<Turn> {
        if !self.dropped.is_empty() {
            let dropped = std::mem::take(&mut self.dropped);
            self.state.apply(Action::FilesDropped(dropped));
        }
        let stage = self.stage.as_mut()?;
        let (state, place) = (&mut self.state, &mut self.place);
        let thumbnails = self.pictures.thumbnails();
        self.read_out = read_out(state, stage, place.as_ref(), &self.egui);
        let inputs = PanelInputs {
            histogram: self.pictures.histogram(),
            read_out: self.read_out.as_ref(),
            thumbnails: &thumbnails,
        };
        let turn = stage.main_mut().run(event_loop, &self.egui, |ui| {
            let area = panels_ui(ui, state, inputs);
            *place = Some(picture_ui(ui, &area, state));
        });
        self.next_turn = Instant::now().checked_add(turn.next_turn_in);
        self.do_requests(event_loop);
        Some(turn)
    }

    /// Whether the panels show values that are no longer true.
    fn is_read_out_old(&self) -> bool {
        let Some(stage) = &self.stage else {
            return false;
        };
        let now = read_out(&self.state, stage, self.place.as_ref(), &self.egui);
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
            Request::Quit => event_loop.exit(),
            request => do_request(request, &mut self.pictures, &mut self.state),
        }
    }

    /// Brings the clean output to what the state says.
    fn show_output(&mut self, event_loop: &ActiveEventLoop) {
        let Some(stage) = &mut self.stage else {
            return;
        };
        let wanted = self.monitors.handle(self.state.monitor_index);
        let monitor = wanted.filter(|_| self.state.output_on);
        match stage.show_output(event_loop, monitor, &self.state) {
            Ok(Shown::Done) => {}
            Ok(Shown::Later) => self.wake_within(RETRY_AFTER),
            // The window will find the same, and open everything again.
            Ok(Shown::Broken) => self.request_redraw(),
            Err(error) => {
                self.state.apply(Action::ToggleOutput);
                tell_error(&mut self.state, &error, None);
            }
        }
    }

    /// Draws the window.
    fn show_main(&mut self, turn: Turn) -> Result<Shown, WindowError> {
        let Some(stage) = &mut self.stage else {
            return Ok(Shown::Later);
        };
        if let Some(place) = &mut self.place {
            // The picture may have got another size since the panels were laid out.
            *place = PicturePlace::new(place.rect, place.pixels_per_point, &self.state);
            place.tell(&mut self.state);
        }
        let shown = stage.show_main(&self.egui, turn, self.place.as_ref(), &self.state)?;
        self.was_shown |= stage.main().is_shown();
        if shown == Shown::Later {
            self.wake_within(RETRY_AFTER);
        }
        Ok(shown)
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
        let Some(mut turn) = self.think(event_loop) else {
            return;
        };
        if draw_main && turn.next_turn_in.is_zero() {
            // What is laid out before the control that a key changed shows it one turn later; a frame between would be wasted.
            if let Some(stage) = &mut self.stage {
                stage.skip_main(turn);
            }
            turn = match self.think(event_loop) {
                Some(turn) => turn,
                None => return,
            };
        }
        let size_before = self.state.output_size;
        let made = match &mut self.stage {
            Some(stage) => stage.make_views(&mut self.pictures, &mut self.state),
            None => Ok(()),
        };
        self.followed.follow(&mut self.state, &self.proxy);
        self.checks.want(&self.pictures, &mut self.state);
        self.show_output(event_loop);
        let drawn = if draw_main {
            self.show_main(turn)
        } else {
            if let Some(stage) = &mut self.stage {
                stage.skip_main(turn);
            }
            self.request_redraw();
            Ok(Shown::Done)
        };
        if self.state.output_size != size_before || self.is_read_out_old() {
            self.request_redraw();
        }
        let shown = match drawn {
            Ok(shown) => shown,
            Err(error) => return self.fail(event_loop, error),
        };
        let checked = match &self.stage {
            Some(stage) => stage.check(),
            None => Ok(()),
        };
        let made = made.and(checked);
        if shown == Shown::Broken || matches!(made, Err(GpuError::DeviceLost { .. })) {
            if let Err(error) = self.reopen(event_loop) {
                self.fail(event_loop, error);
            }
            return;
        }
        if draw_main && shown == Shown::Done {
            self.reopenings = 0;
        }
        match made {
            Ok(()) => {}
            Err(error) => {
                // What fails with every frame is told once, else it would ask for frames for ever.
                let words = error_words(&error, error.hint());
                let told = self.state.messages.list().last();
                if told.is_none_or(|message| message.text != words) {
                    self.state.tell(MessageKind::Error, words);
                    self.request_redraw();
                }
            }
        }
    }

    /// What happens to the window with the panels.
    fn main_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        // A key may open a field that the next one is meant for, so each has a turn of its own.
        let follows_key = |stage: &Stage| is_key_press(event) && stage.main().has_waiting_key();
        if self.stage.as_ref().is_some_and(follows_key) {
            self.update(event_loop, false);
        }
        let Some(stage) = &mut self.stage else {
            return;
        };
        let response = stage.main_mut().take_event(event);
        match event {
            // A new size is drawn at once, so that no old frame is stretched to it. After a redraw
            // egui asks for another turn; honouring that would never end.
            WindowEvent::RedrawRequested => {
                stage.main_mut().take_redraw();
                self.update(event_loop, true);
            }
            WindowEvent::Resized(_) => {
                stage.main_mut().damage();
                self.update(event_loop, true);
            }
            WindowEvent::Occluded(false) => {
                stage.main_mut().damage();
                self.request_redraw();
            }
            WindowEvent::CloseRequested => {
                self.state.apply(Action::Close);
                self.request_redraw();
            }
            WindowEvent::Focused(true) => {
                stage.main_mut().damage();
                // A monitor may have come or gone; the window system does not tell.
                self.monitors.list(event_loop, &mut self.state);
                self.request_redraw();
            }
            WindowEvent::DroppedFile(path) => {
                self.dropped.push(path.clone());
                self.request_redraw();
            }
            // Shift held for a plus, say, or let go: what follows shall not wait for a frame.
            _ if shows_nothing(event) => {}
            _ if response.repaint => self.request_redraw(),
            _ => {}
        }
    }

    /// What happens to the clean output. Its keys are the window's, so that a clicker works there too.
    fn output_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) {
        let Some(stage) = &mut self.stage else {
            return;
        };
        match event {
            WindowEvent::CloseRequested => self.close_output(),
            WindowEvent::KeyboardInput { event: key, .. } if is_escape(key) => {
                self.close_output();
            }
            WindowEvent::KeyboardInput { .. } | WindowEvent::ModifiersChanged(_)
                if stage.main_mut().take_event(event).repaint =>
            {
                self.update(event_loop, false);
            }
            WindowEvent::Focused(true) => {
                // Letters pressed here are keys, never text for a field of the window.
                self.egui.memory_mut(egui::Memory::stop_text_input);
            }
            WindowEvent::RedrawRequested | WindowEvent::Resized(_) => {
                stage.damage_output();
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
        if self.stage.is_some() {
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
        let Some(stage) = &self.stage else {
            return;
        };
        if id == stage.main().id() {
            self.main_event(event_loop, &event);
        } else if stage.is_output(id) {
            self.output_event(event_loop, &event);
        }
    }

    fn user_event(&mut self, event_loop: &ActiveEventLoop, event: Event) {
        match event {
            Event::Loaded(loaded) => {
                if let Some(loaded) = self.checks.take(*loaded, &mut self.state) {
                    self.pictures.take(loaded, &mut self.state, &self.egui);
                }
                self.update(event_loop, false);
            }
            Event::Changed(paths) => {
                take_changed(&paths, &mut self.state, &mut self.pictures);
                self.update(event_loop, false);
            }
            Event::Chosen(kind, paths) => {
                self.state.apply(action_of(kind, paths));
                self.update(event_loop, false);
            }
            Event::Accessibility(event) => {
                if let Some(stage) = &mut self.stage {
                    stage
                        .main_mut()
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
    stage: &Stage,
    place: Option<&PicturePlace>,
    egui: &Context,
) -> Option<ReadOut> {
    let hovered = || place.and_then(|place| hovered_px(egui, place));
    let at_px = state.probe_px.or_else(hovered)?;
    let ingredients = stage.ingredients();
    ReadOut::at(&ingredients.plan(&state.settings_in_force()), at_px)
}
