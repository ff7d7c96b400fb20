//! The test chart as a picture. What is where and how bright comes from the layout in `chart`.

use ab_glyph::{Font, FontRef, Glyph, ScaleFont, point};

use super::chart::{
    Chart, ChartArea, DOT, Edge, Marker, PatchRole, RING_INNER, Ruler, WEDGE_HEIGHT,
};
use crate::pixel::color::to_u8;
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// White of lines and markers.
const WHITE: f32 = 1.0;
/// Grey of labels. Source: chosen, readable and too dark to be taken for a marker.
const LABEL: f32 = 0.62;
/// Height of a letter below which labels are left out because nobody could read them, px. Source: chosen by eye.
const MIN_LABEL_PX: f64 = 8.0;

/// Draws the chart, 8-bit.
pub fn draw_chart(chart: Chart) -> Frame {
    let mut sheet = Sheet::new(chart.size());
    for patch in chart.patches() {
        sheet.fill(patch.area, patch.rgb_u8.map(|code| f32::from(code) / 255.0));
    }
    for (area, white) in chart.code_cells() {
        sheet.fill(area, [if white { WHITE } else { 0.0 }; 3]);
    }
    let ramp = chart.ramp();
    for x in ramp.x0..ramp.x1 {
        let code = f32::from(chart.ramp_code(x - ramp.x0)) / 255.0;
        let column = ChartArea {
            x0: x,
            x1: x + 1,
            ..ramp
        };
        sheet.fill(column, [code; 3]);
    }
    sheet.draw_line_fields(chart.line_fields());
    for marker in chart.markers() {
        sheet.draw_marker(marker);
    }
    sheet.draw_outline();
    for ruler in chart.rulers() {
        sheet.draw_ruler(ruler);
    }
    sheet.draw_orientation(chart);
    sheet.draw_labels(chart);
    sheet.frame
}

/// Where a text stands by the point that it is given.
#[derive(Clone, Copy)]
enum Anchor {
    Left,
    Middle,
    Right,
}

/// A picture that is drawn on.
struct Sheet {
    size: Size,
    frame: Frame,
    font: Option<FontRef<'static>>,
    /// Height of an ordinary label, px.
    label_px: f64,
}

impl Sheet {
    fn new(size: Size) -> Self {
        let (width, height) = (f64::from(size.width()), f64::from(size.height()));
        Self {
            size,
            frame: Frame::from_fn(size, |_, _| [0; 3]),
            font: FontRef::try_from_slice(epaint_default_fonts::HACK_REGULAR).ok(),
            label_px: (height * 0.018).min(width * 0.0102),
        }
    }

    /// Mixes a colour into a pixel.
    fn mix(&mut self, x: u32, y: u32, rgb: [f32; 3], cover: f32) {
        if x >= self.size.width() || y >= self.size.height() {
            return;
        }
        let index = y as usize * self.size.width() as usize + x as usize;
        let cover = cover.clamp(0.0, 1.0);
        if let Some(pixels) = self.frame.rgba8_mut() {
            for (value, over) in pixels[index].iter_mut().zip(rgb) {
                *value = to_u8(over * cover + f32::from(*value) / 255.0 * (1.0 - cover));
            }
        }
    }

    fn fill(&mut self, area: ChartArea, rgb: [f32; 3]) {
        for y in area.y0..area.y1 {
            for x in area.x0..area.x1 {
                self.mix(x, y, rgb, 1.0);
            }
        }
    }

    /// Every other column white in the first field, every other row in the second.
    fn draw_line_fields(&mut self, [upright, level]: [ChartArea; 2]) {
        for x in (upright.x0..upright.x1).step_by(2) {
            self.fill(
                ChartArea {
                    x0: x,
                    x1: x + 1,
                    ..upright
                },
                [WHITE; 3],
            );
        }
        for y in (level.y0..level.y1).step_by(2) {
            self.fill(
                ChartArea {
                    y0: y,
                    y1: y + 1,
                    ..level
                },
                [WHITE; 3],
            );
        }
    }

