//! What `tune` says on a terminal: the answer, why, and which slides decide it.

use super::output::USUAL_COLUMNS;
use super::tune::Tuned;
use crate::measure::key::key_compromise::KeyCost;
use crate::measure::key::key_suggestion::{FALSE_ALARMS_PER_FRAME, LevelPlace};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told;
use crate::pixel::mixer_codes::{MixerCodes, codes_of_luma, codes_of_width};
use crate::pixel::settings::{Alpha, Key, Size};
use crate::report::paragraph::wrapped;

/// Most places of a list that are named; JSON has all. Source: chosen, half a terminal of 24 lines.
const MOST_NAMED: usize = 10;

/// The whole text.
pub(super) fn tune_text(tuned: &Tuned<'_>) -> String {
    let found = &tuned.suggestion;
    let mut text = answer(tuned);
    text.push_str(&format!("\n{}\n", scale(tuned)));
    if let Some(knobs) = tuned.setup.knobs {
        let on_knobs = ["threshold", "softness"]
            .into_iter()
            .zip(knobs.of_key(&found.key))
            .filter_map(|(name, knob)| Some(format!("{name} {}", number(knob?))));
        let on_knobs: Vec<String> = on_knobs.collect();
        text.push_str(&format!(
            "on the mixer's own knobs: {}\n\n",
            on_knobs.join(", ")
        ));
    }
    text.push_str(&costs(tuned));
    if let Some(conflict) = &found.conflict {
        let heads = [
            (
                "backgrounds that are as bright as content",
                &conflict.backgrounds,
            ),
            (
                "content that is as dark as a background (luma and colour of its darkest)",
                &conflict.contents,
            ),
        ];
        for (head, places) in heads {
            text.push_str(&list(head, places, tuned));
        }
    } else {
        let limits: Vec<LevelPlace> = found.ceiling.into_iter().collect();
        text.push_str(&list("the brightest background", &limits, tuned));
        let limits: Vec<LevelPlace> = found.floor.into_iter().collect();
        text.push_str(&list("the darkest visible content", &limits, tuned));
    }
    if !found.not_dark.is_empty() {
        let head = "backgrounds that no key can drop, left out; turn these slides dark";
        text.push_str(&list(head, &found.not_dark, tuned));
    }
    text
}

/// The key and what it rests on.
fn answer(tuned: &Tuned<'_>) -> String {
    let found = &tuned.suggestion;
    let key = format!(
        "threshold {}, softness {}",
        number(found.key.threshold_percent()),
        number(found.key.softness_percent())
    );
    let ceiling = found.ceiling.map_or(0.0, |place| place.percent);
    let why = match (&found.conflict, found.floor) {
        _ if found.not_dark.len() == tuned.slides.len() => {
            return format!(
                "{key} as before: no slide is dark enough for a key\n\n{}",
                wrapped(
                    "Every background is too bright to be dropped. Turn the slides dark first.",
                    "",
                    USUAL_COLUMNS
                )
            );
        }
        (Some(_), floor) => {
            return format!(
                "{key}, a compromise: no key suits all slides\n\n{}",
                wrapped(
                    &format!(
                        "Backgrounds reach {} % of white, but content begins at {} %. \
                     Make those backgrounds pure black, or the content brighter than {} %.",
                        number(ceiling),
                        number(floor.map_or(100.0, |place| place.percent)),
                        number((ceiling + 1.0).ceil()),
                    ),
                    "",
                    USUAL_COLUMNS
                )
            );
        }
        (None, Some(floor)) => format!(
            "Backgrounds reach {} % of white and are dropped, visible content begins at {} % \
             and stays solid.",
            number(ceiling),
            number(floor.percent)
        ),
        (None, None) => format!(
            "Backgrounds reach {} % of white and are dropped; no visible content was found.",
            number(ceiling)
        ),
    };
    format!("{key}\n\n{}", wrapped(&why, "", USUAL_COLUMNS))
}

