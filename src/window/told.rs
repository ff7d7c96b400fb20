//! What the shell tells the state: pictures that were read, setups that were read or written, screens.

use std::path::PathBuf;

use super::action::MessageKind;
use super::history::History;
use super::key_search::KeySearch;
use super::state::{Monitor, State};
use crate::files::setup_file::Setup;

impl State {
    /// The camera picture was read.
    pub fn camera_loaded(&mut self, path: PathBuf) {
        self.open.camera_loaded(path);
    }

    /// Why the file of the camera picture cannot be read as it is now.
    pub fn why_camera_unread(&self) -> Option<&str> {
        let path = self.setup().camera.as_deref()?;
        self.camera_check.why_unread(path)
    }

    /// The frame of the last good setup was read.
    pub fn like_loaded(&mut self, path: PathBuf) {
        self.open.like_loaded(path);
    }

    /// The built-in pictures are taken; the setup names none then.
    pub fn demonstration_loaded(&mut self, names: Vec<String>) {
        self.messages.forget_unread();
        self.deck_loaded(Vec::new(), names);
        self.open.demonstration_loaded();
    }

    /// The slides were found; `paths` is what the setup keeps.
    ///
    /// The slide shown stays where it is in the deck if the paths are the same as before.
    pub fn deck_loaded(&mut self, paths: Vec<PathBuf>, names: Vec<String>) {
        if self.open.slides_loaded(paths) {
            self.slide_index = 0;
        }
        self.deck_check.start(names.len());
        self.key_search = KeySearch::Idle;
        self.slide_names = names;
        self.slide_index = self.slide_index.min(self.last_slide());
        self.slide_hidden = false;
    }

    /// The same for a deck that may share slides with the one before: `before` is where each slide was
    /// in it, and what is known about those stays.
    pub fn deck_loaded_again(
        &mut self,
        paths: Vec<PathBuf>,
        names: Vec<String>,
        before: &[Option<usize>],
    ) {
        let known = self.deck_check.clone();
        self.deck_loaded(paths, names);
        self.deck_check.keep(&known, before);
    }

    /// A setup was read; its pictures are asked for, and what it does not name is not shown any more.
    ///
    /// As when the window opens, a setup without any picture is shown on the built-in ones.
    pub fn setup_loaded(&mut self, path: PathBuf, setup: Setup) {
        self.slide_index = 0;
        self.messages.forget_unread();
        self.tell(
            MessageKind::Note,
            format!("Loaded the setup {}.", path.display()),
        );
        self.open.loaded(path, setup);
        self.history = History::default();
        self.refused = None;
    }

    /// Another program changed the file of the setup. It is taken where nothing is lost by that.
    pub fn setup_changed_on_disk(&mut self, setup: Setup) {
        if self.open.changed_on_disk(setup) {
            self.history = History::default();
            self.refused = None;
            self.tell(
                MessageKind::Note,
                "The setup was changed by another program and is loaded again.",
            );
        }
    }

    /// A setup was written.
    pub fn setup_saved(&mut self, path: PathBuf, setup: Setup) {
        self.tell(
            MessageKind::Note,
            format!("Saved the setup to {}.", path.display()),
        );
        self.open.saved(path, setup);
    }

    /// A setup could not be written; nothing that waited for it goes on, unless its path is being typed.
    pub fn save_failed(&mut self, why: impl Into<String>) {
        self.open.save_failed();
        self.tell(MessageKind::Error, why);
    }

    /// The screens there are.
    pub fn set_monitors(&mut self, monitors: Vec<Monitor>) {
        self.monitors = monitors;
        if self.monitor_index >= self.monitors.len() {
            self.monitor_index = 0;
        }
    }
}