    /// Shades every pixel of a box around `centre` by its distance from it.
    fn shade_round(&mut self, [cx, cy]: [f64; 2], radius: f64, cover: impl Fn(f64) -> f64) {
        let reach = radius + 2.0;
        let (x0, x1) = (whole(cx - reach), whole(cx + reach));
        let (y0, y1) = (whole(cy - reach), whole(cy + reach));
        for y in y0..y1 {
            for x in x0..x1 {
                let distance = (f64::from(x) + 0.5 - cx).hypot(f64::from(y) + 0.5 - cy);
                self.mix(x, y, [WHITE; 3], narrow(cover(distance)));
            }
        }
    }

    fn draw_marker(&mut self, Marker { centre, radius_px }: Marker) {
        let disc = |distance: f64, radius: f64| (radius - distance + 0.5).clamp(0.0, 1.0);
        self.shade_round(centre, radius_px, |distance| {
            disc(distance, radius_px) - disc(distance, RING_INNER * radius_px)
                + disc(distance, DOT * radius_px)
        });
    }

    /// The outermost pixel of every edge.
    fn draw_outline(&mut self) {
        let (x1, y1) = (self.size.width(), self.size.height());
        let all = ChartArea {
            x0: 0,
            y0: 0,
            x1,
            y1,
        };
        self.fill(ChartArea { y1: 1, ..all }, [WHITE; 3]);
        self.fill(ChartArea { y0: y1 - 1, ..all }, [WHITE; 3]);
        self.fill(ChartArea { x1: 1, ..all }, [WHITE; 3]);
        self.fill(ChartArea { x0: x1 - 1, ..all }, [WHITE; 3]);
    }

    fn draw_ruler(&mut self, ruler: Ruler) {
        let Ruler {
            edge,
            spine,
            tick_px,
            ticks,
        } = ruler;
        self.fill(spine, [WHITE; 3]);
        let thick = (self.size.height() / 1080).max(1);
        let short = self.size.width().min(self.size.height()) / 90;
        for tick in 1..=ticks {
            let at = tick * tick_px;
            let is_long = tick % 5 == 0;
            let length = if is_long { 2 * short } else { short };
            // The tick covers the pixels from `at` on: what is cut off by `at` pixels leaves it as the first.
            let area = match edge {
                Edge::Left | Edge::Right => {
                    let x0 = match edge {
                        Edge::Left => at,
                        _ => self.size.width() - at - thick,
                    };
                    ChartArea {
                        x0,
                        y0: spine.y0 - length,
                        x1: x0 + thick,
                        y1: spine.y1 + length,
                    }
                }
                Edge::Top | Edge::Bottom => {
                    let y0 = match edge {
                        Edge::Top => at,
                        _ => self.size.height() - at - thick,
                    };
                    ChartArea {
                        x0: spine.x0 - length,
                        y0,
                        x1: spine.x1 + length,
                        y1: y0 + thick,
                    }
                }
            };
            self.fill(area, [WHITE; 3]);
            if is_long {
                let number = at.to_string();
                let letter = self.label_px * 0.8;
                let (x, y) = (
                    f64::from(area.x0 + area.x1) / 2.0,
                    f64::from(area.y0 + area.y1) / 2.0,
                );
                match edge {
                    Edge::Left | Edge::Right => {
                        let below = f64::from(area.y1) + letter * 0.2;
                        self.draw_text(&number, [x, below], letter, Anchor::Middle);
                    }
                    Edge::Top | Edge::Bottom => {
                        let beside = f64::from(area.x1) + letter * 0.4;
                        self.draw_text(&number, [beside, y - letter * 0.5], letter, Anchor::Left);
                    }
                }
            }
        }
    }

    /// The circle with an arrow up in it, and L and R where left and right are.
    fn draw_orientation(&mut self, chart: Chart) {
        let (centre, radius) = chart.circle();
        let line = (radius / 60.0).max(1.0);
        self.shade_round(centre, radius, |distance| {
            (line / 2.0 - (distance - radius + line / 2.0).abs() + 0.5).clamp(0.0, 1.0)
        });
        let [cx, cy] = centre;
        let (tip, shoulder, foot) = (cy - 0.78 * radius, cy - 0.1 * radius, cy + 0.5 * radius);
        for y in whole(tip)..whole(foot) {
            let at = f64::from(y) + 0.5;
            let half = if at < shoulder {
                0.42 * radius * (at - tip) / (shoulder - tip)
            } else {
                0.15 * radius
            };
            for x in whole(cx - half - 1.0)..whole(cx + half + 2.0) {
                let cover = half - (f64::from(x) + 0.5 - cx).abs() + 0.5;
                self.mix(x, y, [LABEL; 3], narrow(cover));
            }
        }
        let letter = radius * 0.42;
        self.draw_text("L", [cx - 0.62 * radius, cy], letter, Anchor::Middle);
        self.draw_text("R", [cx + 0.62 * radius, cy], letter, Anchor::Middle);
        self.draw_text(
            "TOP",
            [cx, cy + 0.52 * radius],
            radius * 0.3,
            Anchor::Middle,
        );
    }

