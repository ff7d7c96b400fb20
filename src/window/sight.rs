//! Everything that decides what a frame of the window looks like, so that only what looks otherwise is drawn.

use egui::Rect;
use egui::epaint::{ClippedPrimitive, Mesh, Primitive, Vertex};

use super::damage::Damage;
use super::picture::WindowRect;
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
    /// Where this looks otherwise than `before` did, on a surface of the same size, with the same textures.
    ///
    /// Everywhere else the same triangles lie over the same picture in the same order.
    pub fn damage_since(&self, before: &Self) -> Damage {
        let Self {
            primitives,
            pixels_per_point,
            surround,
            picture,
        } = self;
        let is_same_scale = pixels_per_point.to_bits() == before.pixels_per_point.to_bits();
        if !is_same_scale || *surround != before.surround {
            return Damage::Whole;
        }
        let mut damage = Damage::none();
        if *picture != before.picture {
            for (_, presentation) in [picture, &before.picture].into_iter().flatten() {
                damage.add(presentation.area);
            }
        }
        let (now, before) = changed(primitives, &before.primitives, is_same);
        if now.len() == before.len() {
            for (now, before) in now.iter().zip(before) {
                self.add(&mut damage, changed_rect(now, before));
            }
        } else {
            for primitive in now.iter().chain(before) {
                self.add(&mut damage, whole_rect(primitive));
            }
        }
        damage
    }

    /// Adds a rectangle in points where there is something of it.
    fn add(&self, damage: &mut Damage, rect: Rect) {
        if rect.is_positive() {
            damage.add(self.window_rect(rect));
        }
    }

    /// A rectangle in points as one in pixels.
    fn window_rect(&self, rect: Rect) -> WindowRect {
        let pixels = |points: f32| f64::from(points * self.pixels_per_point);
        WindowRect {
            left_px: pixels(rect.left()),
            top_px: pixels(rect.top()),
            width_px: pixels(rect.right()) - pixels(rect.left()),
            height_px: pixels(rect.bottom()) - pixels(rect.top()),
        }
    }
}

/// What is left of two lists without the same beginning and the same end.
fn changed<'a, T>(
    mut now: &'a [T],
    mut before: &'a [T],
    is_same: impl Fn(&T, &T) -> bool,
) -> (&'a [T], &'a [T]) {
    while let ([first, now_rest @ ..], [other, before_rest @ ..]) = (now, before)
        && is_same(first, other)
    {
        (now, before) = (now_rest, before_rest);
    }
    while let ([now_rest @ .., last], [before_rest @ .., other]) = (now, before)
        && is_same(last, other)
    {
        (now, before) = (now_rest, before_rest);
    }
    (now, before)
}

fn is_same(one: &ClippedPrimitive, other: &ClippedPrimitive) -> bool {
    let are_same_triangles = match (&one.primitive, &other.primitive) {
        (Primitive::Mesh(one), Primitive::Mesh(other)) => one == other,
        _ => false,
    };
    one.clip_rect == other.clip_rect && are_same_triangles
}

/// What one primitive shows otherwise than another, in points.
fn changed_rect(now: &ClippedPrimitive, before: &ClippedPrimitive) -> Rect {
    match (&now.primitive, &before.primitive) {
        (Primitive::Mesh(mesh), Primitive::Mesh(mesh_before))
            if now.clip_rect == before.clip_rect && mesh.texture_id == mesh_before.texture_id =>
        {
            let triangles = [mesh, mesh_before].map(|mesh| triangles(mesh).collect::<Vec<_>>());
            let (now_changed, before_changed) =
                changed(&triangles[0], &triangles[1], |one, other| one == other);
            let mut rect = Rect::NOTHING;
            for vertex in now_changed.iter().chain(before_changed).flatten() {
                rect.extend_with(vertex.pos);
            }
            seen(rect, now.clip_rect)
        }
        _ => whole_rect(now).union(whole_rect(before)),
    }
}

/// All that a primitive covers, in points.
fn whole_rect(primitive: &ClippedPrimitive) -> Rect {
    match &primitive.primitive {
        Primitive::Mesh(mesh) => seen(mesh.calc_bounds(), primitive.clip_rect),
        Primitive::Callback(_) => primitive.clip_rect,
    }
}

/// What is left of a rectangle within a clip; nothing where they do not meet.
fn seen(rect: Rect, clip: Rect) -> Rect {
    let seen = rect.intersect(clip);
    if seen.is_positive() {
        seen
    } else {
        Rect::NOTHING
    }
}

/// The triangles of a mesh, corner by corner.
fn triangles(mesh: &Mesh) -> impl Iterator<Item = [&Vertex; 3]> {
    let corner = |index: &u32| mesh.vertices.get(*index as usize);
    mesh.indices
        .chunks_exact(3)
        .filter_map(move |indices| match indices {
            [a, b, c] => Some([corner(a)?, corner(b)?, corner(c)?]),
            _ => None,
        })
}
