//! The search for one key for the whole deck: how far it is, and what it found.

use crate::measure::key::key_suggestion::KeySuggestion;
use crate::pixel::settings::Settings;

/// A key that was found, and what it was found for.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundKey {
    /// The key with its margins, or its compromise.
    pub suggestion: KeySuggestion,
    /// The slides that counted, by their index in the deck, as the suggestion numbers them.
    pub slides: Vec<usize>,
    /// How many slides could not be read.
    pub unreadable: usize,
    /// The settings that were in force.
    pub settings: Settings,
}

impl FoundKey {
    /// Whether it was found under other settings than these, threshold and softness aside.
    pub fn is_old(&self, settings: &Settings) -> bool {
        self.settings.key.luma != settings.key.luma
            || self.settings.placement != settings.placement
            || self.settings.chain != settings.chain
    }
}

/// How far the search is.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum KeySearch {
    /// Nobody asked.
    #[default]
    Idle,
    /// Asked for; it has not started yet.
    Wanted,
    /// So many slides are done of so many.
    Running([usize; 2]),
    /// It found a key.
    Found(Box<FoundKey>),
    /// No slide could be measured; why.
    Failed(String),
}