/// Every level from dark to bright, with the margins between, in percent and video codes.
fn scale(tuned: &Tuned<'_>) -> String {
    let found = &tuned.suggestion;
    let (t, s) = (found.key.threshold_percent(), found.key.softness_percent());
    let mut text = format!(
        "{:24}{:>9}{:>14}{:>15}\n",
        "", "percent", "8-bit video", "10-bit video"
    );
    let mut row = |name: &str, percent: Option<f64>, codes: fn(f64) -> MixerCodes| {
        if let Some(percent) = percent {
            let codes = codes(percent);
            text.push_str(&format!(
                "{name:24}{percent:>9.2}{:>14.1}{:>15.1}\n",
                codes.video_8, codes.video_10
            ));
        }
    };
    row(
        "backgrounds end",
        found.ceiling.map(|p| p.percent),
        codes_of_luma,
    );
    let (name, margin) = margin_row(found.margin_below(), "  too bright by");
    row(name, margin, codes_of_width);
    row("dropped up to threshold", Some(t), codes_of_luma);
    row("  softness", Some(s), codes_of_width);
    row("solid from", Some(t + s), codes_of_luma);
    let (name, margin) = margin_row(found.margin_above(), "  too dark by");
    row(name, margin, codes_of_width);
    row(
        "visible content begins",
        found.floor.map(|p| p.percent),
        codes_of_luma,
    );
    let noise = tuned.noise_percent();
    if noise > 0.0 {
        text.push_str(&wrapped(
            &format!(
                "Backgrounds include the chain's noise of {} %: more than that comes from \
             {FALSE_ALARMS_PER_FRAME} background pixels of a frame on average.",
                number(noise)
            ),
            "",
            USUAL_COLUMNS,
        ));
    }
    text
}

/// A margin with its name; where there is none left, by how much it is missed.
fn margin_row(margin: Option<f64>, missed: &'static str) -> (&'static str, Option<f64>) {
    match margin {
        Some(margin) if margin < 0.0 => (missed, Some(-margin)),
        margin => ("  margin", margin),
    }
}

/// What the key costs, beside the one in force.
fn costs(tuned: &Tuned<'_>) -> String {
    let found = &tuned.suggestion;
    let line = |name: &str, key: &Key, cost: &KeyCost| {
        format!(
            "{name} ({}, {}): {:.1} % of visible content lost, {:.2} % haze added\n",
            number(key.threshold_percent()),
            number(key.softness_percent()),
            cost.content_lost_percent,
            cost.haze_percent
        )
    };
    let mut text = line("this key", &found.key, &found.cost);
    if found.key != found.current {
        text.push_str(&line("the key now", &found.current, &found.current_cost));
    }
    if found.key.alpha == Alpha::Premultiplied {
        text.push_str(&wrapped(
            "With premultiplied alpha the light of backgrounds is added whatever the key.",
            "",
            USUAL_COLUMNS,
        ));
    }
    text
}

/// Places under a heading.
fn list(head: &str, places: &[LevelPlace], tuned: &Tuned<'_>) -> String {
    if places.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{head}\n");
    let lines = alike_places(places);
    for (place, pieces) in lines.iter().take(MOST_NAMED) {
        let mut what = format!("{:>7.2} %", place.percent);
        if let Some([r, g, b]) = place.color {
            what.push_str(&format!("  #{r:02X}{g:02X}{b:02X}"));
        }
        if let Some(bounds) = place.bounds {
            let within = if *pieces > 1 {
                format!("{pieces} pieces in ")
            } else {
                String::new()
            };
            what.push_str(&format!("  {within}{}", place_text(bounds, tuned.output)));
        }
        let slide = tuned.slides[place.slide].to_string();
        let is_long = what.chars().count() + 2 + slide.chars().count() > USUAL_COLUMNS;
        let between = if is_long { "\n           " } else { "  " };
        text.push_str(&format!("{what}{between}{slide}\n"));
    }
    if lines.len() > MOST_NAMED {
        let more = lines.len() - MOST_NAMED;
        text.push_str(&format!("          and {more} more; `--json` has all\n"));
    }
    text
}

/// Places with how many pieces each is: the letters of a word are one place, what is of one colour and luma on
/// a slide.
fn alike_places(places: &[LevelPlace]) -> Vec<(LevelPlace, usize)> {
    let mut alike: Vec<(LevelPlace, usize)> = Vec::new();
    for place in places {
        let is_like = |(other, _): &&mut (LevelPlace, usize)| {
            let same = other.slide == place.slide && other.color == place.color;
            same && place.color.is_some() && number(other.percent) == number(place.percent)
        };
        match alike.iter_mut().find(is_like) {
            Some((whole, pieces)) => {
                *pieces += 1;
                whole.bounds = match (whole.bounds, place.bounds) {
                    (Some(a), Some(b)) => Some(a.union(b)),
                    (a, b) => a.or(b),
                };
            }
            None => alike.push((*place, 1)),
        }
    }
    alike
}

/// A box, `x,y WxH`.
fn place_text(bounds: PixelBox, output: Size) -> String {
    if (bounds.width, bounds.height) == (output.width(), output.height()) {
        "whole picture".to_owned()
    } else {
        format!(
            "{}x{} at {},{}",
            bounds.width, bounds.height, bounds.x, bounds.y
        )
    }
}

/// A number with two decimals at most and no zeros that say nothing.
fn number(value: f64) -> String {
    told(value, 2)
}
