//! Opens the window and stays until it is closed.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;

use thiserror::Error;
use winit::event_loop::{ControlFlow, EventLoop};

use super::application::Application;
use super::checks::Checks;
use super::error_words::error_words;
use super::event::Event;
use super::graphics::GraphicsError;
use super::loader::Loader;
use super::rescue::rescue;
use super::state::State;
use super::surface::SurfaceError;
use crate::files::setup_error::SetupError;
use crate::files::setup_file::Setup;
use crate::gpu::device::GpuError;

/// What the window opens with.
#[derive(Clone, Debug, Default)]
pub struct WindowStart {
    /// Pictures and settings.
    pub setup: Setup,
    /// The file that the setup came from.
    pub setup_path: Option<PathBuf>,
    /// Whether the built-in pictures are shown; the setup's own pictures are left out then.
    pub demonstration: bool,
    /// Index of the monitor that the clean output fills from the start.
    pub clean_output_monitor: Option<usize>,
}

/// The window could not be opened, or not be kept open.
#[derive(Debug, Error)]
pub enum WindowError {
    /// There is no display, or a library that it needs is missing.
    #[error("cannot open a window: {why}")]
    CannotOpen {
        /// What is missing.
        why: String,
    },
    /// The window system gives no window.
    #[error("cannot open a window")]
    Window(#[from] winit::error::OsError),
    /// No graphics adapter draws on it.
    #[error("cannot open a window")]
    Graphics(#[from] GraphicsError),
    /// The adapter cannot do what the window needs.
    #[error("cannot open a window")]
    Gpu(#[from] GpuError),
    /// The window cannot be drawn on.
    #[error(transparent)]
    Surface(#[from] SurfaceError),
    /// The adapter was lost, and again as often as it was opened.
    #[error("the graphics adapter was lost, and again after it was opened anew")]
    Lost,
    /// The thread that reads pictures cannot be started.
    #[error("cannot start the thread that reads pictures")]
    Loader(#[source] std::io::Error),
    /// The connection to the window system broke.
    #[error("the connection to the window system broke")]
    EventLoop(#[from] winit::error::EventLoopError),
    /// The window was shown, and then something that it needs failed.
    #[error("the window had to close{}", rescued_words(.rescued.as_ref()))]
    HadToClose {
        /// Where the unsaved setup is, or why it is nowhere; none where nothing was unsaved.
        rescued: Option<Result<PathBuf, SetupError>>,
        /// What failed.
        source: Box<WindowError>,
    },
}

/// What became of the unsaved setup.
fn rescued_words(rescued: Option<&Result<PathBuf, SetupError>>) -> String {
    match rescued {
        None => String::new(),
        Some(Ok(path)) => format!("; the unsaved setup is in `{}`", path.display()),
        Some(Err(error)) => format!("; the unsaved setup is lost: {}", error_words(error, None)),
    }
}

impl WindowError {
    /// Whether there was no window at all, so that something else can be tried instead.
    pub fn cannot_open(&self) -> bool {
        matches!(
            self,
            Self::CannotOpen { .. }
                | Self::Window(_)
                | Self::Graphics(_)
                | Self::Gpu(_)
                | Self::Surface(_)
                | Self::Lost
        )
    }

    /// The same for a window that was shown before; its unsaved setup is rescued.
    #[must_use]
    pub fn after_it_was_shown(self, state: &State) -> Self {
        let rescued = state
            .has_unsaved_changes()
            .then(|| rescue(state.setup(), state.setup_path()));
        Self::HadToClose {
            rescued,
            source: Box::new(self),
        }
    }

    /// What the user can do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::CannotOpen { why } if why.contains("lib") => Some(
                "install the libraries of the desktop: on Debian `apt-get install \
                 libxkbcommon-x11-0 libxcursor1 libxi6 libx11-xcb1`"
                    .to_owned(),
            ),
            Self::CannotOpen { .. } => Some(
                "without a display, `nightglass compose` makes the same pictures as files".to_owned(),
            ),
            Self::Graphics(_) => Some(
                "install the Vulkan driver of the graphics adapter; `nightglass compose` needs none"
                    .to_owned(),
            ),
            Self::HadToClose {
                rescued: Some(Ok(_)),
                ..
            } => Some("open it with `nightglass preview --setup FILE`".to_owned()),
            _ => None,
        }
    }
}

/// Opens the window and returns once it is closed.
pub fn run(start: WindowStart) -> Result<(), WindowError> {
    let event_loop = open_event_loop()?;
    event_loop.set_control_flow(ControlFlow::Wait);
    let start_loader = || {
        let deliver = event_loop.create_proxy();
        Loader::start(move |loaded| deliver.send_event(Event::Loaded(Box::new(loaded))).is_ok())
            .map_err(WindowError::Loader)
    };
    let loader = start_loader()?;
    let checks = Checks::new(start_loader()?, start_loader()?);
    let mut application = Application::new(start, event_loop.create_proxy(), loader, checks);
    let ran = event_loop.run_app(&mut application);
    application.into_result(ran)
}

/// The event loop, where the window system and its libraries are there.
///
/// winit opens some libraries while it runs and panics where they are missing; that panic is caught
/// and silenced here, because its words are all that tells which one it was.
fn open_event_loop() -> Result<EventLoop<Event>, WindowError> {
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let built = catch_unwind(AssertUnwindSafe(|| EventLoop::with_user_event().build()));
    std::panic::set_hook(hook);
    match built {
        Ok(Ok(event_loop)) => Ok(event_loop),
        Ok(Err(error)) => Err(WindowError::CannotOpen {
            why: plain_words(&error.to_string()),
        }),
        Err(panicked) => {
            let why = panicked
                .downcast_ref::<String>()
                .cloned()
                .or_else(|| panicked.downcast_ref::<&str>().map(ToString::to_string))
                .unwrap_or_else(|| "the window system failed".to_owned());
            Err(WindowError::CannotOpen {
                why: plain_words(&why),
            })
        }
    }
}

/// What the window system says, without the place in its source that winit puts before it.
fn plain_words(said: &str) -> String {
    let words = said
        .strip_prefix("os error at ")
        .and_then(|rest| rest.split_once(": "))
        .map_or(said, |(_, words)| words);
    words.trim_end_matches('.').to_owned()
}
