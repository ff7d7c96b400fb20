//! A slide being drawn, in pixels of the 1920x1080 output that it will be fitted into.

use crate::lettering::Face;
use crate::page;
use image::{Rgb, RgbImage};
use nightglass::measure::raster::pixel_box::PixelBox;
use std::error::Error;
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Rect, Stroke, StrokeDash,
    Transform,
};

/// What goes wrong while slides are made and judged.
pub(crate) type Fault = Box<dyn Error + Send + Sync>;
/// Red, green and blue codes.
pub(crate) type Code = [u8; 3];
/// A place in output pixels.
pub(crate) type Spot = (f32, f32);

/// Pixels of the output across.
pub(crate) const OUTPUT_WIDTH: f32 = 1920.0;
/// Pixels of the output down.
pub(crate) const OUTPUT_HEIGHT: f32 = 1080.0;
/// Codes by which a pixel must change to belong to what was drawn. Source: the tolerance of content.
const CHANGED: u8 = 3;

/// The size of a slide's file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Raster {
    pub(crate) width: u32,
    pub(crate) height: u32,
}

impl Raster {
    pub(crate) const HD: Self = Self::new(1920, 1080);
    pub(crate) const SMALL: Self = Self::new(1280, 720);
    pub(crate) const LARGE: Self = Self::new(3840, 2160);
    pub(crate) const NARROW: Self = Self::new(1024, 768);

    const fn new(width: u32, height: u32) -> Self {
        Self { width, height }
    }

    /// Slide pixels for an output pixel.
    pub(crate) fn scale(self) -> f32 {
        (self.width as f32 / OUTPUT_WIDTH).max(self.height as f32 / OUTPUT_HEIGHT)
    }

    /// Output column of the slide's left edge.
    pub(crate) fn left(self) -> f32 {
        (OUTPUT_WIDTH - self.width as f32 / self.scale()) / 2.0
    }

    /// The slide inside EBU R 95 graphics safe of the output, with room to spare: left, top, right, bottom.
    pub(crate) fn area(self) -> [f32; 4] {
        let left = self.left().max(50.0) + 60.0;
        [left, 66.0, OUTPUT_WIDTH - left, 1014.0]
    }

    /// The part of the area that pages leave free for what is planted.
    pub(crate) fn spare(self) -> [f32; 4] {
        let [left, top, right, bottom] = self.area();
        let (width, height) = (right - left, bottom - top);
        [left + 0.56 * width, top + 0.56 * height, right, bottom]
    }
}

/// A slide being drawn.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    pub(crate) raster: Raster,
    pixmap: Pixmap,
}

impl Sheet {
    /// A black slide.
    pub(crate) fn black(raster: Raster) -> Result<Self, Fault> {
        let mut pixmap = Pixmap::new(raster.width, raster.height).ok_or("no room for a slide")?;
        pixmap.fill(Color::BLACK);
        Ok(Self { raster, pixmap })
    }

    /// Paints every pixel anew out of what it was, its place on the output and its place in the file.
    pub(crate) fn repaint(&mut self, mut code: impl FnMut(Code, Spot, (i32, i32)) -> Code) {
        let (width, scale) = (self.raster.width as usize, self.raster.scale());
        let left = self.raster.left();
        for (at, pixel) in self.pixmap.data_mut().chunks_exact_mut(4).enumerate() {
            let (x, y) = (at % width, at / width);
            let spot = ((x as f32 + 0.5) / scale + left, (y as f32 + 0.5) / scale);
            let was = [pixel[0], pixel[1], pixel[2]];
            pixel[..3].copy_from_slice(&code(was, spot, (x as i32, y as i32)));
        }
    }

    /// A line of text from its left end on the baseline; `tall` is the height of its tallest letters.
    pub(crate) fn text(
        &mut self,
        face: Face,
        text: &str,
        (x, y): Spot,
        tall: f32,
        code: Code,
    ) -> Result<(), Fault> {
        let size = tall / face.tall();
        match face {
            Face::Paged(name) => {
                let scale = self.raster.scale();
                let at = ((x - self.raster.left()) * scale, y * scale);
                page::draw(&mut self.pixmap, name, text, at, size * scale, code)
            }
            Face::Outlined { .. } => {
                let Some(path) = face.outline(text, (x, y), size)? else {
                    return Ok(());
                };
                self.fill(&path, code);
                let weight = face.weight() * size;
                if weight > 0.0 {
                    self.stroke(&path, weight, code, None);
                }
                Ok(())
            }
        }
    }

    /// A line through points, dashed where `dash` says how long a dash and a gap are.
    pub(crate) fn line(&mut self, points: &[Spot], width: f32, code: Code, dash: Option<f32>) {
        if let Some(path) = through(points, false) {
            self.stroke(&path, width, code, dash);
        }
    }

    /// An outlined shape with corners.
    pub(crate) fn outline(&mut self, points: &[Spot], width: f32, code: Code) {
        if let Some(path) = through(points, true) {
            self.stroke(&path, width, code, None);
        }
    }

    /// A filled shape with corners.
    pub(crate) fn shape(&mut self, points: &[Spot], code: Code) {
        if let Some(path) = through(points, true) {
            self.fill(&path, code);
        }
    }

    /// A filled rectangle: left, top, right, bottom.
    pub(crate) fn plate(&mut self, [x0, y0, x1, y1]: [f32; 4], code: Code) {
        if let Some(rect) = Rect::from_ltrb(x0, y0, x1, y1) {
            self.fill(&PathBuilder::from_rect(rect), code);
        }
    }

