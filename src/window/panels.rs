//! Arranges everything round the picture and says where the picture goes.

use egui::{CentralPanel, Context, Frame, Margin, Panel, Rect, Response, Sense, TextureId, Ui};

use super::controls::controls_ui;
use super::deck_strip::{deck_strip_ui, strip_height};
use super::findings_panel::{FINDINGS_HEIGHT, findings_ui};
use super::inspect_panel::inspect_ui;
use super::key_filter::KeyFilter;
use super::key_sheet::key_sheet_ui;
use super::look::Look;
use super::message_strip::{has_message_strip, message_strip_ui};
use super::read_out::{ReadOut, read_out_ui};
use super::state::State;
use super::top_bar::{VIEWS, top_bar_ui};
use super::verdict_band::{verdict_band_ui, verdict_height};
use crate::measure::key::histogram::NearBlackHistogram;

/// Window width in points from which the settings always stay open. Source: chosen so that the
/// picture keeps more than half of the width.
const WIDE_FROM: f32 = 900.0;
/// Window height in points from which there is room for thumbnails.
const TALL_FROM: f32 = 600.0;
/// Width of the settings.
const SETTINGS_WIDTH: f32 = 324.0;
/// Least height of the read-out where there is room, so that fixing a point does not move the picture.
const READ_OUT_HEIGHT: f32 = 50.0;
/// Width of the sheet of keys as a share of the window's, and its least and most. Source: chosen by eye.
const KEY_SHEET_SHARE: f32 = 0.25;
const KEY_SHEET_WIDTHS: [f32; 2] = [280.0, 420.0];

/// What the panels show and only the shell knows.
#[derive(Clone, Copy, Debug, Default)]
pub struct PanelInputs<'a> {
    /// The dark end of the slide; none without a slide.
    pub histogram: Option<&'a NearBlackHistogram>,
    /// The values under the pointer or at the fixed point.
    pub read_out: Option<&'a ReadOut>,
    /// A small picture for each slide, as far as they are made.
    pub thumbnails: &'a [Option<TextureId>],
}

/// Where the picture goes.
#[derive(Clone, Debug)]
pub struct PictureArea {
    /// In points.
    pub rect: Rect,
    /// Pointer, drag and click over it. It never has the keyboard.
    pub response: Response,
}

/// Prepares a context for the panels; once.
pub fn install(ctx: &Context) {
    ctx.add_plugin(KeyFilter::default());
    Look::new(false).apply(ctx);
}

/// The panels. Keys that were pressed are applied first.
pub fn panels_ui(ui: &mut Ui, state: &mut State, inputs: PanelInputs<'_>) -> PictureArea {
    for action in KeyFilter::take(ui.ctx()) {
        state.apply(action);
    }
    let look = Look::new(state.dimmed);
    look.apply(ui.ctx());
    let window = ui.max_rect();
    state.is_narrow = window.width() < WIDE_FROM;
    let is_tall = window.height() >= TALL_FROM;
    state.findings_are_beside = state.is_narrow || !is_tall;
    let bar = Frame::new()
        .fill(look.panel)
        .inner_margin(Margin::symmetric(8, 5));

    Panel::top("top bar")
        .frame(bar)
        .resizable(false)
        .show(ui, |ui| top_bar_ui(ui, state));
    Panel::bottom("deck strip")
        .frame(bar)
        .resizable(false)
        .exact_size(strip_height(is_tall) + 10.0)
        .show(ui, |ui| {
            deck_strip_ui(ui, state, inputs.thumbnails, is_tall);
        });
    Panel::bottom("read-out")
        .frame(bar)
        .resizable(false)
        .show(ui, |ui| {
            if is_tall {
                ui.set_min_height(READ_OUT_HEIGHT);
            }
            read_out_ui(ui, state, inputs.read_out);
        });
    if has_message_strip(state) {
        Panel::bottom("messages")
            .frame(bar)
            .resizable(false)
            .show(ui, |ui| message_strip_ui(ui, state, is_tall));
    }
    if state.inspect_open {
        Panel::top("verdict")
            .frame(Frame::new().fill(look.panel))
            .resizable(false)
            .exact_size(verdict_height(window.height()))
            .show(ui, |ui| verdict_band_ui(ui, state));
    }
    side_panels_ui(ui, state, inputs, bar);
    if state.findings_open() && !state.findings_are_beside {
        Panel::bottom("findings")
            .frame(bar)
            .resizable(false)
            .exact_size(FINDINGS_HEIGHT)
            .show(ui, |ui| findings_ui(ui, state));
    }
    // What no panel took is not kept for one that is opened later.
    state.panel_pages = 0;

    // No fill: the picture and what surrounds it are drawn below.
    let central = CentralPanel::default().frame(Frame::NONE);
    central.show(ui, |ui| picture_area_ui(ui, state)).inner
}

/// Settings, or what stands in their place, and key sheet; one of them at a time where
/// the window is narrow.
fn side_panels_ui(ui: &mut Ui, state: &mut State, inputs: PanelInputs<'_>, bar: Frame) {
    let has_sheet = state.key_sheet_open;
    let has_room = !(state.is_narrow && has_sheet);
    if state.inspect_open && has_room {
        Panel::right("inspect")
            .frame(bar)
            .resizable(false)
            .exact_size(SETTINGS_WIDTH)
            .show(ui, |ui| inspect_ui(ui, state));
    } else if state.findings_are_beside && state.findings_open() && has_room {
        Panel::right("findings")
            .frame(bar)
            .resizable(false)
            .exact_size(SETTINGS_WIDTH)
            .show(ui, |ui| findings_ui(ui, state));
    } else if state.settings_open() && has_room {
        Panel::right("settings")
            .frame(bar)
            .resizable(false)
            .exact_size(SETTINGS_WIDTH)
            .show(ui, |ui| controls_ui(ui, state, inputs.histogram));
    }
    if has_sheet {
        let [least, most] = KEY_SHEET_WIDTHS;
        let width = KEY_SHEET_SHARE * ui.ctx().content_rect().width();
        Panel::right("key sheet")
            .frame(bar)
            .resizable(false)
            .exact_size(width.clamp(least, most))
            .show(ui, |ui| key_sheet_ui(ui, state));
    }
}

/// The rest of the window.
fn picture_area_ui(ui: &mut Ui, state: &State) -> PictureArea {
    let rect = ui.max_rect();
    let response = ui.allocate_rect(rect, Sense::CLICK | Sense::DRAG);
    let name = |view| {
        let known = VIEWS.iter().find(|choice| choice.value == view);
        known.map_or("", |choice| choice.label)
    };
    let mut words = format!("Picture: {}", name(state.settings().view));
    if let Some(right) = state.right_view {
        words = format!("{words}, {} right of the line", name(right));
    }
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &words));
    PictureArea { rect, response }
}
