//! Decks: what counts as a slide, pages drawn where and as large as the output wants them, and bad input.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use nightglass::files::deck::Deck;
use nightglass::files::demonstration::SLIDES;
use nightglass::files::documents::Documents;
use nightglass::files::pages::Pages;
use nightglass::files::slide_file::{SlideReader, SlideSource};
use nightglass::pixel::color::to_u8;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::placement::{output_size, place_slide};
use nightglass::pixel::settings::{Fit, Placement, Size, SlidePlace};
use rayon::prelude::*;

use crate::formats::data;
use crate::pdfs::{PdfPage, pdf};

const BLACK: [u8; 3] = [0; 3];
const BLUE: [u8; 3] = [0, 0, 255];
const WHITE: [u8; 3] = [255; 3];
/// A rectangle that covers a page.
const WHOLE: [f32; 4] = [0.0, 0.0, 1.0, 1.0];

/// A folder with files in it, and their paths.
fn folder_with(files: &[(&str, &[u8])]) -> (tempfile::TempDir, Vec<PathBuf>) {
    let folder = tempfile::tempdir().unwrap();
    let paths = files.iter().map(|(name, bytes)| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    });
    let paths = paths.collect();
    (folder, paths)
}

fn pages(written: &str) -> Pages {
    written.parse().unwrap()
}

fn problems(deck: &Deck) -> Vec<String> {
    deck.problems.iter().map(ToString::to_string).collect()
}

fn pixel(frame: &Frame, x: u32, y: u32) -> [u8; 3] {
    let index = y as usize * frame.size().width() as usize + x as usize;
    let [r, g, b, a] = frame.rgba_frac(index).map(to_u8);
    assert_eq!(a, 255);
    [r, g, b]
}

#[test]
fn pages_are_read_as_they_are_written_and_told_apart_from_what_is_none() {
    let picked = pages("3-7, 9");
    let all: Vec<u32> = (1..12).filter(|page| picked.contains(*page)).collect();
    assert_eq!(all, [3, 4, 5, 6, 7, 9]);
    assert_eq!(picked.to_string(), "3-7,9");
    let refused = |written: &str| written.parse::<Pages>().unwrap_err().to_string();
    assert_eq!(refused("0"), "the first page is 1, got 0");
    assert_eq!(refused("0-3"), "the first page is 1, got 0-3");
    assert_eq!(
        refused("7-3"),
        "expected the smaller page first, such as 3-7, got 7-3"
    );
    for garbage in ["", "a", "3-", "-3", "1,,2", "1.5", "+2", "99999999999"] {
        let words = format!("expected pages such as 3-7,9, got `{garbage}`");
        assert_eq!(refused(garbage), words);
    }
}

#[test]
fn every_page_is_a_slide_of_its_own_between_the_pictures() {
    let three = pdf(&[
        PdfPage::empty(320.0, 180.0),
        PdfPage::empty(320.0, 180.0),
        PdfPage::empty(320.0, 180.0),
    ]);
    let (_folder, paths) = folder_with(&[
        ("a.png", SLIDES[0].bytes),
        ("deck.PDF", &three),
        ("without an ending", &three),
        ("z.png", SLIDES[0].bytes),
    ]);
    let mut deck = Deck::open(&paths);
    let page = |file: usize, page: u32| SlideSource::page_of(paths[file].clone(), page);
    let all = [
        SlideSource::file(paths[0].clone()),
        page(1, 1),
        page(1, 2),
        page(1, 3),
        page(2, 1),
        page(2, 2),
        page(2, 3),
        SlideSource::file(paths[3].clone()),
    ];
    assert_eq!(deck.slides, all);
    assert!(deck.problems.is_empty());
    assert_eq!(all[2].title(), "deck, page 2");
    assert_eq!(
        all[2].to_string(),
        format!("{}, page 2", paths[1].display())
    );

    deck.pick(&pages("2-3"));
    let picked = [0, 2, 3, 5, 6, 7].map(|index| all[index].clone());
    assert_eq!(deck.slides, picked);
    assert!(deck.problems.is_empty());

    let mut deck = Deck::open(&paths[1..2]);
    deck.pick(&pages("2,4-6"));
    assert_eq!(deck.slides, [page(1, 2)]);
    assert_eq!(
        problems(&deck),
        [format!(
            "expected pages from 1 to 3, got 6: `{}`",
            paths[1].display()
        )]
    );

    let mut deck = Deck::open(&paths[..1]);
    deck.pick(&pages("2"));
    assert_eq!(deck.slides.len(), 1);
    assert_eq!(
        problems(&deck),
        ["pages 2 were picked, but no slide is a page of a file"]
    );
}

#[test]
fn a_folder_stands_for_its_pictures_and_says_where_the_pdf_is() {
    let (folder, paths) = folder_with(&[("b.pdf", b"%PDF-"), ("a.pdf", b"%PDF-"), (".x.png", b"")]);
    let deck = Deck::open(&[folder.path().to_owned()]);
    assert!(deck.slides.is_empty());
    let hint = deck.problems[0].hint().unwrap();
    assert!(
        hint.ends_with(&format!("`{}`", paths[1].display())),
        "{hint}"
    );
    std::fs::write(folder.path().join("1.png"), SLIDES[0].bytes).unwrap();
    assert_eq!(Deck::open(&[folder.path().to_owned()]).slides.len(), 1);
}

