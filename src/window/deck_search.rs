//! Works through the deck for a key: one slide after the other, then the choice.

use std::sync::Arc;

use super::check_conditions::CheckConditions;
use super::error_words::error_words;
use super::job::Job;
use super::key_search::{FoundKey, KeySearch};
use super::levels_job::{LevelsJob, MeasuredLevels, SuggestJob};
use super::load_error::LoadError;
use super::loader::Loader;
use super::picture_source::PictureSource;
use super::state::State;
use crate::measure::key::key_suggestion::KeySuggestion;
use crate::measure::key::slide_levels::SlideLevels;

/// The search that runs, if one does.
#[derive(Debug, Default)]
pub(super) struct DeckSearch {
    number: u64,
    conditions: Option<Arc<CheckConditions>>,
    slides: Vec<usize>,
    levels: Vec<SlideLevels>,
    next: usize,
    asked: bool,
    failure: Option<String>,
    unreadable: usize,
}

impl DeckSearch {
    /// Starts what the state asks for, and goes on with it.
    pub(super) fn want(
        &mut self,
        loader: &Loader,
        deck: &[PictureSource],
        conditions: &Arc<CheckConditions>,
        state: &mut State,
    ) {
        if state.key_search == KeySearch::Wanted {
            *self = Self {
                number: self.number + 1,
                conditions: Some(Arc::clone(conditions)),
                ..Self::default()
            };
            state.key_search = KeySearch::Running([0, deck.len()]);
        }
        let is_running = matches!(state.key_search, KeySearch::Running(_));
        let Some(conditions) = self
            .conditions
            .clone()
            .filter(|_| is_running && !self.asked)
        else {
            return;
        };
        self.asked = true;
        if let Some(source) = deck.get(self.next) {
            loader.request(Job::Levels(Box::new(LevelsJob {
                search: self.number,
                index: self.next,
                source: source.clone(),
                conditions,
            })));
        } else if self.levels.is_empty() {
            let why = self.failure.take().unwrap_or_default();
            state.key_search = KeySearch::Failed(format!("No slide can be measured: {why}"));
        } else {
            loader.request(Job::Suggest(Box::new(SuggestJob {
                search: self.number,
                levels: std::mem::take(&mut self.levels),
                conditions,
            })));
        }
    }

    /// Takes the levels of a slide.
    pub(super) fn take_levels(&mut self, measured: MeasuredLevels, state: &mut State) {
        let KeySearch::Running([done, _]) = &mut state.key_search else {
            return;
        };
        if measured.search != self.number || measured.index != self.next {
            return;
        }
        match measured.levels {
            Ok(levels) => {
                self.slides.push(measured.index);
                self.levels.push(levels);
            }
            Err(error) => {
                self.unreadable += 1;
                self.failure = Some(error_words(&error, error.hint()));
            }
        }
        self.next += 1;
        *done = self.next;
        self.asked = false;
    }

    /// Takes the choice.
    pub(super) fn take_suggestion(
        &mut self,
        search: u64,
        suggestion: Result<Box<KeySuggestion>, LoadError>,
        state: &mut State,
    ) {
        let is_running = matches!(state.key_search, KeySearch::Running(_));
        let Some(conditions) = self.conditions.take().filter(|_| is_running) else {
            return;
        };
        if search != self.number {
            self.conditions = Some(conditions);
            return;
        }
        state.key_search = match suggestion {
            Ok(suggestion) => KeySearch::Found(Box::new(FoundKey {
                suggestion: *suggestion,
                slides: std::mem::take(&mut self.slides),
                unreadable: self.unreadable,
                settings: conditions.settings,
            })),
            Err(error) => KeySearch::Failed(error_words(&error, error.hint())),
        };
        state.histogram_of_deck = true;
    }
}
