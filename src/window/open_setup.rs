//! The setup that is open: its file, the pictures that it names, what is asked before it is replaced
//! and the path that is typed. Does no input or output: what has to be done leaves as [`Request`]s.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::action::{Action, Answer, FileKind, Request};
use super::history::Edited;
use super::message::Question;
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};

/// A path that is being typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedPath {
    /// What it is for.
    pub kind: FileKind,
    /// What stands in the field.
    pub text: String,
}

/// The setup as edited and as saved.
#[derive(Clone, Debug)]
pub(super) struct OpenSetup {
    /// As edited.
    pub(super) edited: Edited,
    saved: Setup,
    path: Option<PathBuf>,
    requests: Vec<Request>,
    after_saving: Option<Request>,
    question: Option<Question>,
    typed_path: Option<TypedPath>,
    built_in_camera: bool,
    built_in_slides: bool,
}

impl OpenSetup {
    /// This setup, which is as it is in the file.
    pub(super) fn new(setup: Setup, path: Option<PathBuf>) -> Self {
        Self {
            saved: setup.clone(),
            edited: Edited {
                setup,
                chain_left_out: false,
            },
            path,
            requests: Vec::new(),
            after_saving: None,
            question: None,
            typed_path: None,
            built_in_camera: false,
            built_in_slides: false,
        }
    }

    /// The file that it came from or was saved to.
    pub(super) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Whether something would be lost by closing. The view shown is not worth a question.
    pub(super) fn has_unsaved_changes(&self) -> bool {
        let mut edited = self.edited.setup.clone();
        edited.settings.view = self.saved.settings.view;
        edited != self.saved
    }

    /// Whether the file has the chain as it is here.
    pub(super) fn chain_is_saved(&self) -> bool {
        self.saved.settings.chain == self.edited.setup.settings.chain
    }

    /// What is asked.
    pub(super) fn question(&self) -> Option<&Question> {
        self.question.as_ref()
    }

    /// The path that is being typed.
    pub(super) fn typed_path(&self) -> Option<&TypedPath> {
        self.typed_path.as_ref()
    }

    /// Whether the built-in picture stands in for a camera.
    pub(super) fn has_built_in_camera(&self) -> bool {
        self.built_in_camera
    }

    /// Whether camera and slides are both the built-in ones.
    pub(super) fn is_demonstration(&self) -> bool {
        self.built_in_camera && self.built_in_slides
    }

    /// What the shell has to do, in order; asked once.
    pub(super) fn take_requests(&mut self) -> Vec<Request> {
        std::mem::take(&mut self.requests)
    }

    /// The camera picture was read.
    pub(super) fn camera_loaded(&mut self, path: PathBuf) {
        self.edited.setup.camera = Some(path);
        self.built_in_camera = false;
    }

    /// The frame of the last good setup was read.
    pub(super) fn like_loaded(&mut self, path: PathBuf) {
        self.edited.setup.like = Some(path);
    }

    /// The slides were found; whether they are others than before.
    pub(super) fn slides_loaded(&mut self, paths: Vec<PathBuf>) -> bool {
        let are_others = self.edited.setup.slides != paths;
        if are_others {
            self.edited.setup.pages = None;
        }
        self.edited.setup.slides = paths;
        self.built_in_slides = false;
        are_others
    }

    /// The built-in pictures were taken.
    pub(super) fn demonstration_loaded(&mut self) {
        self.edited.setup.camera = None;
        self.edited.setup.like = None;
        self.built_in_camera = true;
        self.built_in_slides = true;
    }

    /// Another setup was read; its pictures are asked for.
    pub(super) fn loaded(&mut self, path: PathBuf, setup: Setup) {
        if setup.camera.is_none() && setup.slides.is_empty() {
            self.requests.push(Request::LoadDemonstration);
        } else {
            self.requests.push(match &setup.camera {
                Some(camera) => Request::LoadCamera(camera.clone()),
                None => Request::ClearCamera,
            });
            self.requests.push(like_request(&setup));
            self.requests.push(if setup.slides.is_empty() {
                Request::ClearSlides
            } else {
                Request::LoadSlides(setup.slides.clone())
            });
        }
        self.built_in_camera = false;
        self.built_in_slides = false;
        self.saved = setup.clone();
        self.edited = Edited {
            setup,
            chain_left_out: false,
        };
        self.path = Some(path);
    }

