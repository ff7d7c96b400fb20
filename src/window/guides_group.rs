//! Which safe areas and grids are laid over the picture.

use egui::Ui;

use super::control::{group_ui, switch_ui};
use super::edit::Edit;
use super::placement_group::apply_edit;
use super::state::State;
use crate::pixel::guides::Guide;
use crate::report::words::sentence;

/// What a guide is for.
fn tooltip(guide: Guide) -> &'static str {
    match guide {
        Guide::ActionSafe => "What happens inside is seen on every screen. EBU R 95.",
        Guide::GraphicsSafe => "Text and graphics inside are seen on every screen. EBU R 95.",
        Guide::TitleLegacy => {
            "The old, narrower limit for text, from the time of tube screens. SMPTE RP 218, which calls it legacy."
        }
        Guide::Captions => {
            "Players put captions and their buttons here. Keep it free of what matters."
        }
        Guide::Thirds => "Lines at a third and two thirds, to stand and write along.",
        Guide::Centre => "The middle of both sides.",
        Guide::Grid => "Lines at every tenth.",
    }
}

/// A switch for each guide.
pub(super) fn guides_group_ui(ui: &mut Ui, state: &mut State) {
    let about = "Lines over the picture in this window. The clean output never has them.";
    group_ui(ui, "Guides", about, |ui| {
        for guide in Guide::ALL {
            let shown = state.setup().guides.contains(&guide);
            let name = sentence(guide.label());
            let switched = switch_ui(ui, &name, shown, tooltip(guide));
            apply_edit(state, switched.map(|on| Edit::Guide(guide, on)));
        }
    });
}