/// What a placement leaves untouched lies in the output as it is in the slide.
fn is_untouched(placement: &Placement, slide: Size, output: Size) -> bool {
    let placed = place_slide(placement, slide, output);
    let whole = |taps: &[nightglass::pixel::placement::Tap]| {
        taps.iter()
            .all(|tap| tap.count == 0 || (tap.count == 1 && tap.first_weight == 1.0))
    };
    whole(&placed.columns) && whole(&placed.rows)
}

/// Pages of common and of strange sizes: 16:9 and 4:3 of slide programs, A4, a beamer's, one that is
/// a hair short of whole pixels, and the largest that the format allows (ISO 32000-1, annex C: 14,400 points).
#[test]
fn a_page_of_any_size_lands_on_the_output_untouched() {
    let sizes = [
        [960.0, 540.0],
        [720.0, 540.0],
        [595.276, 841.89],
        [362.835, 272.126],
        [959.976, 540.0],
        [14_400.0, 14_400.0],
        [14_400.0, 3.0],
        [3.0, 14_400.0],
        [1.0, 1.0],
    ];
    let made: Vec<PdfPage> = sizes
        .iter()
        .map(|[w, h]| PdfPage::empty(*w, *h).patch(WHOLE, BLUE))
        .collect();
    let (_folder, paths) = folder_with(&[("deck.pdf", &pdf(&made))]);
    let documents = Documents::default();
    let deck = Deck::open_with(&paths, &documents);
    assert_eq!(deck.slides.len(), sizes.len());
    let place = SlidePlace::new([10.0, 7.0, 33.0, 47.0]).unwrap();
    let mut checked = 0;
    for slide_fit in [Fit::Fit, Fit::Stretch, Fit::Fill] {
        for slide_place in [SlidePlace::default(), place] {
            let size = Some(Size::new(641, 359).unwrap());
            let placement = Placement {
                size,
                slide_fit,
                slide_place,
                ..Placement::default()
            };
            let output = output_size(&placement, None);
            let reader = SlideReader::new(&placement, None).with_documents(documents.clone());
            for slide in &deck.slides {
                let frame = reader.read(slide).unwrap().frame;
                let [w, h] = [frame.size().width(), frame.size().height()];
                // A fill of a thread enlarges it beyond what a frame may have; then it is scaled.
                let is_capped = w == 16_384 || h == 16_384;
                assert!(
                    is_capped || is_untouched(&placement, frame.size(), output),
                    "{slide}: {}",
                    frame.size()
                );
                for [x, y] in [
                    [0, 0],
                    [w - 1, 0],
                    [0, h - 1],
                    [w - 1, h - 1],
                    [w / 2, h / 2],
                ] {
                    assert_eq!(pixel(&frame, x, y), BLUE, "{slide} at {x}, {y}");
                }
                checked += 1;
            }
        }
    }
    assert_eq!(checked, 54);
    let hd = SlideReader::default().with_documents(documents);
    let size_of = |index: usize| {
        hd.read(&deck.slides[index])
            .unwrap()
            .frame
            .size()
            .to_string()
    };
    assert_eq!(
        [0, 1, 4, 5].map(size_of),
        ["1920x1080", "1440x1080", "1920x1080", "1080x1080"]
    );
}

#[test]
fn a_page_is_white_paper_its_colours_are_exact_and_its_turn_is_applied() {
    let patches = PdfPage::empty(960.0, 540.0)
        .patch([0.25, 0.5, 0.25, 0.25], [1, 15, 200])
        .patch([0.5, 0.5, 0.25, 0.25], BLACK);
    let turned = PdfPage {
        rotate: 90,
        ..patches.clone()
    };
    let (_folder, paths) = folder_with(&[("deck.pdf", &pdf(&[patches, turned]))]);
    let deck = Deck::open(&paths);
    let reader = SlideReader::default();
    let frame = reader.read(&deck.slides[0]).unwrap().frame;
    for (x, y, color) in [
        (0, 0, WHITE),
        (479, 540, WHITE),
        (480, 539, WHITE),
        (480, 540, [1, 15, 200]),
        (959, 809, [1, 15, 200]),
        (960, 540, BLACK),
        (1439, 809, BLACK),
        (1440, 809, WHITE),
        (1439, 810, WHITE),
    ] {
        assert_eq!(pixel(&frame, x, y), color, "at {x}, {y}");
    }
    // Clockwise: what was at the bottom is at the left.
    let frame = reader.read(&deck.slides[1]).unwrap().frame;
    let [w, h] = [frame.size().width(), frame.size().height()];
    assert_eq!([w, h], [608, 1080]);
    assert_eq!(pixel(&frame, w * 3 / 8, h * 3 / 8), [1, 15, 200]);
    assert_eq!(pixel(&frame, w * 3 / 8, h * 5 / 8), BLACK);
    assert_eq!(pixel(&frame, w * 5 / 8, h * 5 / 8), WHITE);
}

