//! What repeats on many slides is told once, before the slides: in the table and on the page.

use nightglass::measure::finding::{Finding, Kind, Severity, Unit};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::settings::Key;
use nightglass::report::check_document::{CheckDocument, CheckedSlide, SlideVerdict};
use nightglass::report::check_page::check_page;
use nightglass::report::check_table::check_table;
use nightglass::report::repeated::{alike_findings, repeated_findings};

const FOOTER: PixelBox = PixelBox {
    x: 100,
    y: 1000,
    width: 300,
    height: 20,
};

fn finding(kind: Kind, bounds: Option<PixelBox>, advice: &str) -> Finding {
    Finding {
        kind,
        severity: Severity::Warn,
        bounds,
        measured: 1.5,
        limit: 2.0,
        unit: Unit::Percent,
        advice: advice.to_owned(),
        camera: None,
    }
}

/// A deck of pages with these findings.
fn deck(pages: Vec<Vec<Finding>>) -> CheckDocument {
    let slides = pages.into_iter().zip(1..);
    CheckDocument {
        schema: CheckDocument::SCHEMA,
        output: [1920, 1080],
        key: Key::default().into(),
        chain: None,
        setup: None,
        cameras: Vec::new(),
        unanswered: Vec::new(),
        slides: slides
            .map(|(findings, page)| CheckedSlide {
                slide: "course/sky.pdf".to_owned(),
                page: Some(page),
                verdict: SlideVerdict::of(&findings, 0),
                accepted: 0,
                findings,
            })
            .collect(),
        unreadable: Vec::new(),
    }
}

fn footer(by: u32) -> Finding {
    let moved = PixelBox {
        x: FOOTER.x + by,
        ..FOOTER
    };
    finding(Kind::SmallText, Some(moved), "Set it larger.")
}

#[test]
fn a_footer_on_three_slides_is_one_thing_to_do() {
    let elsewhere = finding(
        Kind::SmallText,
        Some(PixelBox { y: 500, ..FOOTER }),
        "Other.",
    );
    let document = deck(vec![
        vec![footer(0)],
        vec![footer(20), elsewhere],
        vec![],
        vec![footer(5)],
    ]);
    let repeated = repeated_findings(&document);
    assert_eq!(repeated.len(), 1);
    assert_eq!(repeated[0].kind, Kind::SmallText);
    assert_eq!(repeated[0].slides, [0, 1, 3]);
    assert_eq!(repeated[0].places, [Some(FOOTER)]);
    assert_eq!(repeated[0].advice_words(), "Set it larger.");
}

#[test]
fn two_slides_or_three_places_are_no_repetition() {
    let twice = deck(vec![vec![footer(0)], vec![footer(0)], vec![]]);
    assert_eq!(repeated_findings(&twice), []);
    // Moved by more than a third of its width, a box shares less than half with where it was.
    let wandering = deck(vec![vec![footer(0)], vec![footer(150)], vec![footer(300)]]);
    assert_eq!(repeated_findings(&wandering), []);
}

#[test]
fn what_is_only_worth_knowing_is_told_once_too_and_last() {
    let mut worth_knowing = finding(Kind::OutsideSafe, Some(FOOTER), "Move it in.");
    worth_knowing.severity = Severity::Info;
    let document = deck(vec![vec![worth_knowing, footer(0)]; 4]);
    let repeated = repeated_findings(&document);
    let told: Vec<_> = repeated
        .iter()
        .map(|one| (one.kind, one.severity))
        .collect();
    assert_eq!(
        told,
        [
            (Kind::SmallText, Severity::Warn),
            (Kind::OutsideSafe, Severity::Info)
        ]
    );
    let table = check_table(&document, 80);
    assert_eq!(table.matches("Move it in.").count(), 1, "{table}");
    assert!(
        table.contains("in the layout that all slides share"),
        "{table}"
    );
}

