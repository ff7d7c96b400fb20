//! Which files are followed on disk: the camera, the frame that it is compared with, the slides with their folders, and the setup.

use std::path::{Path, PathBuf};

use winit::event_loop::EventLoopProxy;

use super::action::MessageKind;
use super::error_words::tell_error;
use super::event::Event;
use super::pictures::Pictures;
use super::state::State;
use crate::files::setup_file::Setup;
use crate::files::watch::Watcher;

/// The files that are open, followed.
#[derive(Debug, Default)]
pub(super) struct FollowedFiles {
    paths: Vec<PathBuf>,
    watcher: Option<Watcher>,
}

impl FollowedFiles {
    /// Follows what the state names from now on; nothing happens while that is the same.
    pub(super) fn follow(&mut self, state: &mut State, proxy: &EventLoopProxy<Event>) {
        let setup = state.setup();
        let pictures = || setup.camera.iter().chain(&setup.like).chain(&setup.slides);
        let is_same = pictures()
            .map(PathBuf::as_path)
            .chain(state.setup_path())
            .eq(self.paths.iter().map(PathBuf::as_path));
        if is_same {
            return;
        }
        self.paths = pictures()
            .cloned()
            .chain(state.setup_path().map(Path::to_owned))
            .collect();
        self.watcher = None;
        if self.paths.is_empty() {
            return;
        }
        let proxy = proxy.clone();
        let started = Watcher::start(self.paths.clone(), move |changed| {
            // A window that is gone shows nothing any more.
            proxy.send_event(Event::Changed(changed)).ok();
        });
        match started {
            Ok(watcher) => self.watcher = Some(watcher),
            Err(error) => state.tell(
                MessageKind::Warning,
                format!("Changed files are not loaded again by themselves: {error}."),
            ),
        }
    }
}

/// Takes over what other programs wrote: the setup, then the pictures.
pub(super) fn take_changed(changed: &[PathBuf], state: &mut State, pictures: &mut Pictures) {
    let path = state.setup_path().map(Path::to_owned);
    if let Some(path) = path.filter(|path| changed.contains(path)) {
        match Setup::read(&path) {
            Ok(setup) => state.setup_changed_on_disk(setup),
            Err(error) => tell_error(state, &error, error.hint()),
        }
    }
    pictures.reread(changed, state);
}