    fn draw_labels(&mut self, chart: Chart) {
        let (width, height) = (f64::from(self.size.width()), f64::from(self.size.height()));
        let letter = self.label_px;
        let title = format!("nightglass test chart, {}", self.size);
        self.draw_text(
            &title,
            [0.5 * width, 0.085 * height],
            1.5 * letter,
            Anchor::Middle,
        );
        let what_to_do =
            "show it full screen, record it, give the picture to `nightglass calibrate`";
        self.draw_text(
            what_to_do,
            [0.5 * width, 0.126 * height],
            letter,
            Anchor::Middle,
        );
        let captions = [
            (0.09, 0.246, "near black: code of 255, 0 to 12 % of white"),
            (0.09, 0.431, "black to white: percent of white"),
            (0.09, 0.633, "colour bars, 100 and 75 %"),
            (0.63, 0.633, "single-pixel lines"),
            (0.20, 0.781, "greys, %"),
            (0.62, 0.781, "greys, %"),
        ];
        for (x, y, caption) in captions {
            self.draw_text(caption, [x * width, y * height], letter, Anchor::Left);
        }
        for patch in chart.patches() {
            let code = f64::from(patch.rgb_u8[0]);
            let number = match patch.role {
                PatchRole::Fine => format!("{code}"),
                PatchRole::Coarse | PatchRole::Grey => format!("{:.0}", code / 2.55),
                PatchRole::Bar => continue,
            };
            let middle = f64::from(patch.area.x0 + patch.area.x1) / 2.0;
            let below = f64::from(patch.area.y1) + 0.05 * WEDGE_HEIGHT * height;
            self.draw_text(&number, [middle, below], 0.9 * letter, Anchor::Middle);
        }
        for ruler in chart.rulers() {
            if matches!(ruler.edge, Edge::Left | Edge::Right) {
                let inner = f64::from(ruler.spine.y0) - 3.4 * letter;
                let (x, anchor) = match ruler.edge {
                    Edge::Left => (3.0, Anchor::Left),
                    _ => (width - 3.0, Anchor::Right),
                };
                self.draw_text("px cut off", [x, inner], 0.8 * letter, anchor);
            }
        }
    }

    /// A line of text whose top is at `y`; left out where its letters would be too small to read.
    fn draw_text(&mut self, text: &str, [x, y]: [f64; 2], letter_px: f64, anchor: Anchor) {
        if letter_px < MIN_LABEL_PX {
            return;
        }
        let Some(font) = self.font.clone() else {
            return;
        };
        let scaled = font.as_scaled(narrow(letter_px));
        let advance: f32 = text
            .chars()
            .map(|c| scaled.h_advance(scaled.glyph_id(c)))
            .sum();
        let mut caret = narrow(x)
            - match anchor {
                Anchor::Left => 0.0,
                Anchor::Middle => advance / 2.0,
                Anchor::Right => advance,
            };
        let mut glyphs: Vec<Glyph> = Vec::new();
        for character in text.chars() {
            let id = scaled.glyph_id(character);
            let place = point(caret, narrow(y) + scaled.ascent());
            glyphs.push(id.with_scale_and_position(scaled.scale(), place));
            caret += scaled.h_advance(id);
        }
        for outline in glyphs
            .into_iter()
            .filter_map(|glyph| scaled.outline_glyph(glyph))
        {
            let min = outline.px_bounds().min;
            let (left, top) = (whole(min.x.into()), whole(min.y.into()));
            outline.draw(|dx, dy, cover| self.mix(left + dx, top + dy, [LABEL; 3], cover));
        }
    }
}

/// A position as the pixel that holds it; what lies left of or above the picture is its first pixel.
fn whole(position: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and at most a side and a margin, below 2^16"
    )]
    let px = position.floor().max(0.0) as u32;
    px
}

/// To the precision that drawing needs.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
fn narrow(value: f64) -> f32 {
    value as f32
}
