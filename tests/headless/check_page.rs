//! The page that `check --report` writes, read by a real HTML parser.

use std::cell::RefCell;
use std::collections::BTreeSet;

use html5ever::tendril::StrTendril;
use html5ever::tokenizer::{
    BufferQueue, Tag, TagKind, Token, TokenSink, TokenSinkResult, Tokenizer, TokenizerOpts,
};
use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::measure::contrast::contrast_of_codes;
use nightglass::report::check_page::SLIDE_BYTES;

use crate::check::{Desk, said};

/// Tags, texts and errors, as the tokenizer of the HTML standard gives them.
#[derive(Default)]
struct Seen {
    tags: RefCell<Vec<Tag>>,
    errors: RefCell<Vec<String>>,
}

impl TokenSink for Seen {
    type Handle = ();

    fn process_token(&self, token: Token, _line: u64) -> TokenSinkResult<()> {
        match token {
            Token::TagToken(tag) => self.tags.borrow_mut().push(tag),
            Token::ParseError(error) => self.errors.borrow_mut().push(error.into_owned()),
            _ => {}
        }
        TokenSinkResult::Continue
    }
}

/// The tags of a page; it must be without errors.
pub(crate) fn tags_of(page: &str) -> Vec<Tag> {
    let options = TokenizerOpts {
        exact_errors: true,
        ..TokenizerOpts::default()
    };
    let tokenizer = Tokenizer::new(Seen::default(), options);
    let queue = BufferQueue::default();
    queue.push_back(StrTendril::from(page));
    let _ended = tokenizer.feed(&queue);
    tokenizer.end();
    assert_eq!(*tokenizer.sink.errors.borrow(), Vec::<String>::new());
    tokenizer.sink.tags.take()
}

pub(crate) fn attribute<'a>(tag: &'a Tag, name: &str) -> Option<&'a str> {
    let is_it = |a: &&html5ever::Attribute| &*a.name.local == name;
    tag.attrs.iter().find(is_it).map(|a| &*a.value)
}

/// Opening tags of this name.
pub(crate) fn named<'a>(tags: &'a [Tag], name: &str) -> Vec<&'a Tag> {
    let is_it = |tag: &&Tag| tag.kind == TagKind::StartTag && &*tag.name == name;
    tags.iter().filter(is_it).collect()
}

/// The page about the slides of a desk.
fn page_of(desk: &Desk, more: &[&str]) -> String {
    let output = desk.check(&[&[".", "--report", "report.html"], more].concat());
    assert_ne!(output.status.code(), Some(2), "{}", said(&output.stderr));
    std::fs::read_to_string(desk.path("report.html")).unwrap()
}

#[test]
fn the_page_is_whole_and_needs_nothing_else() {
    let desk = Desk::new();
    let page = page_of(&desk, &[]);
    let tags = tags_of(&page);
    assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
    for scheme in [
        "http:", "https:", "//", "@import", "url(", "<script", "<link",
    ] {
        let outside_pictures: String = page
            .split("base64,")
            .map(|part| part.split_once('"').map_or(part, |(_, rest)| rest))
            .collect();
        assert!(!outside_pictures.contains(scheme), "the page has {scheme}");
    }
    let images = named(&tags, "img");
    // A composite each, and the white slide marked.
    assert_eq!(images.len(), 3);
    for image in images {
        assert!(
            attribute(image, "src")
                .unwrap()
                .starts_with("data:image/jpeg;base64,")
        );
        assert!(attribute(image, "alt").unwrap().len() > 20);
        assert!(attribute(image, "width").is_some() && attribute(image, "height").is_some());
    }
}

