//! One key for a whole deck: above every background, below all content that is seen.

use super::histogram::NearBlackHistogram;
use super::key_compromise::{DeckShares, KeyCost};
use super::slide_levels::SlideLevels;
use crate::measure::check::key_colors::MOST_SOFTNESS_PERCENT;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::statistics::level_counts::Level;
use crate::measure::statistics::noise_ceiling::noise_ceiling;
use crate::pixel::settings::{Key, MIN_SOFTNESS_PERCENT, SettingsError};

/// Background pixels that noise lifts over the ceiling, on average in one frame.
/// Source: chosen; one pixel in a hundred frames, every four seconds of video somewhere.
pub const FALSE_ALARMS_PER_FRAME: f64 = 0.01;
/// Part of the gap that the ramp takes. Source: chosen; as much as both margins together.
const RAMP_SHARE: f64 = 0.5;
/// Part of the gap under the threshold. Source: chosen; backgrounds and content drift alike.
const MARGIN_SHARE: f64 = 0.25;
/// Widest margin under the threshold, percent of white. Source: chosen; ten 8-bit codes, more than
/// a chain drifts, and every percent more is cut off soft edges.
pub const MOST_MARGIN_PERCENT: f64 = 4.0;
/// Gap from which the key is given in tenths, and then in hundredths, of a percent of white.
/// Source: chosen; rounding takes a fifth of a margin at most.
const GAPS_AND_GRIDS: [(f64, f64); 2] = [(1.0, 10.0), (0.1, 100.0)];

/// What the levels of a deck are judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyTerms {
    /// The key now; all but threshold and softness stays.
    pub current: Key,
    /// Standard deviation of the chain's noise, percent of white.
    pub noise_percent: f64,
    /// Background pixels that may exceed the ceiling, on average in one frame; over 0.
    pub false_alarms: f64,
    /// Background luma over which a slide is not made for a key, percent of white.
    pub not_dark_percent: f64,
    /// Added luma from which a background is worth a warning, percent of white.
    pub haze_percent: f64,
}

/// A luma, and the place of the deck that has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelPlace {
    /// Which slide, by its index in the deck.
    pub slide: usize,
    /// Where on it; none where that is not known.
    pub bounds: Option<PixelBox>,
    /// The luma, percent of white.
    pub percent: f64,
    /// The colour of content, 8-bit R'G'B' after the chain.
    pub color: Option<[u8; 3]>,
}

/// Backgrounds that are brighter than content.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyConflict {
    /// Backgrounds that reach the lowest content, the brightest first.
    pub backgrounds: Vec<LevelPlace>,
    /// Content that the brightest background reaches, the darkest first.
    pub contents: Vec<LevelPlace>,
}

/// A key for a deck, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct KeySuggestion {
    /// The suggested key: the current one with another threshold and softness.
    pub key: Key,
    /// The key that the deck was measured for.
    pub current: Key,
    /// The highest luma that a background reaches, noise included; none where no slide has any.
    pub ceiling: Option<LevelPlace>,
    /// The lowest luma that visible content has; none where no slide has any.
    pub floor: Option<LevelPlace>,
    /// What is in the way where nothing lies between the two; the key is the best compromise then.
    pub conflict: Option<KeyConflict>,
    /// Slides that no key can drop the background of; they did not count.
    pub not_dark: Vec<LevelPlace>,
    /// What the suggested key costs.
    pub cost: KeyCost,
    /// What the current key costs.
    pub current_cost: KeyCost,
    /// The deck's dark end, as far as it counted.
    pub near_black: NearBlackHistogram,
}

impl KeySuggestion {
    /// Whether the key drops every background and keeps all visible content.
    pub fn is_clean(&self) -> bool {
        self.conflict.is_none() && self.not_dark.is_empty()
    }

    /// Luma between the backgrounds and the threshold, percent of white; negative where they overlap.
    pub fn margin_below(&self) -> Option<f64> {
        let ceiling = self.ceiling?.percent;
        Some(self.key.threshold_percent() - ceiling)
    }

    /// Luma between the end of the ramp and the content, percent of white; negative where they overlap.
    pub fn margin_above(&self) -> Option<f64> {
        let floor = self.floor?.percent;
        Some(floor - self.key.threshold_percent() - self.key.softness_percent())
    }
}