#[test]
fn pages_drawn_at_once_are_the_pages_drawn_one_after_the_other() {
    let made: Vec<PdfPage> = (0..40u8)
        .map(|n| {
            PdfPage::empty(320.0, 180.0)
                .patch([f32::from(n) / 80.0, 0.1, 0.3, 0.3], [n, 0, 255 - n])
        })
        .collect();
    let (_folder, paths) = folder_with(&[("deck.pdf", &pdf(&made))]);
    let deck = Deck::open(&paths);
    let placement = Placement {
        size: Some(Size::new(320, 180).unwrap()),
        ..Placement::default()
    };
    let reader = SlideReader::new(&placement, None);
    let read = |slide: &SlideSource| reader.read(slide).unwrap().frame;
    let at_once: Vec<Frame> = deck.slides.par_iter().map(read).collect();
    let in_turn: Vec<Frame> = deck.slides.iter().map(read).collect();
    assert_eq!(at_once.len(), 40);
    assert_eq!(at_once, in_turn);
    assert_eq!(pixel(&in_turn[20], 96, 50), [20, 0, 235]);
}

/// A file that was written again is another file, also where it is open already.
#[test]
fn a_pdf_that_was_exported_again_is_read_again() {
    let one = |color| pdf(&[PdfPage::empty(320.0, 180.0).patch(WHOLE, color)]);
    let (_folder, paths) = folder_with(&[("deck.pdf", &one(BLUE))]);
    let reader = SlideReader::default();
    let slide = SlideSource::page_of(paths[0].clone(), 1);
    assert_eq!(pixel(&reader.read(&slide).unwrap().frame, 9, 9), BLUE);
    // Times of files are told apart from 10 ms on.
    std::thread::sleep(Duration::from_millis(20));
    std::fs::write(&paths[0], one(BLACK)).unwrap();
    assert_eq!(pixel(&reader.read(&slide).unwrap().frame, 9, 9), BLACK);
}

#[test]
fn bad_pdfs_are_told_and_the_rest_of_the_deck_is_there() {
    let good = pdf(&[PdfPage::empty(320.0, 180.0).patch(WHOLE, BLUE)]);
    let password = std::fs::read(data("pdf/password.pdf")).unwrap();
    let (folder, paths) = folder_with(&[
        ("damaged.pdf", b"%PDF-1.7 and nothing of a PDF after it"),
        ("cut.pdf", &good[..40]),
        ("empty.pdf", b""),
        ("no pages.pdf", &pdf(&[])),
        ("password.pdf", &password),
        ("good.pdf", &good),
        ("picture.pdf", SLIDES[0].bytes),
    ]);
    let missing = folder.path().join("missing.pdf");
    let deck = Deck::open(&[&paths[..], &[missing]].concat());
    assert_eq!(deck.slides, [SlideSource::page_of(paths[5].clone(), 1)]);
    let said: Vec<String> = problems(&deck)
        .iter()
        .map(|said| said.replace(&format!("{}/", folder.path().display()), ""))
        .collect();
    assert_eq!(
        said,
        [
            "the PDF is damaged, or is none: `damaged.pdf`",
            "the PDF is damaged, or is none: `cut.pdf`",
            "the PDF is damaged, or is none: `empty.pdf`",
            "the PDF has no pages: `no pages.pdf`",
            "the PDF opens with a password only: `password.pdf`",
            "the PDF is damaged, or is none: `picture.pdf`",
            "no such slide or folder: `missing.pdf`",
        ]
    );
    assert!(deck.problems.iter().all(|problem| problem.hint().is_some()));

    let beyond = SlideReader::default().read(&SlideSource::page_of(paths[5].clone(), 2));
    let said = beyond.unwrap_err().to_string();
    assert!(
        said.starts_with("expected a page from 1 to 1, got 2"),
        "{said}"
    );
}

#[test]
fn a_pdf_of_ten_thousand_pages_opens_and_its_last_page_is_drawn() {
    let made = vec![PdfPage::empty(320.0, 180.0).patch(WHOLE, BLUE); 10_000];
    let (_folder, paths) = folder_with(&[("deck.pdf", &pdf(&made))]);
    let started = Instant::now();
    let documents = Documents::default();
    let mut deck = Deck::open_with(&paths, &documents);
    println!("10,000 pages open in {:?}", started.elapsed());
    assert_eq!(deck.slides.len(), 10_000);
    deck.pick(&pages("9999-10000"));
    assert_eq!(deck.slides.len(), 2);
    let reader = SlideReader::default().with_documents(documents);
    let frame = reader.read(&deck.slides[1]).unwrap().frame;
    assert_eq!(pixel(&frame, 960, 540), BLUE);
    // Far above what a busy machine needs, far below what reading the file for each page would take.
    assert!(
        started.elapsed() < Duration::from_secs(30),
        "{:?}",
        started.elapsed()
    );
}