    /// A filled disc.
    pub(crate) fn disc(&mut self, (x, y): Spot, radius: f32, code: Code) {
        if let Some(path) = PathBuilder::from_circle(x, y, radius) {
            self.fill(&path, code);
        }
    }

    /// A ring.
    pub(crate) fn ring(&mut self, (x, y): Spot, radius: f32, width: f32, code: Code) {
        if let Some(path) = PathBuilder::from_circle(x, y, radius) {
            self.stroke(&path, width, code, None);
        }
    }

    /// An arrow with a filled head.
    pub(crate) fn arrow(&mut self, from: Spot, to: Spot, width: f32, code: Code) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy).max(1.0);
        let (ux, uy) = (dx / length, dy / length);
        let head = 5.0 * width;
        let neck = (to.0 - ux * head, to.1 - uy * head);
        self.line(&[from, neck], width, code, None);
        let side = |s: f32| (neck.0 - uy * s * 0.55 * head, neck.1 + ux * s * 0.55 * head);
        self.shape(&[to, side(1.0), side(-1.0)], code);
    }

    /// A curve `y = f(x)` between two columns.
    pub(crate) fn curve(
        &mut self,
        (from, to): (f32, f32),
        width: f32,
        code: Code,
        f: impl Fn(f32) -> f32,
    ) {
        let points: Vec<Spot> = (0..=160)
            .map(|k| {
                let x = from + (to - from) * k as f32 / 160.0;
                (x, f(x))
            })
            .collect();
        self.line(&points, width, code, None);
    }

    /// Draws something and says where: the box in output pixels of all that changed by it.
    pub(crate) fn planted(
        &mut self,
        draw: impl FnOnce(&mut Self) -> Result<(), Fault>,
    ) -> Result<PixelBox, Fault> {
        let before = self.pixmap.clone();
        draw(self)?;
        let width = self.raster.width as usize;
        let pairs = before
            .data()
            .chunks_exact(4)
            .zip(self.pixmap.data().chunks_exact(4));
        let mut found: Option<[usize; 4]> = None;
        for (at, (a, b)) in pairs.enumerate() {
            if a.iter().zip(b).any(|(a, b)| a.abs_diff(*b) > CHANGED) {
                let (x, y) = (at % width, at / width);
                let old = found.unwrap_or([x, y, x, y]);
                found = Some([old[0].min(x), old[1].min(y), old[2].max(x), old[3].max(y)]);
            }
        }
        let [x0, y0, x1, y1] = found.ok_or("nothing was drawn")?;
        let scale = self.raster.scale();
        let column = |x: usize| x as f32 / scale + self.raster.left();
        Ok(box_of([
            column(x0),
            y0 as f32 / scale,
            column(x1 + 1),
            (y1 + 1) as f32 / scale,
        ]))
    }

    /// The finished picture.
    pub(crate) fn picture(&self) -> RgbImage {
        let width = self.raster.width;
        RgbImage::from_fn(width, self.raster.height, |x, y| {
            let at = (y as usize * width as usize + x as usize) * 4;
            let data = self.pixmap.data();
            Rgb([data[at], data[at + 1], data[at + 2]])
        })
    }

    /// Output pixels to slide pixels.
    fn transform(&self) -> Transform {
        let scale = self.raster.scale();
        Transform::from_translate(-self.raster.left(), 0.0).post_scale(scale, scale)
    }

    fn fill(&mut self, path: &Path, code: Code) {
        let transform = self.transform();
        self.pixmap
            .fill_path(path, &paint(code), FillRule::Winding, transform, None);
    }

    fn stroke(&mut self, path: &Path, width: f32, code: Code, dash: Option<f32>) {
        let stroke = Stroke {
            width,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Round,
            dash: dash.and_then(|d| StrokeDash::new(vec![d, d], 0.0)),
            ..Stroke::default()
        };
        let transform = self.transform();
        self.pixmap
            .stroke_path(path, &paint(code), &stroke, transform, None);
    }
}

/// A box around left, top, right and bottom, held on the output.
pub(crate) fn box_of([x0, y0, x1, y1]: [f32; 4]) -> PixelBox {
    let low = |v: f32, most: f32| v.floor().clamp(0.0, most - 1.0) as u32;
    let high = |v: f32, most: f32| v.ceil().clamp(1.0, most) as u32;
    let (x, y) = (low(x0, OUTPUT_WIDTH), low(y0, OUTPUT_HEIGHT));
    PixelBox {
        x,
        y,
        width: high(x1, OUTPUT_WIDTH).max(x + 1) - x,
        height: high(y1, OUTPUT_HEIGHT).max(y + 1) - y,
    }
}

/// Points of a circle, from the top clockwise.
pub(crate) fn around((x, y): Spot, radius: f32, count: usize) -> Vec<Spot> {
    let turn = |k: usize| std::f32::consts::TAU * k as f32 / count as f32;
    (0..count)
        .map(|k| (x + radius * turn(k).sin(), y - radius * turn(k).cos()))
        .collect()
}

/// A path through points.
fn through(points: &[Spot], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (k, &(x, y)) in points.iter().enumerate() {
        if k == 0 {
            builder.move_to(x, y);
        } else {
            builder.line_to(x, y);
        }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

/// An opaque, smooth-edged paint.
fn paint(code: Code) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(code[0], code[1], code[2], 255);
    paint.anti_alias = true;
    paint
}
