//! Why a setup file could not be read or written, and where in it the reason stands.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::setup_field_error::FieldError;
use super::setup_file::SETUP_FILE_NAME;
use super::setup_syntax::SyntaxWords;

/// A place in a setup file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub path: PathBuf,
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "line {}, column {}: `{}`",
            self.line,
            self.column,
            self.path.display()
        )
    }
}

/// Why a setup file could not be read or written.
#[derive(Debug, Error)]
pub enum SetupError {
    /// Nothing has this name.
    #[error("no such setup file: `{}`", path.display())]
    Missing {
        /// What was asked for.
        path: PathBuf,
    },
    /// It is no TOML.
    #[error("{}, {place}", words.message)]
    Syntax {
        /// Where.
        place: Place,
        /// What was expected, what came, and what to do.
        words: SyntaxWords,
    },
    /// A section that there is not.
    #[error("unknown section `{name}`{}, {place}", nearest.as_ref().map(|n| format!("; the nearest is `{n}`")).unwrap_or_default())]
    UnknownSection {
        /// Where.
        place: Place,
        /// Its name, in the brackets it has.
        name: String,
        /// The section that is most like it, in its brackets.
        nearest: Option<String>,
    },
    /// A key that means nothing here.
    #[error("unknown key `{key}`{}, {place}", nearest.as_ref().map(|n| format!("; the nearest is `{n}`")).unwrap_or_default())]
    UnknownKey {
        /// Where.
        place: Place,
        /// The key.
        key: String,
        /// The known key that is most like it.
        nearest: Option<String>,
    },
    /// A value that the key does not take.
    #[error("{problem}, {place}")]
    Value {
        /// Where.
        place: Place,
        /// What is wrong.
        problem: FieldError,
    },
    /// The folder that it is to lie in is not there.
    #[error("no such folder for the setup file: `{}`", path.display())]
    NoFolder {
        /// What was asked for.
        path: PathBuf,
    },
    /// It is a picture, or something else that is no text.
    #[error("expected a setup file, got something that is no text: `{}`", path.display())]
    NotText {
        /// What was asked for.
        path: PathBuf,
    },
    /// It is a folder.
    #[error("expected a setup file, got a folder: `{}`", path.display())]
    Folder {
        /// What was asked for.
        path: PathBuf,
    },
    /// The system refused to give the file.
    #[error("cannot open the setup file `{}`", path.display())]
    Read {
        /// What was asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The system refused to take the file; the old one is still there.
    #[error("cannot write the setup file `{}`", path.display())]
    Write {
        /// What was asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

impl SetupError {
    /// Why a file that is there could not be read.
    pub(super) fn unreadable(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::InvalidData => Self::NotText { path },
            io::ErrorKind::IsADirectory => Self::Folder { path },
            _ => Self::Read { path, source },
        }
    }

    /// Why a file could not be written.
    pub(super) fn unwritable(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::NotFound => Self::NoFolder { path },
            io::ErrorKind::IsADirectory => Self::Folder { path },
            _ => Self::Write { path, source },
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Missing { .. } => Some("check the name and the folder you are in".to_owned()),
            Self::Syntax { words, .. } => Some(words.hint.clone()),
            Self::UnknownSection { .. } => Some(
                "correct its name, or put a # before it and before each of its lines".to_owned(),
            ),
            Self::UnknownKey { .. } => {
                Some("correct the key, or put a # before the line".to_owned())
            }
            Self::Value { problem, .. } => problem.hint(),
            Self::Read { .. } => None,
            Self::NoFolder { .. } => Some("make the folder first, or name another one".to_owned()),
            Self::NotText { .. } | Self::Folder { .. } => Some(format!(
                "name a file such as {SETUP_FILE_NAME}; nothing was changed"
            )),
            Self::Write { source, .. } if source.kind() == io::ErrorKind::InvalidInput => {
                Some("name another file; nothing was changed".to_owned())
            }
            Self::Write { .. } => {
                Some("check that the folder can be written; nothing was changed".to_owned())
            }
        }
    }
}
