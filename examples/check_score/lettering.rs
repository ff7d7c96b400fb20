//! Typefaces: outlines of the program's own fonts, and the base fonts of PDF set on a page.

use crate::sheet::{Fault, Spot};
use ab_glyph::{Font, FontRef, OutlineCurve, Point};
use tiny_skia::{Path, PathBuilder};

/// A typeface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Face {
    /// A font file, its lines made bolder by a share of the em.
    Outlined { fixed: bool, bolder: f32 },
    /// One of the 14 base fonts of PDF, by its name.
    Paged(&'static str),
}

impl Face {
    /// Ubuntu Light.
    pub(crate) const LIGHT: Self = Self::Outlined {
        fixed: false,
        bolder: 0.0,
    };
    /// Ubuntu Light with heavier lines.
    pub(crate) const HEAVY: Self = Self::Outlined {
        fixed: false,
        bolder: 0.06,
    };
    /// Hack.
    pub(crate) const FIXED: Self = Self::Outlined {
        fixed: true,
        bolder: 0.0,
    };
    /// All faces of the set.
    pub(crate) const ALL: [Self; 10] = [
        Self::LIGHT,
        Self::Paged("Helvetica"),
        Self::Paged("Times-Roman"),
        Self::FIXED,
        Self::Paged("Helvetica-Bold"),
        Self::Paged("Courier"),
        Self::HEAVY,
        Self::Paged("Times-BoldItalic"),
        Self::Paged("Courier-Bold"),
        Self::Paged("Helvetica-Oblique"),
    ];

    /// Height of the tallest letters over the em.
    ///
    /// Source: ascender heights of the core 14 font metrics; measured on `d` for the font files.
    pub(crate) fn tall(self) -> f32 {
        match self {
            Self::Outlined { fixed: true, .. } => 0.76,
            Self::Outlined { bolder, .. } => 0.745 + bolder,
            Self::Paged(name) if name.starts_with("Courier") => 0.629,
            Self::Paged(name) if name.starts_with("Times") => 0.683,
            Self::Paged(_) => 0.718,
        }
    }

    /// How much bolder the outline is drawn, over the em.
    pub(crate) fn weight(self) -> f32 {
        match self {
            Self::Outlined { bolder, .. } => bolder,
            Self::Paged(_) => 0.0,
        }
    }

    /// Outline of a line of text, none for a face that is set on a page.
    pub(crate) fn outline(
        self,
        text: &str,
        (x, y): Spot,
        size: f32,
    ) -> Result<Option<Path>, Fault> {
        let Self::Outlined { fixed, .. } = self else {
            return Ok(None);
        };
        let file = if fixed {
            epaint_default_fonts::HACK_REGULAR
        } else {
            epaint_default_fonts::UBUNTU_LIGHT
        };
        let font = FontRef::try_from_slice(file)?;
        let scale = size / font.units_per_em().unwrap_or(1000.0);
        let mut builder = PathBuilder::new();
        let mut pen = x;
        for character in text.chars() {
            let id = font.glyph_id(character);
            if let Some(outline) = font.outline(id) {
                trace(&mut builder, &outline.curves, |p| {
                    (pen + p.x * scale, y - p.y * scale)
                });
            }
            pen += font.h_advance_unscaled(id) * scale;
        }
        Ok(builder.finish())
    }
}

/// Adds a letter's curves to a path.
fn trace(builder: &mut PathBuilder, curves: &[OutlineCurve], place: impl Fn(Point) -> Spot) {
    let mut pen: Option<Point> = None;
    for curve in curves {
        let (start, end) = match *curve {
            OutlineCurve::Line(a, b)
            | OutlineCurve::Quad(a, _, b)
            | OutlineCurve::Cubic(a, _, _, b) => (a, b),
        };
        if pen != Some(start) {
            if pen.is_some() {
                builder.close();
            }
            let (x, y) = place(start);
            builder.move_to(x, y);
        }
        let (x, y) = place(end);
        match *curve {
            OutlineCurve::Line(..) => builder.line_to(x, y),
            OutlineCurve::Quad(_, c, _) => {
                let (cx, cy) = place(c);
                builder.quad_to(cx, cy, x, y);
            }
            OutlineCurve::Cubic(_, c, d, _) => {
                let ((cx, cy), (dx, dy)) = (place(c), place(d));
                builder.cubic_to(cx, cy, dx, dy, x, y);
            }
        }
        pen = Some(end);
    }
    if pen.is_some() {
        builder.close();
    }
}
