//! What `tune --json` prints.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::Serialize;

use super::output::KeyJson;
use super::tune::Tuned;
use crate::measure::key::key_compromise::KeyCost;
use crate::measure::key::key_suggestion::{FALSE_ALARMS_PER_FRAME, LevelPlace};
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::mixer_codes::{codes_of_luma, codes_of_width};

/// What `nightglass tune --json` prints. Lumas and widths are in percent of white.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct TuneJson<'a> {
    /// The version of this document's form.
    #[schemars(extend("const" = 1))]
    schema: u32,
    /// Width and height of the output, px. Boxes are counted in it.
    output: [u32; 2],
    /// The key that was found.
    key: KeyJson,
    /// The key of the setup and the flags.
    current: KeyJson,
    /// Whether the key drops every background and keeps all visible content.
    clean: bool,
    /// Threshold and softness in video codes.
    codes: CodesJson,
    /// The same in the mixer's own numbers; null where their scale is not known.
    knobs: Option<KnobsJson>,
    /// The chain's noise, one standard deviation, percent of white.
    noise: f64,
    /// Background pixels that noise lifts over `ceiling`, on average in one frame.
    false_alarms_per_frame: f64,
    /// The highest luma of a background, noise included; null where there is none.
    ceiling: Option<PlaceJson<'a>>,
    /// The lowest luma of visible content; null where there is none.
    floor: Option<PlaceJson<'a>>,
    /// From the ceiling up to the threshold, percent of white, negative where backgrounds reach over it; null without a ceiling.
    margin_below: Option<f64>,
    /// From the end of the ramp up to the floor, percent of white, negative where content begins below it; null without a floor.
    margin_above: Option<f64>,
    /// What the key that was found costs.
    cost: CostJson,
    /// What the current key costs.
    current_cost: CostJson,
    /// What is in the way where no key suits all slides; else null.
    conflict: Option<ConflictJson<'a>>,
    /// Backgrounds that no key can drop; they were left out.
    not_dark: Vec<PlaceJson<'a>>,
    /// How many slides were measured.
    slides: usize,
}

/// The suggested key in video codes, limited range.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct CodesJson {
    /// The threshold, 8 bits.
    threshold_8: f64,
    /// The threshold, 10 bits.
    threshold_10: f64,
    /// The softness, 8 bits.
    softness_8: f64,
    /// The softness, 10 bits.
    softness_10: f64,
}

/// The suggested key in the mixer's own numbers.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct KnobsJson {
    /// What the threshold's knob says; null where its scale is not known.
    threshold: Option<f64>,
    /// What the softness's knob says; null likewise.
    softness: Option<f64>,
}

/// What a key costs, means over the slides.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct CostJson {
    /// Visible content that is not kept, percent of it.
    content_lost: f64,
    /// Luma that backgrounds add, percent of white.
    haze: f64,
}

/// Both sides of what no key suits.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct ConflictJson<'a> {
    /// Backgrounds that are as bright as content, the brightest first.
    backgrounds: Vec<PlaceJson<'a>>,
    /// Content that is as dark as a background, the darkest first.
    contents: Vec<PlaceJson<'a>>,
}

/// A luma and the place that has it.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
struct PlaceJson<'a> {
    /// The file.
    slide: Cow<'a, str>,
    /// The page, from 1; null where the file is one slide.
    page: Option<u32>,
    /// Where, `[x, y, width, height]` in output pixels; null where it is not known.
    #[serde(rename = "box")]
    bounds: Option<PixelBox>,
    /// The luma, percent of white.
    luma: f64,
    /// The colour of content, 8-bit codes; null for a background.
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
            knobs: tuned.setup.knobs.map(|knobs| {
                let [threshold, softness] = knobs.of_key(&found.key);
                KnobsJson {
                    threshold,
                    softness,
                }
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
