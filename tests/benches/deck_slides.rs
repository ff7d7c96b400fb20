//! Decks as lectures have them: titles, lines of text, star charts, bars, curves and photographs.

use std::error::Error;
use std::f32::consts::TAU;
use std::path::{Path, PathBuf};

use nightglass::files::picture_file::read_picture;
use nightglass::files::picture_output::PictureOutput;
use nightglass::pixel::canvas::{Canvas, Words};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str};
use tiny_skia::{FillRule, Paint, PathBuilder, Pixmap, Stroke, Transform};

/// What stands on the slides, over and over.
const LINES: [&str; 8] = [
    "Find the seven stars of the Plough, low in the north in autumn.",
    "The two outer stars point at Polaris, five times their distance away.",
    "Polaris stands within a degree of the pole: its height is your latitude.",
    "Hold a fist at arm's length: ten degrees from side to side.",
    "Under cloud, watch a gap for a minute before you trust a single star.",
    "Write down the time first, then the height, then what you think it was.",
    "A star that rises in the east keeps its bearing for a quarter of an hour.",
    "Mark the course on the chart at once; nobody remembers two numbers.",
];
const STAR_NAMES: [&str; 6] = ["Dubhe", "Merak", "Capella", "Vega", "Deneb", "Altair"];
/// Photographs among the test pictures; the README beside them says where they come from.
const PHOTOGRAPHS: [&str; 3] = ["astronaut.png", "hubble_deep_field.jpg", "board_1.jpg"];

const PAPER: [u8; 3] = [0, 0, 0];
const INK: [u8; 3] = [255, 246, 220];
const ACCENT: [u8; 3] = [255, 190, 60];
const COOL: [u8; 3] = [110, 190, 255];

/// A test picture.
pub(crate) fn test_picture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name)
}

/// Numbers that look random and are the same on every run (xorshift; G. Marsaglia, 2003).
struct Dice(u64);

impl Dice {
    fn new(seed: usize) -> Self {
        Self(0x9E37_79B9_7F4A_7C15 ^ ((seed as u64 + 1) << 20))
    }

    /// A number from `low` to `high`.
    fn between(&mut self, low: f32, high: f32) -> f32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let share = (self.0 >> 40) as f32 / (1 << 24) as f32;
        low + (high - low) * share
    }
}

/// A slide that is being drawn: shapes first, words and photographs over them.
struct Drawing {
    shapes: Pixmap,
    words: Vec<(String, f32, [f32; 2], [u8; 3])>,
    photograph: Option<(Frame, [u32; 2])>,
}

impl Drawing {
    fn new() -> Option<Self> {
        let mut shapes = Pixmap::new(1920, 1080)?;
        let [r, g, b] = PAPER;
        shapes.fill(tiny_skia::Color::from_rgba8(r, g, b, 255));
        Some(Self {
            shapes,
            words: Vec::new(),
            photograph: None,
        })
    }

    fn line(&mut self, points: &[[f32; 2]], width: f32, color: [u8; 3]) {
        let mut path = PathBuilder::new();
        for (number, &[x, y]) in points.iter().enumerate() {
            if number == 0 {
                path.move_to(x, y);
            } else {
                path.line_to(x, y);
            }
        }
        let stroke = Stroke {
            width,
            ..Stroke::default()
        };
        if let Some(path) = path.finish() {
            let paint = paint(color);
            self.shapes
                .stroke_path(&path, &paint, &stroke, Transform::identity(), None);
        }
    }

    fn disc(&mut self, [x, y]: [f32; 2], radius: f32, color: [u8; 3]) {
        if let Some(path) = PathBuilder::from_circle(x, y, radius) {
            let (paint, all) = (paint(color), Transform::identity());
            self.shapes
                .fill_path(&path, &paint, FillRule::Winding, all, None);
        }
    }

    fn bar(&mut self, [x, y, w, h]: [f32; 4], color: [u8; 3]) {
        if let Some(rect) = tiny_skia::Rect::from_xywh(x, y, w, h) {
            let paint = paint(color);
            self.shapes
                .fill_rect(rect, &paint, Transform::identity(), None);
        }
    }

    fn say(&mut self, words: &str, scale_px: f32, at: [f32; 2], color: [u8; 3]) {
        self.words.push((words.to_owned(), scale_px, at, color));
    }

