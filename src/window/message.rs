//! What the window tells and asks: messages and the one open question. They live beside the picture.

use std::path::PathBuf;

use super::action::MessageKind;

/// How many messages are kept. Source: chosen; older ones are of no use any more.
const MAX_MESSAGES: usize = 20;

/// What could not be read, where that is what a message says. It stays while something else is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    /// The camera picture.
    Camera,
    /// The frame of the last good setup.
    Like,
    /// Files and folders of the deck.
    Deck,
    /// The slide shown.
    Slide,
}

/// Something the user should know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// Number by which it is taken away.
    pub number: u64,
    /// How important it is.
    pub kind: MessageKind,
    /// One or two plain sentences.
    pub text: String,
    /// What could not be read, if it says that.
    pub unread: Option<Unread>,
}

/// The messages, newest last.
#[derive(Clone, Debug, Default)]
pub struct Messages {
    list: Vec<Message>,
    next_number: u64,
}

impl Messages {
    /// Adds a message. What went well or wrong before is over by then; only warnings and what could not be
    /// read stay.
    pub fn push(&mut self, kind: MessageKind, text: impl Into<String>) {
        self.push_about(kind, text.into(), None);
    }

    /// Adds an error of something that could not be read.
    pub fn push_unread(&mut self, what: Unread, text: impl Into<String>) {
        self.push_about(MessageKind::Error, text.into(), Some(what));
    }

    /// Takes away what could not be read: it is read now, or was tried again.
    pub fn forget(&mut self, what: Unread) {
        self.list.retain(|message| message.unread != Some(what));
    }

    /// The same for all that could not be read: other pictures are shown now.
    pub fn forget_unread(&mut self) {
        self.list.retain(|message| message.unread.is_none());
    }

    fn push_about(&mut self, kind: MessageKind, text: String, unread: Option<Unread>) {
        let stays = |message: &Message| {
            (message.kind == MessageKind::Warning || message.unread.is_some())
                && message.text != text
        };
        self.list.retain(stays);
        if self.list.len() == MAX_MESSAGES {
            self.list.remove(0);
        }
        self.list.push(Message {
            number: self.next_number,
            kind,
            text,
            unread,
        });
        self.next_number += 1;
    }

    /// Takes one away.
    pub fn dismiss(&mut self, number: u64) {
        self.list.retain(|message| message.number != number);
    }

    /// Takes the newest away; whether there was one.
    pub fn dismiss_newest(&mut self) -> bool {
        self.list.pop().is_some()
    }

    /// All, newest last.
    pub fn list(&self) -> &[Message] {
        &self.list
    }
}

/// What is asked in the strip under the picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// The window should close with unsaved changes.
    CloseUnsaved,
    /// This setup should be loaded over unsaved changes.
    LoadUnsaved(PathBuf),
    /// Another program changed this setup, and there are unsaved changes here.
    SetupChanged(PathBuf),
    /// Is this file the camera or a slide?
    Dropped(PathBuf),
}
