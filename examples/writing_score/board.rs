//! What a person is drawn on, and the shapes that drawing takes.

use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Mask, Paint, Path, PathBuilder, Pixmap, Rect, Stroke,
    Transform,
};

use crate::decoy::Decoy;

/// Pixmap and decoys that are drawn on together.
pub(crate) struct Board {
    pub(crate) pixmap: Pixmap,
    pub(crate) decoys: Vec<u8>,
}

impl Board {
    pub(crate) fn fill(&mut self, path: Option<Path>, color: [f32; 3], clip: Option<&Mask>) {
        let Some(path) = path else { return };
        self.pixmap.fill_path(
            &path,
            &paint(color),
            FillRule::Winding,
            Transform::identity(),
            clip,
        );
    }

    pub(crate) fn line(
        &mut self,
        path: Option<Path>,
        color: [f32; 3],
        width: f32,
        clip: Option<&Mask>,
    ) {
        let Some(path) = path else { return };
        let pen = Stroke {
            width,
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            ..Stroke::default()
        };
        self.pixmap
            .stroke_path(&path, &paint(color), &pen, Transform::identity(), clip);
    }

    /// Does a drawing, and marks what it changed as a decoy.
    pub(crate) fn decoy(&mut self, decoy: Decoy, draw: impl FnOnce(&mut Self)) {
        let before = self.pixmap.clone();
        draw(self);
        let pairs = before.pixels().iter().zip(self.pixmap.pixels());
        for (mark, (before, after)) in self.decoys.iter_mut().zip(pairs) {
            if before != after {
                *mark = decoy as u8;
            }
        }
    }
}

pub(crate) fn paint(color: [f32; 3]) -> Paint<'static> {
    let [r, g, b] = color.map(|code| code.clamp(0.0, 255.0) as u8);
    let mut paint = Paint::default();
    paint.set_color(Color::from_rgba8(r, g, b, 255));
    paint
}

pub(crate) fn oval(x: f32, y: f32, a: f32, b: f32) -> Option<Path> {
    PathBuilder::from_oval(Rect::from_ltrb(x - a, y - b, x + a, y + b)?)
}

pub(crate) fn bar(x: f32, y: f32, width: f32, height: f32) -> Option<Path> {
    Some(PathBuilder::from_rect(Rect::from_xywh(
        x, y, width, height,
    )?))
}

pub(crate) fn polygon(points: &[(f32, f32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let &(x, y) = points.first()?;
    builder.move_to(x, y);
    points[1..].iter().for_each(|&(x, y)| builder.line_to(x, y));
    builder.close();
    builder.finish()
}

pub(crate) fn way(points: &[(f32, f32)]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let &(x, y) = points.first()?;
    builder.move_to(x, y);
    points[1..].iter().for_each(|&(x, y)| builder.line_to(x, y));
    builder.finish()
}

pub(crate) fn scaled(color: [f32; 3], by: f32) -> [f32; 3] {
    color.map(|code| code * by)
}