    /// Another program wrote this into the file of the setup. It is taken where nothing would be lost by
    /// that, else asked about; whether it was taken.
    pub(super) fn changed_on_disk(&mut self, setup: Setup) -> bool {
        if setup == self.saved {
            return false;
        }
        let Some(path) = self.path.clone() else {
            return false;
        };
        if self.has_unsaved_changes() {
            self.question = Some(Question::SetupChanged(path));
            return false;
        }
        self.take_over(setup);
        true
    }

    /// Takes a setup from the file that it came from; only pictures that are others are asked for.
    fn take_over(&mut self, setup: Setup) {
        let old = &self.edited.setup;
        if old.camera != setup.camera {
            self.requests.push(match &setup.camera {
                Some(camera) => Request::LoadCamera(camera.clone()),
                None => Request::ClearCamera,
            });
        }
        if old.like != setup.like {
            self.requests.push(like_request(&setup));
        }
        if old.slides != setup.slides {
            self.requests.push(if setup.slides.is_empty() {
                Request::ClearSlides
            } else {
                Request::LoadSlides(setup.slides.clone())
            });
        }
        let view = old.settings.view;
        self.saved = setup.clone();
        self.edited.setup = setup;
        self.edited.setup.settings.view = view;
    }

    /// It was written, so that its path is typed no more; what waited for that goes on.
    pub(super) fn saved(&mut self, path: PathBuf, setup: Setup) {
        self.typed_path
            .take_if(|typed| typed.kind == FileKind::SaveSetup);
        self.saved = setup;
        self.path = Some(path);
        self.requests.extend(self.after_saving.take());
    }

    /// It was not written: where its path was typed, another can be, and what waited waits for that.
    pub(super) fn save_failed(&mut self) {
        let is_typed = |typed: &TypedPath| typed.kind == FileKind::SaveSetup;
        if !self.typed_path.as_ref().is_some_and(is_typed) {
            self.forget_what_waits();
        }
    }

    /// Whatever waited for the setup to be saved does not go on.
    pub(super) fn forget_what_waits(&mut self) {
        self.after_saving = None;
    }

    /// Closes the question, else the field for a path; whether one of them was open.
    pub(super) fn dismiss(&mut self) -> bool {
        if self.question.take().is_some() {
            return true;
        }
        let was_open = self.typed_path.is_some();
        if was_open {
            self.cancel_path();
        }
        was_open
    }

    /// Does what a user did about files; every other action is of no concern here.
    pub(super) fn apply(&mut self, action: Action) {
        match action {
            Action::Open(kind) => {
                self.forget_what_waits();
                self.requests.push(Request::Dialog(kind));
            }
            Action::TypePath(kind) | Action::DialogGaveNothing(kind) => {
                self.forget_what_waits();
                self.type_path(kind);
            }
            Action::PathText(text) => {
                if let Some(typed) = &mut self.typed_path {
                    typed.text = text;
                }
            }
            Action::CancelPath => self.cancel_path(),
            Action::PathGiven(kind, path) => self.path_given(kind, path),
            Action::FilesDropped(paths) => self.files_dropped(paths),
            Action::LeaveOutLike => {
                self.edited.setup.like = None;
                self.requests.push(Request::ClearLike);
            }
            Action::ShowDemonstration => self.requests.push(Request::LoadDemonstration),
            Action::Save => {
                self.forget_what_waits();
                self.save();
            }
            Action::Close if self.has_unsaved_changes() => {
                self.question = Some(Question::CloseUnsaved);
            }
            Action::Close => self.requests.push(Request::Quit),
            Action::Answer(answer) => self.answer(answer),
            _ => {}
        }
    }

