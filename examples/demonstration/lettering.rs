//! Text outlines for the slides.

use ab_glyph::{Font, FontRef, InvalidFont, OutlineCurve, Point};
use tiny_skia::{FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, Transform};

/// A typeface.
#[derive(Debug)]
pub(crate) struct Lettering {
    font: FontRef<'static>,
}

/// Where text is set from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Left,
    Middle,
    Right,
}

impl Lettering {
    /// Ubuntu Light.
    pub(crate) fn new() -> Result<Self, InvalidFont> {
        let font = FontRef::try_from_slice(epaint_default_fonts::UBUNTU_LIGHT)?;
        Ok(Self { font })
    }

    /// Draws a line of text, `size` pixels to the em, its lines `weight` pixels bolder.
    pub(crate) fn draw(
        &self,
        sheet: &mut Pixmap,
        text: &str,
        (x, y): (f32, f32),
        (size, weight): (f32, f32),
        anchor: Anchor,
        paint: &Paint<'_>,
    ) {
        let start = match anchor {
            Anchor::Left => x,
            Anchor::Middle => x - self.width(text, size) / 2.0,
            Anchor::Right => x - self.width(text, size),
        };
        let Some(path) = self.outline(text, start, y, size) else {
            return;
        };
        sheet.fill_path(&path, paint, FillRule::Winding, Transform::identity(), None);
        if weight > 0.0 {
            let stroke = Stroke {
                width: weight,
                line_join: LineJoin::Round,
                ..Stroke::default()
            };
            sheet.stroke_path(&path, paint, &stroke, Transform::identity(), None);
        }
    }

    /// Length of a line of text.
    pub(crate) fn width(&self, text: &str, size: f32) -> f32 {
        let scale = self.scale(size);
        let advances = text
            .chars()
            .map(|c| self.font.h_advance_unscaled(self.font.glyph_id(c)));
        advances.sum::<f32>() * scale
    }

    /// Pixels for a unit of the font.
    fn scale(&self, size: f32) -> f32 {
        size / self.font.units_per_em().unwrap_or(1000.0)
    }

    /// Outline of a line of text.
    fn outline(&self, text: &str, x: f32, y: f32, size: f32) -> Option<Path> {
        let scale = self.scale(size);
        let mut builder = PathBuilder::new();
        let mut pen = x;
        for character in text.chars() {
            let id = self.font.glyph_id(character);
            if let Some(outline) = self.font.outline(id) {
                let place = |p: Point| (pen + p.x * scale, y - p.y * scale);
                trace(&mut builder, &outline.curves, place);
            }
            pen += self.font.h_advance_unscaled(id) * scale;
        }
        builder.finish()
    }
}

/// Adds a glyph's curves to a path, one closed ring after the other.
fn trace(builder: &mut PathBuilder, curves: &[OutlineCurve], place: impl Fn(Point) -> (f32, f32)) {
    let mut last: Option<Point> = None;
    for curve in curves {
        let (start, end) = match curve {
            OutlineCurve::Line(a, b)
            | OutlineCurve::Quad(a, _, b)
            | OutlineCurve::Cubic(a, _, _, b) => (*a, *b),
        };
        if last != Some(start) {
            if last.is_some() {
                builder.close();
            }
            let (x, y) = place(start);
            builder.move_to(x, y);
        }
        let (x, y) = place(end);
        match curve {
            OutlineCurve::Line(..) => builder.line_to(x, y),
            OutlineCurve::Quad(_, c, _) => {
                let (cx, cy) = place(*c);
                builder.quad_to(cx, cy, x, y);
            }
            OutlineCurve::Cubic(_, c, d, _) => {
                let ((cx, cy), (dx, dy)) = (place(*c), place(*d));
                builder.cubic_to(cx, cy, dx, dy, x, y);
            }
        }
        last = Some(end);
    }
    if last.is_some() {
        builder.close();
    }
}
