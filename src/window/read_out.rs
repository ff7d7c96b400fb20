//! The values at one output pixel, under the pointer or at a fixed point.

use egui::{RichText, Sense, Ui, vec2};

use super::action::Action;
use super::control::{name_control, toggle_ui};
use super::legend::legend_ui;
use super::number_field::{NumberChange, NumberField, field_ui};
use super::number_text::format_number;
use super::state::State;
use crate::pixel::color::to_u8;
use crate::pixel::composite::blend;
use crate::pixel::key::{luma, matte};
use crate::pixel::plan::Plan;
use crate::pixel::reference::{camera_signal, slide_signal};
use crate::pixel::views::{MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE};

/// Height of a value with its name. Source: chosen by eye.
pub(super) const CELL_HEIGHT: f32 = 44.0;
/// Width of three codes with a patch.
const CODES_WIDTH: f32 = 106.0;
/// Widths of the place, of lumas and of a matte. Source: chosen by eye.
const PLACE_WIDTH: f32 = 128.0;
const LUMA_WIDTHS: [f32; 2] = [58.0, 78.0];
const MATTE_WIDTH: f32 = 124.0;
/// The same in a narrow window, where the matte has no word beside it. Source: with three digits a code, all is one line
/// in the smallest window.
const NARROW_PLACE_WIDTH: f32 = 84.0;
const NARROW_LUMA_WIDTHS: [f32; 2] = [52.0, 52.0];
const NARROW_MATTE_WIDTH: f32 = 34.0;
/// Width of the window in points from which it is not narrow.
const WIDE_FROM: f32 = 640.0;

/// What is at an output pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadOut {
    /// Column and row in the output, from the top left.
    pub at_px: [u32; 2],
    /// The slide's R'G'B', 8-bit codes.
    pub slide: [u8; 3],
    /// The slide's luma, percent of white.
    pub slide_luma_percent: f32,
    /// How much of the slide is kept, 0 to 1.
    pub matte: f32,
    /// The camera's luma, percent of white.
    pub camera_luma_percent: f32,
    /// The composite's R'G'B', 8-bit codes.
    pub composite: [u8; 3],
}

impl ReadOut {
    /// The values at a pixel, by the plain reference; none outside the output.
    pub fn at(plan: &Plan<'_>, at_px: [u32; 2]) -> Option<Self> {
        let [x, y] = at_px;
        if x >= plan.output.width() || y >= plan.output.height() {
            return None;
        }
        let camera = camera_signal(plan, x, y);
        let slide = slide_signal(plan, x, y);
        let slide_luma = luma(slide, plan.kr, plan.kb);
        let m = matte(slide_luma, plan.threshold, plan.softness, plan.ramp);
        let composite = blend(m, slide, camera, plan.alpha, plan.blend_space);
        Some(Self {
            at_px,
            slide: slide.map(to_u8),
            slide_luma_percent: 100.0 * slide_luma,
            matte: m,
            camera_luma_percent: 100.0 * luma(camera, plan.kr, plan.kb),
            composite: composite.map(to_u8),
        })
    }

    /// What becomes of the slide here.
    pub fn fate(&self) -> &'static str {
        if self.matte < MATTE_DROPPED_BELOW {
            "dropped"
        } else if self.matte > MATTE_SOLID_ABOVE {
            "solid"
        } else {
            "in the ramp"
        }
    }
}

