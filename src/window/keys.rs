//! The table of all keys.

use egui::{Key, Modifiers};

use Section::{Camera, Findings, Setup, Slides, Views, Window, Zones, Zoom};

use super::action::{Action, FileKind};
use super::binding::{Binding, Section, always, bind};
use super::chord::{Chord, alt, alt_shift, control, control_shift, plain};
use super::edit::Setting;
use super::overlays::Overlay;
use super::zone_tool::ZoneKey;
use crate::pixel::views::View;

/// How far one key press pans, as a part of what is visible. Source: chosen by eye.
const PAN_STEP: f32 = 0.25;

/// A view, or the one left of the dividing line.
const fn left(chords: &'static [Chord], view: View) -> Binding {
    let words = "composite, matte, camera, slide, kept, exposure";
    bind(Views, chords, Action::LeftView(view), words)
}

/// A view right of the dividing line.
const fn right(chords: &'static [Chord], view: View) -> Binding {
    let words = "the same, right of a dividing line";
    bind(Views, chords, Action::RightView(Some(view)), words)
}

/// Something of the camera frame over the picture.
const fn overlay(chords: &'static [Chord], overlay: Overlay) -> Binding {
    let words = "writing, presenter, reflections, free room over the picture";
    bind(Camera, chords, Action::ToggleOverlay(overlay), words)
}

/// A step of the selected zone.
const fn move_zone(chords: &'static [Chord], steps: [i8; 2]) -> Binding {
    let words = "move it by 1 % of the output";
    bind(Zones, chords, Action::ZoneKey(ZoneKey::Move(steps)), words)
}

/// A step of its right and lower side.
const fn grow_zone(chords: &'static [Chord], steps: [i8; 2]) -> Binding {
    let words = "make it smaller or larger by 1 %";
    bind(Zones, chords, Action::ZoneKey(ZoneKey::Grow(steps)), words)
}

/// A step of a picture that is larger than its place.
const fn pan(chords: &'static [Chord], right: f32, down: f32) -> Binding {
    let words = "move the picture that is larger than its place";
    bind(Zoom, chords, Action::Pan(right, down), words)
}

/// A step of a panel whose text is longer than it is high.
const fn scroll(chords: &'static [Chord], pages: i8) -> Binding {
    let words = "scroll the keys, else the advice, else the settings";
    always(Window, chords, Action::ScrollPanel(pages), words)
}