    fn type_path(&mut self, kind: FileKind) {
        let known = match kind {
            FileKind::Camera => self.edited.setup.camera.as_deref(),
            FileKind::Like => self.edited.setup.like.as_deref(),
            FileKind::Slides => self.edited.setup.slides.first().map(PathBuf::as_path),
            FileKind::LoadSetup => self.path(),
            FileKind::SaveSetup => self.path().or(Some(Path::new(SETUP_FILE_NAME))),
        };
        let text = known.map_or_else(String::new, |path| path.display().to_string());
        self.typed_path = Some(TypedPath { kind, text });
    }

    /// Whatever waited for the path does not go on.
    fn cancel_path(&mut self) {
        self.typed_path = None;
        self.forget_what_waits();
    }

    fn path_given(&mut self, kind: FileKind, path: PathBuf) {
        // A path to save to stays until the setup is written, so that it can be corrected.
        if kind != FileKind::SaveSetup {
            self.typed_path = None;
            self.forget_what_waits();
        }
        self.requests.push(match kind {
            FileKind::Camera => Request::LoadCamera(path),
            FileKind::Like => Request::LoadLike(path),
            FileKind::Slides => Request::LoadSlides(vec![path]),
            FileKind::LoadSetup => return self.load_setup(path),
            FileKind::SaveSetup => Request::SaveSetup(path, Box::new(self.edited.setup.clone())),
        });
    }

    /// Several files or a folder are slides; a setup is loaded; one picture is asked about.
    fn files_dropped(&mut self, mut paths: Vec<PathBuf>) {
        match paths.pop() {
            None => {}
            Some(path) if paths.is_empty() => {
                let extension = path.extension().map(OsStr::to_ascii_lowercase);
                match extension.as_deref().and_then(OsStr::to_str) {
                    Some("toml") => self.load_setup(path),
                    None | Some("pdf" | "pptx" | "ppsx" | "ppt" | "odp") => {
                        self.requests.push(Request::LoadSlides(vec![path]));
                    }
                    Some(_) => self.question = Some(Question::Dropped(path)),
                }
            }
            Some(path) => {
                paths.push(path);
                self.requests.push(Request::LoadSlides(paths));
            }
        }
    }

    fn load_setup(&mut self, path: PathBuf) {
        if self.has_unsaved_changes() {
            self.question = Some(Question::LoadUnsaved(path));
        } else {
            self.requests.push(Request::LoadSetup(path));
        }
    }

    fn save(&mut self) {
        // Which of the two stays is asked already; saving would answer it unasked.
        if matches!(self.question, Some(Question::SetupChanged(_))) {
            return;
        }
        self.requests.push(match &self.path {
            Some(path) => Request::SaveSetup(path.clone(), Box::new(self.edited.setup.clone())),
            None => Request::Dialog(FileKind::SaveSetup),
        });
    }

    fn answer(&mut self, answer: Answer) {
        let Some(question) = self.question.take() else {
            return;
        };
        match (question, answer) {
            (_, Answer::Cancel) => {}
            (Question::CloseUnsaved, Answer::Save) => {
                self.after_saving = Some(Request::Quit);
                self.save();
            }
            (Question::CloseUnsaved, Answer::Discard) => self.requests.push(Request::Quit),
            (Question::LoadUnsaved(path), Answer::Save) => {
                self.after_saving = Some(Request::LoadSetup(path));
                self.save();
            }
            (Question::LoadUnsaved(path) | Question::SetupChanged(path), Answer::Discard) => {
                self.requests.push(Request::LoadSetup(path));
            }
            (Question::Dropped(path), Answer::UseAsCamera) => {
                self.requests.push(Request::LoadCamera(path));
            }
            (Question::Dropped(path), Answer::UseAsSlides) => {
                self.requests.push(Request::LoadSlides(vec![path]));
            }
            (question, _) => self.question = Some(question),
        }
    }
}

/// What has the camera compared with the frame that a setup names.
fn like_request(setup: &Setup) -> Request {
    match &setup.like {
        Some(like) => Request::LoadLike(like.clone()),
        None => Request::ClearLike,
    }
}
