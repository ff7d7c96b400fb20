//! Everything that decides what a frame of the window looks like, so that one that would look the same is not drawn.

use egui::epaint::{ClippedPrimitive, Primitive};

use super::present::Presentation;
use crate::pixel::views::View;

/// A view as it was made at some time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MadeView {
    /// Which.
    pub view: View,
    /// Changes with everything that changes it.
    pub revision: u64,
}

/// A frame of the window.
#[derive(Debug)]
pub struct Sight {
    /// Triangles of the panels.
    pub primitives: Vec<ClippedPrimitive>,
    /// Physical pixels for each of egui's points.
    pub pixels_per_point: f32,
    /// What is around the picture.
    pub surround: wgpu::Color,
    /// Left and right of the dividing line, and where and how; none before there is a picture.
    pub picture: Option<([MadeView; 2], Presentation)>,
}

impl Sight {
    /// Whether both look the same on a surface of one size, with the same textures.
    pub fn is_same(&self, other: &Self) -> bool {
        let Self {
            primitives,
            pixels_per_point,
            surround,
            picture,
        } = self;
        pixels_per_point.to_bits() == other.pixels_per_point.to_bits()
            && *surround == other.surround
            && *picture == other.picture
            && primitives.len() == other.primitives.len()
            && primitives
                .iter()
                .zip(&other.primitives)
                .all(|(one, other)| is_same(one, other))
    }
}

fn is_same(one: &ClippedPrimitive, other: &ClippedPrimitive) -> bool {
    let are_same_triangles = match (&one.primitive, &other.primitive) {
        (Primitive::Mesh(one), Primitive::Mesh(other)) => one == other,
        _ => false,
    };
    one.clip_rect == other.clip_rect && are_same_triangles
}
