//! What reaches the window's thread from other threads and from screen readers.

use std::path::PathBuf;

use egui_winit::accesskit_winit;

use super::action::FileKind;
use super::loaded::Loaded;

/// Something that happened outside the window.
#[derive(Debug)]
pub enum Event {
    /// A screen reader came, left or wants something.
    Accessibility(accesskit_winit::Event),
    /// The loader finished a job.
    Loaded(Box<Loaded>),
    /// Files that are shown changed on disk.
    Changed(Vec<PathBuf>),
    /// A file dialog was closed, with or without a choice.
    Chosen(FileKind, Vec<PathBuf>),
}

impl From<accesskit_winit::Event> for Event {
    fn from(event: accesskit_winit::Event) -> Self {
        Self::Accessibility(event)
    }
}
