//! Rectangles and words drawn on an 8-bit picture, for what is written into files. The window draws for itself.

use ab_glyph::{Font, FontRef, Glyph, ScaleFont, point};

use super::color::to_u8;
use super::frame::{Frame, Pixels};
use super::settings::Size;

/// An 8-bit picture that is drawn on.
#[derive(Debug)]
pub struct Canvas<'a> {
    size: Size,
    pixels: &'a mut [[u8; 4]],
}

/// Words laid out on one line.
pub struct Words {
    font: FontRef<'static>,
    scale_px: f32,
    glyphs: Vec<Glyph>,
    width_px: f32,
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Words")
            .field("scale_px", &self.scale_px)
            .field("glyphs", &self.glyphs.len())
            .field("width_px", &self.width_px)
            .finish_non_exhaustive()
    }
}

impl Words {
    /// Lays out words with lines of `scale_px` pixels; none where the font cannot be read.
    pub fn new(words: &str, scale_px: f32) -> Option<Self> {
        let font = FontRef::try_from_slice(epaint_default_fonts::UBUNTU_LIGHT).ok()?;
        let scaled = font.as_scaled(scale_px);
        let mut caret = 0.0;
        let mut glyphs = Vec::new();
        for letter in words.chars() {
            let id = scaled.glyph_id(letter);
            glyphs.push(id.with_scale_and_position(scaled.scale(), point(caret, scaled.ascent())));
            caret += scaled.h_advance(id);
        }
        Some(Self {
            font,
            scale_px,
            glyphs,
            width_px: caret,
        })
    }

    /// Pixels across.
    pub fn width_px(&self) -> f32 {
        self.width_px
    }

    /// Pixels down, from the top of the tallest letter to the foot of the lowest.
    pub fn height_px(&self) -> f32 {
        self.font.as_scaled(self.scale_px).height()
    }
}

impl<'a> Canvas<'a> {
    /// Draws on a frame; none where it is not an 8-bit one.
    pub fn new(frame: &'a mut Frame) -> Option<Self> {
        let size = frame.size();
        frame.rgba8_mut().map(|pixels| Self { size, pixels })
    }

    /// The picture's size.
    pub fn size(&self) -> Size {
        self.size
    }

    /// Lays a colour over a rectangle `[left, top, right, bottom]`, cut to the picture. Opacity is 0 to 1.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the picture, whose sides are below 2^15"
    )]
    pub fn fill(&mut self, [x0, y0, x1, y1]: [f64; 4], color: [u8; 3], opacity: f32) {
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

    /// Draws words with their top left corner at a place, in pixels.
    pub fn draw(&mut self, words: &Words, [x, y]: [f32; 2], color: [u8; 3]) {
        let scaled = words.font.as_scaled(words.scale_px);
        for glyph in &words.glyphs {
            let mut glyph = glyph.clone();
            glyph.position.x += x;
            glyph.position.y += y;
            if let Some(outline) = scaled.outline_glyph(glyph) {
                let bounds = outline.px_bounds();
                outline.draw(|dx, dy, coverage| {
                    let (left, top) = (f64::from(bounds.min.x), f64::from(bounds.min.y));
                    let (px, py) = (left + f64::from(dx), top + f64::from(dy));
                    self.fill([px, py, px + 1.0, py + 1.0], color, coverage);
                });
            }
        }
    }

    /// Puts a picture of the same format with its top left corner at a place inside; what sticks out is cut.
    pub fn put(&mut self, picture: &Frame, x: u32, y: u32) {
        let Pixels::Rgba8(pixels) = picture.pixels() else {
            return;
        };
        let width = self.size.width();
        if x >= width {
            return;
        }
        let columns = picture.size().width().min(width - x) as usize;
        let rows = pixels.chunks(picture.size().width() as usize);
        for (row, line) in (y..self.size.height()).zip(rows) {
            let start = row as usize * width as usize + x as usize;
            self.pixels[start..start + columns].copy_from_slice(&line[..columns]);
        }
    }
}
