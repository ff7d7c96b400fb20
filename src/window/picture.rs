//! Where the picture lies in the window: zoom, pan, and the way from window pixels to output pixels and back.
//! All in physical pixels; no drawing.

use super::zooming::Zoom;
use crate::pixel::settings::Size;

/// Smallest zoom, window pixels for each output pixel. Source: chosen, a 16k picture still fits.
pub const MIN_ZOOM: f64 = 1.0 / 64.0;
/// Largest zoom. Source: chosen, single pixels are easy to tell apart well before.
pub const MAX_ZOOM: f64 = 32.0;
/// Zoom steps from one size to twice the size. Source: chosen by eye, a step changes the size by a fifth.
const LEVELS_PER_DOUBLING: f64 = 4.0;

/// A rectangle of the window in physical pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindowRect {
    /// Left edge.
    pub left_px: f64,
    /// Top edge.
    pub top_px: f64,
    /// Pixels across.
    pub width_px: f64,
    /// Pixels down.
    pub height_px: f64,
}

impl WindowRect {
    /// All of a surface.
    pub fn of_surface([width, height]: [u32; 2]) -> Self {
        Self {
            left_px: 0.0,
            top_px: 0.0,
            width_px: width.into(),
            height_px: height.into(),
        }
    }

    /// As x, y, width, height where its edges are whole pixels of a surface; `None` where it covers nothing.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole pixels of a surface"
    )]
    pub fn pixels(self) -> Option<[u32; 4]> {
        let numbers = [self.left_px, self.top_px, self.width_px, self.height_px];
        let [x, y, width, height] = numbers.map(|v| v as u32);
        (width > 0 && height > 0).then_some([x, y, width, height])
    }

    /// Left or top edge.
    fn start(&self, axis: usize) -> f64 {
        [self.left_px, self.top_px][axis]
    }

    /// Width or height.
    fn span(&self, axis: usize) -> f64 {
        [self.width_px, self.height_px][axis]
    }

    /// The same rectangle with edges on whole pixels.
    #[must_use]
    pub fn rounded(self) -> Self {
        let (left, top) = (self.left_px.round(), self.top_px.round());
        let right = (self.left_px + self.width_px).round();
        let bottom = (self.top_px + self.height_px).round();
        Self {
            left_px: left,
            top_px: top,
            width_px: right - left,
            height_px: bottom - top,
        }
    }

    /// The smallest rectangle with edges on whole pixels that has all of this one in it.
    #[must_use]
    pub fn grown_to_pixels(self) -> Self {
        let (left, top) = (self.left_px.floor(), self.top_px.floor());
        Self {
            left_px: left,
            top_px: top,
            width_px: (self.left_px + self.width_px).ceil() - left,
            height_px: (self.top_px + self.height_px).ceil() - top,
        }
    }

    /// The smallest rectangle that has both in it.
    #[must_use]
    pub fn around(self, other: Self) -> Self {
        let left = self.left_px.min(other.left_px);
        let top = self.top_px.min(other.top_px);
        let right = (self.left_px + self.width_px).max(other.left_px + other.width_px);
        let bottom = (self.top_px + self.height_px).max(other.top_px + other.height_px);
        Self {
            left_px: left,
            top_px: top,
            width_px: right - left,
            height_px: bottom - top,
        }
    }

    /// Square pixels that it covers.
    pub fn area(self) -> f64 {
        self.width_px * self.height_px
    }

    /// What both rectangles cover; an empty one where they do not meet.
    #[must_use]
    pub fn intersect(self, other: Self) -> Self {
        let left = self.left_px.max(other.left_px);
        let top = self.top_px.max(other.top_px);
        let right = (self.left_px + self.width_px).min(other.left_px + other.width_px);
        let bottom = (self.top_px + self.height_px).min(other.top_px + other.height_px);
        Self {
            left_px: left,
            top_px: top,
            width_px: (right - left).max(0.0),
            height_px: (bottom - top).max(0.0),
        }
    }
}

/// The picture laid into an area of the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureLayout {
    /// Window position of the picture's top left corner; whole pixels.
    pub corner_px: [f64; 2],
    /// Window pixels for each output pixel.
    pub zoom: f64,
    /// Size of the picture in its own pixels.
    pub output: Size,
}

