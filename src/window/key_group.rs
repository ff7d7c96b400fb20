//! Threshold and softness, what they do, and the same in the numbers of a mixer.

use egui::{Grid, RichText, Ui};

use super::action::Action;
use super::chain_line::{chain_line_ui, knobs_ui};
use super::control::{group_ui, name_control, quiet_ui, toggle_ui};
use super::edit::{Edit, Setting};
use super::histogram_panel::histogram_ui;
use super::key_search_ui::key_search_ui;
use super::look::Look;
use super::number_field::{NumberField, Rail, slider_row_ui};
use super::number_text::format_number;
use super::state::State;
use crate::measure::key::histogram::NearBlackHistogram;
use crate::pixel::mixer_codes::{MixerCodes, codes_of_luma, codes_of_width, slope_of_softness};

/// What each end of the threshold does.
pub(super) const THRESHOLD_TOOLTIP: &str = "How bright a part of the slide may be and still be dropped, in percent of white.\n\
     0: only pure black is dropped.\n100: the whole slide is gone.\n\
     Plus and minus step it.";
/// What each end of the softness does.
pub(super) const SOFTNESS_TOOLTIP: &str = "Width of the ramp from dropped to solid, in percent of white.\n\
     0: a hard step with jagged edges.\n100: almost everything is see-through.\n\
     Plus and minus step it.";

/// Ends and steps of threshold and softness; the rail shows what the histogram shows.
pub(super) const PERCENT_RAIL: Rail = Rail {
    ends: [0.0, 100.0],
    near_end: crate::measure::key::histogram::HISTOGRAM_END_PERCENT,
    step: 0.5,
};

/// Share of the background that may stay without a word. Source: chosen, above single noisy pixels.
const BACKGROUND_KEPT_PERCENT: f64 = 1.0;

/// The key with its histogram and codes.
pub(super) fn key_group_ui(ui: &mut Ui, state: &mut State, histogram: Option<&NearBlackHistogram>) {
    let sentence = "Dark parts of the slide are dropped; the camera shows there.";
    group_ui(ui, "Key", sentence, |ui| {
        let key = state.settings().key;
        slider_row_ui(
            ui,
            state,
            Setting::Threshold,
            NumberField {
                name: "Threshold",
                unit: "%",
                unit_spoken: "percent",
                tooltip: THRESHOLD_TOOLTIP,
                value: key.threshold_percent(),
            },
            PERCENT_RAIL,
            Edit::Threshold,
        );
        slider_row_ui(
            ui,
            state,
            Setting::Softness,
            NumberField {
                name: "Softness",
                unit: "%",
                unit_spoken: "percent",
                tooltip: SOFTNESS_TOOLTIP,
                value: key.softness_percent(),
            },
            PERCENT_RAIL,
            Edit::Softness,
        );
        meaning_ui(ui, state);
        knobs_ui(ui, state);
        chain_line_ui(ui, state);
        kept_ui(ui, state, histogram);
        key_search_ui(ui, state);
        let toggled = toggle_ui(ui, "Histogram", state.histogram_open).on_hover_text(
            "How much of the slide is how dark, from black to a quarter of white. \
             The threshold and the ramp can be dragged in it. Low bars are stretched so that a few pixels show.",
        );
        name_control(&toggled, "Histogram");
        if toggled.clicked() {
            state.apply(Action::ToggleHistogram);
        }
        if state.histogram_open {
            histogram_ui(ui, state, histogram);
        }
        codes_ui(ui, state);
    });
}

/// One sentence on what the two numbers do to the slide.
fn meaning_ui(ui: &mut Ui, state: &State) {
    let key = state.settings().key;
    let threshold = format_number(key.threshold_percent(), 2);
    if key.nothing_is_solid() {
        let text = "Nothing in the slide is solid, because threshold and softness add up to more than 100 %.";
        let color = Look::of(ui.ctx()).warning;
        ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
    } else {
        let solid = key.threshold_percent() + key.softness_percent();
        let solid = format_number(solid, 2);
        quiet_ui(
            ui,
            &format!("Dropped up to {threshold} % luma, solid from {solid} %."),
        );
    }
}

/// What the key leaves of this slide, and whether its background lies over the camera.
fn kept_ui(ui: &mut Ui, state: &State, histogram: Option<&NearBlackHistogram>) {
    let key = state.settings().key;
    let (threshold, softness) = (key.threshold_frac(), key.softness_frac());
    let Some(shares) = histogram.and_then(|h| h.kept_shares(threshold, softness, key.ramp)) else {
        return;
    };
    let [dropped, in_the_ramp, solid] = [
        shares.content_dropped,
        shares.content_in_the_ramp,
        shares.content_solid,
    ]
    .map(|percent| format_number(percent, 1));
    quiet_ui(
        ui,
        &format!(
            "Of what is on the slide, {dropped} % is dropped, {in_the_ramp} % in the ramp, {solid} % solid."
        ),
    );
    if shares.background_kept > BACKGROUND_KEPT_PERCENT {
        let text = "The slide's background is not dropped: it lies over the camera as haze.";
        let color = Look::of(ui.ctx()).warning;
        ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
    }
}

/// Threshold and softness as a mixer counts them.
fn codes_ui(ui: &mut Ui, state: &State) {
    let key = state.settings().key;
    quiet_ui(ui, "The same as a mixer may count it:");
    let threshold = codes_of_luma(key.threshold_percent());
    let softness = codes_of_width(key.softness_percent());
    Grid::new("mixer codes")
        .num_columns(5)
        .spacing([14.0, 2.0])
        .show(ui, |ui| {
            ui.label("");
            for (heading, tooltip) in [
                ("8-bit", "Full range: black is 0, white is 255."),
                ("8-bit video", "Video range: black is 16, white is 235."),
                ("10-bit video", "Video range: black is 64, white is 940."),
                (
                    "steepness",
                    "How steep the ramp is: 100 divided by the softness in percent.",
                ),
            ] {
                ui.label(RichText::new(heading).small().weak())
                    .on_hover_text(tooltip);
            }
            ui.end_row();
            codes_row_ui(ui, "Threshold", threshold);
            ui.label("");
            ui.end_row();
            codes_row_ui(ui, "Softness", softness);
            let slope = slope_of_softness(key.softness_percent());
            let slope = slope.map_or_else(|| "step".to_owned(), |slope| format_number(slope, 2));
            ui.label(slope);
            ui.end_row();
        });
}

/// One line of codes.
fn codes_row_ui(ui: &mut Ui, name: &str, codes: MixerCodes) {
    let MixerCodes {
        full_8,
        video_8,
        video_10,
    } = codes;
    ui.label(RichText::new(name).small().weak());
    for code in [full_8, video_8, video_10] {
        ui.label(format_number(code, 1));
    }
}
