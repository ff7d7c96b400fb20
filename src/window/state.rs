//! All that the user sees and can change, without pixels. Every action goes through [`State::apply`].
//! Does no input or output: what the shell has to do leaves as [`Request`]s.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::action::{Action, Answer, FileKind, MessageKind, Request};
use super::edit::{Edit, Setting};
use super::history::{History, Snapshot};
use super::message::{Messages, Question};
use super::picture::{MAX_ZOOM, MIN_ZOOM, stepped_zoom, to_f32};
use crate::files::setup_file::Setup;
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::View;

/// What a picture is called in a setup file name. Source: design, the name that is found by itself.
pub const SETUP_FILE_NAME: &str = "nightglass.toml";

/// How large the picture is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Zoom {
    /// As large as it fits.
    #[default]
    Fit,
    /// Display pixels an output pixel gets.
    Scale(f32),
}

/// A screen that the clean output can fill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Monitor {
    /// As the system calls it, or `monitor 2`.
    pub name: String,
    /// Width and height in pixels.
    pub size: [u32; 2],
}

/// A path that is being typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedPath {
    /// What it is for.
    pub kind: FileKind,
    /// What stands in the field.
    pub text: String,
}

/// The whole user-visible state.
#[derive(Clone, Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own in the window"
)]
pub struct State {
    setup: Setup,
    saved: Setup,
    setup_path: Option<PathBuf>,
    history: History,
    refused: Option<(Setting, String)>,
    slide_names: Vec<String>,
    slide_index: usize,
    requests: Vec<Request>,
    after_saving: Option<Request>,
    built_in_camera: bool,
    built_in_slides: bool,

    /// Whether the slide is left out for now.
    pub slide_hidden: bool,
    /// What is right of the dividing line, if there is one.
    pub right_view: Option<View>,
    /// Where the dividing line is, 0 left to 1 right of the picture area.
    pub divider: f32,
    /// How large the picture is shown.
    pub zoom: Zoom,
    /// The point of the output in the middle of the picture area, 0 to 1.
    pub centre_uv: [f32; 2],
    /// Display pixels an output pixel gets now. Told by the shell.
    pub shown_scale: f32,
    /// The part of the output that is visible, 0 to 1 each way. Told by the shell.
    pub visible_uv: [f32; 2],
    /// The size of the output. Told by the shell.
    pub output_size: Size,
    /// A fixed output pixel for the read-out.
    pub probe_px: Option<[u32; 2]>,
    /// The control that should get the keyboard next.
    pub focus: Option<Setting>,
    /// Whether there is no room for settings and picture side by side. Told by the panels.
    pub is_narrow: bool,
    /// Whether the settings are open where the window is narrow.
    pub settings_open_narrow: bool,
    /// Whether the settings are open where the window is wide.
    pub settings_open_wide: bool,
    /// Whether the rarely needed settings are open.
    pub more_settings_open: bool,
    /// Whether the sheet of keys is open.
    pub key_sheet_open: bool,
    /// Whether the histogram is open.
    pub histogram_open: bool,
    /// Whether the panels are darker.
    pub dimmed: bool,
    /// Whether the clean output is on.
    pub output_on: bool,
    /// The screens there are. Told by the shell.
    pub monitors: Vec<Monitor>,
    /// Index of the screen for the clean output.
    pub monitor_index: usize,
    /// What the window tells.
    pub messages: Messages,
    /// What the window asks.
    pub question: Option<Question>,
    /// The path that is being typed.
    pub typed_path: Option<TypedPath>,
}

impl Default for State {
    fn default() -> Self {
        Self::new(Setup::default(), None)
    }
}

impl State {
    /// A window on this setup, which is as it is in the file.
    pub fn new(setup: Setup, setup_path: Option<PathBuf>) -> Self {
        Self {
            saved: setup.clone(),
            setup,
            setup_path,
            history: History::default(),
            refused: None,
            slide_names: Vec::new(),
            slide_index: 0,
            requests: Vec::new(),
            after_saving: None,
            built_in_camera: false,
            built_in_slides: false,
            slide_hidden: false,
            right_view: None,
            divider: 0.5,
            zoom: Zoom::Fit,
            centre_uv: [0.5, 0.5],
            shown_scale: 1.0,
            visible_uv: [1.0, 1.0],
            output_size: Size::HD,
            probe_px: None,
            focus: None,
            is_narrow: false,
            settings_open_narrow: false,
            settings_open_wide: true,
            more_settings_open: false,
            key_sheet_open: false,
            histogram_open: true,
            dimmed: false,
            output_on: false,
            monitors: Vec::new(),
            monitor_index: 0,
            messages: Messages::default(),
            question: None,
            typed_path: None,
        }
    }

