//! File dialogs of the desktop, each on a thread of its own so that the window goes on.

use std::io;
use std::path::PathBuf;

use super::action::{Action, FileKind};
use crate::files::setup_file::SETUP_FILE_NAME;

/// Endings of pictures that can be opened.
const PICTURES: [&str; 7] = ["png", "jpg", "jpeg", "webp", "tif", "tiff", "bmp"];

/// Endings of files with many slides.
const DOCUMENTS: [&str; 5] = ["pdf", "pptx", "ppsx", "ppt", "odp"];

/// Shows a dialog and hands over what was chosen; nothing where it was closed or none could be shown.
pub fn show_dialog(
    kind: FileKind,
    deliver: impl FnOnce(Vec<PathBuf>) + Send + 'static,
) -> io::Result<()> {
    std::thread::Builder::new()
        .name("file dialog".to_owned())
        .spawn(move || deliver(chosen(kind)))
        .map(|_| ())
}

/// Waits for the choice.
fn chosen(kind: FileKind) -> Vec<PathBuf> {
    let dialog = rfd::FileDialog::new();
    let one = match kind {
        FileKind::Camera => dialog
            .set_title("camera picture")
            .add_filter("pictures", &PICTURES)
            .pick_file(),
        FileKind::Like => dialog
            .set_title("a camera frame of the last good setup")
            .add_filter("pictures", &PICTURES)
            .pick_file(),
        FileKind::Slides => {
            let slides = [&PICTURES[..], &DOCUMENTS[..]].concat();
            let dialog = dialog.set_title("slides").add_filter("slides", &slides);
            return dialog.pick_files().unwrap_or_default();
        }
        FileKind::LoadSetup => dialog
            .set_title("load a setup")
            .add_filter("setups", &["toml"])
            .pick_file(),
        FileKind::SaveSetup => dialog
            .set_title("save the setup")
            .add_filter("setups", &["toml"])
            .set_file_name(SETUP_FILE_NAME)
            .save_file(),
    };
    one.into_iter().collect()
}

/// What a closed dialog means.
pub(super) fn action_of(kind: FileKind, mut paths: Vec<PathBuf>) -> Action {
    match paths.pop() {
        None => Action::DialogGaveNothing(kind),
        Some(path) if paths.is_empty() => Action::PathGiven(kind, path),
        Some(path) => {
            paths.push(path);
            Action::FilesDropped(paths)
        }
    }
}
