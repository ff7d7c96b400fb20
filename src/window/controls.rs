//! The column of settings, group by group.

use egui::Ui;

use super::files_group::files_group_ui;
use super::guides_group::guides_group_ui;
use super::key_group::key_group_ui;
use super::more_group::more_group_ui;
use super::output_group::output_group_ui;
use super::overlays_group::overlays_group_ui;
use super::panel_scroll::{TextPanel, panel_scroll_ui};
use super::placement_group::placement_group_ui;
use super::state::State;
use super::zones_group::zones_group_ui;
use crate::measure::key::histogram::NearBlackHistogram;

/// Every setting, the ones of the day first.
pub(super) fn controls_ui(ui: &mut Ui, state: &mut State, histogram: Option<&NearBlackHistogram>) {
    panel_scroll_ui(ui, state, TextPanel::Settings, |ui, state| {
        key_group_ui(ui, state, histogram);
        placement_group_ui(ui, state);
        output_group_ui(ui, state);
        guides_group_ui(ui, state);
        overlays_group_ui(ui, state);
        zones_group_ui(ui, state);
        files_group_ui(ui, state);
        more_group_ui(ui, state);
    });
}
