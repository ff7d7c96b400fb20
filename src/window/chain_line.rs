//! The chain in force, at a glance, and the key in the numbers of the mixer's own knobs.

use egui::{Label, RichText, Ui};

use super::action::Action;
use super::control::{name_control, quiet_ui, toggle_ui};
use super::files_group::file_name;
use super::look::Look;
use super::number_text::format_number;
use super::state::State;
use crate::pixel::chain::Chain;
use crate::pixel::settings::Key;

/// What the chain does and where it comes from, with a switch to leave it out.
pub(super) fn chain_line_ui(ui: &mut Ui, state: &mut State) {
    let Some(chain) = state.settings().chain else {
        return;
    };
    let left_out = state.chain_is_left_out();
    let words = chain_words(chain);
    let from = match state.setup_path() {
        Some(path) if state.chain_is_saved() => format!("from {}", file_name(path)),
        _ => "not saved yet".to_owned(),
    };
    let (words, color) = if left_out {
        (
            format!("Chain left out for now: {words}, {from}."),
            Look::of(ui.ctx()).warning,
        )
    } else {
        (
            format!("Chain in force: {words}, {from}."),
            Look::of(ui.ctx()).text,
        )
    };
    ui.add(Label::new(RichText::new(words).color(color)).wrap());
    let label = "Leave the chain out";
    let response = toggle_ui(ui, label, left_out).on_hover_text(
        "Shows what the key would do if cables and converters left the slide as it is. \
         Saving keeps the chain. L.",
    );
    name_control(&response, label);
    if response.clicked() {
        state.apply(Action::ToggleChain);
    }
}

/// Gain, offset and noise in words.
fn chain_words(chain: Chain) -> String {
    let sign = if chain.offset_percent() > 0.0 {
        "+"
    } else {
        ""
    };
    format!(
        "gain {}, offset {sign}{} %, noise {} %",
        format_number(chain.gain(), 3),
        format_number(chain.offset_percent(), 2),
        format_number(chain.noise_percent(), 2),
    )
}

/// Threshold and softness on the knobs of the mixer, where their scale is known.
pub(super) fn knobs_ui(ui: &mut Ui, state: &State) {
    if let Some(words) = knob_words(state, &state.settings().key) {
        quiet_ui(ui, &format!("On your mixer: {words}."));
    }
}

/// A key in the mixer's own numbers, such as `threshold 12, softness 40`; none where they are not known.
pub(super) fn knob_words(state: &State, key: &Key) -> Option<String> {
    let on_knobs = ["threshold", "softness"]
        .into_iter()
        .zip(state.setup().knobs?.of_key(key))
        .filter_map(|(name, knob)| Some(format!("{name} {}", format_number(knob?, 1))));
    Some(on_knobs.collect::<Vec<_>>().join(", ")).filter(|words| !words.is_empty())
}
