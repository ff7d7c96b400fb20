//! Guides drawn into a picture at output resolution, for files. The window draws the same geometry itself.

use super::canvas::{Canvas, Words};
use super::frame::Frame;
use super::guide_labels::label_corners;
use super::guides::{Guide, GuideShapes, Shape, guide_shapes};
use super::label_room::{Edges, LabelRoom};

/// Share of the picture that a label's backing covers, 0 to 1. Source: chosen so that every guide's colour has the 4.5 to 1
/// that WCAG 2.2, 1.4.3, wants of text, over white too; `tests/headless/contrast.rs` checks it.
pub const BACKING_OPACITY: f32 = 0.92;

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
///
/// Labels stand where there is room and where `seen_px` finds the fewest pixels of something, none on another; where
/// there is no place for one it is left out.
pub fn draw_guides(
    frame: &mut Frame,
    guides: &[Guide],
    room: &mut LabelRoom,
    seen_px: impl Fn(&Edges) -> f64,
) {
    draw_guide_lines(frame, guides);
    let Some(mut canvas) = Canvas::new(frame) else {
        return;
    };
    for &guide in guides {
        let guide = guide_shapes(guide, canvas.size());
        draw_label(&mut canvas, &guide, room, &seen_px);
    }
}

/// Draws guides without labels over an 8-bit frame.
pub fn draw_guide_lines(frame: &mut Frame, guides: &[Guide]) {
    let Some(mut canvas) = Canvas::new(frame) else {
        return;
    };
    for &guide in guides {
        for shape in guide_shapes(guide, canvas.size()).shapes {
            draw_shape(&mut canvas, shape, guide.color_u8());
        }
    }
}

fn draw_shape(canvas: &mut Canvas<'_>, shape: Shape, color: [u8; 3]) {
    let (width, height) = (
        f64::from(canvas.size().width()),
        f64::from(canvas.size().height()),
    );
    // 1 px at 540 lines and below, 2 at 1080.
    let line = (height / 540.0).round().max(1.0);
    let half = (line / 2.0).floor();
    match shape {
        Shape::Vertical { x } => {
            canvas.fill([x - half, 0.0, x - half + line, height], color, 1.0);
        }
        Shape::Horizontal { y } => {
            canvas.fill([0.0, y - half, width, y - half + line], color, 1.0);
        }
        // The line lies inside the area that it bounds.
        Shape::Outline { x0, y0, x1, y1 } => {
            canvas.fill([x0, y0, x1, y0 + line], color, 1.0);
            canvas.fill([x0, y1 - line, x1, y1], color, 1.0);
            canvas.fill([x0, y0 + line, x0 + line, y1 - line], color, 1.0);
            canvas.fill([x1 - line, y0 + line, x1, y1 - line], color, 1.0);
        }
    }
}

fn draw_label(
    canvas: &mut Canvas<'_>,
    guide: &GuideShapes,
    room: &mut LabelRoom,
    seen_px: impl Fn(&Edges) -> f64,
) {
    let scale_px = (canvas.size().height() as f32 / 45.0).max(11.0);
    let Some(words) = Words::new(guide.guide.label(), scale_px) else {
        return;
    };
    let pad = words.height_px() * 0.2;
    let size = [words.width_px() + 2.0 * pad, words.height_px() + pad].map(f64::from);
    let corners = label_corners(guide, canvas.size(), size);
    let Some(backing) = room.put_at(corners, size, seen_px) else {
        return;
    };
    canvas.fill(backing, [0; 3], BACKING_OPACITY);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions within the picture"
    )]
    let at = [backing[0] as f32 + pad, backing[1] as f32 + pad / 2.0];
    canvas.draw(&words, at, guide.guide.color_u8());
}