impl PictureLayout {
    /// Output position, in pixels with fractions, under a window position.
    pub fn output_from_window(&self, window_px: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| (window_px[i] - self.corner_px[i]) / self.zoom)
    }

    /// Window position of an output position.
    pub fn window_from_output(&self, output_px: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| self.corner_px[i] + output_px[i] * self.zoom)
    }

    /// The output pixel under a window position; `None` beside the picture.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked to lie inside the picture, whose sides are below 2^15"
    )]
    pub fn pixel_at(&self, window_px: [f64; 2]) -> Option<(u32, u32)> {
        let [x, y] = self.output_from_window(window_px).map(f64::floor);
        let inside = x >= 0.0
            && y >= 0.0
            && x < f64::from(self.output.width())
            && y < f64::from(self.output.height());
        inside.then_some((x as u32, y as u32))
    }

    /// The whole picture as a window rectangle.
    pub fn rect(&self) -> WindowRect {
        WindowRect {
            left_px: self.corner_px[0],
            top_px: self.corner_px[1],
            width_px: f64::from(self.output.width()) * self.zoom,
            height_px: f64::from(self.output.height()) * self.zoom,
        }
    }

    /// What is visible of the picture in an area.
    pub fn visible(&self, area: WindowRect) -> WindowRect {
        self.rect().intersect(area)
    }

    /// How much of the picture's width and height is visible in an area, 0 to 1.
    pub fn visible_uv(&self, area: WindowRect) -> [f32; 2] {
        let (visible, whole) = (self.visible(area), self.rect());
        [0, 1].map(|i| to_uv(visible.span(i) / whole.span(i)))
    }

    /// The point of the picture in the middle of an area, 0 to 1.
    pub fn centre_uv(&self, area: WindowRect) -> [f32; 2] {
        self.centre_after_pan(area, [0.0; 2])
    }

    /// The point in the middle after the picture was moved by a way in window pixels.
    pub fn centre_after_pan(&self, area: WindowRect, by_px: [f64; 2]) -> [f32; 2] {
        let middle = [0, 1].map(|i| area.start(i) + area.span(i) / 2.0 - by_px[i]);
        let [x, y] = self.output_from_window(middle);
        let [width, height] = sides(self.output);
        [to_uv(x / width), to_uv(y / height)]
    }

    /// The point in the middle after a change of zoom that leaves what is under `window_px` there.
    pub fn centre_after_zoom(&self, area: WindowRect, zoom: f64, window_px: [f64; 2]) -> [f32; 2] {
        let held = self.output_from_window(window_px);
        let sides = sides(self.output);
        [0, 1].map(|i| {
            let from_middle = window_px[i] - area.start(i) - area.span(i) / 2.0;
            to_uv((held[i] - from_middle / zoom) / sides[i])
        })
    }
}

/// Lays a picture into an area of the window, with `centre_uv` of the picture in the area's middle.
///
/// A picture smaller than the area lies in its middle; a larger one always covers it. The corner is
/// on a whole pixel, so that 1:1 shows every pixel exactly.
pub fn layout(zoom: Zoom, centre_uv: [f32; 2], output: Size, area: WindowRect) -> PictureLayout {
    let zoom = scale(zoom, output, area);
    let sides = sides(output);
    let corner_px = [0, 1].map(|i| {
        let (start, span) = (area.start(i), area.span(i));
        let side = sides[i] * zoom;
        let wanted = start + span / 2.0 - f64::from(centre_uv[i]) * side;
        let corner = if side <= span {
            start + (span - side) / 2.0
        } else {
            wanted.clamp(start + span - side, start)
        };
        corner.round()
    });
    PictureLayout {
        corner_px,
        zoom,
        output,
    }
}

/// Window pixels for each output pixel.
fn scale(zoom: Zoom, output: Size, area: WindowRect) -> f64 {
    match zoom {
        Zoom::Scale(zoom) => f64::from(zoom).clamp(MIN_ZOOM, MAX_ZOOM),
        Zoom::Fit => {
            let [width, height] = sides(output);
            let fit = (area.width_px / width).min(area.height_px / height);
            fit.clamp(MIN_ZOOM, MAX_ZOOM)
        }
    }
}

/// The zoom `steps` levels away; levels are a quarter of a doubling apart, and 1:1 is one of them.
///
/// From between two levels the first step leads to the next one.
pub fn stepped_zoom(zoom: f64, steps: i32) -> f64 {
    let level = zoom.log2() * LEVELS_PER_DOUBLING;
    let nearest = level.round();
    let from = if (level - nearest).abs() < 1e-6 {
        nearest
    } else if steps > 0 {
        level.floor()
    } else {
        level.ceil()
    };
    let to = (from + f64::from(steps)) / LEVELS_PER_DOUBLING;
    to.exp2().clamp(MIN_ZOOM, MAX_ZOOM)
}

/// Width and height as they are computed with.
fn sides(output: Size) -> [f64; 2] {
    [f64::from(output.width()), f64::from(output.height())]
}

/// A place on the picture, 0 to 1.
fn to_uv(v: f64) -> f32 {
    to_f32(v.clamp(0.0, 1.0))
}

/// A zoom or a place as the state and egui keep it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what is wanted"
)]
pub fn to_f32(v: f64) -> f32 {
    v as f32
}
