//! Why a key of a setup file does not take a value.

use thiserror::Error;

use super::pages::PagesError;
use super::setup_syntax::PATH_HINT;
use crate::measure::limits::{LimitError, LimitOrderError};
use crate::measure::space::zone::ZoneError;
use crate::pixel::settings::SettingsError;

/// A value that a key does not take.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum FieldError {
    /// Not the kind of value that is expected.
    #[error("`{key}` must be {expected}, got {got}")]
    Kind {
        /// The key.
        key: &'static str,
        /// What it takes.
        expected: String,
        /// What came.
        got: String,
    },
    /// A path that no file has.
    #[error("`{key}` must be a path, got one with a line break, a tab or the like in it")]
    Path {
        /// The key.
        key: &'static str,
    },
    /// A key that the tables of a list have not.
    #[error("unknown key `{key}` in [[{list}]]; it has {keys}")]
    TableKey {
        /// The list.
        list: &'static str,
        /// The key.
        key: String,
        /// The keys that they have.
        keys: String,
    },
    /// A section given as a key.
    #[error("`{key}` must be a section, [{key}]")]
    Section {
        /// The section.
        key: String,
    },
    /// A number outside its range.
    #[error(transparent)]
    Setting(#[from] SettingsError),
    /// A limit outside its range.
    #[error(transparent)]
    Limit(#[from] LimitError),
    /// A limit that warns beyond the one that fails.
    #[error(transparent)]
    LimitOrder(#[from] LimitOrderError),
    /// A box that no zone can have.
    #[error("zone `{name}`: {problem}")]
    Zone {
        /// The zone.
        name: String,
        /// What is wrong with its box.
        problem: ZoneError,
    },
    /// A text that picks no pages.
    #[error("`pages`: {0}")]
    Pages(#[from] PagesError),
}

impl FieldError {
    /// What to do about it, where that is not what is expected already.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::LimitOrder(_) => {
                Some("what fails has warned before: swap the numbers, or set both anew".to_owned())
            }
            Self::Path { .. } => Some(PATH_HINT.to_owned()),
            Self::Kind { key, got, .. } => {
                let bare = got.strip_prefix('"')?.strip_suffix('"')?.trim();
                let bare = bare.trim_end_matches('%').trim().replace(',', ".");
                let is_bare = bare.parse::<f64>().is_ok() || ["true", "false"].contains(&&*bare);
                is_bare.then(|| format!("write it without quotes: `{key} = {bare}`"))
            }
            _ => None,
        }
    }
}
