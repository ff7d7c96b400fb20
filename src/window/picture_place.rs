//! Where the picture lies in its part of the window, and the way from points of the window to pixels of the output and back.

use egui::{Pos2, Rect, pos2};

use super::picture::{PictureLayout, WindowRect, layout, to_f32};
use super::state::State;
use crate::measure::raster::pixel_box::PixelBox;

/// The picture laid into its part of the window.
#[derive(Clone, Copy, Debug)]
pub struct PicturePlace {
    /// The part of the window, in points.
    pub rect: Rect,
    /// The same in physical pixels.
    pub area: WindowRect,
    /// Where the picture lies.
    pub layout: PictureLayout,
    /// Physical pixels for each point.
    pub pixels_per_point: f32,
}

impl PicturePlace {
    /// Lays the picture into a part of the window.
    pub fn new(rect: Rect, pixels_per_point: f32, state: &State) -> Self {
        let area = window_rect(rect, pixels_per_point);
        Self {
            rect,
            area,
            layout: layout(state.zoom, state.centre_uv, state.output_size, area),
            pixels_per_point,
        }
    }

    /// Tells the state what is visible.
    pub fn tell(&self, state: &mut State) {
        state.shown_scale = to_f32(self.layout.zoom);
        state.visible_uv = self.layout.visible_uv(self.area);
        // What a move went too far is dropped, so that the way back starts at once.
        state.centre_uv = self.layout.centre_uv(self.area);
    }

    /// Window pixel at a position in points.
    pub(super) fn window_px(&self, at: Pos2) -> [f64; 2] {
        [at.x, at.y].map(|v| f64::from(v) * f64::from(self.pixels_per_point))
    }

    /// Position in points of an output position.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "egui's positions are f32; they stay far below 2^24"
    )]
    pub(super) fn points(&self, output_px: [f64; 2]) -> Pos2 {
        let scale = f64::from(self.pixels_per_point);
        let [x, y] = self.layout.window_from_output(output_px);
        pos2((x / scale) as f32, (y / scale) as f32)
    }

    /// Output pixels of a length in points.
    pub(super) fn px_of_points(&self, points: f32) -> f64 {
        f64::from(points) * f64::from(self.pixels_per_point) / self.layout.zoom
    }

    /// The middle of the display pixel at a position, where a thin line is sharp.
    pub(super) fn crisp(&self, at: Pos2) -> Pos2 {
        let middle = |v: f32| ((v * self.pixels_per_point).floor() + 0.5) / self.pixels_per_point;
        pos2(middle(at.x), middle(at.y))
    }

    /// The whole picture, in points, as far as it reaches.
    pub(super) fn shown(&self) -> Rect {
        let [width, height] = [self.layout.output.width(), self.layout.output.height()];
        Rect::from_min_max(
            self.points([0.0, 0.0]),
            self.points([f64::from(width), f64::from(height)]),
        )
    }

    /// The visible part of the picture, in points.
    pub(super) fn visible(&self) -> Rect {
        self.shown().intersect(self.rect)
    }

    /// A box of output pixels, in points.
    pub(super) fn rect_of(&self, bounds: PixelBox) -> Rect {
        let corner = |x: u32, y: u32| self.points([f64::from(x), f64::from(y)]);
        Rect::from_min_max(
            corner(bounds.x, bounds.y),
            corner(bounds.right(), bounds.bottom()),
        )
    }

    /// Where the dividing line is, in points from the left of the window.
    pub(super) fn divider_x(&self, divider: f32) -> f32 {
        let visible = self.visible();
        visible.left() + divider * visible.width()
    }

    /// Where the dividing line is, in window pixels.
    pub fn divider_px(&self, divider: f32) -> f64 {
        f64::from((self.divider_x(divider) * self.pixels_per_point).round())
    }

    /// A position in points as a place on the output, percent of its sides.
    pub(super) fn percent_at(&self, at: Pos2) -> [f64; 2] {
        let output = self.layout.output;
        let [x, y] = self.layout.output_from_window(self.window_px(at));
        [
            100.0 * x / f64::from(output.width()),
            100.0 * y / f64::from(output.height()),
        ]
    }

    /// The output pixel under a position in points.
    pub(super) fn pixel_at(&self, at: Pos2) -> Option<[u32; 2]> {
        let (x, y) = self.layout.pixel_at(self.window_px(at))?;
        Some([x, y])
    }
}

/// A rectangle in points as window pixels, edges on whole ones.
fn window_rect(rect: Rect, pixels_per_point: f32) -> WindowRect {
    let scaled = |v: f32| f64::from(v) * f64::from(pixels_per_point);
    WindowRect {
        left_px: scaled(rect.left()),
        top_px: scaled(rect.top()),
        width_px: scaled(rect.width()),
        height_px: scaled(rect.height()),
    }
    .rounded()
}
