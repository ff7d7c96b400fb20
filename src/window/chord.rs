//! A key together with what is held, and how it is printed.

use egui::{Key, Modifiers};

/// What is held down beside a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Held {
    /// Nothing.
    Nothing,
    /// Control (or Command).
    Control,
    /// Control and Shift.
    ControlShift,
    /// Alt.
    Alt,
    /// Alt and Shift.
    AltShift,
}

impl Held {
    /// As it is printed on the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::Control => "Ctrl",
            Self::ControlShift => "Ctrl Shift",
            Self::Alt => "Alt",
            Self::AltShift => "Alt Shift",
        }
    }
}

/// A key with what is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Chord {
    /// What is held.
    pub held: Held,
    /// The key.
    pub key: Key,
}

impl Chord {
    /// As it is printed on the sheet.
    pub fn words(self) -> String {
        match self.held.words() {
            "" => self.key_words().to_owned(),
            held => format!("{held} {}", self.key_words()),
        }
    }

    /// The key alone, as it is printed on the sheet.
    pub fn key_words(self) -> &'static str {
        match self.key {
            Key::ArrowLeft => "Left",
            Key::ArrowRight => "Right",
            Key::ArrowUp => "Up",
            Key::ArrowDown => "Down",
            Key::PageUp => "Page Up",
            Key::PageDown => "Page Down",
            Key::Escape => "Esc",
            Key::Period => "full stop",
            Key::Delete => "Delete",
            key => key.symbol_or_name(),
        }
    }

    /// Whether this is what was pressed.
    pub fn matches(self, key: Key, modifiers: Modifiers) -> bool {
        // Which keys need Shift to be typed depends on the keyboard.
        let shift_is_free = matches!(self.key, Key::Questionmark | Key::Plus | Key::Minus);
        let command = modifiers.command || modifiers.ctrl;
        let (want_command, want_shift, want_alt) = match self.held {
            Held::Nothing => (false, false, false),
            Held::Control => (true, false, false),
            Held::ControlShift => (true, true, false),
            Held::Alt => (false, false, true),
            Held::AltShift => (false, true, true),
        };
        key == self.key
            && modifiers.alt == want_alt
            && command == want_command
            && (shift_is_free || modifiers.shift == want_shift)
    }
}

/// A key alone.
pub(super) const fn plain(key: Key) -> Chord {
    Chord {
        held: Held::Nothing,
        key,
    }
}

/// A key with Control.
pub(super) const fn control(key: Key) -> Chord {
    Chord {
        held: Held::Control,
        key,
    }
}

/// A key with Alt.
pub(super) const fn alt(key: Key) -> Chord {
    Chord {
        held: Held::Alt,
        key,
    }
}

/// A key with Alt and Shift.
pub(super) const fn alt_shift(key: Key) -> Chord {
    Chord {
        held: Held::AltShift,
        key,
    }
}

/// A key with Control and Shift.
pub(super) const fn control_shift(key: Key) -> Chord {
    Chord {
        held: Held::ControlShift,
        key,
    }
}