    /// The setup as edited.
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// The settings as edited.
    pub fn settings(&self) -> &Settings {
        &self.setup.settings
    }

    /// The settings for what is left of the dividing line, or everywhere.
    pub fn left_settings(&self) -> Settings {
        self.setup.settings
    }

    /// The settings for what is right of the dividing line.
    pub fn right_settings(&self) -> Option<Settings> {
        self.right_view.map(|view| Settings {
            view,
            ..self.setup.settings
        })
    }

    /// The settings for the clean output: always the composite.
    pub fn output_settings(&self) -> Settings {
        Settings {
            view: View::Composite,
            ..self.setup.settings
        }
    }

    /// The file that the setup came from or was saved to.
    pub fn setup_path(&self) -> Option<&Path> {
        self.setup_path.as_deref()
    }

    /// Whether something would be lost by closing. The view shown is not worth a question.
    pub fn has_unsaved_changes(&self) -> bool {
        let mut edited = self.setup.clone();
        edited.settings.view = self.saved.settings.view;
        edited != self.saved
    }

    /// Whether there is a step to take back.
    pub fn can_undo(&self) -> bool {
        self.history.can_undo()
    }

    /// Whether an undo can be taken back.
    pub fn can_redo(&self) -> bool {
        self.history.can_redo()
    }

    /// Why the last value for this setting was refused.
    pub fn refusal(&self, setting: Setting) -> Option<&str> {
        match &self.refused {
            Some((refused, text)) if *refused == setting => Some(text),
            _ => None,
        }
    }

    /// Whether the built-in picture stands in for a camera.
    pub fn has_built_in_camera(&self) -> bool {
        self.built_in_camera
    }

    /// Whether camera and slides are both the built-in ones.
    pub fn is_demonstration(&self) -> bool {
        self.built_in_camera && self.built_in_slides
    }

    /// Names of the slides in order.
    pub fn slide_names(&self) -> &[String] {
        &self.slide_names
    }

    /// Index of the slide shown.
    pub fn slide_index(&self) -> usize {
        self.slide_index
    }

    /// What the shell has to do, in order; asked once.
    pub fn take_requests(&mut self) -> Vec<Request> {
        std::mem::take(&mut self.requests)
    }

    /// Tells a message.
    pub fn tell(&mut self, kind: MessageKind, text: impl Into<String>) {
        self.messages.push(kind, text);
    }

    /// The camera picture was read.
    pub fn camera_loaded(&mut self, path: PathBuf) {
        self.setup.camera = Some(path);
        self.built_in_camera = false;
    }

    /// The built-in pictures are taken; the setup names none then.
    pub fn demonstration_loaded(&mut self, names: Vec<String>) {
        self.deck_loaded(Vec::new(), names);
        self.setup.camera = None;
        self.built_in_camera = true;
        self.built_in_slides = true;
    }

    /// The slides were found; `paths` is what the setup keeps.
    ///
    /// The slide shown stays where it is in the deck if the paths are the same as before.
    pub fn deck_loaded(&mut self, paths: Vec<PathBuf>, names: Vec<String>) {
        if self.setup.slides != paths {
            self.slide_index = 0;
        }
        self.setup.slides = paths;
        self.slide_names = names;
        self.slide_index = self.slide_index.min(self.last_slide());
        self.slide_hidden = false;
        self.built_in_slides = false;
    }

    /// A setup was read; its pictures are asked for, and what it does not name is not shown any more.
    ///
    /// As when the window opens, a setup without any picture is shown on the built-in ones.
    pub fn setup_loaded(&mut self, path: PathBuf, setup: Setup) {
        if setup.camera.is_none() && setup.slides.is_empty() {
            self.requests.push(Request::LoadDemonstration);
        } else {
            self.requests.push(match &setup.camera {
                Some(camera) => Request::LoadCamera(camera.clone()),
                None => Request::ClearCamera,
            });
            self.requests.push(if setup.slides.is_empty() {
                Request::ClearSlides
            } else {
                Request::LoadSlides(setup.slides.clone())
            });
        }
        self.built_in_camera = false;
        self.built_in_slides = false;
        self.slide_index = 0;
        self.tell(
            MessageKind::Note,
            format!("Loaded the setup {}.", path.display()),
        );
        self.saved = setup.clone();
        self.setup = setup;
        self.setup_path = Some(path);
        self.history = History::default();
        self.refused = None;
    }

