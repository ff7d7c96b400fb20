//! Panels whose text may be longer than they are high: it is scrolled with the pointer, and with keys.

use egui::{ScrollArea, Ui, vec2};

use super::state::State;

/// How far a key scrolls, a part of what is seen of a panel. Source: chosen; the last lines are seen again as the first.
const STEP_SHARE: f32 = 0.8;

/// A panel with text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum TextPanel {
    /// The sheet of keys.
    Keys,
    /// What was seen in the camera frame.
    Camera,
    /// The findings of the slide beside the picture.
    Findings,
    /// What is told about the finding selected below the picture.
    Advice,
    /// The settings.
    Settings,
}

impl State {
    /// Has the panel that is read scrolled by so many steps down.
    pub(super) fn scroll_panel(&mut self, pages: i8) {
        self.panel_pages = self.panel_pages.saturating_add(pages);
    }
}

/// The panel that keys scroll: the one that was opened to be read.
fn read_panel(state: &State) -> TextPanel {
    if state.key_sheet_open {
        TextPanel::Keys
    } else if state.inspect_open {
        TextPanel::Camera
    } else if state.findings_open() && state.findings_are_beside {
        TextPanel::Findings
    } else if state.findings_open() && state.deck_check.selected().is_some() {
        TextPanel::Advice
    } else {
        TextPanel::Settings
    }
}

/// All that is added, in a panel that may be too low for it.
pub(super) fn panel_scroll_ui(
    ui: &mut Ui,
    state: &mut State,
    panel: TextPanel,
    add: impl FnOnce(&mut Ui, &mut State),
) {
    ScrollArea::vertical()
        .id_salt(panel)
        .auto_shrink(false)
        .show(ui, |ui| {
            if read_panel(state) == panel && state.panel_pages != 0 {
                let pages = f32::from(std::mem::take(&mut state.panel_pages));
                let down = pages * STEP_SHARE * ui.clip_rect().height();
                ui.scroll_with_delta(vec2(0.0, -down));
            }
            add(ui, state);
        });
}
