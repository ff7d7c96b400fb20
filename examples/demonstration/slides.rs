//! The slides: one that keys cleanly, and three that show how a luma key goes wrong.

use crate::camera::{HEIGHT, WIDTH};
use crate::lettering::{Anchor, Lettering};
use crate::noise::{grain, layered, mix, ramp, unit};
use crate::sky::{CASSIOPEIA, PLOUGH, PLOUGH_LINES, View};
use image::{Rgb, RgbImage};
use std::error::Error;
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, PathBuilder, Pixmap, Stroke, StrokeDash, Transform,
};

/// Red, green and blue codes.
type Code = [u8; 3];

const WHITE: Code = [255, 255, 255];
const YELLOW: Code = [255, 224, 92];
const ICE: Code = [158, 232, 255];
const RED: Code = [255, 92, 72];

/// Left, top, right and bottom of the night photograph on the second slide.
const PHOTO: (f32, f32, f32, f32) = (140.0, 566.0, 1040.0, 886.0);

/// A slide being drawn.
struct Sheet {
    pixmap: Pixmap,
    lettering: Lettering,
}

impl Sheet {
    /// A black slide.
    fn black() -> Result<Self, Box<dyn Error>> {
        let mut pixmap = Pixmap::new(WIDTH as u32, HEIGHT as u32).ok_or("no room for a slide")?;
        pixmap.fill(Color::BLACK);
        Ok(Self {
            pixmap,
            lettering: Lettering::new()?,
        })
    }

    /// Text with its own weight.
    fn text(&mut self, text: &str, at: (f32, f32), size: (f32, f32), anchor: Anchor, code: Code) {
        self.lettering
            .draw(&mut self.pixmap, text, at, size, anchor, &paint(code));
    }

    /// A line through points.
    fn line(&mut self, points: &[(f32, f32)], width: f32, code: Code, dash: Option<f32>) {
        let mut builder = PathBuilder::new();
        for (k, &(x, y)) in points.iter().enumerate() {
            if k == 0 {
                builder.move_to(x, y);
            } else {
                builder.line_to(x, y);
            }
        }
        let stroke = Stroke {
            width,
            line_cap: LineCap::Round,
            line_join: LineJoin::Round,
            dash: dash.and_then(|d| StrokeDash::new(vec![d, d], 0.0)),
            ..Stroke::default()
        };
        if let Some(path) = builder.finish() {
            self.pixmap
                .stroke_path(&path, &paint(code), &stroke, Transform::identity(), None);
        }
    }

    /// A filled shape with corners.
    fn shape(&mut self, points: &[(f32, f32)], code: Code) {
        let mut builder = PathBuilder::new();
        for (k, &(x, y)) in points.iter().enumerate() {
            if k == 0 {
                builder.move_to(x, y);
            } else {
                builder.line_to(x, y);
            }
        }
        builder.close();
        if let Some(path) = builder.finish() {
            self.pixmap.fill_path(
                &path,
                &paint(code),
                FillRule::Winding,
                Transform::identity(),
                None,
            );
        }
    }

    /// A filled disc.
    fn disc(&mut self, (x, y): (f32, f32), radius: f32, code: Code) {
        if let Some(path) = PathBuilder::from_circle(x, y, radius) {
            self.pixmap.fill_path(
                &path,
                &paint(code),
                FillRule::Winding,
                Transform::identity(),
                None,
            );
        }
    }

    /// A ring.
    fn ring(&mut self, (x, y): (f32, f32), radius: f32, width: f32, code: Code) {
        let stroke = Stroke {
            width,
            ..Stroke::default()
        };
        if let Some(path) = PathBuilder::from_circle(x, y, radius) {
            self.pixmap
                .stroke_path(&path, &paint(code), &stroke, Transform::identity(), None);
        }
    }

    /// A star with `points` rays.
    fn star(&mut self, at: (f32, f32), outer: f32, inner: f32, points: usize, code: Code) {
        let corners: Vec<(f32, f32)> = (0..2 * points)
            .map(|k| {
                let r = if k % 2 == 0 { outer } else { inner };
                let turn = std::f32::consts::PI * k as f32 / points as f32;
                (at.0 + r * turn.sin(), at.1 - r * turn.cos())
            })
            .collect();
        self.shape(&corners, code);
    }

    /// The finished picture.
    fn picture(&self) -> RgbImage {
        RgbImage::from_fn(WIDTH as u32, HEIGHT as u32, |x, y| {
            let at = (y as usize * WIDTH + x as usize) * 4;
            let data = self.pixmap.data();
            Rgb([data[at], data[at + 1], data[at + 2]])
        })
    }
}