    /// A setup was written.
    pub fn setup_saved(&mut self, path: PathBuf, setup: Setup) {
        self.tell(
            MessageKind::Note,
            format!("Saved the setup to {}.", path.display()),
        );
        self.saved = setup;
        self.setup_path = Some(path);
        self.requests.extend(self.after_saving.take());
    }

    /// A setup could not be written; nothing that waited for it goes on.
    pub fn save_failed(&mut self, why: impl Into<String>) {
        self.after_saving = None;
        self.tell(MessageKind::Error, why);
    }

    /// The screens there are.
    pub fn set_monitors(&mut self, monitors: Vec<Monitor>) {
        self.monitors = monitors;
        if self.monitor_index >= self.monitors.len() {
            self.monitor_index = 0;
        }
    }

    /// Does what a user did.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(edit, None),
            Action::Drag(edit) => self.edit(edit, Some(edit.setting())),
            Action::EndDrag => self.history.end_drag(),
            Action::Refuse(setting, text) => self.refused = Some((setting, text)),
            Action::Undo => {
                self.refused = None;
                self.history.undo(&mut self.setup);
            }
            Action::Redo => {
                self.refused = None;
                self.history.redo(&mut self.setup);
            }

            Action::NextSlide => self.go_to_slide(self.slide_index.saturating_add(1)),
            Action::PreviousSlide => self.go_to_slide(self.slide_index.saturating_sub(1)),
            Action::FirstSlide => self.go_to_slide(0),
            Action::LastSlide => self.go_to_slide(usize::MAX),
            Action::GoToSlide(index) => self.go_to_slide(index),
            Action::ToggleSlideHidden => self.slide_hidden = !self.slide_hidden,

            Action::LeftView(view) => self.setup.settings.view = view,
            Action::RightView(view) => self.right_view = view,
            Action::Divider(place) => {
                if place.is_finite() {
                    self.divider = place.clamp(0.0, 1.0);
                }
            }
            Action::SwapViews => {
                if let Some(right) = self.right_view {
                    self.right_view = Some(self.setup.settings.view);
                    self.setup.settings.view = right;
                }
            }

            Action::ZoomFit => self.zoom = Zoom::Fit,
            Action::ZoomActual => self.zoom_to(1.0, self.centre_uv),
            Action::ZoomIn => self.zoom_by(1),
            Action::ZoomOut => self.zoom_by(-1),
            Action::ZoomTo(scale, centre_uv) => self.zoom_to(scale, centre_uv),
            Action::Pan(right, down) => {
                let [u, v] = self.centre_uv;
                let [visible_u, visible_v] = self.visible_uv;
                self.centre_uv = [u + right * visible_u, v + down * visible_v].map(clamp_uv);
            }

            Action::Focus(setting) => {
                *self.settings_open_mut() = true;
                self.focus = Some(setting);
            }
            Action::Probe(probe_px) => self.probe_px = probe_px,
            Action::ToggleProbe => {
                self.probe_px = match self.probe_px {
                    Some(_) => None,
                    None => Some(self.centre_px()),
                };
            }
            Action::ToggleSettings => {
                let open = self.settings_open_mut();
                *open = !*open;
            }
            Action::ToggleMoreSettings => self.more_settings_open = !self.more_settings_open,
            Action::ToggleKeySheet => self.key_sheet_open = !self.key_sheet_open,
            Action::ToggleHistogram => self.histogram_open = !self.histogram_open,
            Action::ToggleDim => self.dimmed = !self.dimmed,
            Action::Dismiss => self.dismiss(),
            Action::DismissMessage(number) => self.messages.dismiss(number),

            Action::ToggleOutput => self.output_on = !self.output_on,
            Action::ChooseMonitor(index) => {
                if index < self.monitors.len() {
                    self.monitor_index = index;
                }
            }

