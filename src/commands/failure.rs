//! How a command ends: exit status, and the one place that prints errors.

use std::fmt;
use std::io;

use super::stderr::say;
use crate::files::deck::DeckError;
use crate::files::picture_file::ReadError;
use crate::files::picture_output::WriteError;
use crate::files::setup_error::SetupError;
use crate::measure::test_chart::chart::ChartError;
use crate::pixel::settings::SettingsError;

/// The exit status of a command that ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, nothing to report.
    Clean,
    /// Done, and something was found.
    Found,
    /// Could not do all the work.
    Incomplete,
}

impl Exit {
    /// 0, 1 or 2.
    pub fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Found => 1,
            Self::Incomplete => 2,
        }
    }
}

/// Why a command could not do its work, and what to do about it.
#[derive(Debug)]
pub struct Failure {
    error: anyhow::Error,
    hint: Option<String>,
}

impl Failure {
    /// An error without a way out that is worth naming.
    pub fn plain(error: impl Into<anyhow::Error>) -> Self {
        Self {
            error: error.into(),
            hint: None,
        }
    }

    /// An error with what to do about it.
    pub fn with_hint(error: impl Into<anyhow::Error>, hint: Option<String>) -> Self {
        Self {
            error: error.into(),
            hint,
        }
    }

    /// The same failure, with what was being done put before it.
    #[must_use]
    pub fn context(self, doing: impl fmt::Display + Send + Sync + 'static) -> Self {
        Self {
            error: self.error.context(doing),
            hint: self.hint,
        }
    }

    /// The same failure of a file that the setup names under this key, where it does.
    #[must_use]
    pub fn of_setup(self, key: &str, is_named_there: bool) -> Self {
        let is_missing = self.error.chain().any(|cause| {
            matches!(cause.downcast_ref(), Some(ReadError::Missing { .. }))
                || matches!(cause.downcast_ref(), Some(DeckError::Missing { .. }))
        });
        if !is_named_there || !is_missing {
            return self;
        }
        let hint = format!(
            "the setup file names it under `{key}`, seen from the setup's own folder: correct it there"
        );
        Self {
            hint: Some(hint),
            ..self
        }
    }

    /// The error and its causes in one line.
    pub fn words(&self) -> String {
        let causes: Vec<String> = self.error.chain().map(ToString::to_string).collect();
        causes.join(": ")
    }

    /// Whether the reader of stdout went away, which is no failure.
    pub fn is_broken_pipe(&self) -> bool {
        self.error
            .chain()
            .filter_map(|cause| cause.downcast_ref::<io::Error>())
            .any(|error| error.kind() == io::ErrorKind::BrokenPipe)
    }
}

impl From<ReadError> for Failure {
    fn from(error: ReadError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<WriteError> for Failure {
    fn from(error: WriteError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<SetupError> for Failure {
    fn from(error: SetupError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<DeckError> for Failure {
    fn from(error: DeckError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<ChartError> for Failure {
    fn from(error: ChartError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl From<SettingsError> for Failure {
    fn from(error: SettingsError) -> Self {
        Self::plain(error)
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::plain(error)
    }
}

/// Prints a failure on stderr: the error, its causes indented, and the hint.
pub fn report(failure: &Failure) {
    let mut text = format!("error: {}\n", failure.error);
    for cause in failure.error.chain().skip(1) {
        text.push_str(&format!("  {cause}\n"));
    }
    if let Some(hint) = &failure.hint {
        text.push_str(&format!("\nhint: {hint}\n"));
    }
    say(&text);
}