/// An opaque, smooth-edged paint.
fn paint(code: Code) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(code[0], code[1], code[2], 255);
    paint.anti_alias = true;
    paint
}

/// Bright lines on pure black: Cassiopeia, Polaris and the Plough.
pub(crate) fn keys_cleanly() -> Result<RgbImage, Box<dyn Error>> {
    let mut sheet = Sheet::black()?;
    sheet.text(
        "Two ways to Polaris",
        (592.0, 622.0),
        (66.0, 1.8),
        Anchor::Middle,
        WHITE,
    );
    let plough = PLOUGH.map(|star| CHART.place(star));
    let queen = CASSIOPEIA.map(|star| CHART.place(star));
    sheet.line(
        &short(plough[1], CHART.pole, 0.02, 0.12),
        4.0,
        ICE,
        Some(15.0),
    );
    sheet.line(
        &short(queen[2], CHART.pole, 0.08, 0.14),
        4.0,
        ICE,
        Some(15.0),
    );
    for (a, b) in PLOUGH_LINES {
        sheet.line(&[plough[a], plough[b]], 5.0, WHITE, None);
    }
    sheet.line(&queen, 5.0, WHITE, None);
    for &star in plough.iter().chain(&queen) {
        sheet.disc(star, 10.5, YELLOW);
    }
    sheet.star(CHART.pole, 34.0, 11.0, 4, YELLOW);
    sheet.disc(CHART.pole, 12.0, YELLOW);
    let size = (60.0, 1.6);
    sheet.text(
        "Polaris",
        (CHART.pole.0 + 34.0, CHART.pole.1 + 86.0),
        size,
        Anchor::Middle,
        YELLOW,
    );
    sheet.text("Cassiopeia", (262.0, 892.0), size, Anchor::Middle, ICE);
    sheet.text("the Plough", (714.0, 962.0), size, Anchor::Middle, ICE);
    sheet.text(
        "×5",
        (CHART.pole.0 + 124.0, CHART.pole.1 - 72.0),
        size,
        Anchor::Middle,
        ICE,
    );
    Ok(sheet.picture())
}

/// How the first slide looks north.
const CHART: View = View {
    pole: (530.0, 778.0),
    degree: 10.4,
    hour: 6.4,
};

/// A line cut short at both ends by shares of its length.
fn short(a: (f32, f32), b: (f32, f32), near: f32, far: f32) -> [(f32, f32); 2] {
    let at = |t: f32| (mix(a.0, b.0, t), mix(a.1, b.1, t));
    [at(near), at(1.0 - far)]
}

/// A night photograph whose stars are mostly fainter than the key, and a caption in pure blue.
pub(crate) fn faint_stars() -> Result<RgbImage, Box<dyn Error>> {
    let mut sheet = Sheet::black()?;
    let x = f32::midpoint(PHOTO.0, PHOTO.2);
    sheet.text(
        "Polaris stands still",
        (x, 962.0),
        (78.0, 2.6),
        Anchor::Middle,
        [0, 0, 255],
    );
    let mut picture = sheet.picture();
    let (width, height) = ((PHOTO.2 - PHOTO.0) as usize, (PHOTO.3 - PHOTO.1) as usize);
    let sky = sky(width, height);
    for (at, &light) in sky.iter().enumerate() {
        let (x, y) = (at % width, at / width);
        let pixel = night(light, x as i32, y as i32);
        picture.put_pixel(x as u32 + PHOTO.0 as u32, y as u32 + PHOTO.1 as u32, pixel);
    }
    Ok(picture)
}

/// Red, green and blue, as encoded shares of white.
type Tone = [f32; 3];

/// The night photograph.
fn sky(width: usize, height: usize) -> Vec<Tone> {
    let sea = height as f32 * 0.86;
    let mut tones: Vec<Tone> = (0..width * height)
        .map(|at| backdrop((at % width) as f32, (at / width) as f32, sea))
        .collect();
    for index in 0..5200 {
        let pick = |k: i32| unit(index, k, 77);
        let (x, y) = (pick(1) * width as f32, pick(2) * sea);
        let milk = band(x, y);
        if pick(3) > 0.32 + 0.68 * milk {
            continue;
        }
        let rare = pick(4);
        let level = 0.020 + 0.050 * rare * rare + 0.05 * rare.powi(14);
        dot(
            &mut tones,
            width,
            (x, y, sea),
            0.75 + 0.45 * rare,
            level,
            pick(5),
        );
    }
    let view = View {
        pole: (468.0, 104.0),
        degree: 6.9,
        hour: 6.4,
    };
    let mut bright = vec![(view.pole, 0.85)];
    bright.extend(PLOUGH.map(|star| (view.place(star), 0.52)));
    bright.extend(CASSIOPEIA.map(|star| (view.place(star), 0.44)));
    for ((x, y), level) in bright {
        let at = (x, y, sea);
        dot(&mut tones, width, at, 1.5 + level, level, 0.3);
        dot(&mut tones, width, at, 7.0 * level + 2.0, 0.10 * level, 0.1);
    }
    boat(&mut tones, width, sea);
    tones
}

