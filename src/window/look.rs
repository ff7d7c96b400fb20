//! Our own dark look. The screen lights the glass, so everything is near black and neutral;
//! colour is kept for what means something.

use egui::{Color32, Context, CornerRadius, Stroke, Style, TextStyle, Visuals};

use crate::pixel::views::{BLUISH_GREEN, SKY_BLUE, VERMILLION, YELLOW};

/// How much darker surfaces get with the dim switch on. Source: chosen by eye.
const DIMMED_SURFACE: f32 = 0.62;
/// How much darker text gets. Source: chosen so that its contrast stays over 4.5 to 1, which
/// `tests/headless/window_state.rs` checks.
const DIMMED_TEXT: f32 = 0.76;

/// The colours of the panels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Around the picture.
    pub surround: Color32,
    /// Behind the controls.
    pub panel: Color32,
    /// Behind fields and the histogram.
    pub well: Color32,
    /// A control at rest.
    pub control: Color32,
    /// A control under the pointer.
    pub control_hovered: Color32,
    /// Thin lines between things.
    pub line: Color32,
    /// Round a control at rest.
    pub edge: Color32,
    /// Text that explains.
    pub quiet_text: Color32,
    /// Text that names and values.
    pub text: Color32,
    /// What is chosen or has the keyboard.
    pub accent: Color32,
    /// Behind what is chosen.
    pub accent_fill: Color32,
    /// Something may be other than wanted.
    pub warning: Color32,
    /// Something could not be done.
    pub error: Color32,
    /// Something went as wanted.
    pub note: Color32,
    /// Content of the slide.
    pub content: Color32,
    /// Background of the slide.
    pub background: Color32,
}

impl Look {
    /// The colours, darker with the dim switch on.
    pub fn new(dimmed: bool) -> Self {
        let (surface, text) = if dimmed {
            (DIMMED_SURFACE, DIMMED_TEXT)
        } else {
            (1.0, 1.0)
        };
        let grey = |code: u8| scaled([f32::from(code) / 255.0; 3], surface);
        let text_grey = |code: u8| scaled([f32::from(code) / 255.0; 3], text);
        let named = |rgb: [f32; 3]| scaled(rgb, text);
        Self {
            surround: grey(6),
            panel: grey(14),
            well: grey(5),
            control: grey(34),
            control_hovered: grey(50),
            line: grey(46),
            edge: grey(80),
            quiet_text: text_grey(166),
            text: text_grey(208),
            accent: named([0.62, 0.72, 0.80]),
            accent_fill: scaled([0.17, 0.23, 0.28], surface),
            warning: named(YELLOW),
            error: named(lighter(VERMILLION)),
            note: named(lighter(BLUISH_GREEN)),
            content: named(SKY_BLUE),
            background: grey(130),
        }
    }

    /// The look that the context wears.
    pub fn of(ctx: &Context) -> Self {
        ctx.data(|data| data.get_temp(look_id()))
            .unwrap_or_else(|| Self::new(false))
    }

    /// Dresses the whole context.
    pub fn apply(self, ctx: &Context) {
        let current = ctx.data(|data| data.get_temp::<Self>(look_id()));
        if current == Some(self) {
            return;
        }
        ctx.data_mut(|data| data.insert_temp(look_id(), self));
        ctx.set_theme(egui::Theme::Dark);
        ctx.all_styles_mut(|style| self.dress(style));
        ctx.options_mut(|options| options.zoom_with_keyboard = false);
    }

    fn dress(self, style: &mut Style) {
        for (text_style, points) in [
            (TextStyle::Small, 11.0),
            (TextStyle::Body, 13.0),
            (TextStyle::Button, 13.0),
            (TextStyle::Monospace, 12.5),
            (TextStyle::Heading, 14.0),
        ] {
            if let Some(font) = style.text_styles.get_mut(&text_style) {
                font.size = points;
            }
        }
        style.spacing.item_spacing = egui::vec2(6.0, 5.0);
        style.spacing.button_padding = egui::vec2(7.0, 3.0);
        style.spacing.interact_size = egui::vec2(26.0, 22.0);
        style.spacing.slider_rail_height = 4.0;
        style.spacing.tooltip_width = 280.0;
        style.spacing.scroll = egui::style::ScrollStyle::thin();
        style.interaction.selectable_labels = false;
        style.animation_time = 0.0;
        style.scroll_animation = egui::style::ScrollAnimation::none();
        style.visuals = self.visuals();
    }

    fn visuals(self) -> Visuals {
        let mut visuals = Visuals::dark();
        visuals.panel_fill = self.panel;
        visuals.window_fill = self.panel;
        visuals.window_stroke = Stroke::new(1.0, self.line);
        visuals.extreme_bg_color = self.well;
        visuals.text_edit_bg_color = Some(self.well);
        visuals.faint_bg_color = self.well;
        visuals.code_bg_color = self.well;
        visuals.hyperlink_color = self.accent;
        visuals.warn_fg_color = self.warning;
        visuals.error_fg_color = self.error;
        visuals.weak_text_color = Some(self.quiet_text);
        visuals.selection.bg_fill = self.accent_fill;
        visuals.selection.stroke = Stroke::new(1.0, self.text);
        visuals.slider_trailing_fill = true;
        visuals.popup_shadow = egui::Shadow::NONE;
        visuals.window_shadow = egui::Shadow::NONE;
        visuals.text_cursor.blink = false;
        let widgets = &mut visuals.widgets;
        for (widget, fill, line, text) in [
            (
                &mut widgets.noninteractive,
                self.panel,
                self.line,
                self.text,
            ),
            (&mut widgets.inactive, self.control, self.edge, self.text),
            (
                &mut widgets.hovered,
                self.control_hovered,
                self.quiet_text,
                self.text,
            ),
            (
                &mut widgets.active,
                self.control_hovered,
                self.accent,
                self.text,
            ),
            (&mut widgets.open, self.control, self.accent, self.text),
        ] {
            widget.bg_fill = fill;
            widget.weak_bg_fill = fill;
            widget.bg_stroke = Stroke::new(1.0, line);
            widget.fg_stroke = Stroke::new(1.0, text);
            widget.corner_radius = CornerRadius::same(3);
            widget.expansion = 0.0;
        }
        widgets.active.bg_stroke.width = 2.0;
        visuals
    }
}

/// Where the look is kept in the context.
fn look_id() -> egui::Id {
    egui::Id::unique("look")
}

/// A colour half way to white, to be read as text on near black.
fn lighter(rgb: [f32; 3]) -> [f32; 3] {
    rgb.map(|v| v + (1.0 - v) * 0.3)
}

/// A colour times a factor, as 8-bit codes.
fn scaled(rgb: [f32; 3], factor: f32) -> Color32 {
    let [r, g, b] = rgb.map(|v| crate::pixel::color::to_u8(v * factor));
    Color32::from_rgb(r, g, b)
}