#[test]
fn what_differs_in_measure_severity_or_camera_has_another_cause() {
    let covered = |percent: f64, camera: &str| {
        let mut one = finding(Kind::CoversWriting, Some(FOOTER), "Smaller.");
        one.measured = percent;
        one.limit = if percent > 20.0 { 20.0 } else { 5.0 };
        one.camera = Some(camera.to_owned());
        if percent > 20.0 {
            one.severity = Severity::Fail;
        }
        one
    };
    let pages = |all: [(f64, &str); 3]| {
        deck(
            all.map(|(percent, camera)| vec![covered(percent, camera)])
                .to_vec(),
        )
    };
    let count = |all| repeated_findings(&pages(all)).len();
    assert_eq!(count([(8.33, "a"), (100.0, "a"), (100.0, "a")]), 0);
    assert_eq!(count([(40.0, "a"), (100.0, "a"), (100.0, "a")]), 0);
    assert_eq!(count([(100.0, "a"), (100.0, "b"), (100.0, "a")]), 0);
    assert_eq!(count([(96.0, "a"), (100.0, "a"), (100.0, "a")]), 1);
}

#[test]
fn the_worst_comes_first_and_advice_that_differs_is_an_example() {
    let mut pages = Vec::new();
    for page in 0..5 {
        let mut dark = finding(Kind::NotDark, None, &format!("It has {} %.", 90 + page / 3));
        dark.severity = Severity::Fail;
        pages.push(vec![dark, footer(0)]);
    }
    let repeated = repeated_findings(&deck(pages));
    let kinds: Vec<Kind> = repeated.iter().map(|one| one.kind).collect();
    assert_eq!(kinds, [Kind::NotDark, Kind::SmallText]);
    assert_eq!(repeated[0].advice_words(), "For example: It has 90 %.");
}

#[test]
fn the_table_says_it_once_and_names_the_slides() {
    let table = check_table(
        &deck(vec![
            vec![footer(0)],
            vec![],
            vec![footer(0)],
            vec![footer(0)],
        ]),
        80,
    );
    let plain = anstream::adapter::strip_str(&table).to_string();
    assert!(
        plain.contains(
            "  warn  small-text        on 3 slides: pages 1, 3, 4 of sky.pdf; bottom left\n        \
             Set it larger.\n"
        ),
        "{plain}"
    );
    assert_eq!(plain.matches("Set it larger.").count(), 1);
    assert_eq!(plain.matches("300x20 px at 100,1000").count(), 3);
    let all = check_table(&deck(vec![vec![footer(0)]; 31]), 80);
    assert!(all.contains("on all 31 slides; bottom left"), "{all}");
}

#[test]
fn the_page_links_to_the_slides_and_repeats_the_advice_there() {
    let page = check_page(
        &deck(vec![
            vec![footer(0)],
            vec![],
            vec![footer(0)],
            vec![footer(0)],
        ]),
        &[],
    );
    for link in [
        "<a href=\"#slide-1\">1</a>",
        "<a href=\"#slide-3\">3</a>",
        "<a href=\"#slide-4\">4</a>",
    ] {
        assert_eq!(page.matches(link).count(), 1, "{link}");
    }
    assert_eq!(page.matches("Set it larger.").count(), 4);
    assert!(page.contains("Slides of course."));
    assert!(page.contains("1.\u{a0}sky.pdf, page 1"));
}

#[test]
fn what_is_alike_on_a_slide_is_advised_once() {
    let findings = [
        footer(0),
        finding(Kind::Hole, None, "Lift it."),
        footer(700),
    ];
    let numbers: Vec<Vec<usize>> = alike_findings(&findings)
        .iter()
        .map(|group| group.iter().map(|(number, _)| *number).collect())
        .collect();
    assert_eq!(numbers, [vec![1, 3], vec![2]]);
    let page = check_page(&deck(vec![findings.to_vec()]), &[]);
    assert_eq!(page.matches("Set it larger.").count(), 1);
}