#[test]
fn each_camera_with_findings_has_its_own_composite() {
    let desk = Desk::new();
    desk.write("camera.jpg", CAMERA.bytes);
    desk.write("4 lands.png", SLIDES[3].bytes);
    let black = image::RgbImage::from_pixel(1920, 1080, image::Rgb([0; 3]));
    black.save(desk.path("empty.png")).unwrap();
    let over = |cameras: &[&str]| {
        let output = desk.check(&[&["4 lands.png", "--report", "report.html"], cameras].concat());
        assert_eq!(said(&output.stderr).matches("error").count(), 0);
        let page = std::fs::read_to_string(desk.path("report.html")).unwrap();
        let article = page.split("<article").last().unwrap().to_owned();
        let article = article.replace("<wbr>", "");
        let captions = article.split("<figcaption>").skip(1);
        let words = captions.map(|part| part.split('<').next().unwrap().to_owned());
        words.collect::<Vec<String>>()
    };
    let recorded = "What is recorded: the slide under the key, over";
    assert_eq!(
        over(&["--camera", "empty.png", "--camera", "camera.jpg"]),
        [
            format!("{recorded} empty.png."),
            format!("{recorded} camera.jpg, with numbers for what was found over it."),
            "The slide. Numbers lead to the findings below.".to_owned(),
        ]
    );
    // Nothing is found over the second, and it is not shown.
    assert_eq!(
        over(&["--camera", "camera.jpg", "--camera", "empty.png"]).len(),
        2
    );
}

#[test]
fn headings_landmarks_and_ids_are_in_order() {
    let desk = Desk::new();
    let tags = tags_of(&page_of(&desk, &[]));
    for landmark in ["header", "main", "title", "h1", "table", "caption"] {
        assert_eq!(named(&tags, landmark).len(), 1, "{landmark}");
    }
    let level = |tag: &Tag| match (&tag.kind, &*tag.name) {
        (TagKind::StartTag, "h1") => Some(1),
        (TagKind::StartTag, "h2") => Some(2),
        (TagKind::StartTag, "h3") => Some(3),
        _ => None,
    };
    let levels: Vec<i32> = tags.iter().filter_map(level).collect();
    assert_eq!(levels, [1, 2, 2, 2, 3]);
    let ids: Vec<&str> = tags.iter().filter_map(|tag| attribute(tag, "id")).collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), unique.len(), "{ids:?}");
    let links = named(&tags, "a");
    assert!(links.len() >= 4);
    for link in links {
        let target = attribute(link, "href").unwrap().strip_prefix('#').unwrap();
        assert!(unique.contains(target), "nothing is called {target}");
    }
    for labelled in tags
        .iter()
        .filter_map(|tag| attribute(tag, "aria-labelledby"))
    {
        assert!(unique.contains(labelled));
    }
}

