//! The page that `inspect --report` writes, and the marked picture, read and looked at again.

use std::collections::BTreeSet;
use std::path::Path;

use html5ever::tokenizer::TagKind;
use nightglass::files::demonstration::CAMERA;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;
use nightglass::report::inspect_page::PICTURE_BYTES;
use nightglass::report::marked::{Mark, label_places};
use nightglass::report::outline::draw_outline;

use crate::calibrate::save_png;
use crate::check::said;
use crate::check_page::{attribute, named, tags_of};
use crate::inspect::inspect;

/// The page about the demonstration's camera under this name.
fn page_of(folder: &Path, name: &str) -> String {
    std::fs::write(folder.join(name), CAMERA.bytes).unwrap();
    let output = inspect(folder, &[name, "--report", "report.html"]);
    assert_ne!(output.status.code(), Some(2), "{}", said(&output.stderr));
    std::fs::read_to_string(folder.join("report.html")).unwrap()
}

#[test]
fn the_page_of_a_frame_is_whole_and_needs_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), "camera.jpg");
    let tags = tags_of(&page);
    assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
    assert!(page.len() < PICTURE_BYTES + 40_000);
    let texts: String = page
        .split("base64,")
        .map(|part| part.split_once('"').map_or(part, |(_, rest)| rest))
        .collect();
    for scheme in [
        "http:", "https:", "//", "@import", "url(", "<script", "<link",
    ] {
        assert!(!texts.contains(scheme), "the page has {scheme}");
    }
    let images = named(&tags, "img");
    assert_eq!(images.len(), 1);
    assert!(
        attribute(images[0], "alt")
            .unwrap()
            .contains("1 a reflection in the glass, bottom left")
    );
    for landmark in [
        "header", "main", "title", "h1", "table", "caption", "figure",
    ] {
        assert_eq!(named(&tags, landmark).len(), 1, "{landmark}");
    }
    let ids: Vec<&str> = tags.iter().filter_map(|tag| attribute(tag, "id")).collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), unique.len(), "{ids:?}");
    for link in named(&tags, "a") {
        let target = attribute(link, "href").unwrap().strip_prefix('#').unwrap();
        assert!(unique.contains(target), "nothing is called {target}");
    }
    let mut open: Vec<String> = Vec::new();
    for tag in &tags {
        let name = tag.name.to_string();
        match tag.kind {
            TagKind::StartTag if ["meta", "img", "wbr"].contains(&&*name) => {}
            TagKind::StartTag => open.push(name),
            TagKind::EndTag => assert_eq!(open.pop(), Some(name)),
        }
    }
    assert!(open.is_empty());
}

#[test]
fn every_finding_and_every_number_is_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let mut camera = image::load_from_memory(CAMERA.bytes).unwrap().to_rgb8();
    for (x, y) in (0..8).flat_map(|x| (0..8).map(move |y| (x, y))) {
        camera.put_pixel(700 + x, 800 + y, image::Rgb([200; 3]));
    }
    camera.save(folder.path().join("lamp.png")).unwrap();
    inspect(folder.path(), &["lamp.png", "--report", "report.html"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    let json = inspect(folder.path(), &["lamp.png", "--json"]);
    let document: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let findings = document["findings"].as_array().unwrap();
    assert!(findings.len() >= 2);
    let plain = page.replace('\u{a0}', " ").replace("&#39;", "'");
    for finding in findings {
        let advice = finding["advice"].as_str().unwrap();
        assert!(plain.contains(advice), "{advice}");
        let measured = finding["measured"].to_string();
        assert!(plain.contains(&measured), "{measured}");
    }
    let is_number = |key: &&String| key.ends_with("_percent") || key.ends_with("_px");
    let numbers: Vec<&String> = document["camera"]
        .as_object()
        .unwrap()
        .keys()
        .filter(is_number)
        .collect();
    assert_eq!(numbers.len(), 7, "{numbers:?}");
    for number in numbers {
        let value = document["camera"][number].as_f64().unwrap();
        assert!(plain.contains(&format!("<td>{value} ")), "{number} {value}");
    }
}

#[cfg(unix)]
#[test]
fn the_name_of_the_frame_is_shown_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), "<img src=x onerror=alert(1)> & q.jpg");
    assert_eq!(named(&tags_of(&page), "img").len(), 1);
    let page = page.replace("<wbr>", "");
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt; &amp; q.jpg"));
}

#[test]
fn the_name_of_the_frame_breaks_between_its_parts() {
    let folder = tempfile::tempdir().unwrap();
    for (name, parts) in [
        ("second_board-2.jpg", "second_<wbr>board-<wbr>2.jpg"),
        // What has no parts breaks before its ending, rather than in a word.
        ("secondboard.jpg", "secondboard<wbr>.jpg"),
    ] {
        let page = page_of(folder.path(), name);
        assert_eq!(
            page.matches(parts).count(),
            2,
            "{name}, in the heading and below it"
        );
    }
}