    fn finish(self) -> Result<Frame, Box<dyn Error>> {
        let pixels = self.shapes.pixels().iter();
        let pixels = pixels
            .map(|p| [p.red(), p.green(), p.blue(), 255])
            .collect();
        let mut frame = Frame::new(Size::HD, Pixels::Rgba8(pixels))?;
        let mut canvas = Canvas::new(&mut frame).ok_or("a picture of 8 bits was drawn")?;
        if let Some((photograph, [x, y])) = &self.photograph {
            canvas.put(photograph, *x, *y);
        }
        for (words, scale_px, at, color) in &self.words {
            let words = Words::new(words, *scale_px).ok_or("the font cannot be read")?;
            canvas.draw(&words, *at, *color);
        }
        Ok(frame)
    }
}

fn paint(color: [u8; 3]) -> Paint<'static> {
    let mut paint = Paint::default();
    let [r, g, b] = color;
    paint.set_color_rgba8(r, g, b, 255);
    paint.anti_alias = true;
    paint
}

/// Draws slide number `index`, from 0.
fn slide(index: usize) -> Result<Frame, Box<dyn Error>> {
    let mut dice = Dice::new(index);
    let mut drawing = Drawing::new().ok_or("a picture has a size")?;
    let heading = format!("{}. Finding the way by the night sky", index + 1);
    drawing.say(&heading, 84.0, [120.0, 80.0], ACCENT);
    drawing.say("evening course, small boats", 34.0, [120.0, 990.0], COOL);
    match index % 10 {
        3 | 7 => star_chart(&mut drawing, &mut dice),
        4 => bars(&mut drawing, &mut dice),
        8 => curves(&mut drawing, &mut dice),
        9 => photograph(&mut drawing, index)?,
        _ => lines_of_text(&mut drawing, index),
    }
    drawing.finish()
}

fn lines_of_text(drawing: &mut Drawing, index: usize) {
    let count = 5 + index % 4;
    for row in 0..count {
        let y = 230.0 + 90.0 * row as f32;
        drawing.disc([150.0, y + 34.0], 9.0, COOL);
        let line = LINES[(index + 3 * row) % LINES.len()];
        drawing.say(line, 52.0, [190.0, y], INK);
    }
}

fn star_chart(drawing: &mut Drawing, dice: &mut Dice) {
    for ring in 1..=4 {
        let radius = 105.0 * ring as f32;
        let circle: Vec<[f32; 2]> = (0..=180)
            .map(|step| {
                let angle = TAU * step as f32 / 180.0;
                [960.0 + radius * angle.cos(), 600.0 + radius * angle.sin()]
            })
            .collect();
        drawing.line(&circle, 3.0, [70, 100, 140]);
    }
    let mut last = None;
    for star in 0..260 {
        let (angle, out) = (dice.between(0.0, TAU), dice.between(0.0, 1.0).sqrt());
        let at = [
            960.0 + 410.0 * out * angle.cos(),
            600.0 + 410.0 * out * angle.sin(),
        ];
        drawing.disc(at, dice.between(1.5, 7.0), INK);
        if star % 20 == 0 {
            let name = STAR_NAMES[star / 20 % STAR_NAMES.len()];
            drawing.say(name, 30.0, [at[0] + 12.0, at[1] - 14.0], COOL);
            if let Some(from) = last.replace(at) {
                drawing.line(&[from, at], 3.0, ACCENT);
            }
        }
    }
}

fn bars(drawing: &mut Drawing, dice: &mut Dice) {
    for row in 0..7 {
        let y = 250.0 + 100.0 * row as f32;
        let length = dice.between(200.0, 1200.0);
        drawing.say(STAR_NAMES[row % STAR_NAMES.len()], 44.0, [140.0, y], INK);
        drawing.bar(
            [420.0, y + 4.0, length, 46.0],
            if row % 2 == 0 { ACCENT } else { COOL },
        );
        let number = format!("{:.1} degrees", length / 20.0);
        drawing.say(&number, 38.0, [440.0 + length, y + 4.0], INK);
    }
}

fn curves(drawing: &mut Drawing, dice: &mut Dice) {
    drawing.line(&[[200.0, 230.0], [200.0, 920.0], [1740.0, 920.0]], 5.0, INK);
    for row in 0..6 {
        let y = 300.0 + 110.0 * row as f32;
        drawing.line(&[[200.0, y], [1740.0, y]], 2.0, [90, 110, 130]);
        drawing.say(&format!("{} h", 24 - 4 * row), 34.0, [110.0, y - 20.0], INK);
    }
    for color in [ACCENT, COOL, INK] {
        let (start, pace) = (dice.between(0.0, TAU), dice.between(0.004, 0.01));
        let curve: Vec<[f32; 2]> = (0..=300)
            .map(|step| {
                let x = 200.0 + 5.0 * step as f32;
                [x, 570.0 + 250.0 * (start + pace * x).sin()]
            })
            .collect();
        drawing.line(&curve, 6.0, color);
    }
}

