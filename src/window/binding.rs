//! A key of the window: what it does, and where and how the sheet of keys words it.

use super::action::Action;
use super::chord::Chord;

/// Where a key stands on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    /// Stepping through the deck.
    Slides,
    /// What is wrong on the slides.
    Findings,
    /// What is seen in the camera frame.
    Camera,
    /// Where content is to be.
    Zones,
    /// What is shown.
    Views,
    /// How large it is shown.
    Zoom,
    /// Settings and files.
    Setup,
    /// The window itself.
    Window,
}

impl Section {
    /// All, in the order of the sheet.
    pub const ALL: [Self; 8] = [
        Self::Slides,
        Self::Findings,
        Self::Camera,
        Self::Zones,
        Self::Views,
        Self::Zoom,
        Self::Setup,
        Self::Window,
    ];

    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Slides => "Slides",
            Self::Findings => "Findings",
            Self::Camera => "Camera",
            Self::Zones => "Zones",
            Self::Views => "Views",
            Self::Zoom => "Zoom",
            Self::Setup => "Setup",
            Self::Window => "Window",
        }
    }
}

/// One line of the table.
#[derive(Debug)]
pub struct Binding {
    /// Where it stands on the sheet.
    pub section: Section,
    /// The keys that do it.
    pub chords: &'static [Chord],
    /// What is done.
    pub action: Action,
    /// What the sheet says.
    pub words: &'static str,
    /// Whether it also holds while a text is typed.
    pub while_typing: bool,
}

/// A line that holds while nothing is typed.
pub(super) const fn bind(
    section: Section,
    chords: &'static [Chord],
    action: Action,
    words: &'static str,
) -> Binding {
    Binding {
        section,
        chords,
        action,
        words,
        while_typing: false,
    }
}

/// A line that always holds.
pub(super) const fn always(
    section: Section,
    chords: &'static [Chord],
    action: Action,
    words: &'static str,
) -> Binding {
    Binding {
        section,
        chords,
        action,
        words,
        while_typing: true,
    }
}