/// Chooses a key for the deck.
///
/// With the gap `g = floor - ceiling` between the brightest background and the darkest visible
/// content: `threshold = ceiling + min(g / 4, 4)`, `softness = min(g / 2, 8)`, the rest stays
/// above. A soft ramp keeps anti-aliased edges smooth, and both margins are there for drift. Wide
/// gaps leave more room above, where slides that are still to be drawn may use darker colours.
pub fn suggest_key(slides: &[SlideLevels], terms: &KeyTerms) -> KeySuggestion {
    let (counted, not_dark): (Vec<usize>, Vec<usize>) = (0..slides.len())
        .partition(|&slide| slides[slide].background_percent <= terms.not_dark_percent);
    let not_dark = not_dark
        .into_iter()
        .map(|slide| LevelPlace {
            slide,
            bounds: None,
            percent: slides[slide].background_percent,
            color: None,
        })
        .collect();
    let ceilings: Vec<LevelPlace> = counted
        .iter()
        .filter_map(|&slide| ceiling_of(slide, &slides[slide], terms))
        .collect();
    let floors = |slide: usize| {
        slides[slide].pieces.iter().map(move |piece| LevelPlace {
            slide,
            bounds: Some(piece.bounds),
            percent: piece.floor.percent(),
            color: Some(piece.color),
        })
    };
    let brightest = ceilings
        .iter()
        .copied()
        .reduce(|a, b| if b.percent > a.percent { b } else { a });
    let darkest = counted
        .iter()
        .copied()
        .flat_map(floors)
        .reduce(|a, b| if b.percent < a.percent { b } else { a });
    let ceiling_percent = brightest.map_or(0.0, |place| place.percent);
    let floor_percent = darkest.map_or(100.0, |place| place.percent);
    let is_gap = floor_percent - ceiling_percent >= MIN_SOFTNESS_PERCENT;

    let counted_levels = || counted.iter().map(|&slide| &slides[slide]);
    let shares = DeckShares::of(counted_levels());
    let current = terms.current;
    let found = if counted.is_empty() {
        Ok(current)
    } else if is_gap {
        share_gap(current, ceiling_percent, floor_percent)
    } else {
        shares.best_compromise(current, terms.noise_percent, terms.haze_percent)
    };
    // Everything found is within its range; the current key stands for what cannot be.
    let key = found.unwrap_or(current);
    let noisy = shares.with_noise(terms.noise_percent, 0.0);
    KeySuggestion {
        key,
        current,
        ceiling: brightest,
        floor: darkest,
        conflict: (!is_gap).then(|| KeyConflict {
            backgrounds: backgrounds_from(floor_percent, &ceilings, slides),
            contents: contents_up_to(ceiling_percent, counted.iter().copied().flat_map(floors)),
        }),
        not_dark,
        cost: noisy.cost(&key),
        current_cost: noisy.cost(&current),
        near_black: near_black(counted_levels()),
    }
}

/// Threshold and softness in the gap, margins on both sides.
fn share_gap(current: Key, ceiling: f64, floor: f64) -> Result<Key, SettingsError> {
    let gap = floor - ceiling;
    let margin = (MARGIN_SHARE * gap).min(MOST_MARGIN_PERCENT);
    let softness = (RAMP_SHARE * gap).min(MOST_SOFTNESS_PERCENT);
    let grid = GAPS_AND_GRIDS.into_iter().find(|(least, _)| gap >= *least);
    let (threshold, softness) = match grid {
        Some((_, grid)) => (
            ((ceiling + margin) * grid).round() / grid,
            (softness * grid).round() / grid,
        ),
        // Too narrow for a ramp that a mixer could be set to.
        None => (f64::midpoint(ceiling, floor), 0.0),
    };
    current.with_threshold(threshold)?.with_softness(softness)
}

/// The ceiling of a slide's background and the place that has it.
fn ceiling_of(slide: usize, levels: &SlideLevels, terms: &KeyTerms) -> Option<LevelPlace> {
    let percent = noise_ceiling(&levels.background, terms.noise_percent, terms.false_alarms)?;
    Some(LevelPlace {
        slide,
        bounds: levels.background_at(levels.background_top()?.percent()),
        percent,
        color: None,
    })
}

/// Backgrounds that come up to `floor`, the brightest first, each with the place where it does.
fn backgrounds_from(
    floor: f64,
    ceilings: &[LevelPlace],
    slides: &[SlideLevels],
) -> Vec<LevelPlace> {
    let reaching = ceilings.iter().filter(|place| place.percent >= floor);
    let mut reaching: Vec<LevelPlace> = reaching
        .map(|place| {
            let levels = &slides[place.slide];
            let top = levels.background_top().map_or(0.0, Level::percent);
            let noise = place.percent - top;
            LevelPlace {
                bounds: levels.background_at((floor - noise).min(top)),
                ..*place
            }
        })
        .collect();
    reaching.sort_by(|a, b| b.percent.total_cmp(&a.percent));
    reaching
}

/// Content that begins at or under `ceiling`, the darkest first.
fn contents_up_to(ceiling: f64, floors: impl Iterator<Item = LevelPlace>) -> Vec<LevelPlace> {
    let mut reached: Vec<LevelPlace> = floors.filter(|place| place.percent <= ceiling).collect();
    reached.sort_by(|a, b| a.percent.total_cmp(&b.percent));
    reached
}

/// The dark end of all slides together.
fn near_black<'a>(slides: impl Iterator<Item = &'a SlideLevels>) -> NearBlackHistogram {
    let mut counts = NearBlackHistogram::empty();
    for slide in slides {
        for (level, pixels) in slide.background.iter() {
            counts.add(level.percent(), false, pixels);
        }
        for (level, pixels) in slide.content.iter() {
            counts.add(level.percent(), true, pixels);
        }
    }
    counts
}
