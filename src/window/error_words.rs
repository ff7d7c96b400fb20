//! Errors and warnings in words, and told.

use super::action::MessageKind;
use super::load_error::LoadError;
use super::message::Unread;
use super::state::State;

/// Tells what is odd about a file that was read all the same.
pub(super) fn tell_warnings(state: &mut State, warnings: Vec<String>) {
    for warning in warnings {
        state.tell(MessageKind::Warning, warning);
    }
}

/// Tells an error with its causes, and what can be done about it.
pub fn tell_error(state: &mut State, error: &dyn std::error::Error, hint: Option<String>) {
    state.tell(MessageKind::Error, error_words(error, hint));
}

/// Tells that something cannot be read, in place of what was told about it before; `named` says what it is, where the
/// error does not, and what is shown now.
pub(super) fn tell_unread(state: &mut State, what: Unread, named: &str, error: &LoadError) {
    state.messages.forget(what);
    let words = error_words(error, error.hint());
    state.messages.push_unread(what, format!("{named}{words}"));
}

/// An error with its causes and the hint, in one line.
pub fn error_words(error: &dyn std::error::Error, hint: Option<String>) -> String {
    let mut words = error.to_string();
    let mut cause = error.source();
    while let Some(inner) = cause {
        words = format!("{words}: {inner}");
        cause = inner.source();
    }
    if let Some(hint) = hint {
        words = format!("{words}. Hint: {hint}");
    }
    words
}
