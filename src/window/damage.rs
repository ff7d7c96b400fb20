//! The parts of the window that have to be drawn anew, because what is seen there is no longer the same.

use super::picture::WindowRect;

/// What of a surface is drawn anew.
#[derive(Clone, Debug, PartialEq)]
pub enum Damage {
    /// All of it.
    Whole,
    /// These parts, of which no two overlap; none where nothing changed.
    Parts(Vec<WindowRect>),
}

impl Damage {
    /// Nothing yet.
    pub fn none() -> Self {
        Self::Parts(Vec::new())
    }

    /// Whether nothing has to be drawn.
    pub fn is_none(&self) -> bool {
        *self == Self::none()
    }

    /// The parts of a surface of this size.
    pub fn parts(&self, size_px: [u32; 2]) -> Vec<WindowRect> {
        let whole = WindowRect::of_surface(size_px);
        match self {
            Self::Whole => vec![whole],
            Self::Parts(parts) => parts.iter().map(|part| part.intersect(whole)).collect(),
        }
    }

    /// Adds a part, grown to whole pixels; parts that overlap it, or lie so that one rectangle covers no
    /// more than both, become one with it.
    pub fn add(&mut self, part: WindowRect) {
        let Self::Parts(parts) = self else {
            return;
        };
        let mut part = part.grown_to_pixels();
        if part.area() <= 0.0 {
            return;
        }
        let is_near = |part: WindowRect, other: WindowRect| {
            let both = part.area() + other.area();
            part.intersect(other).area() > 0.0 || part.around(other).area() <= both
        };
        while let Some(near) = parts.iter().position(|other| is_near(part, *other)) {
            part = part.around(parts.swap_remove(near));
        }
        parts.push(part);
    }
}
