//! What a key event of the window system is about, before egui has it.

use winit::event::{ElementState, KeyEvent, WindowEvent};
use winit::keyboard::{Key, NamedKey};

/// Whether the key closes what covers the screen.
pub(super) fn is_escape(key: &KeyEvent) -> bool {
    key.state == ElementState::Pressed && key.logical_key == Key::Named(NamedKey::Escape)
}

/// Whether a key went down.
pub(super) fn is_key_press(event: &WindowEvent) -> bool {
    matches!(event, WindowEvent::KeyboardInput { event, .. } if event.state == ElementState::Pressed)
}

/// Whether nothing shown can change by it: a key was let go, or what is held beside other keys changed.
pub(super) fn shows_nothing(event: &WindowEvent) -> bool {
    match event {
        WindowEvent::ModifiersChanged(_) => true,
        WindowEvent::KeyboardInput { event: key, .. } => {
            let is_modifier = matches!(
                key.logical_key,
                Key::Named(
                    NamedKey::Shift
                        | NamedKey::Control
                        | NamedKey::Alt
                        | NamedKey::AltGraph
                        | NamedKey::Super
                )
            );
            is_modifier || key.state == ElementState::Released
        }
        _ => false,
    }
}
