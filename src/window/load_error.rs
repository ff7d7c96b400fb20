//! Why a job of the window came to nothing, and how a panic in one becomes such a reason.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;

use thiserror::Error;

use crate::files::deck::DeckError;
use crate::files::picture_file::ReadError;

/// Why a job came to nothing.
#[derive(Debug, Error)]
pub enum LoadError {
    /// A picture cannot be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// There is no deck.
    #[error(transparent)]
    Deck(#[from] DeckError),
    /// A bug in nightglass or in a decoder; the other pictures are not touched by it.
    #[error("reading it failed inside nightglass{}", of_what(.paths))]
    Panicked {
        /// What was read; nothing for a built-in picture or a measurement.
        paths: Vec<PathBuf>,
    },
}

impl LoadError {
    /// What the user can do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Read(error) => error.hint(),
            Self::Deck(error) => error.hint(),
            Self::Panicked { .. } => {
                Some("save the picture again in another format, and report this".to_owned())
            }
        }
    }
}

/// The paths behind a colon.
fn of_what(paths: &[PathBuf]) -> String {
    let quoted: Vec<_> = paths
        .iter()
        .map(|path| format!("`{}`", path.display()))
        .collect();
    if quoted.is_empty() {
        String::new()
    } else {
        format!(": {}", quoted.join(", "))
    }
}

/// Does something with these files; a panic in it becomes an error, so that the thread goes on.
pub(super) fn guarded<T>(
    paths: Vec<PathBuf>,
    work: impl FnOnce() -> Result<T, LoadError>,
) -> Result<T, LoadError> {
    // What the work had in its hands is dropped with it; nothing half done is seen afterwards.
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| Err(LoadError::Panicked { paths }))
}
