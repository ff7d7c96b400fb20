//! A white deck through the real `darken`, and the real `check` on what comes out.

use std::path::Path;
use std::process::Command;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use nightglass::files::picture_file::read_picture;
use nightglass::files::picture_output::PictureOutput;
use nightglass::pixel::frame::{Frame, Pixels};
use serde_json::Value;

use crate::frames::size;
use crate::lettering::Slide;

const INK: [u8; 3] = [0; 3];
const NAVY: [u8; 3] = [38, 38, 134];

/// A slide drawn on 960 x 720, and enlarged or reduced by drawing it at another scale.
struct Drawing {
    slide: Slide,
    scale: f64,
}

impl Drawing {
    fn new(width: u32, height: u32) -> Self {
        Self {
            slide: Slide::new(width, height, 255),
            scale: f64::from(height) / 720.0,
        }
    }

    fn bar(&mut self, place: [f64; 4], color: [u8; 3]) {
        let place = place.map(|v| (v * self.scale).round() as i64);
        self.slide.bar(place, color);
    }

    fn text(&mut self, words: &str, (x, y): (f64, f64), capital: f64, color: [u8; 3]) {
        let s = self.scale;
        self.slide.text(words, (x * s, y * s), capital * s, color);
    }

    fn line(&mut self, a: (f64, f64), b: (f64, f64), width: f64, color: [u8; 3]) {
        let s = self.scale;
        let ends = [(a.0 * s, a.1 * s), (b.0 * s, b.1 * s)];
        self.slide.stroke(ends[0], ends[1], width * s, color);
    }

    /// Heading, list and note in several colours.
    fn with_text(mut self) -> Self {
        self.text("Finding north at sea", (60.0, 110.0), 40.0, [0, 0, 255]);
        self.text("Look for the Plough", (80.0, 220.0), 26.0, INK);
        self.text("Follow its pointers", (80.0, 290.0), 26.0, [192, 0, 0]);
        self.text("Polaris stands still", (80.0, 360.0), 26.0, [0, 110, 60]);
        self.text("Amber lamps only", (80.0, 430.0), 26.0, [255, 176, 0]);
        self.bar([60.0, 500.0, 560.0, 120.0], [219, 232, 251]);
        self.text("The pole is as high", (90.0, 550.0), 24.0, INK);
        self.text("as you are north", (90.0, 600.0), 24.0, [110; 3]);
        self
    }

    /// A white disc in a grey column, boxes, lines, a dark bar chart.
    fn with_diagram(mut self) -> Self {
        self.bar([780.0, 0.0, 180.0, 720.0], [217; 3]);
        let (x, y, r) = (870.0 * self.scale, 200.0 * self.scale, 40.0 * self.scale);
        let ring = |u: f64, v: f64| ((u - x).hypot(v - y) - r).abs() < 2.0;
        let around = [x - r - 4.0, y - r - 4.0, x + r + 4.0, y + r + 4.0].map(|v| v as i64);
        self.slide
            .shape(around, [255; 3], |u, v| (u - x).hypot(v - y) < r);
        self.slide.shape(around, INK, ring);
        for (i, height) in [120.0, 260.0, 190.0].into_iter().enumerate() {
            let left = 120.0 + 140.0 * i as f64;
            self.bar(
                [left, 560.0 - height, 90.0, height],
                [20, 60, 40 + 70 * i as u8],
            );
        }
        self.line((90.0, 560.0), (560.0, 560.0), 4.0, INK);
        self.line((90.0, 560.0), (90.0, 240.0), 4.0, INK);
        self.line((120.0, 500.0), (520.0, 260.0), 5.0, [0, 0, 255]);
        self.text("Knots by hour", (120.0, 640.0), 26.0, INK);
        self
    }

