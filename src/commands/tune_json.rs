//! What `tune --json` prints.

use std::borrow::Cow;

use serde::Serialize;

use super::output::KeyJson;
use super::tune::Tuned;
use crate::measure::finding::PixelBox;
use crate::measure::key_compromise::KeyCost;
use crate::measure::key_suggestion::{FALSE_ALARMS_PER_FRAME, LevelPlace};
use crate::pixel::mixer_codes::{codes_of_luma, codes_of_width};

/// The whole document. Lumas and widths are in percent of white.
#[derive(Debug, Serialize)]
pub(super) struct TuneJson<'a> {
    schema: u32,
    output: [u32; 2],
    key: KeyJson,
    current: KeyJson,
    clean: bool,
    codes: CodesJson,
    knobs: Option<KnobsJson>,
    noise: f64,
    false_alarms_per_frame: f64,
    ceiling: Option<PlaceJson<'a>>,
    floor: Option<PlaceJson<'a>>,
    margin_below: Option<f64>,
    margin_above: Option<f64>,
    cost: CostJson,
    current_cost: CostJson,
    conflict: Option<ConflictJson<'a>>,
    not_dark: Vec<PlaceJson<'a>>,
    slides: usize,
}

/// The suggested key in video codes, limited range.
#[derive(Debug, Serialize)]
struct CodesJson {
    threshold_8: f64,
    threshold_10: f64,
    softness_8: f64,
    softness_10: f64,
}

/// The suggested key in the mixer's own numbers.
#[derive(Debug, Serialize)]
struct KnobsJson {
    threshold: f64,
    softness: f64,
}

#[derive(Debug, Serialize)]
struct CostJson {
    content_lost: f64,
    haze: f64,
}

#[derive(Debug, Serialize)]
struct ConflictJson<'a> {
    backgrounds: Vec<PlaceJson<'a>>,
    contents: Vec<PlaceJson<'a>>,
}

#[derive(Debug, Serialize)]
struct PlaceJson<'a> {
    slide: Cow<'a, str>,
    page: Option<u32>,
    #[serde(rename = "box")]
    bounds: Option<PixelBox>,
    luma: f64,
    color: Option<[u8; 3]>,
}

impl From<KeyCost> for CostJson {
    fn from(cost: KeyCost) -> Self {
        Self {
            content_lost: cost.content_lost_percent,
            haze: cost.haze_percent,
        }
    }
}

impl<'a> TuneJson<'a> {
    pub(super) fn new(tuned: &Tuned<'a>) -> Self {
        let place = |place: &LevelPlace| {
            let slide = tuned.slides[place.slide];
            PlaceJson {
                slide: slide.path.to_string_lossy(),
                page: slide.page,
                bounds: place.bounds,
                luma: place.percent,
                color: place.color,
            }
        };
        let places = |all: &[LevelPlace]| all.iter().map(place).collect::<Vec<_>>();
        let found = &tuned.suggestion;
        let (threshold, softness) = (found.key.threshold_percent(), found.key.softness_percent());
        let (at, width) = (codes_of_luma(threshold), codes_of_width(softness));
        Self {
            schema: 1,
            output: [tuned.output.width(), tuned.output.height()],
            key: found.key.into(),
            current: found.current.into(),
            clean: found.is_clean(),
            codes: CodesJson {
                threshold_8: at.video_8,
                threshold_10: at.video_10,
                softness_8: width.video_8,
                softness_10: width.video_10,
            },
            knobs: tuned.setup.knobs.map(|knobs| KnobsJson {
                threshold: knobs.threshold.knob_from_percent(threshold),
                softness: knobs.softness.knob_from_percent(softness),
            }),
            noise: tuned.noise_percent(),
            false_alarms_per_frame: FALSE_ALARMS_PER_FRAME,
            ceiling: found.ceiling.as_ref().map(place),
            floor: found.floor.as_ref().map(place),
            margin_below: found.margin_below(),
            margin_above: found.margin_above(),
            cost: found.cost.into(),
            current_cost: found.current_cost.into(),
            conflict: found.conflict.as_ref().map(|conflict| ConflictJson {
                backgrounds: places(&conflict.backgrounds),
                contents: places(&conflict.contents),
            }),
            not_dark: places(&found.not_dark),
            slides: tuned.slides.len(),
        }
    }
}
