//! Text drawn from real outlines, for checks that look for it.
#![expect(
    clippy::unwrap_used,
    reason = "only tests use this, with fonts that are there"
)]

use ab_glyph::{Font, FontRef, ScaleFont, point};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

/// A slide that is drawn on.
pub(crate) struct Slide {
    width: u32,
    height: u32,
    pixels: Vec<[u8; 4]>,
}

impl Slide {
    /// A slide of one grey.
    pub(crate) fn new(width: u32, height: u32, grey: u8) -> Self {
        let pixels = vec![[grey, grey, grey, u8::MAX]; (width * height) as usize];
        Self {
            width,
            height,
            pixels,
        }
    }

    /// Lays a colour over a pixel.
    pub(crate) fn lay(&mut self, x: i64, y: i64, color: [u8; 3], coverage: f64) {
        if (0..i64::from(self.width)).contains(&x) && (0..i64::from(self.height)).contains(&y) {
            let pixel = &mut self.pixels[(y * i64::from(self.width) + x) as usize];
            for (code, over) in pixel.iter_mut().zip(color) {
                let mixed = f64::from(over) * coverage + f64::from(*code) * (1.0 - coverage);
                *code = mixed.round() as u8;
            }
        }
    }

    /// Draws a shape by 8 x 8 samples a pixel within a box `[left, top, right, bottom]`.
    pub(crate) fn shape(
        &mut self,
        [left, top, right, bottom]: [i64; 4],
        color: [u8; 3],
        inside: impl Fn(f64, f64) -> bool,
    ) {
        for (y, x) in (top..bottom).flat_map(|y| (left..right).map(move |x| (y, x))) {
            let sample = |i: i64| (i as f64 + 0.5) / 8.0;
            let hits = (0..64)
                .filter(|i| inside(x as f64 + sample(i % 8), y as f64 + sample(i / 8)))
                .count();
            if hits > 0 {
                self.lay(x, y, color, hits as f64 / 64.0);
            }
        }
    }

    /// A straight stroke of a width between two points.
    pub(crate) fn stroke(&mut self, a: (f64, f64), b: (f64, f64), width: f64, color: [u8; 3]) {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = dx.hypot(dy);
        let area = [
            a.0.min(b.0) - width,
            a.1.min(b.1) - width,
            a.0.max(b.0) + width,
            a.1.max(b.1) + width,
        ];
        let [left, top, right, bottom] = area.map(|v| v.round() as i64);
        self.shape([left, top, right + 1, bottom + 1], color, |x, y| {
            let along = ((x - a.0) * dx + (y - a.1) * dy) / length;
            let aside = ((x - a.0) * dy - (y - a.1) * dx) / length;
            (0.0..=length).contains(&along) && aside.abs() <= width / 2.0
        });
    }

    /// A filled rectangle.
    pub(crate) fn bar(&mut self, [x, y, width, height]: [i64; 4], color: [u8; 3]) {
        for (y, x) in (y..y + height).flat_map(|y| (x..x + width).map(move |x| (y, x))) {
            self.lay(x, y, color, 1.0);
        }
    }

    /// Text with its baseline at a row, its capital H `capital_px` high.
    pub(crate) fn text(
        &mut self,
        text: &str,
        (x, baseline): (f64, f64),
        capital_px: f64,
        color: [u8; 3],
    ) {
        let font = FontRef::try_from_slice(epaint_default_fonts::UBUNTU_LIGHT).unwrap();
        let probe = font.as_scaled(1000.0);
        let capital = font
            .outline_glyph(probe.glyph_id('H').with_scale(1000.0))
            .unwrap()
            .px_bounds();
        let scaled = font.as_scaled(1000.0 * capital_px as f32 / -capital.min.y);
        let mut caret = x as f32;
        for letter in text.chars() {
            let glyph = scaled.glyph_id(letter);
            let place = point(caret, baseline as f32);
            caret += scaled.h_advance(glyph);
            let glyph = glyph.with_scale_and_position(scaled.scale(), place);
            if let Some(outline) = font.outline_glyph(glyph) {
                let bounds = outline.px_bounds();
                outline.draw(|dx, dy, coverage| {
                    let (x, y) = (bounds.min.x as i64, bounds.min.y as i64);
                    let (x, y) = (x + i64::from(dx), y + i64::from(dy));
                    self.lay(x, y, color, f64::from(coverage.clamp(0.0, 1.0)));
                });
            }
        }
    }

    /// The frame.
    pub(crate) fn frame(self) -> Frame {
        let size = Size::new(self.width, self.height).unwrap();
        Frame::new(size, Pixels::Rgba8(self.pixels)).unwrap()
    }
}