    /// A black bar that shades into navy and, over the title, on into the white below; a box with a shadow.
    fn with_shaded_bars(mut self) -> Self {
        let mixed = |share: f64, a: [u8; 3], b: [u8; 3]| {
            [0, 1, 2].map(|c| {
                (f64::from(a[c]) + share * (f64::from(b[c]) - f64::from(a[c]))).round() as u8
            })
        };
        self.bar([0.0, 0.0, 960.0, 40.0], INK);
        for step in 0..16 {
            let share = f64::from(step) / 15.0;
            let y = f64::from(step);
            self.bar([0.0, 40.0 + y, 960.0, 1.0], mixed(share, INK, NAVY));
            self.bar([0.0, 140.0 + y, 960.0, 1.0], mixed(share, NAVY, [255; 3]));
            let shadow = mixed(share, [120; 3], [255; 3]);
            self.bar([100.0, 540.0 + y, 720.0, 1.0], shadow);
            self.bar([800.0 + y, 260.0, 1.0, 280.0], shadow);
        }
        self.bar([0.0, 56.0, 960.0, 84.0], NAVY);
        self.text("Harbour   Open water", (40.0, 30.0), 16.0, [140; 3]);
        self.text("Lights in the night", (40.0, 110.0), 34.0, [255; 3]);
        self.bar([80.0, 240.0, 720.0, 300.0], [232, 232, 244]);
        self.text("Red is port", (120.0, 330.0), 30.0, [200, 0, 0]);
        self.text("Green is starboard", (120.0, 420.0), 30.0, INK);
        self
    }

    fn with_photograph(mut self) -> Self {
        self.text("Who went farther", (60.0, 90.0), 36.0, [0, 0, 140]);
        let photograph = photograph();
        let side = (520.0 * self.scale) as u32;
        for (y, x) in (0..side).flat_map(|y| (0..side).map(move |x| (y, x))) {
            let color = pixel(&photograph, x * 512 / side, y * 512 / side);
            let left = (200.0 * self.scale) as u32;
            self.slide
                .lay(i64::from(x + left), i64::from(y + left * 3 / 4), color, 1.0);
        }
        self
    }

    fn frame(self) -> Frame {
        self.slide.frame()
    }
}

fn photograph() -> Frame {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/astronaut.png");
    read_picture(&path).unwrap().frame
}

fn pixel(frame: &Frame, x: u32, y: u32) -> [u8; 3] {
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("8-bit R'G'B'A");
    };
    let [r, g, b, _] = pixels[(y * frame.size().width() + x) as usize];
    [r, g, b]
}

fn write_png(path: &Path, frame: &Frame) {
    let output = PictureOutput::create(path, &[]).unwrap();
    output.write(frame).unwrap();
}

fn write_jpeg(path: &Path, frame: &Frame, quality: u8) {
    let (width, height) = (frame.size().width(), frame.size().height());
    let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    let rgb: Vec<u8> = places.flat_map(|(x, y)| pixel(frame, x, y)).collect();
    let mut file = Vec::new();
    JpegEncoder::new_with_quality(&mut file, quality)
        .write_image(&rgb, width, height, ExtendedColorType::Rgb8)
        .unwrap();
    std::fs::write(path, file).unwrap();
}

fn document(folder: &Path, args: &[&str]) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .args(args)
        .output()
        .unwrap();
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

/// What a darkened slide must not have: kind, place and advice of each.
fn unwanted(checked: &Value) -> Vec<String> {
    let mut unwanted = Vec::new();
    for slide in checked["slides"].as_array().unwrap() {
        for finding in slide["findings"].as_array().unwrap() {
            let kind = finding["kind"].as_str().unwrap();
            let fails = finding["severity"] == "fail";
            let is_unwanted = match kind {
                "not-dark" | "haze" | "hole" => true,
                "keyed-out" | "half-keyed" => fails,
                _ => false,
            };
            if is_unwanted {
                let name = &slide["slide"];
                let (place, advice) = (&finding["box"], &finding["advice"]);
                unwanted.push(format!("{name}: {kind} at {place}: {advice}"));
            }
        }
    }
    unwanted
}