#[test]
fn every_tag_that_opens_closes_in_order() {
    let desk = Desk::new();
    let tags = tags_of(&page_of(&desk, &[]));
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

#[cfg(unix)]
#[test]
fn names_of_files_are_shown_as_they_are() {
    let desk = Desk::new();
    let name = "<img src=x onerror=alert(1)> & \"q\".png";
    desk.paint(name, [255; 3]);
    let page = page_of(&desk, &[]);
    assert_eq!(named(&tags_of(&page), "img").len(), 5);
    let page = page.replace("<wbr>", "");
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt; &amp; &quot;q&quot;.png"));
    assert!(!page.contains("<img src=x"));
}

#[test]
fn long_names_break_between_their_parts() {
    let desk = Desk::new();
    let name = "5_the_moon-and_the.tides.png";
    desk.paint(name, [255; 3]);
    desk.write("board_one.jpg", CAMERA.bytes);
    let page = page_of(&desk, &["--camera", "board_one.jpg"]);
    let parts = "5_<wbr>the_<wbr>moon-<wbr>and_<wbr>the.tides.png";
    // In the summary, over the slide, and nowhere else in words.
    assert_eq!(page.matches(parts).count(), 2);
    let tags = tags_of(&page);
    let alternatives = named(&tags, "img")
        .into_iter()
        .filter_map(|tag| attribute(tag, "alt"));
    assert!(alternatives.clone().any(|words| words.contains(name)));
    assert!(alternatives.clone().all(|words| !words.contains("wbr")));
    assert!(page.contains("px, over board_<wbr>one.jpg."));
    assert!(page.contains("under the key, over board_<wbr>one.jpg."));
}

#[test]
fn a_name_of_one_part_breaks_before_its_ending_alone() {
    let desk = Desk::new();
    desk.paint("moon.and.tides.png", [255; 3]);
    let page = page_of(&desk, &[]);
    assert!(page.contains("moon.and.tides<wbr>.png"));
    assert!(!page.contains("moon<wbr>"));
    // The last part of some may be as long as a whole name.
    desk.paint("stars_of_the_summertriangle.png", [255; 3]);
    let page = page_of(&desk, &[]);
    assert!(page.contains("stars_<wbr>of_<wbr>the_<wbr>summertriangle<wbr>.png"));
    // A short name goes to the next line whole.
    desk.paint("moon.png", [255; 3]);
    let page = page_of(&desk, &[]);
    assert!(page.contains("moon.png") && !page.contains("moon<wbr>"));
}

#[test]
fn slides_of_the_current_folder_are_shown_by_their_names_alone() {
    let desk = Desk::new();
    let page = page_of(&desk, &[]);
    let words = page.replace("<wbr>", "").replace('\u{a0}', " ");
    for shown in [
        ">1. 1 black.png</a>",
        ">2. 2 white.png</a>",
        ">2. 2 white.png <",
        "alt=\"Composite of 2 white.png ",
        "alt=\"2 white.png with numbered boxes",
    ] {
        assert!(words.contains(shown), "{shown}");
    }
    assert!(!words.contains("./"), "a path for a name");
}

#[test]
fn a_slide_of_noise_stays_within_its_bytes() {
    let desk = Desk::new();
    let mut state = 1_u32;
    let noise = image::RgbImage::from_fn(1920, 1080, |_, _| {
        image::Rgb([0; 3].map(|_: u8| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        }))
    });
    noise.save(desk.path("3 noise.png")).unwrap();
    let page = page_of(&desk, &[]);
    let articles: Vec<&str> = page.split("<article").skip(1).collect();
    assert_eq!(articles.len(), 3);
    for article in articles {
        assert!(article.len() < SLIDE_BYTES, "{} bytes", article.len());
    }
}

#[test]
fn a_report_that_cannot_be_written_is_known_before_the_work() {
    let desk = Desk::new();
    desk.write("notes.html", b"mine");
    for (name, error) in [
        (
            "nowhere/report.html",
            "no such folder for the output: `nowhere/report.html`",
        ),
        (
            "report.pdf",
            "expected a name ending in .html, got `report.pdf`",
        ),
        ("1 black.png", "the output is also an input: `1 black.png`"),
        (
            ".",
            "expected a file name for the output, got a folder: `.`",
        ),
    ] {
        let before = std::fs::read(desk.path("1 black.png")).unwrap();
        let output = desk.check(&["1 black.png", "2 white.png", "--report", name]);
        let stderr = said(&output.stderr);
        assert!(
            stderr.starts_with(&format!("error: {error}\n\nhint: ")),
            "{stderr}"
        );
        assert!(output.stdout.is_empty() && output.status.code() == Some(2));
        assert_eq!(std::fs::read(desk.path("1 black.png")).unwrap(), before);
    }
    // A report takes the place of an older one.
    desk.check(&["1 black.png", "--report", "notes.html"]);
    assert!(
        std::fs::read(desk.path("notes.html"))
            .unwrap()
            .starts_with(b"<!DOCTYPE")
    );
}

/// WCAG 2.2, success criterion 1.4.3: text needs 4.5:1 against what is behind it.
#[test]
fn every_text_colour_is_readable_in_light_dark_and_print() {
    let css = include_str!("../../src/report/page.css");
    let mut blocks = 0;
    for block in css.split(":root {").skip(1) {
        let block = block.split_once('}').unwrap().0;
        let color = |name: &str| {
            let hex = block.split(&format!("--{name}: #")).nth(1).unwrap();
            [0, 2, 4].map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap())
        };
        for name in ["ink", "quiet", "link", "pass", "warn", "fail"] {
            let ratio = contrast_of_codes(color(name), color("paper"));
            assert!(ratio >= 4.5, "{name} has {ratio:.2}:1");
        }
        blocks += 1;
    }
    assert_eq!(blocks, 3);
}
