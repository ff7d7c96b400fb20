//! Guides drawn into a picture at output resolution, for files. The window draws the same geometry itself.

use super::canvas::{Canvas, Words};
use super::frame::Frame;
use super::guides::{Guide, GuideShapes, Shape, guide_shapes};

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
pub fn draw_guides(frame: &mut Frame, guides: &[Guide]) {
    let Some(mut canvas) = Canvas::new(frame) else {
        return;
    };
    let all: Vec<GuideShapes> = guides
        .iter()
        .map(|&guide| guide_shapes(guide, canvas.size()))
        .collect();
    for guide in &all {
        for &shape in &guide.shapes {
            draw_shape(&mut canvas, shape, guide.guide.color_u8());
        }
    }
    for guide in &all {
        draw_label(&mut canvas, guide);
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

fn draw_label(canvas: &mut Canvas<'_>, guide: &GuideShapes) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions within the picture"
    )]
    let (x, y) = (guide.label_at.0 as f32, guide.label_at.1 as f32);
    let scale_px = (canvas.size().height() as f32 / 45.0).max(11.0);
    let Some(words) = Words::new(guide.guide.label(), scale_px) else {
        return;
    };
    let pad = words.height_px() * 0.2;
    let backing = [
        x - pad,
        y - pad / 2.0,
        x + words.width_px() + pad,
        y + words.height_px() + pad / 2.0,
    ];
    canvas.fill(backing.map(f64::from), [0; 3], BACKING_OPACITY);
    canvas.draw(&words, [x, y], guide.guide.color_u8());
}