            Action::Open(kind) => {
                self.after_saving = None;
                self.requests.push(Request::Dialog(kind));
            }
            Action::TypePath(kind) | Action::DialogGaveNothing(kind) => {
                self.after_saving = None;
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
            Action::ShowDemonstration => self.requests.push(Request::LoadDemonstration),
            Action::Save => {
                self.after_saving = None;
                self.save();
            }
            Action::Close if self.has_unsaved_changes() => {
                self.question = Some(Question::CloseUnsaved);
            }
            Action::Close => self.requests.push(Request::Quit),
            Action::Answer(answer) => self.answer(answer),
        }
    }

    /// Checks a new value and takes it, or keeps why not.
    fn edit(&mut self, edit: Edit, dragged: Option<Setting>) {
        let mut setup = self.setup.clone();
        match edit.put_into(&mut setup) {
            Ok(()) => {
                self.refused = None;
                if setup != self.setup {
                    self.history.record(Snapshot::of(&self.setup), dragged);
                    self.setup = setup;
                }
            }
            Err(error) => self.refused = Some((edit.setting(), error.to_string())),
        }
    }

    /// The output pixel in the middle of the picture area.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a part from 0 to 1 of a side of at most MAX_SIDE_PX"
    )]
    fn centre_px(&self) -> [u32; 2] {
        let along = |share: f32, side: u32| ((share * side as f32) as u32).min(side - 1);
        let [u, v] = self.centre_uv;
        [
            along(u, self.output_size.width()),
            along(v, self.output_size.height()),
        ]
    }

    fn last_slide(&self) -> usize {
        self.slide_names.len().saturating_sub(1)
    }

    fn go_to_slide(&mut self, index: usize) {
        self.slide_index = index.min(self.last_slide());
        self.slide_hidden = false;
    }

    /// Goes some steps closer or further away; 1:1 is one of them.
    fn zoom_by(&mut self, steps: i32) {
        let scale = match self.zoom {
            Zoom::Scale(scale) => scale,
            Zoom::Fit => self.shown_scale,
        };
        let zoom = stepped_zoom(f64::from(scale), steps);
        self.zoom_to(to_f32(zoom), self.centre_uv);
    }

    fn zoom_to(&mut self, scale: f32, centre_uv: [f32; 2]) {
        let [smallest, largest] = [MIN_ZOOM, MAX_ZOOM].map(to_f32);
        if scale.is_finite() && centre_uv.iter().all(|v| v.is_finite()) {
            self.zoom = Zoom::Scale(scale.clamp(smallest, largest));
            self.centre_uv = centre_uv.map(clamp_uv);
        }
    }

    /// Whether the settings are open as the window is now.
    pub fn settings_open(&self) -> bool {
        if self.is_narrow {
            self.settings_open_narrow
        } else {
            self.settings_open_wide
        }
    }

    fn settings_open_mut(&mut self) -> &mut bool {
        if self.is_narrow {
            &mut self.settings_open_narrow
        } else {
            &mut self.settings_open_wide
        }
    }

    /// Closes the uppermost open thing.
    fn dismiss(&mut self) {
        if self.question.take().is_some() {
            return;
        }
        if self.typed_path.is_some() {
            self.cancel_path();
        } else if self.key_sheet_open {
            self.key_sheet_open = false;
        } else if !self.messages.dismiss_newest() {
            self.settings_open_narrow = false;
        }
    }

    fn type_path(&mut self, kind: FileKind) {
        let known = match kind {
            FileKind::Camera => self.setup.camera.as_deref(),
            FileKind::Slides => self.setup.slides.first().map(PathBuf::as_path),
            FileKind::LoadSetup => self.setup_path(),
            FileKind::SaveSetup => self.setup_path().or(Some(Path::new(SETUP_FILE_NAME))),
        };
        let text = known.map_or_else(String::new, |path| path.display().to_string());
        self.typed_path = Some(TypedPath { kind, text });
    }

    /// Whatever waited for the path does not go on.
    fn cancel_path(&mut self) {
        self.typed_path = None;
        self.after_saving = None;
    }

    fn path_given(&mut self, kind: FileKind, path: PathBuf) {
        self.typed_path = None;
        if kind != FileKind::SaveSetup {
            self.after_saving = None;
        }
        self.requests.push(match kind {
            FileKind::Camera => Request::LoadCamera(path),
            FileKind::Slides => Request::LoadSlides(vec![path]),
            FileKind::LoadSetup => return self.load_setup(path),
            FileKind::SaveSetup => Request::SaveSetup(path, Box::new(self.setup.clone())),
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
                    None | Some("pdf") => self.requests.push(Request::LoadSlides(vec![path])),
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
        self.requests.push(match &self.setup_path {
            Some(path) => Request::SaveSetup(path.clone(), Box::new(self.setup.clone())),
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
            (Question::LoadUnsaved(path), Answer::Discard) => {
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

/// A place on the output, 0 to 1.
fn clamp_uv(v: f32) -> f32 {
    v.clamp(0.0, 1.0)
}
