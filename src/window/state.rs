//! All that the user sees and can change, without pixels. Every action goes through [`State::apply`].
//! Does no input or output: what the shell has to do leaves as [`Request`]s.

use std::path::{Path, PathBuf};

use super::action::{Action, MessageKind, Request};
use super::camera_check::CameraCheck;
use super::deck_check::DeckCheck;
use super::edit::{Edit, Setting};
use super::history::{History, Snapshot};
use super::key_search::KeySearch;
use super::message::{Messages, Question};
use super::open_setup::{OpenSetup, TypedPath};
use super::overlays::Overlays;
use super::zone_tool::ZoneTool;
use super::zooming::{LeftSight, Zoom};
use crate::files::setup_file::Setup;
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::View;

/// A screen that the clean output can fill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Monitor {
    /// As the system calls it, or `monitor 2`.
    pub name: String,
    /// Width and height in pixels.
    pub size: [u32; 2],
}

/// The whole user-visible state.
#[derive(Clone, Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own in the window"
)]
pub struct State {
    pub(super) open: OpenSetup,
    pub(super) history: History,
    pub(super) refused: Option<(Setting, String)>,
    pub(super) slide_names: Vec<String>,
    pub(super) slide_index: usize,

    /// What is known about the slides. Told by the shell.
    pub deck_check: DeckCheck,
    /// What is known about the camera frame. Told by the shell.
    pub camera_check: CameraCheck,
    /// The search for a key for the deck.
    pub key_search: KeySearch,
    /// Whether the histogram shows the deck, once a search has measured it.
    pub histogram_of_deck: bool,
    /// Whether the list of findings is open where it has room under the picture.
    pub findings_open_below: bool,
    /// Whether the list of findings is open where it takes the place of the settings.
    pub findings_open_beside: bool,
    /// What was found in the camera frame that is drawn over the picture.
    pub overlays: Overlays,
    /// How zones are shown and worked on.
    pub zone_tool: ZoneTool,
    /// Whether the camera is inspected.
    pub inspect_open: bool,
    /// What was seen of the picture before a finding of the camera was brought into sight.
    pub(super) left_sight: Option<LeftSight>,
    /// How far the panel that is read is to be scrolled, in steps down.
    pub(super) panel_pages: i8,
    /// Whether the list of findings has no room under the picture. Told by the panels.
    pub findings_are_beside: bool,
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
    /// Whether all of the clean output is behind other windows. Told by the shell.
    pub output_hidden: bool,
    /// The screens there are. Told by the shell.
    pub monitors: Vec<Monitor>,
    /// Index of the screen for the clean output.
    pub monitor_index: usize,
    /// What the window tells.
    pub messages: Messages,
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
            open: OpenSetup::new(setup, setup_path),
            history: History::default(),
            refused: None,
            slide_names: Vec::new(),
            slide_index: 0,
            deck_check: DeckCheck::default(),
            camera_check: CameraCheck::default(),
            key_search: KeySearch::Idle,
            histogram_of_deck: false,
            findings_open_below: true,
            findings_open_beside: false,
            findings_are_beside: false,
            overlays: Overlays::default(),
            zone_tool: ZoneTool::default(),
            inspect_open: false,
            left_sight: None,
            panel_pages: 0,
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
            output_hidden: false,
            monitors: Vec::new(),
            monitor_index: 0,
            messages: Messages::default(),
        }
    }

    /// The setup as edited.
    pub fn setup(&self) -> &Setup {
        &self.open.edited.setup
    }

    /// The settings as edited.
    pub fn settings(&self) -> &Settings {
        &self.open.edited.setup.settings
    }

    /// The settings as the picture is made with them: without the chain while it is left out.
    pub fn settings_in_force(&self) -> Settings {
        let settings = *self.settings();
        Settings {
            chain: settings.chain.filter(|_| !self.chain_is_left_out()),
            ..settings
        }
    }

    /// Whether the file of the setup has the chain as it is here.
    pub fn chain_is_saved(&self) -> bool {
        self.open.chain_is_saved()
    }

    /// Whether the chain is left out for a moment.
    pub fn chain_is_left_out(&self) -> bool {
        self.open.edited.chain_left_out
    }

    /// What is left of the dividing line, or everywhere.
    pub fn left_view(&self) -> View {
        self.open.edited.setup.settings.view
    }

    /// What the clean output shows: always the composite; none while it is off, or nobody can see it.
    pub fn output_view(&self) -> Option<View> {
        (self.output_on && !self.output_hidden).then_some(View::Composite)
    }

    /// Everything that has to be made.
    pub fn shown_views(&self) -> Vec<View> {
        let others = [self.right_view, self.output_view()];
        let mut views = vec![self.left_view()];
        for view in others.into_iter().flatten() {
            if !views.contains(&view) {
                views.push(view);
            }
        }
        views
    }

    /// The file that the setup came from or was saved to.
    pub fn setup_path(&self) -> Option<&Path> {
        self.open.path()
    }

    /// Whether something would be lost by closing.
    pub fn has_unsaved_changes(&self) -> bool {
        self.open.has_unsaved_changes()
    }

    /// What the window asks.
    pub fn question(&self) -> Option<&Question> {
        self.open.question()
    }

    /// The path that is being typed.
    pub fn typed_path(&self) -> Option<&TypedPath> {
        self.open.typed_path()
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
        self.open.has_built_in_camera()
    }

    /// Whether camera and slides are both the built-in ones.
    pub fn is_demonstration(&self) -> bool {
        self.open.is_demonstration()
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
        self.open.take_requests()
    }

    /// Tells a message.
    pub fn tell(&mut self, kind: MessageKind, text: impl Into<String>) {
        self.messages.push(kind, text);
    }

    /// Does what a user did.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(edit, None),
            Action::Drag(edit) => self.edit(edit, Some(edit.setting())),
            Action::EndDrag => self.end_drag(),
            Action::Refuse(setting, text) => self.refused = Some((setting, text)),
            Action::Undo => {
                self.refused = None;
                self.end_drag();
                self.history.undo(&mut self.open.edited);
            }
            Action::Redo => {
                self.refused = None;
                self.end_drag();
                self.history.redo(&mut self.open.edited);
            }

            Action::NextSlide => self.go_to_slide(self.slide_index.saturating_add(1)),
            Action::PreviousSlide => self.go_to_slide(self.slide_index.saturating_sub(1)),
            Action::FirstSlide => self.go_to_slide(0),
            Action::LastSlide => self.go_to_slide(usize::MAX),
            Action::GoToSlide(index) => self.go_to_slide(index),
            Action::NextFinding => self.step_finding(true),
            Action::PreviousFinding => self.step_finding(false),
            Action::SelectFinding(place) => self.select_finding(place),
            Action::NextSlideWithFinding => self.go_to_next_finding(),
            Action::ToggleAccepted => self.toggle_accepted(),
            Action::ToggleFindings => self.toggle_findings(),
            Action::ToggleInspect => self.toggle_inspect(),
            Action::ScrollPanel(pages) => self.scroll_panel(pages),
            Action::ToggleOverlay(overlay) => self.overlays.toggle(overlay),
            Action::NextCameraFinding => self.step_camera_finding(),
            Action::SelectCameraFinding(place) => self.select_camera_finding(place),
            Action::Zone(edit) => self.edit_zone(edit, false),
            Action::DragZone(edit) => self.edit_zone(edit, true),
            Action::ZoneKey(key) => self.zone_key(key),
            Action::SelectZone(index) => self.select_zone(index),
            Action::HoldZone(index) => self.hold_zone(index),
            Action::NextZone => self.step_zone(),
            Action::ToggleZones => self.toggle_zones(),
            Action::DrawZone => self.toggle_zone_drawing(),
            Action::AddZone => self.add_zone(),
            Action::SearchKey => self.search_key(),
            Action::UseFoundKey => self.use_found_key(),
            Action::GoToPlace(index, bounds) => self.go_to_place(index, bounds),
            Action::HistogramOfDeck(shown) => self.histogram_of_deck = shown,
            Action::ToggleChain => self.toggle_chain(),
            Action::ToggleSlideHidden => self.slide_hidden = !self.slide_hidden,

            Action::LeftView(view) => self.open.edited.setup.settings.view = view,
            Action::RightView(view) => self.right_view = view,
            Action::Divider(place) => {
                if place.is_finite() {
                    self.divider = place.clamp(0.0, 1.0);
                }
            }
            Action::SwapViews => {
                if let Some(right) = self.right_view {
                    self.right_view = Some(self.open.edited.setup.settings.view);
                    self.open.edited.setup.settings.view = right;
                }
            }

            Action::ZoomFit
            | Action::ZoomActual
            | Action::ZoomIn
            | Action::ZoomOut
            | Action::ZoomTo(..)
            | Action::Pan(..) => self.choose_sight(&action),

            Action::Focus(setting) => {
                self.open_settings();
                self.focus = Some(setting);
            }
            Action::Probe(probe_px) => self.probe_px = probe_px,
            Action::ToggleProbe => self.toggle_probe(),
            Action::ToggleSettings => self.toggle_settings(),
            Action::ToggleMoreSettings => self.more_settings_open = !self.more_settings_open,
            Action::ToggleKeySheet => self.key_sheet_open = !self.key_sheet_open,
            Action::ToggleHistogram => self.histogram_open = !self.histogram_open,
            Action::ToggleDim => self.dimmed = !self.dimmed,
            Action::Dismiss => self.dismiss(),
            Action::DismissMessage(number) => self.messages.dismiss(number),

            Action::ToggleOutput => {
                self.output_on = !self.output_on;
                self.output_hidden = false;
            }
            Action::ChooseMonitor(index) if index < self.monitors.len() => {
                // On another monitor it is opened anew, and is not covered there.
                self.output_hidden &= self.monitor_index == index;
                self.monitor_index = index;
            }
            Action::ChooseMonitor(_) => {}

            Action::Open(_)
            | Action::TypePath(_)
            | Action::PathText(_)
            | Action::CancelPath
            | Action::PathGiven(..)
            | Action::DialogGaveNothing(_)
            | Action::FilesDropped(_)
            | Action::LeaveOutLike
            | Action::ShowDemonstration
            | Action::Save
            | Action::Close
            | Action::Answer(_) => self.open.apply(action),
        }
    }

    fn end_drag(&mut self) {
        self.history.end_drag();
        self.zone_tool.held = false;
    }

    /// Checks a new value and takes it, or keeps why not.
    pub(super) fn edit(&mut self, edit: Edit, dragged: Option<Setting>) {
        let mut setup = self.open.edited.setup.clone();
        match edit.put_into(&mut setup) {
            Ok(()) => {
                self.refused = None;
                if setup != self.open.edited.setup {
                    self.history
                        .record(Snapshot::of(&self.open.edited), dragged);
                    self.open.edited.setup = setup;
                    // Who sets the chain wants to see it.
                    self.open.edited.chain_left_out &= edit.setting() != Setting::Chain;
                }
            }
            Err(error) => self.refused = Some((edit.setting(), error.to_string())),
        }
    }

    pub(super) fn last_slide(&self) -> usize {
        self.slide_names.len().saturating_sub(1)
    }

    pub(super) fn go_to_slide(&mut self, index: usize) {
        self.slide_index = index.min(self.last_slide());
        self.deck_check.select(None);
        self.slide_hidden = false;
    }
}
