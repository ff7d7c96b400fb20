//! Takes what a slide clicker sends, and every other key of the table, before a control can steal it.

use egui::{Context, Event, RawInput};

use super::action::Action;
use super::keys::action_for;

/// Takes the keys of the table out of the input before any control, or egui's walk from control to
/// control, sees them.
#[derive(Debug, Default)]
pub struct KeyFilter {
    taken: Vec<Action>,
}

impl KeyFilter {
    /// What the keys of this frame do, in order.
    pub fn take(ctx: &Context) -> Vec<Action> {
        ctx.with_plugin(|filter: &mut Self| std::mem::take(&mut filter.taken))
            .unwrap_or_default()
    }
}

impl egui::Plugin for KeyFilter {
    fn debug_name(&self) -> &'static str {
        "keys"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        let typing = ctx.text_edit_focused();
        input.events.retain(|event| {
            let Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } = event
            else {
                return true;
            };
            match action_for(*key, *modifiers, typing) {
                Some(action) => {
                    self.taken.push(action);
                    false
                }
                None => true,
            }
        });
    }
}
