//! The application: when something is drawn, and what the state asks for.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::Context;
use winit::error::EventLoopError;
use winit::event_loop::{ActiveEventLoop, EventLoopProxy};

use super::action::{Action, MessageKind, Request};
use super::checks::Checks;
use super::dialogs::show_dialog;
use super::error_words::{error_words, tell_error};
use super::event::Event;
use super::followed_files::FollowedFiles;
use super::loader::Loader;
use super::main_window::{Shown, Turn};
use super::monitors::Monitors;
use super::panels::{PanelInputs, install, panels_ui};
use super::picture_area::{hovered_px, picture_ui};
use super::picture_place::PicturePlace;
use super::picture_source::PictureSource;
use super::pictures::Pictures;
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
    pub(super) egui: Context,
    pub(super) state: State,
    pub(super) pictures: Pictures,
    pub(super) checks: Checks,
    followed: FollowedFiles,
    pub(super) monitors: Monitors,
    first_monitor: Option<usize>,
    pub(super) stage: Option<Stage>,
    place: Option<PicturePlace>,
    read_out: Option<ReadOut>,
    pub(super) dropped: Vec<PathBuf>,
    pub(super) next_turn: Option<Instant>,
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
    pub(super) fn open(&mut self, event_loop: &ActiveEventLoop) -> Result<(), WindowError> {
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
    pub(super) fn fail(&mut self, event_loop: &ActiveEventLoop, error: WindowError) {
        self.failure = Some(error);
        event_loop.exit();
    }

    pub(super) fn request_redraw(&mut self) {
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
    pub(super) fn show_output(&mut self, event_loop: &ActiveEventLoop) {
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
    pub(super) fn update(&mut self, event_loop: &ActiveEventLoop, draw_main: bool) {
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