#[test]
fn a_flag_in_an_advice_breaks_between_its_words_and_not_in_its_hyphens() {
    let folder = tempfile::tempdir().unwrap();
    let chart = draw_chart(Chart::new(Size::new(1280, 720).unwrap()).unwrap());
    let turned = Frame::from_fn(Size::new(720, 1280).unwrap(), |x, y| {
        let [r, g, b, _] = chart.rgba_frac(((719 - x) * 1280 + y) as usize);
        [r, g, b].map(|v| (v * 255.0).round() as u8)
    });
    save_png(&folder.path().join("turned.png"), &turned);
    inspect(folder.path(), &["turned.png", "--report", "report.html"]);
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    for flag in [
        "<code>--turn-<wbr>camera</code>",
        "<code>--mirror-<wbr>camera</code>",
    ] {
        assert!(page.contains(flag), "{flag}");
    }
}

#[test]
fn the_marked_picture_has_the_frame_and_a_list_below_it() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("camera.jpg"), CAMERA.bytes).unwrap();
    let output = inspect(folder.path(), &["camera.jpg", "--marked", "marked.png"]);
    assert!(said(&output.stdout).ends_with("wrote marked.png\n"));
    let marked = image::open(folder.path().join("marked.png"))
        .unwrap()
        .to_rgb8();
    assert_eq!(marked.width(), 1920);
    assert!(marked.height() > 1080 + 80, "{}", marked.height());
    // Nothing is drawn far from findings, writing and presenter.
    let camera = CAMERA.frame().unwrap();
    let Pixels::Rgba8(pixels) = camera.pixels() else {
        panic!("an 8-bit picture");
    };
    for (x, y) in [(400, 700), (700, 600), (30, 30)] {
        let [r, g, b, _] = pixels[(y * 1920 + x) as usize];
        assert_eq!(marked.get_pixel(x, y).0, [r, g, b]);
    }
    let is_light = |pixel: &image::Rgb<u8>| pixel.0 == [255; 3];
    assert!(marked.pixels().filter(|pixel| is_light(pixel)).count() > 5000);
}

#[test]
fn labels_of_crowded_boxes_neither_overlap_nor_leave_the_picture() {
    let labels = [
        "1 reflection",
        "2 wrong-way-round",
        "3 faint-writing",
        "4 soft-focus",
        "5 dark-clothes",
        "6 clipped",
    ];
    let corner = |x: u32, y: u32, width: u32, height: u32| PixelBox {
        x,
        y,
        width,
        height,
    };
    let mut compared = 0;
    for places in [
        [corner(300, 170, 20, 10); 6],
        [corner(0, 0, 6, 6); 6],
        [corner(630, 350, 10, 10); 6],
        [corner(0, 0, 640, 360); 6],
        [
            corner(600, 0, 40, 20),
            corner(590, 4, 40, 20),
            corner(0, 340, 30, 20),
            corner(620, 330, 20, 30),
            corner(310, 0, 20, 360),
            corner(0, 170, 640, 10),
        ],
    ] {
        let marks: Vec<Mark> = labels
            .iter()
            .zip(places)
            .map(|(label, bounds)| Mark {
                label: (*label).to_owned(),
                bounds: Some(bounds),
            })
            .collect();
        let output = Size::new(640, 360).unwrap();
        for (width, height) in [(320, 180), (640, 360), (1920, 1080)] {
            let picture = Frame::from_fn(Size::new(width, height).unwrap(), |_, _| [0; 3]);
            let found = label_places(&picture, output, &marks);
            assert_eq!(found.len(), 6);
            for (index, a) in found.iter().enumerate() {
                let is_inside = a[0] >= 0.0
                    && a[1] >= 0.0
                    && a[2] <= f64::from(width)
                    && a[3] <= f64::from(height);
                assert!(is_inside, "{places:?} at {width}: {a:?}");
                for b in &found[index + 1..] {
                    let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                    assert!(apart, "{places:?} at {width}: {a:?} on {b:?}");
                    compared += 1;
                }
            }
        }
    }
    assert_eq!(compared, 5 * 3 * 15);
}

#[test]
fn outlines_are_dashed_and_lie_outside() {
    let size = Size::new(200, 120).unwrap();
    let bytes: Vec<u8> = (0..size.area())
        .map(|at| u8::from((60..140).contains(&(at % 200)) && (40..80).contains(&(at / 200))))
        .collect();
    let mask = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let mut picture = Frame::from_fn(Size::new(100, 60).unwrap(), |_, _| [90; 3]);
    draw_outline(&mut picture, &mask, 4);
    let Pixels::Rgba8(pixels) = picture.pixels() else {
        panic!("an 8-bit picture");
    };
    let at = |x: usize, y: usize| pixels[y * 100 + x][0];
    // The mask at half size is 30 to 70 by 20 to 40; a pixel stays free.
    for y in 19..=40 {
        for x in 29..=70 {
            assert_eq!(at(x, y), 90, "{x},{y}");
        }
    }
    let top: Vec<u8> = (28..=71).map(|x| at(x, 18)).collect();
    assert!(top.iter().all(|code| [0, 255].contains(code)), "{top:?}");
    let runs = top.chunk_by(|a, b| a == b).map(<[u8]>::len);
    let inner: Vec<usize> = runs.collect();
    assert!(
        inner[1..inner.len() - 1].iter().all(|&length| length == 4),
        "{inner:?}"
    );
    assert_eq!(at(50, 10), 90);
}