fn photograph(drawing: &mut Drawing, index: usize) -> Result<(), Box<dyn Error>> {
    let name = PHOTOGRAPHS[index / 10 % PHOTOGRAPHS.len()];
    let frame = read_picture(&test_picture(name))?.frame;
    let across = |whole: u32, part: u32| whole.saturating_sub(part) / 2;
    let size = frame.size();
    let at = [across(1920, size.width()), across(1080, size.height())];
    drawing.photograph = Some((frame, at));
    Ok(())
}

/// Writes slides as PNG files into a folder.
pub(crate) fn write_slides(folder: &Path, count: usize) -> Result<(), Box<dyn Error>> {
    for index in 0..count {
        let path = folder.join(format!("slide_{}.png", index + 1));
        PictureOutput::create(&path, &[])?.write(&slide(index)?)?;
    }
    Ok(())
}

/// Writes a PDF of pages of the same kinds.
pub(crate) fn write_pdf(path: &Path, pages: usize) -> Result<(), Box<dyn Error>> {
    let id = |number: usize| i32::try_from(number).map(Ref::new);
    let (catalog, tree, font, photograph) = (id(1)?, id(2)?, id(3)?, id(4)?);
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree);
    let kids: Result<Vec<Ref>, _> = (0..pages).map(|page| id(5 + 2 * page)).collect();
    pdf.pages(tree).kids(kids?).count(i32::try_from(pages)?);
    pdf.type1_font(font).base_font(Name(b"Helvetica"));
    let jpeg = std::fs::read(test_picture("hubble_deep_field.jpg"))?;
    let mut picture = pdf.image_xobject(photograph, &jpeg);
    picture.width(1000).height(872).filter(Filter::DctDecode);
    picture.color_space().device_rgb();
    picture.bits_per_component(8);
    picture.finish();
    for page in 0..pages {
        let mut written = pdf.page(id(5 + 2 * page)?);
        written.parent(tree).contents(id(6 + 2 * page)?);
        written.media_box(Rect::new(0.0, 0.0, 960.0, 540.0));
        let mut resources = written.resources();
        resources.fonts().pair(Name(b"F"), font);
        resources.x_objects().pair(Name(b"P"), photograph);
        resources.finish();
        written.finish();
        pdf.stream(id(6 + 2 * page)?, &page_content(page));
    }
    nightglass::files::atomic::write(path, &pdf.finish())?;
    Ok(())
}

/// A dark page with a heading, and lines of text, a star chart or a photograph.
fn page_content(page: usize) -> Vec<u8> {
    let mut dice = Dice::new(page);
    let mut content = Content::new();
    let ink = |content: &mut Content, color: [u8; 3]| {
        let [r, g, b] = color.map(|code| f32::from(code) / 255.0);
        content.set_fill_rgb(r, g, b);
    };
    let say = |content: &mut Content, words: &str, size: f32, [x, y]: [f32; 2]| {
        content.begin_text().set_font(Name(b"F"), size);
        content.next_line(x, y).show(Str(words.as_bytes()));
        content.end_text();
    };
    ink(&mut content, PAPER);
    content.rect(0.0, 0.0, 960.0, 540.0).fill_nonzero();
    ink(&mut content, ACCENT);
    let heading = format!("{}. Finding the way by the night sky", page + 1);
    say(&mut content, &heading, 40.0, [60.0, 460.0]);
    ink(&mut content, INK);
    match page % 5 {
        3 => {
            for _ in 0..260 {
                let [x, y] = [dice.between(80.0, 880.0), dice.between(40.0, 420.0)];
                let radius = dice.between(1.0, 4.0);
                content.move_to(x + radius, y);
                for quarter in 0..4 {
                    // A quarter circle as one curve.
                    let [c, s] = [1.0, 0.552_3].map(|share| share * radius);
                    let turned = |dx: f32, dy: f32| match quarter {
                        0 => [x + dx, y + dy],
                        1 => [x - dy, y + dx],
                        2 => [x - dx, y - dy],
                        _ => [x + dy, y - dx],
                    };
                    let ([ax, ay], [bx, by], [ex, ey]) =
                        (turned(c, s), turned(s, c), turned(0.0, c));
                    content.cubic_to(ax, ay, bx, by, ex, ey);
                }
                content.fill_nonzero();
            }
        }
        4 => {
            content.save_state();
            content.transform([458.7, 0.0, 0.0, 400.0, 250.0, 30.0]);
            content.x_object(Name(b"P"));
            content.restore_state();
        }
        _ => {
            for (row, line) in LINES.iter().enumerate() {
                let y = 400.0 - 46.0 * row as f32;
                say(&mut content, line, 24.0, [70.0, y]);
            }
        }
    }
    content.finish().to_vec()
}