/// How far into the milky band a place of the sky is, 0..1.
fn band(x: f32, y: f32) -> f32 {
    let off = (y - 250.0 + 0.36 * x - 60.0 * layered(x * 0.006, y * 0.006, 1.0, 3)) / 92.0;
    (-off * off).exp()
}

/// Sky and sea without stars.
fn backdrop(x: f32, y: f32, sea: f32) -> Tone {
    if y >= sea {
        let ripple = layered(x * 0.012, y * 0.22, 6.0, 3);
        let glint = 0.012 * ramp(0.58, 0.75, ripple);
        return [0.010 + glint, 0.013 + glint, 0.018 + 1.2 * glint];
    }
    let rift = layered(x * 0.014, y * 0.018, 9.0, 4);
    let cloud = band(x, y) * ramp(0.28, 0.72, rift);
    let low = ramp(sea - 130.0, sea, y);
    let base = 0.017 + 0.036 * cloud + 0.018 * low;
    [base * (0.95 + 0.1 * low), base * 1.02, base * 1.30 + 0.004]
}

/// Adds a round dot of light above the horizon.
fn dot(
    tones: &mut [Tone],
    width: usize,
    (x, y, sea): (f32, f32, f32),
    radius: f32,
    level: f32,
    warm: f32,
) {
    let reach = (radius * 3.0).ceil() as i32;
    for dy in -reach..=reach {
        for dx in -reach..=reach {
            let (column, row) = (x as i32 + dx, y as i32 + dy);
            let (ox, oy) = (column as f32 + 0.5 - x, row as f32 + 0.5 - y);
            if column < 0 || column >= width as i32 || row < 0 || row as f32 >= sea {
                continue;
            }
            let light = level * (-(ox * ox + oy * oy) / (radius * radius)).exp();
            let tone = &mut tones[row as usize * width + column as usize];
            tone[0] = (tone[0] + light * (0.92 + 0.12 * warm)).min(1.0);
            tone[1] = (tone[1] + light * 0.97).min(1.0);
            tone[2] = (tone[2] + light * (1.06 - 0.14 * warm)).min(1.0);
        }
    }
}

/// Blackens a sailing boat's outline on the horizon and hangs a light on its mast.
fn boat(tones: &mut [Tone], width: usize, sea: f32) {
    let (bx, by) = (width as f32 * 0.33, sea + 5.0);
    for (at, tone) in tones.iter_mut().enumerate() {
        let (x, y) = ((at % width) as f32 - bx, (at / width) as f32 - by);
        let hull =
            y > -11.0 - 0.0012 * x * x && y < 3.0 && x.abs() < 46.0 - 0.9 * (y + 6.0).max(0.0);
        let main = y < -16.0 && y > -128.0 && x < -2.0 && x > -2.0 - (y + 128.0) * 0.36;
        let jib = y < -14.0 && y > -112.0 && x > 3.0 && x < 3.0 + (y + 112.0) * 0.34;
        let mast = x.abs() < 1.8 && y < 0.0 && y > -134.0;
        if hull || main || jib || mast {
            *tone = [0.004, 0.005, 0.007];
        }
    }
    let lamp = (bx, by - 138.0, sea);
    dot(tones, width, lamp, 2.2, 0.7, 1.0);
}

/// A tone to a pixel with a little sensor noise.
fn night(tone: Tone, x: i32, y: i32) -> Rgb<u8> {
    let noise = 0.9 * grain(x, y, 30);
    Rgb(tone.map(|t| (255.0 * t + noise).round().clamp(0.0, 255.0) as u8))
}

