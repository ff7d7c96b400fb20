//! `check` on decks in which much is wrong: what can be checked is, the rest is named with a way out, the
//! status is 2, and nothing of the user's is changed.

use std::process::Output;

use serde_json::Value;

use crate::check::{Desk, said};
use crate::formats::data;
use crate::pdfs::{PdfPage, pdf};

const BLUE: [u8; 3] = [0, 0, 255];

/// A page of this size in points, black but for a blue box in its middle.
fn page(width: f32, height: f32) -> PdfPage {
    let all_of_it = [0.0, 0.0, 1.0, 1.0];
    PdfPage::empty(width, height)
        .patch(all_of_it, [0; 3])
        .patch([0.25, 0.25, 0.5, 0.5], BLUE)
}

/// A desk with a PDF for everything that can be wrong with one, and a good one.
fn desk() -> Desk {
    let desk = Desk::new();
    let good = pdf(&[page(960.0, 540.0)]);
    desk.write("good.pdf", &good);
    desk.write("damaged.pdf", b"%PDF-1.7 and nothing of a PDF after it");
    desk.write("empty.pdf", b"");
    desk.write("no pages.pdf", &pdf(&[]));
    desk.write(
        "password.pdf",
        &std::fs::read(data("pdf/password.pdf")).unwrap(),
    );
    desk
}

/// Every error with the hint below it.
fn errors(output: &Output) -> Vec<(String, String)> {
    let text = said(&output.stderr);
    let blocks = text.split("error: ").skip(1);
    let parts = blocks.map(|block| {
        let (error, hint) = block.split_once("\n\nhint: ").unwrap();
        (error.to_owned(), hint.trim_end().to_owned())
    });
    parts.collect()
}

fn document(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn every_bad_pdf_is_named_with_a_way_out_and_the_rest_is_checked() {
    let desk = desk();
    let names = [
        "damaged.pdf",
        "empty.pdf",
        "no pages.pdf",
        "password.pdf",
        "nowhere.pdf",
    ];
    let before: Vec<Option<Vec<u8>>> = names.map(|n| std::fs::read(desk.path(n)).ok()).into();
    let mixed = [&names[..], &["1 black.png", "good.pdf", "--json"]].concat();
    let output = desk.check(&mixed);
    assert_eq!(output.status.code(), Some(2));
    let damaged = ("the PDF is damaged, or is none: ", "export the PDF again");
    let expected = [
        damaged,
        damaged,
        (
            "the PDF has no pages: ",
            "export or copy the PDF again: it is empty, or was cut off",
        ),
        (
            "the PDF opens with a password only: ",
            "export the slides as a PDF without a password",
        ),
        (
            "no such slide or folder: ",
            "check the name and the folder you are in",
        ),
    ];
    let expected: Vec<(String, String)> = expected
        .iter()
        .zip(names)
        .map(|((error, hint), name)| (format!("{error}`{name}`"), (*hint).to_owned()))
        .collect();
    assert_eq!(errors(&output), expected);
    let document = document(&output);
    let slides = document["slides"].as_array().unwrap();
    assert_eq!(slides.len(), 2);
    assert_eq!(slides[1]["slide"], "good.pdf");
    assert_eq!(slides[1]["findings"][0]["kind"], "half-keyed");
    assert_eq!(document["unreadable"].as_array().unwrap().len(), 5);
    let after: Vec<Option<Vec<u8>>> = names.map(|n| std::fs::read(desk.path(n)).ok()).into();
    assert_eq!(before, after);
}

#[test]
fn a_pdf_that_was_cut_off_is_refused_wherever_it_was_cut() {
    let desk = Desk::new();
    let whole = pdf(&vec![page(960.0, 540.0); 4]);
    for eighth in 1..8 {
        desk.write("cut.pdf", &whole[..whole.len() * eighth / 8]);
        let output = desk.check(&["cut.pdf"]);
        assert_eq!(output.status.code(), Some(2), "{eighth} eighths");
        let found = errors(&output);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].0.ends_with(": `cut.pdf`") && found[0].1.starts_with("export"));
    }
    desk.write("cut.pdf", &whole);
    assert_eq!(desk.check(&["cut.pdf"]).status.code(), Some(1));
}

