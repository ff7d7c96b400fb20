//! One slide to measure for a key for the whole deck, and the key that comes of all of them.

use std::sync::Arc;

use super::check_conditions::CheckConditions;
use super::load_error::{LoadError, guarded};
use super::picture_source::PictureSource;
use crate::files::picture_file::{Picture, ReadError};
use crate::measure::key::key_suggestion::{
    FALSE_ALARMS_PER_FRAME, KeySuggestion, KeyTerms, suggest_key,
};
use crate::measure::key::slide_levels::{SlideLevels, measure_slide_levels};
use crate::measure::limits::Limit;

/// A slide to measure.
#[derive(Clone, Debug)]
pub struct LevelsJob {
    /// Which search it is for.
    pub search: u64,
    /// The slide's index in the deck.
    pub index: usize,
    /// The slide.
    pub source: PictureSource,
    /// Under what it is measured.
    pub conditions: Arc<CheckConditions>,
}

/// What was measured on a slide.
#[derive(Debug)]
pub struct MeasuredLevels {
    /// Which search it is for.
    pub search: u64,
    /// The slide's index in the deck.
    pub index: usize,
    /// Its levels, or why it could not be read.
    pub levels: Result<SlideLevels, LoadError>,
}

/// A deck's levels to choose a key from.
#[derive(Clone, Debug)]
pub struct SuggestJob {
    /// Which search it is for.
    pub search: u64,
    /// The levels of the slides that could be read.
    pub levels: Vec<SlideLevels>,
    /// Under what they were measured.
    pub conditions: Arc<CheckConditions>,
}

/// Reads and measures a slide; only its levels are kept.
pub(super) fn measure_levels(
    job: LevelsJob,
    read: &impl Fn(&PictureSource) -> Result<Picture, ReadError>,
) -> MeasuredLevels {
    let LevelsJob {
        search,
        index,
        source,
        conditions,
    } = job;
    let levels = guarded(source.paths(), || {
        let picture = read(&source)?;
        let cameras = conditions.cameras();
        let check =
            conditions.slide_to_check(&picture.frame, picture.lossy, cameras.as_slice(), &[]);
        Ok(measure_slide_levels(&check))
    });
    MeasuredLevels {
        search,
        index,
        levels,
    }
}

/// Chooses a key.
pub(super) fn suggest(job: &SuggestJob) -> Result<Box<KeySuggestion>, LoadError> {
    let CheckConditions {
        settings, limits, ..
    } = &*job.conditions;
    let terms = KeyTerms {
        current: settings.key,
        noise_percent: settings.chain.map_or(0.0, |chain| chain.noise_percent()),
        false_alarms: FALSE_ALARMS_PER_FRAME,
        not_dark_percent: limits.get(Limit::NotDark),
        haze_percent: limits.get(Limit::HazeWarn),
    };
    guarded(Vec::new(), || {
        Ok(Box::new(suggest_key(&job.levels, &terms)))
    })
}
