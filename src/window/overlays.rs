//! What of the camera frame can be drawn over the picture, and what of it is.

/// One of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Overlay {
    /// The writing that was found.
    Writing,
    /// The presenter that was found.
    Presenter,
    /// The reflections that were found.
    Reflections,
    /// Where neither is and a hand reaches.
    FreeRoom,
}

impl Overlay {
    /// All, in the order of their keys.
    pub const ALL: [Self; 4] = [
        Self::Writing,
        Self::Presenter,
        Self::Reflections,
        Self::FreeRoom,
    ];

    /// What it is called.
    pub fn label(self) -> &'static str {
        match self {
            Self::Writing => "writing",
            Self::Presenter => "presenter",
            Self::Reflections => "reflections",
            Self::FreeRoom => "free room",
        }
    }

    /// What it shows, and how.
    pub(super) fn tooltip(self) -> &'static str {
        match self {
            Self::Writing => "A line round everything that was found written on the glass. Key 7.",
            Self::Presenter => {
                "A line round the presenter that was found, with slanted lines in it. Key 8."
            }
            Self::Reflections => {
                "A ring round every reflection, with how much brighter it is. Key 9."
            }
            Self::FreeRoom => {
                "Dashed boxes, the largest first, where a slide covers neither writing nor presenter and a hand reaches. Key 0."
            }
        }
    }
}

/// Those that are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Overlays([bool; 4]);

impl Overlays {
    /// Whether it is drawn.
    pub fn shows(self, overlay: Overlay) -> bool {
        self.0[overlay as usize]
    }

    /// Draws it, or no more.
    pub(super) fn toggle(&mut self, overlay: Overlay) {
        let shown = &mut self.0[overlay as usize];
        *shown = !*shown;
    }
}