/// The line of values.
pub(super) fn read_out_ui(ui: &mut Ui, state: &mut State, read_out: Option<&ReadOut>) {
    ui.horizontal_wrapped(|ui| {
        let is_wide = ui.max_rect().width() >= WIDE_FROM;
        let (place_width, luma_widths, matte_width, camera_luma) = if is_wide {
            (PLACE_WIDTH, LUMA_WIDTHS, MATTE_WIDTH, "Camera luma")
        } else {
            ui.spacing_mut().item_spacing.x = 4.0;
            let place = if state.probe_px.is_some() {
                // Two fields stand there.
                PLACE_WIDTH
            } else {
                NARROW_PLACE_WIDTH
            };
            (place, NARROW_LUMA_WIDTHS, NARROW_MATTE_WIDTH, "Camera")
        };
        place_ui(ui, state, read_out, place_width);
        let text = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
        let percent = |luma: f32| format!("{} %", format_number(f64::from(luma), 1));
        let codes = |[r, g, b]: [u8; 3]| format!("{r} {g} {b}");
        cell_ui(
            ui,
            CODES_WIDTH,
            "Slide colour",
            "Red, green and blue of the slide as it reaches the key, 0 to 255.",
            &text(read_out.map(|r| codes(r.slide))),
            read_out.map(|r| r.slide),
        );
        cell_ui(
            ui,
            luma_widths[0],
            "Luma",
            "Brightness of the slide as the key sees it. At and below the threshold it is dropped.",
            &text(read_out.map(|r| percent(r.slide_luma_percent))),
            None,
        );
        cell_ui(
            ui,
            matte_width,
            "Matte",
            "How much of the slide is kept: 0 nothing, 1 all.",
            &text(read_out.map(|r| {
                let matte = format_number(f64::from(r.matte), 2);
                if is_wide {
                    format!("{matte} {}", r.fate())
                } else {
                    matte
                }
            })),
            None,
        );
        cell_ui(
            ui,
            luma_widths[1],
            camera_luma,
            "Brightness of the camera picture.",
            &text(read_out.map(|r| percent(r.camera_luma_percent))),
            None,
        );
        cell_ui(
            ui,
            CODES_WIDTH,
            "Composite colour",
            "Red, green and blue of the result, 0 to 255.",
            &text(read_out.map(|r| codes(r.composite))),
            read_out.map(|r| r.composite),
        );
        legend_ui(ui, state);
    });
}

/// Where the values are from: the pointer, or a typed point.
fn place_ui(ui: &mut Ui, state: &mut State, read_out: Option<&ReadOut>, width: f32) {
    let fixed = state.probe_px;
    let layout = egui::Layout::top_down(egui::Align::Min);
    ui.allocate_ui_with_layout(vec2(width, CELL_HEIGHT), layout, |ui| {
        ui.set_width(width);
        let toggle = toggle_ui(ui, "Fixed point", fixed.is_some()).on_hover_text(
            "Reads the values at a point that you type, instead of under the pointer.",
        );
        name_control(&toggle, "Fixed point");
        if toggle.clicked() {
            state.apply(Action::ToggleProbe);
        }
        if let Some(at_px) = fixed {
            point_ui(ui, state, at_px);
        } else {
            let words = match read_out {
                Some(ReadOut { at_px: [x, y], .. }) => format!("at {x}, {y}"),
                None if width < PLACE_WIDTH => "at –".to_owned(),
                None => "point at the picture".to_owned(),
            };
            ui.add(egui::Label::new(RichText::new(words).weak()).truncate());
        }
    });
}

/// The typed point.
fn point_ui(ui: &mut Ui, state: &mut State, at_px: [u32; 2]) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        let ends = [state.output_size.width(), state.output_size.height()];
        for (axis, (label, name, tooltip)) in [
            ("x", "Point x", "Column of the output, 0 at the left."),
            ("y", "Point y", "Row of the output, 0 at the top."),
        ]
        .into_iter()
        .enumerate()
        {
            ui.weak(label);
            let field = NumberField {
                name,
                unit: "",
                unit_spoken: "pixels",
                tooltip,
                value: f64::from(at_px[axis]),
            };
            if let Some(NumberChange::Set(value)) = field_ui(ui, field, false) {
                let mut moved = at_px;
                moved[axis] = whole(value, ends[axis] - 1);
                state.apply(Action::Probe(Some(moved)));
            }
        }
    });
}

/// The nearest whole number from 0 to `last`.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to 0..=last, which is a u32"
)]
fn whole(value: f64, last: u32) -> u32 {
    value.round().clamp(0.0, f64::from(last)) as u32
}

/// A name over a value, with a patch of the colour where it is one.
fn cell_ui(
    ui: &mut Ui,
    width: f32,
    name: &str,
    tooltip: &str,
    value: &str,
    patch: Option<[u8; 3]>,
) {
    let layout = egui::Layout::top_down(egui::Align::Min);
    let cell = ui.allocate_ui_with_layout(vec2(width, CELL_HEIGHT), layout, |ui| {
        ui.set_width(width);
        ui.label(RichText::new(name).small().weak());
        ui.horizontal(|ui| {
            if let Some([r, g, b]) = patch {
                let (rect, _) = ui.allocate_exact_size(vec2(12.0, 12.0), Sense::hover());
                let color = egui::Color32::from_rgb(r, g, b);
                ui.painter().rect_filled(rect, 1.0, color);
                let line = ui.visuals().widgets.noninteractive.bg_stroke;
                ui.painter()
                    .rect_stroke(rect, 1.0, line, egui::StrokeKind::Inside);
            }
            ui.add(egui::Label::new(RichText::new(value).monospace()).extend());
        });
    });
    cell.response.on_hover_text(tooltip);
}