#[test]
fn slides_of_any_size_are_checked_on_one_output() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("mixed")).unwrap();
    for (name, width, height) in [("1.png", 640, 480), ("2.png", 540, 960), ("10.png", 1, 1)] {
        let slide = image::RgbImage::from_fn(width, height, |x, y| {
            let inside = x > width / 4 && x < width / 2 && y > height / 4 && y < height / 2;
            image::Rgb(if inside { BLUE } else { [0; 3] })
        });
        slide.save(desk.path("mixed").join(name)).unwrap();
    }
    // As large as a page may be, 200 inches, and far beyond; as narrow as nothing.
    let sizes = [
        [14_400.0, 8100.0],
        [14_400_000.0, 8_100_000.0],
        [100_000.0, 1.0],
    ];
    let pages: Vec<PdfPage> = sizes.iter().map(|[w, h]| page(*w, *h)).collect();
    desk.write("pages.pdf", &pdf(&pages));
    let output = desk.check(&["mixed", "pages.pdf", "--json"]);
    assert_eq!(said(&output.stderr), "");
    let document = document(&output);
    assert_eq!(document["output"], serde_json::json!([1920, 1080]));
    let slides = document["slides"].as_array().unwrap();
    let names: Vec<&str> = slides
        .iter()
        .map(|s| s["slide"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        [
            "mixed/1.png",
            "mixed/2.png",
            "mixed/10.png",
            "pages.pdf",
            "pages.pdf",
            "pages.pdf"
        ]
    );
    // The blue box of a page is the middle half of the output, whatever the page measures.
    for slide in &slides[3..5] {
        let found = &slide["findings"][0];
        assert_eq!(found["kind"], "half-keyed");
        assert_eq!(found["box"], serde_json::json!([480, 270, 960, 540]));
    }
}

#[test]
fn pages_out_of_bounds_are_named_and_the_others_are_checked() {
    let desk = Desk::new();
    desk.write("two.pdf", &pdf(&[page(960.0, 540.0), page(960.0, 540.0)]));
    let output = desk.check(&["two.pdf", "--pages", "2-5", "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let hint = "pick pages that there are with `--pages`";
    assert_eq!(
        errors(&output),
        [(
            "expected pages from 1 to 2, got 5: `two.pdf`".to_owned(),
            hint.to_owned()
        )]
    );
    let checked = document(&output);
    assert_eq!(checked["slides"].as_array().unwrap().len(), 1);
    assert_eq!(checked["slides"][0]["page"], 2);
    let output = desk.check(&["two.pdf", "--pages", "7"]);
    assert!(output.stdout.is_empty() && output.status.code() == Some(2));
}

#[test]
fn of_ten_thousand_pages_the_picked_ones_are_checked() {
    let desk = Desk::new();
    desk.write("deck.pdf", &pdf(&vec![page(960.0, 540.0); 10_000]));
    let output = desk.check(&["deck.pdf", "--pages", "5000,10000", "--json"]);
    assert_eq!(output.status.code(), Some(1), "{}", said(&output.stderr));
    let document = document(&output);
    let slides = document["slides"].as_array().unwrap();
    let pages: Vec<u64> = slides.iter().map(|s| s["page"].as_u64().unwrap()).collect();
    assert_eq!(pages, [5000, 10_000]);
}

/// What LibreOffice does wrong, as its stand-in does it; hanging takes its two minutes and is tried beside
/// the library in `deck_commands.rs`.
#[cfg(unix)]
#[test]
fn libreoffice_that_is_missing_or_fails_leaves_the_rest_checked() {
    use std::os::unix::fs::PermissionsExt;
    use std::process::Command;

    let desk = Desk::new();
    desk.write("talk.pptx", b"PK, as far as anybody here looks");
    std::fs::create_dir(desk.path("bin")).unwrap();
    let program = desk.path("bin/soffice");
    for (does, error) in [
        (
            None,
            "slides of a slide program are read through LibreOffice, which is not installed: `talk.pptx`",
        ),
        (
            Some("echo no such filter >&2; exit 77"),
            "LibreOffice failed with exit status: 77 (`no such filter`) on `talk.pptx`",
        ),
        (Some("exit 0"), "LibreOffice made no PDF of `talk.pptx`"),
    ] {
        if let Some(does) = does {
            std::fs::write(&program, format!("#!/bin/sh\n{does}\n")).unwrap();
            std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
        }
        let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.folder.path())
            .env("PATH", desk.path("bin"))
            .args(["check", "talk.pptx", "2 white.png", "--json"])
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        let hint = "export the slides as a PDF from the slide program, and name that";
        assert_eq!(errors(&output), [(error.to_owned(), hint.to_owned())]);
        let document = document(&output);
        assert_eq!(document["slides"][0]["slide"], "2 white.png");
        assert_eq!(document["unreadable"][0]["error"], error);
    }
}