#[test]
fn a_white_deck_passes_the_check_after_darken() {
    let folder = tempfile::tempdir().unwrap();
    let slides = folder.path().join("slides");
    std::fs::create_dir(&slides).unwrap();
    let png = |name: &str, drawing: Drawing| write_png(&slides.join(name), &drawing.frame());
    let jpeg = |name: &str, drawing: Drawing| write_jpeg(&slides.join(name), &drawing.frame(), 85);
    png("text.png", Drawing::new(960, 720).with_text());
    png("small_text.png", Drawing::new(640, 480).with_text());
    png("least_text.png", Drawing::new(480, 360).with_text());
    png("least_diagram.png", Drawing::new(480, 360).with_diagram());
    png("least_bars.png", Drawing::new(480, 360).with_shaded_bars());
    jpeg("text_in_jpeg.jpg", Drawing::new(960, 720).with_text());
    png("diagram.png", Drawing::new(960, 720).with_diagram());
    png("small_diagram.png", Drawing::new(640, 480).with_diagram());
    jpeg("diagram_in_jpeg.jpg", Drawing::new(960, 720).with_diagram());
    png("bars.png", Drawing::new(960, 720).with_shaded_bars());
    jpeg(
        "bars_in_jpeg.jpg",
        Drawing::new(960, 720).with_shaded_bars(),
    );
    png("photo.png", Drawing::new(960, 720).with_photograph());
    jpeg(
        "photo_in_jpeg.jpg",
        Drawing::new(960, 720).with_photograph(),
    );
    let done = document(
        folder.path(),
        &["darken", "slides", "--out", "dark", "--json"],
    );
    for slide in done["slides"].as_array().unwrap() {
        let name = slide["slide"].as_str().unwrap();
        let photographs = usize::from(name.contains("photo"));
        assert_eq!(slide["change"], "reversed", "{name}");
        assert_eq!(slide["photographs"], photographs, "{name}");
    }
    let checked = document(folder.path(), &["check", "dark", "--json"]);
    assert_eq!(checked["slides"].as_array().unwrap().len(), 13);
    assert_eq!(unwanted(&checked), Vec::<String>::new());
}

#[test]
fn a_shaded_bar_with_words_stays_dark_and_so_do_its_shades() {
    let folder = tempfile::tempdir().unwrap();
    let before = Drawing::new(960, 720).with_shaded_bars().frame();
    write_png(&folder.path().join("bars.png"), &before);
    document(
        folder.path(),
        &["darken", "bars.png", "--out", "dark", "--json"],
    );
    let dark = read_picture(&folder.path().join("dark/bars.png"))
        .unwrap()
        .frame;
    // Down the right side, beside all words: from black through navy, over the soft edge, to the background.
    let column: Vec<[u8; 3]> = (0..230).map(|y| pixel(&dark, 900, y)).collect();
    let brightest = column.iter().map(|[r, g, _]| (*r).max(*g)).max();
    assert!(brightest < Some(170), "{column:?}");
    assert!(column[170..].iter().all(|c| *c == [0; 3]), "{column:?}");
    // The right end of the box is no brighter than its middle.
    assert!(pixel(&dark, 790, 500)[1] <= pixel(&dark, 600, 500)[1] + 2);
}

#[test]
fn a_photograph_that_fills_the_slide_is_no_haze_before_or_after() {
    let folder = tempfile::tempdir().unwrap();
    let photograph = photograph();
    let as_it_is: fn(u8) -> u8 = |v| v;
    let night: fn(u8) -> u8 = |v| (u32::from(v) * u32::from(v) / 255) as u8;
    for (name, shade) in [("bright.png", as_it_is), ("dark.png", night)] {
        let frame = Frame::from_fn(size(1024, 576), |x, y| {
            pixel(&photograph, x / 2, y / 2).map(shade)
        });
        write_png(&folder.path().join(name), &frame);
    }
    let done = document(
        folder.path(),
        &[
            "darken",
            "bright.png",
            "dark.png",
            "--out",
            "kept",
            "--json",
        ],
    );
    for slide in done["slides"].as_array().unwrap() {
        assert_eq!(slide["change"], "photograph", "{}", slide["slide"]);
    }
    let checked = document(folder.path(), &["check", "kept", "--json"]);
    assert_eq!(unwanted(&checked), Vec::<String>::new());
}

#[test]
fn a_photograph_with_a_white_margin_does_not_fill_the_slide() {
    let folder = tempfile::tempdir().unwrap();
    let photograph = photograph();
    let frame = Frame::from_fn(size(1024, 576), |x, y| {
        let inside = (36..988).contains(&x) && (36..540).contains(&y);
        if inside {
            pixel(&photograph, x / 2, y / 2)
        } else {
            [255; 3]
        }
    });
    write_png(&folder.path().join("framed.png"), &frame);
    let done = document(
        folder.path(),
        &["darken", "framed.png", "--out", "dark", "--json"],
    );
    assert_eq!(done["slides"][0]["change"], "reversed");
    let dark = read_picture(&folder.path().join("dark/framed.png"))
        .unwrap()
        .frame;
    assert_eq!(pixel(&dark, 8, 300), [0; 3]);
    assert_eq!(pixel(&dark, 1000, 10), [0; 3]);
}
