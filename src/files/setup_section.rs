//! The sections of a setup file.

/// A section of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Section {
    Top,
    Key,
    Placement,
    Chain,
    Knobs,
    Limits,
    Window,
}

impl Section {
    pub(super) const ALL: [Self; 7] = [
        Self::Top,
        Self::Key,
        Self::Placement,
        Self::Chain,
        Self::Knobs,
        Self::Limits,
        Self::Window,
    ];

    /// What stands in brackets; nothing at the top.
    pub(super) fn name(self) -> Option<&'static str> {
        match self {
            Self::Top => None,
            Self::Key => Some("key"),
            Self::Placement => Some("placement"),
            Self::Chain => Some("chain"),
            Self::Knobs => Some("knobs"),
            Self::Limits => Some("limits"),
            Self::Window => Some("window"),
        }
    }
}