/// Every key of the window.
pub static BINDINGS: &[Binding] = &[
    always(
        Slides,
        &[
            plain(Key::PageDown),
            plain(Key::ArrowRight),
            plain(Key::ArrowDown),
        ],
        Action::NextSlide,
        "next slide; a slide clicker sends these",
    ),
    always(
        Slides,
        &[
            plain(Key::PageUp),
            plain(Key::ArrowLeft),
            plain(Key::ArrowUp),
        ],
        Action::PreviousSlide,
        "slide before",
    ),
    bind(
        Slides,
        &[plain(Key::Home)],
        Action::FirstSlide,
        "first slide",
    ),
    bind(Slides, &[plain(Key::End)], Action::LastSlide, "last slide"),
    bind(
        Slides,
        &[plain(Key::B), plain(Key::Period)],
        Action::ToggleSlideHidden,
        "take the slide away, or show it again",
    ),
    bind(
        Findings,
        &[plain(Key::N)],
        Action::NextFinding,
        "next finding on this slide",
    ),
    bind(
        Findings,
        &[control(Key::N)],
        Action::PreviousFinding,
        "finding before",
    ),
    bind(
        Findings,
        &[plain(Key::G)],
        Action::NextSlideWithFinding,
        "go on to the next slide with a finding",
    ),
    bind(
        Findings,
        &[plain(Key::A)],
        Action::ToggleAccepted,
        "accept the selected finding, or take that back",
    ),
    bind(
        Findings,
        &[plain(Key::C)],
        Action::ToggleFindings,
        "list of findings open or closed",
    ),
    bind(
        Camera,
        &[plain(Key::I)],
        Action::ToggleInspect,
        "inspect the camera: go, or what is wrong",
    ),
    bind(
        Camera,
        &[control(Key::I)],
        Action::NextCameraFinding,
        "next finding of the camera",
    ),
    overlay(&[plain(Key::Num7)], Overlay::Writing),
    overlay(&[plain(Key::Num8)], Overlay::Presenter),
    overlay(&[plain(Key::Num9)], Overlay::Reflections),
    overlay(&[plain(Key::Num0)], Overlay::FreeRoom),
    bind(
        Zones,
        &[plain(Key::Z)],
        Action::ToggleZones,
        "zones over the picture, or not",
    ),
    bind(
        Zones,
        &[plain(Key::W)],
        Action::DrawZone,
        "draw a zone with the next drag over the picture",
    ),
    bind(
        Zones,
        &[control(Key::W)],
        Action::AddZone,
        "a zone in the middle of what is visible",
    ),
    bind(
        Zones,
        &[plain(Key::J)],
        Action::NextZone,
        "select the next zone of this slide",
    ),
    move_zone(&[alt(Key::ArrowLeft)], [-1, 0]),
    move_zone(&[alt(Key::ArrowRight)], [1, 0]),
    move_zone(&[alt(Key::ArrowUp)], [0, -1]),
    move_zone(&[alt(Key::ArrowDown)], [0, 1]),
    grow_zone(&[alt_shift(Key::ArrowLeft)], [-1, 0]),
    grow_zone(&[alt_shift(Key::ArrowRight)], [1, 0]),
    grow_zone(&[alt_shift(Key::ArrowUp)], [0, -1]),
    grow_zone(&[alt_shift(Key::ArrowDown)], [0, 1]),
    bind(
        Zones,
        &[plain(Key::V)],
        Action::ZoneKey(ZoneKey::NextKind),
        "its kind: keep out, keep in, write here",
    ),
    bind(
        Zones,
        &[plain(Key::R)],
        Action::ZoneKey(ZoneKey::Name),
        "type its name",
    ),
    bind(
        Zones,
        &[plain(Key::U)],
        Action::ZoneKey(ZoneKey::ForSlideOrDeck),
        "for this slide alone, or for the deck",
    ),
    bind(
        Zones,
        &[plain(Key::Delete)],
        Action::ZoneKey(ZoneKey::Remove),
        "take it away",
    ),
    left(&[plain(Key::Num1)], View::Composite),
    left(&[plain(Key::Num2)], View::Matte),
    left(&[plain(Key::Num3)], View::Camera),
    left(&[plain(Key::Num4)], View::Slide),
    left(&[plain(Key::Num5)], View::Kept),
    left(&[plain(Key::Num6)], View::Exposure),
    right(&[control(Key::Num1)], View::Composite),
    right(&[control(Key::Num2)], View::Matte),
    right(&[control(Key::Num3)], View::Camera),
    right(&[control(Key::Num4)], View::Slide),
    right(&[control(Key::Num5)], View::Kept),
    right(&[control(Key::Num6)], View::Exposure),
    bind(
        Views,
        &[control(Key::Num0)],
        Action::RightView(None),
        "one view, no line",
    ),
    bind(
        Views,
        &[plain(Key::X)],
        Action::SwapViews,
        "exchange left and right",
    ),
    bind(Zoom, &[plain(Key::F)], Action::ZoomFit, "the whole picture"),
    bind(
        Zoom,
        &[plain(Key::O)],
        Action::ZoomActual,
        "one to one, pixel for pixel",
    ),
    bind(
        Zoom,
        &[control(Key::Plus), control(Key::Equals)],
        Action::ZoomIn,
        "closer",
    ),
    bind(
        Zoom,
        &[control(Key::Minus)],
        Action::ZoomOut,
        "further away",
    ),
    pan(&[control(Key::ArrowLeft)], -PAN_STEP, 0.0),
    pan(&[control(Key::ArrowRight)], PAN_STEP, 0.0),
    pan(&[control(Key::ArrowUp)], 0.0, -PAN_STEP),
    pan(&[control(Key::ArrowDown)], 0.0, PAN_STEP),
    bind(
        Setup,
        &[plain(Key::T)],
        Action::Focus(Setting::Threshold),
        "type a threshold",
    ),
    bind(
        Setup,
        &[plain(Key::S)],
        Action::Focus(Setting::Softness),
        "type a softness",
    ),
    bind(
        Setup,
        &[plain(Key::K)],
        Action::SearchKey,
        "find a key for this deck",
    ),
    bind(
        Setup,
        &[plain(Key::L)],
        Action::ToggleChain,
        "leave the chain out, or put it back",
    ),
    bind(Setup, &[control(Key::Z)], Action::Undo, "undo"),
    bind(
        Setup,
        &[control_shift(Key::Z), control(Key::Y)],
        Action::Redo,
        "redo",
    ),
    bind(
        Setup,
        &[control(Key::O)],
        Action::Open(FileKind::Slides),
        "open slides",
    ),
    bind(
        Setup,
        &[control_shift(Key::O)],
        Action::Open(FileKind::Camera),
        "open a camera picture",
    ),
    bind(
        Setup,
        &[control(Key::L)],
        Action::Open(FileKind::LoadSetup),
        "load a setup",
    ),
    always(Setup, &[control(Key::S)], Action::Save, "save the setup"),
    bind(
        Setup,
        &[control_shift(Key::S)],
        Action::Open(FileKind::SaveSetup),
        "save the setup under another name",
    ),
    always(
        Window,
        &[plain(Key::F5)],
        Action::ToggleOutput,
        "clean output on or off",
    ),
    scroll(&[control(Key::PageDown)], 1),
    scroll(&[control(Key::PageUp)], -1),
    bind(
        Window,
        &[plain(Key::E)],
        Action::ToggleSettings,
        "settings open or closed",
    ),
    bind(
        Window,
        &[plain(Key::M)],
        Action::ToggleMoreSettings,
        "rarely needed settings",
    ),
    bind(
        Window,
        &[plain(Key::H)],
        Action::ToggleHistogram,
        "histogram",
    ),
    bind(
        Window,
        &[plain(Key::P)],
        Action::ToggleProbe,
        "read values at a fixed point, or at the pointer",
    ),
    bind(
        Window,
        &[plain(Key::D)],
        Action::ToggleDim,
        "dim the panels",
    ),
    bind(
        Window,
        &[plain(Key::Questionmark), plain(Key::F1)],
        Action::ToggleKeySheet,
        "this sheet",
    ),
    bind(
        Window,
        &[plain(Key::Escape)],
        Action::Dismiss,
        "close a question, the sheet or a message; put a zone back that is dragged",
    ),
    always(
        Window,
        &[control(Key::Q)],
        Action::Close,
        "close the window",
    ),
];

/// What a key does, if anything.
pub fn action_for(key: Key, modifiers: Modifiers, typing: bool) -> Option<Action> {
    BINDINGS
        .iter()
        .filter(|binding| binding.while_typing || !typing)
        .find(|binding| {
            let mut chords = binding.chords.iter();
            chords.any(|chord| chord.matches(key, modifiers))
        })
        .map(|binding| binding.action.clone())
}
