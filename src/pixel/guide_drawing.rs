//! Guides drawn into a picture at output resolution, for files. The window draws the same geometry itself.

use ab_glyph::{Font, FontRef, Glyph, ScaleFont, point};

use super::color::to_u8;
use super::frame::Frame;
use super::guides::{Guide, GuideShapes, Shape, guide_shapes};
use super::settings::Size;

/// Share of the picture that a label's backing covers. Source: chosen by eye.
const BACKING_OPACITY: f32 = 0.65;

impl Guide {
    /// R'G'B' codes of the guide's lines. Source: Okabe and Ito, Color Universal Design, 2008, and two greys.
    pub fn color_u8(self) -> [u8; 3] {
        match self {
            Self::ActionSafe => [230, 159, 0],
            Self::GraphicsSafe => [86, 180, 233],
            Self::TitleLegacy => [204, 121, 167],
            Self::Captions => [240, 228, 66],
            Self::Thirds => [200, 200, 200],
            Self::Centre => [213, 94, 0],
            Self::Grid => [140, 140, 140],
        }
    }
}

/// Draws guides and their labels over an 8-bit frame; frames of other formats stay as they are.
pub fn draw_guides(frame: &mut Frame, guides: &[Guide]) {
    let size = frame.size();
    let font = FontRef::try_from_slice(epaint_default_fonts::UBUNTU_LIGHT).ok();
    let Some(pixels) = frame.rgba8_mut() else {
        return;
    };
    let mut canvas = Canvas { size, pixels };
    let all: Vec<GuideShapes> = guides
        .iter()
        .map(|&guide| guide_shapes(guide, size))
        .collect();
    for guide in &all {
        for &shape in &guide.shapes {
            canvas.draw_shape(shape, guide.guide.color_u8());
        }
    }
    for guide in &all {
        if let Some(font) = &font {
            canvas.draw_label(guide, font);
        }
    }
}

/// An 8-bit picture that is drawn on.
struct Canvas<'a> {
    size: Size,
    pixels: &'a mut [[u8; 4]],
}

impl Canvas<'_> {
    /// Thickness of a line, 1 px at 540 lines and below, 2 at 1080.
    fn line_px(&self) -> f64 {
        (f64::from(self.size.height()) / 540.0).round().max(1.0)
    }

    fn draw_shape(&mut self, shape: Shape, color: [u8; 3]) {
        let (width, height) = (f64::from(self.size.width()), f64::from(self.size.height()));
        let line = self.line_px();
        let half = (line / 2.0).floor();
        match shape {
            Shape::Vertical { x } => {
                self.fill([x - half, 0.0, x - half + line, height], color, 1.0);
            }
            Shape::Horizontal { y } => {
                self.fill([0.0, y - half, width, y - half + line], color, 1.0);
            }
            // The line lies inside the area that it bounds.
            Shape::Outline { x0, y0, x1, y1 } => {
                self.fill([x0, y0, x1, y0 + line], color, 1.0);
                self.fill([x0, y1 - line, x1, y1], color, 1.0);
                self.fill([x0, y0 + line, x0 + line, y1 - line], color, 1.0);
                self.fill([x1 - line, y0 + line, x1, y1 - line], color, 1.0);
            }
        }
    }

    fn draw_label(&mut self, guide: &GuideShapes, font: &FontRef<'_>) {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "positions within the picture"
        )]
        let (x, y) = (guide.label_at.0 as f32, guide.label_at.1 as f32);
        let scaled = font.as_scaled((self.size.height() as f32 / 45.0).max(11.0));
        let mut caret = x;
        let mut glyphs: Vec<Glyph> = Vec::new();
        for letter in guide.guide.label().chars() {
            let id = scaled.glyph_id(letter);
            glyphs.push(
                id.with_scale_and_position(scaled.scale(), point(caret, y + scaled.ascent())),
            );
            caret += scaled.h_advance(id);
        }
        let pad = scaled.height() * 0.2;
        let backing = [
            x - pad,
            y - pad / 2.0,
            caret + pad,
            y + scaled.height() + pad / 2.0,
        ];
        self.fill(backing.map(f64::from), [0; 3], BACKING_OPACITY);
        for glyph in glyphs {
            if let Some(outline) = scaled.outline_glyph(glyph) {
                let bounds = outline.px_bounds();
                outline.draw(|dx, dy, coverage| {
                    let (left, top) = (f64::from(bounds.min.x), f64::from(bounds.min.y));
                    let (px, py) = (left + f64::from(dx), top + f64::from(dy));
                    self.fill(
                        [px, py, px + 1.0, py + 1.0],
                        guide.guide.color_u8(),
                        coverage,
                    );
                });
            }
        }
    }

    /// Lays a colour over a rectangle `[left, top, right, bottom]`, cut to the picture.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the picture, whose sides are below 2^15"
    )]
    fn fill(&mut self, [x0, y0, x1, y1]: [f64; 4], color: [u8; 3], opacity: f32) {
        let column = |x: f64| x.round().clamp(0.0, f64::from(self.size.width())) as usize;
        let row = |y: f64| y.round().clamp(0.0, f64::from(self.size.height())) as usize;
        let (left, right, top, bottom) = (column(x0), column(x1), row(y0), row(y1));
        let width = self.size.width() as usize;
        let opacity = opacity.clamp(0.0, 1.0);
        for y in top..bottom {
            for pixel in &mut self.pixels[y * width + left..y * width + right.max(left)] {
                for (value, &over) in pixel.iter_mut().zip(&color) {
                    let mixed = f32::from(over) * opacity + f32::from(*value) * (1.0 - opacity);
                    *value = to_u8(mixed / 255.0);
                }
            }
        }
    }
}
