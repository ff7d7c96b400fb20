//! Questions, a path to type and messages, in a strip under the picture and never over it.

use std::path::PathBuf;

use egui::text::CCursorRange;
use egui::{Key, RichText, TextEdit, Ui};

use super::action::{Action, Answer, FileKind, MessageKind};
use super::control::{button_ui, name_control, named_button_ui};
use super::files_group::file_name;
use super::look::Look;
use super::message::Question;
use super::state::State;

/// How many messages are shown at once where the window is high, and where it is not.
const SHOWN_MESSAGES: [usize; 2] = [3, 1];

/// Whether there is anything to show.
pub(super) fn has_message_strip(state: &State) -> bool {
    state.question().is_some() || state.typed_path().is_some() || !state.messages.list().is_empty()
}

/// The question, the path field and the newest messages.
pub(super) fn message_strip_ui(ui: &mut Ui, state: &mut State, is_high: bool) {
    if let Some(question) = state.question().cloned() {
        question_ui(ui, state, &question);
    }
    if state.typed_path().is_some() {
        path_ui(ui, state);
    }
    let [high, low] = SHOWN_MESSAGES;
    messages_ui(ui, state, if is_high { high } else { low });
}

fn question_ui(ui: &mut Ui, state: &mut State, question: &Question) {
    let (text, answers): (String, &[(&str, &str, Answer)]) = match question {
        Question::CloseUnsaved => (
            "The setup has changes that are not saved. Save them before closing?".to_owned(),
            &[
                (
                    "Save and close",
                    "Saves the setup, then closes the window.",
                    Answer::Save,
                ),
                (
                    "Close without saving",
                    "The changes are lost.",
                    Answer::Discard,
                ),
                ("Keep open", "Nothing happens.", Answer::Cancel),
            ],
        ),
        Question::LoadUnsaved(path) => (
            format!(
                "The setup has changes that are not saved. Save them before loading {}?",
                file_name(path)
            ),
            &[
                (
                    "Save and load",
                    "Saves the setup, then loads the other one.",
                    Answer::Save,
                ),
                (
                    "Load without saving",
                    "The changes are lost.",
                    Answer::Discard,
                ),
                ("Do not load", "Nothing happens.", Answer::Cancel),
            ],
        ),
        Question::SetupChanged(path) => (
            format!(
                "{} was changed by another program, and there are changes here that are not saved. Which should stay?",
                file_name(path)
            ),
            &[
                (
                    "Keep what is here",
                    "Nothing is loaded; saving later changes the file.",
                    Answer::Cancel,
                ),
                (
                    "Load the file",
                    "The changes here are lost.",
                    Answer::Discard,
                ),
            ],
        ),
        Question::Dropped(path) => (
            format!("What is {}?", file_name(path)),
            &[
                ("A slide", "Shows it as the slide.", Answer::UseAsSlides),
                (
                    "The camera picture",
                    "Shows it as the camera.",
                    Answer::UseAsCamera,
                ),
                ("Neither", "Nothing happens.", Answer::Cancel),
            ],
        ),
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(text).strong());
        let id = ui.make_persistent_id("asked");
        let is_new = ui.data(|data| data.get_temp::<Question>(id)).as_ref() != Some(question);
        for (place, (label, tooltip, answer)) in answers.iter().enumerate() {
            let response = named_button_ui(ui, label, tooltip);
            if is_new && place == 0 {
                response.request_focus();
            }
            if response.clicked() {
                state.apply(Action::Answer(*answer));
            }
        }
        ui.data_mut(|data| match state.question().cloned() {
            Some(asked) => {
                data.insert_temp(id, asked);
            }
            None => data.remove::<Question>(id),
        });
    });
}

/// The field for a path, where a dialog gave none.
fn path_ui(ui: &mut Ui, state: &mut State) {
    let Some(typed) = state.typed_path().cloned() else {
        return;
    };
    let (words, verb) = match typed.kind {
        FileKind::Camera => ("Path of the camera picture", "Open"),
        FileKind::Like => ("Path of a frame of the last good setup", "Open"),
        FileKind::Slides => ("Path of a slide, a folder of slides or a PDF", "Open"),
        FileKind::LoadSetup => ("Path of the setup", "Load"),
        FileKind::SaveSetup => ("Save the setup as", "Save"),
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(words);
        let mut text = typed.text.clone();
        let width = (ui.available_size_before_wrap().x - 150.0).clamp(120.0, 460.0);
        let id = ui.make_persistent_id("typed path");
        let pass = ui.ctx().cumulative_pass_nr();
        let drawn = ui.data_mut(|data| {
            let drawn = data.get_temp::<(FileKind, u64)>(id);
            data.insert_temp(id, (typed.kind, pass));
            drawn
        });
        // It may have been closed elsewhere since it was drawn, with what was typed saved or by Esc.
        let is_new = !drawn.is_some_and(|(kind, last)| kind == typed.kind && last + 1 >= pass);
        let response = ui.add(TextEdit::singleline(&mut text).id(id).desired_width(width));
        name_control(&response, words);
        if is_new {
            response.request_focus();
            let mut edit_state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
            edit_state
                .cursor
                .set_char_range(Some(CCursorRange::select_all_str(&text)));
            TextEdit::store_state(ui.ctx(), id, edit_state);
        }
        if text != typed.text {
            state.apply(Action::PathText(text.clone()));
        }
        let (entered, escaped) = ui.input(|input| {
            (
                input.key_pressed(Key::Enter),
                input.key_pressed(Key::Escape),
            )
        });
        let go = button_ui(ui, verb, "Takes the path.");
        let left = response.lost_focus();
        if (go || left && entered) && !text.trim().is_empty() {
            let path = PathBuf::from(text.trim());
            if typed.kind == FileKind::SaveSetup || path.exists() {
                state.apply(Action::PathGiven(typed.kind, path));
            } else {
                let words = format!("There is no file or folder `{}`.", path.display());
                state.tell(MessageKind::Error, words);
            }
            // A field that stays has the keyboard, so that what was typed can be corrected.
            if state.typed_path().is_some() {
                response.request_focus();
            }
        }
        let cancel = button_ui(ui, "Cancel", "Forgets the path.");
        if cancel || left && escaped {
            state.apply(Action::CancelPath);
        }
    });
}

/// The newest messages, each with a word for its kind so that colour is not needed.
fn messages_ui(ui: &mut Ui, state: &mut State, shown: usize) {
    let look = Look::of(ui.ctx());
    let list = state.messages.list();
    let hidden = list.len().saturating_sub(shown);
    let mut dismissed = None;
    for message in &list[hidden..] {
        let (word, color) = match message.kind {
            MessageKind::Note => ("Done", look.note),
            MessageKind::Warning => ("Note", look.warning),
            MessageKind::Error => ("Failed", look.error),
        };
        ui.horizontal(|ui| {
            let close = ui
                .button("Close")
                .on_hover_text("Takes this message away. Esc.");
            name_control(&close, format!("Close the message: {}", message.text));
            if close.clicked() {
                dismissed = Some(message.number);
            }
            ui.label(RichText::new(word).color(color).strong());
            let text = match hidden {
                0 => message.text.clone(),
                hidden => format!("{} ({hidden} older)", message.text),
            };
            ui.add(egui::Label::new(text).wrap());
        });
    }
    if let Some(number) = dismissed {
        state.apply(Action::DismissMessage(number));
    }
}
