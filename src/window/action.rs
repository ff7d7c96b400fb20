//! Everything a user can do, as data: keys, buttons, dropped files and tests all go through these.
//! Refuses nothing itself; `State::apply` decides.

use std::path::PathBuf;

use super::edit::{Edit, Setting};
use super::overlays::Overlay;
use super::zone_edit::ZoneEdit;
use super::zone_tool::ZoneKey;
use crate::files::setup_file::Setup;
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::views::View;

/// What kind of file is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FileKind {
    /// The camera picture.
    Camera,
    /// The frame of the last good setup.
    Like,
    /// The slides.
    Slides,
    /// A setup file to read.
    LoadSetup,
    /// A setup file to write.
    SaveSetup,
}

/// How important a message is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MessageKind {
    /// Something went as wanted.
    Note,
    /// Something may be other than wanted.
    Warning,
    /// Something could not be done.
    Error,
}

/// An answer to the open question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Save first, then go on.
    Save,
    /// Go on without saving.
    Discard,
    /// The dropped file is the camera picture.
    UseAsCamera,
    /// The dropped file is a slide.
    UseAsSlides,
    /// Forget what was asked.
    Cancel,
}

/// One thing a user did, or that the shell has to tell.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// A finished change of a setting: one undo step.
    Edit(Edit),
    /// A change while something is dragged or a key is held: one undo step until [`Action::EndDrag`].
    Drag(Edit),
    /// The drag is over.
    EndDrag,
    /// What was typed for a setting makes no sense; the text is shown beside its control.
    Refuse(Setting, String),
    /// Takes the last step back.
    Undo,
    /// Takes the last undo back.
    Redo,

    /// The next slide; the last one stays.
    NextSlide,
    /// The slide before; the first one stays.
    PreviousSlide,
    /// The first slide.
    FirstSlide,
    /// The last slide.
    LastSlide,
    /// The slide with this index.
    GoToSlide(usize),
    /// Shows the camera without the slide, or with it again.
    ToggleSlideHidden,

    /// Selects the next finding of the slide shown, round the end.
    NextFinding,
    /// Selects the finding before, round the start.
    PreviousFinding,
    /// Selects a finding of the slide shown by its place in the list; none deselects.
    SelectFinding(Option<usize>),
    /// Goes to the next slide with a finding that was not accepted, and selects its worst.
    NextSlideWithFinding,
    /// Accepts the selected finding, or takes that back: one undo step.
    ToggleAccepted,
    /// Opens or closes the list of findings.
    ToggleFindings,
    /// Opens or closes what was seen in the camera frame.
    ToggleInspect,
    /// Selects the next finding of the camera, round the end.
    NextCameraFinding,
    /// Selects a finding of the camera by its place in the list; none deselects.
    SelectCameraFinding(Option<usize>),
    /// Draws what was found in the camera frame over the picture, or no more.
    ToggleOverlay(Overlay),
    /// A finished change of the zones: one undo step.
    Zone(ZoneEdit),
    /// A change while a zone is dragged: one undo step until [`Action::EndDrag`].
    DragZone(ZoneEdit),
    /// Does something to the selected zone: one undo step.
    ZoneKey(ZoneKey),
    /// Selects a zone by its place in the setup; none deselects.
    SelectZone(Option<usize>),
    /// Selects a zone and holds it to be dragged, until [`Action::EndDrag`]; dismissing puts it back until then.
    HoldZone(usize),
    /// Selects the next zone for the slide shown, round the end.
    NextZone,
    /// Draws the zones over the picture, or no more.
    ToggleZones,
    /// Has the next drag over the picture draw a zone, or not.
    DrawZone,
    /// Puts a zone into the middle of what is visible: one undo step.
    AddZone,
    /// Looks for a key for the whole deck.
    SearchKey,
    /// Sets the key that was found: one undo step.
    UseFoundKey,
    /// Goes to a slide and brings a place on it into sight.
    GoToPlace(usize, Option<PixelBox>),
    /// Shows the deck in the histogram, or the slide.
    HistogramOfDeck(bool),
    /// Leaves the chain out, or puts it back: one undo step.
    ToggleChain,

    /// What is left of the dividing line, or the only view.
    LeftView(View),
    /// What is right of the dividing line; `None` takes the line away.
    RightView(Option<View>),
    /// Where the dividing line is, 0 left to 1 right.
    Divider(f32),
    /// Exchanges the views left and right of the line.
    SwapViews,

    /// The whole picture.
    ZoomFit,
    /// One output pixel a display pixel.
    ZoomActual,
    /// One step closer.
    ZoomIn,
    /// One step away.
    ZoomOut,
    /// This many display pixels an output pixel, around this point of the output, 0 to 1.
    ZoomTo(f32, [f32; 2]),
    /// Moves the view by parts of what is visible; positive goes right and down.
    Pan(f32, f32),

    /// Gives a setting's control the keyboard.
    Focus(Setting),
    /// A fixed output pixel for the read-out, or none.
    Probe(Option<[u32; 2]>),
    /// Fixes the read-out to the middle of what is visible, or gives it back to the pointer.
    ToggleProbe,
    /// Scrolls the panel that is read by these steps down.
    ScrollPanel(i8),
    /// Opens or closes the settings.
    ToggleSettings,
    /// Opens or closes the rarely needed settings.
    ToggleMoreSettings,
    /// Opens or closes the sheet of keys.
    ToggleKeySheet,
    /// Opens or closes the histogram.
    ToggleHistogram,
    /// Darker panels, so that the screen lights the glass less.
    ToggleDim,
    /// Closes what is open: the question, the path field, the key sheet.
    Dismiss,
    /// Takes the message with this number away.
    DismissMessage(u64),

    /// Opens or closes the clean output.
    ToggleOutput,
    /// The monitor for the clean output.
    ChooseMonitor(usize),

    /// Asks for a file.
    Open(FileKind),
    /// Opens a field to type a path into.
    TypePath(FileKind),
    /// The path in the field changed.
    PathText(String),
    /// Closes the field without a path.
    CancelPath,
    /// A path was chosen or typed; loading a setup over unsaved changes asks first.
    PathGiven(FileKind, PathBuf),
    /// A dialog came back without a path: cancelled, or no dialog could be shown.
    DialogGaveNothing(FileKind),
    /// Files were dropped on the window.
    FilesDropped(Vec<PathBuf>),
    /// Shows the built-in pictures again.
    ShowDemonstration,
    /// Saves to the file it came from, or asks for one.
    Save,
    /// The camera is compared with no frame any more.
    LeaveOutLike,
    /// The window should close; unsaved changes are asked about.
    Close,
    /// Answers the open question.
    Answer(Answer),
}

/// What the shell has to do, in order.
#[derive(Clone, Debug, PartialEq)]
pub enum Request {
    /// Show a file dialog; answer with `PathGiven` or `DialogGaveNothing`.
    Dialog(FileKind),
    /// Read a camera picture; answer with `State::camera_loaded` or a message.
    LoadCamera(PathBuf),
    /// Read the frame of the last good setup; answer with `State::like_loaded` or a message.
    LoadLike(PathBuf),
    /// Read slides; answer with `State::deck_loaded` or a message.
    LoadSlides(Vec<PathBuf>),
    /// Show no camera picture any more.
    ClearCamera,
    /// Compare the camera with nothing any more.
    ClearLike,
    /// Show no slides any more; answer with `State::deck_loaded`.
    ClearSlides,
    /// Take the built-in pictures; answer with `State::demonstration_loaded`.
    LoadDemonstration,
    /// Read a setup; answer with `State::setup_loaded` or a message.
    LoadSetup(PathBuf),
    /// Write a setup; answer with `State::setup_saved` or `State::save_failed`.
    SaveSetup(PathBuf, Box<Setup>),
    /// Close the window.
    Quit,
}