/// A dark theme's slate background, not quite black, with a table of stars.
pub(crate) fn grey_background() -> Result<RgbImage, Box<dyn Error>> {
    let mut sheet = Sheet::black()?;
    slate(&mut sheet.pixmap);
    sheet.text(
        "Stars to steer by",
        (150.0, 630.0),
        (66.0, 1.8),
        Anchor::Left,
        WHITE,
    );
    sheet.line(&[(150.0, 660.0), (1012.0, 660.0)], 4.0, ICE, None);
    let table = [
        ("Polaris", "Little Bear", "+89.3°"),
        ("Dubhe", "Great Bear", "+61.8°"),
        ("Caph", "Cassiopeia", "+59.1°"),
        ("Capella", "Charioteer", "+46.0°"),
        ("Vega", "Lyre", "+38.8°"),
    ];
    for (row, (star, figure, height)) in table.into_iter().enumerate() {
        let y = 722.0 + 62.0 * row as f32;
        let size = (54.0, 1.2);
        sheet.text(star, (150.0, y), size, Anchor::Left, WHITE);
        sheet.text(figure, (470.0, y), size, Anchor::Left, WHITE);
        sheet.text(height, (1012.0, y), size, Anchor::Right, WHITE);
    }
    Ok(sheet.picture())
}

/// Fills a slide with the theme's gradient, its steps hidden by an ordered pattern.
fn slate(pixmap: &mut Pixmap) {
    for (at, pixel) in pixmap.data_mut().chunks_mut(4).enumerate() {
        let (x, y) = (at % WIDTH, at / WIDTH);
        let t = 0.25 * x as f32 / WIDTH as f32 + 0.75 * y as f32 / HEIGHT as f32;
        let lift = (f32::from(PATTERN[y % 4][x % 4]) + 0.5) / 16.0;
        for (code, (dark, light)) in pixel.iter_mut().zip(SLATE) {
            *code = (mix(dark, light, t) + lift).floor() as u8;
        }
    }
}

/// Red, green and blue of the theme at its darkest and at its lightest.
const SLATE: [(f32, f32); 3] = [(15.0, 20.0), (19.0, 24.0), (27.0, 34.0)];

/// Order in which the pixels of a small square rise.
const PATTERN: [[u8; 4]; 4] = [[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]];

/// A compass rose that keys well and lands right on the handwriting.
pub(crate) fn lands_on_writing() -> Result<RgbImage, Box<dyn Error>> {
    let mut sheet = Sheet::black()?;
    let centre = (352.0, 316.0);
    sheet.ring(centre, 208.0, 10.0, ICE);
    sheet.ring(centre, 184.0, 4.0, ICE);
    for tick in 0..72 {
        let deep = if tick % 9 == 0 { 170.0 } else { 188.0 };
        let turn = (tick as f32 * 5.0).to_radians();
        let at = |r: f32| (centre.0 + r * turn.sin(), centre.1 - r * turn.cos());
        sheet.line(&[at(deep), at(204.0)], 4.0, ICE, None);
    }
    for half in [1, 0] {
        for k in 0..4 {
            needle(
                &mut sheet,
                centre,
                k as f32 * 90.0 + 45.0 * half as f32,
                half,
            );
        }
    }
    sheet.disc(centre, 20.0, WHITE);
    let size = (76.0, 3.0);
    sheet.text("N", (centre.0, centre.1 - 224.0), size, Anchor::Middle, RED);
    sheet.text(
        "S",
        (centre.0, centre.1 + 280.0),
        size,
        Anchor::Middle,
        WHITE,
    );
    sheet.text(
        "W",
        (centre.0 - 228.0, centre.1 + 27.0),
        size,
        Anchor::Right,
        WHITE,
    );
    sheet.text(
        "E",
        (centre.0 + 228.0, centre.1 + 27.0),
        size,
        Anchor::Left,
        WHITE,
    );
    Ok(sheet.picture())
}

/// One ray of the rose, its two sides in two tones.
fn needle(sheet: &mut Sheet, centre: (f32, f32), degrees: f32, half: usize) {
    let (long, wide) = if half == 1 {
        (128.0, 40.0)
    } else {
        (182.0, 52.0)
    };
    let at = |r: f32, turn: f32| {
        let turn = (degrees + turn).to_radians();
        (centre.0 + r * turn.sin(), centre.1 - r * turn.cos())
    };
    let (light, dark) = match (half, degrees < 1.0) {
        (0, true) => (RED, [206, 48, 34]),
        (0, false) => (WHITE, [150, 166, 178]),
        _ => (YELLOW, [196, 152, 30]),
    };
    sheet.shape(&[centre, at(wide, -45.0), at(long, 0.0)], light);
    sheet.shape(&[centre, at(wide, 45.0), at(long, 0.0)], dark);
}
