//! A light deck turned dark: what each rule does to a slide, and what a check finds on the result.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::picture_file::read_picture;
use nightglass::files::picture_output::PictureOutput;
use nightglass::measure::check::slide_check::{SlideToCheck, check_slide};
use nightglass::measure::dark_slide::dark_color::{lightness, solid_luma};
use nightglass::measure::dark_slide::darken::{Change, DarkSlide, SlideToDarken, darken};
use nightglass::measure::finding::Severity;
use nightglass::measure::limits::Limits;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Settings;

use crate::lettering::Slide;

const WIDTH: u32 = 640;
const HEIGHT: u32 = 360;
const BAR: [u8; 3] = [31, 78, 156];

fn turned(slide: &Frame, lossy: bool) -> DarkSlide {
    darken(&SlideToDarken {
        slide,
        lossy,
        settings: &Settings::default(),
        limits: &Limits::default(),
        plate: false,
    })
    .unwrap()
}

fn pixel(frame: &Frame, x: u32, y: u32) -> [u8; 3] {
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("8-bit R'G'B'A");
    };
    let [r, g, b, _] = pixels[(y * frame.size().width() + x) as usize];
    [r, g, b]
}

/// What a check must not find on a dark slide.
fn left(frame: &Frame) -> Vec<String> {
    // On an output of the slide's own size: enlarging spreads soft edges.
    let mut settings = Settings::default();
    settings.placement.size = Some(frame.size());
    let check = check_slide(&SlideToCheck {
        slide: frame,
        lossy: false,
        cameras: &[],
        settings: &settings,
        limits: &Limits::default(),
        reserved: &[],
        zones: &[],
    });
    let never = ["not-dark", "haze"];
    let seldom = ["keyed-out", "half-keyed"];
    let found = check.findings.iter().filter(|f| {
        never.contains(&f.kind.name())
            || seldom.contains(&f.kind.name()) && f.severity == Severity::Fail
    });
    found.map(|f| format!("{f:?}")).collect()
}

/// A header bar with white words, words in colours, a pale box with a note, a line.
fn white_slide() -> Frame {
    let mut slide = Slide::new(WIDTH, HEIGHT, 255);
    slide.bar([0, 0, 640, 50], BAR);
    slide.text("Finding north", (24.0, 36.0), 20.0, [255; 3]);
    slide.text("The Plough is high in spring", (40.0, 100.0), 14.0, [0; 3]);
    slide.text(
        "Never look into the torch",
        (40.0, 140.0),
        14.0,
        [192, 0, 0],
    );
    slide.text("Polaris stands still", (40.0, 180.0), 14.0, [0, 0, 255]);
    slide.text("Amber lamps", (400.0, 180.0), 14.0, [255, 192, 0]);
    slide.bar([40, 220, 260, 100], [219, 232, 251]);
    slide.text("A note", (60.0, 270.0), 14.0, [0; 3]);
    slide.stroke((340.0, 240.0), (600.0, 320.0), 3.0, [0; 3]);
    slide.frame()
}

#[test]
fn a_white_slide_turns_black_and_a_check_finds_nothing_that_matters() {
    let dark = turned(&white_slide(), false);
    assert_eq!(dark.change, Change::Reversed);
    assert_eq!(pixel(&dark.frame, 320, 200), [0; 3]);
    assert_eq!(left(&dark.frame), Vec::<String>::new());
    // The pale box stays the darkest of its hue, well under its words.
    let box_luma = lightness(pixel(&dark.frame, 280, 300).map(|v| f32::from(v) / 255.0));
    assert!((8.0..35.0).contains(&box_luma), "{box_luma}");
}

#[test]
fn white_words_on_a_dark_bar_stay_white_and_the_bar_keeps_its_hue() {
    let dark = turned(&white_slide(), false).frame;
    let brightest = (24..200).flat_map(|x| (14..38).map(move |y| (x, y)));
    let brightest = brightest.map(|(x, y)| pixel(&dark, x, y)[0]).max();
    assert_eq!(brightest, Some(255));
    let [r, g, b] = pixel(&dark, 600, 25);
    assert!(r < g && g < b && g < 140, "{r} {g} {b}");
}

#[test]
fn letters_set_off_by_colour_alone_stay_bright() {
    let dark = turned(&white_slide(), false).frame;
    let amber = (400..500).flat_map(|x| (164..184).map(move |y| (x, y)));
    let amber = amber.map(|(x, y)| pixel(&dark, x, y)).max().unwrap();
    assert!(
        amber[0] > 170 && amber[0] > amber[1] && amber[2] < 60,
        "{amber:?}"
    );
}

#[test]
fn counters_of_letters_on_a_gradient_are_black_as_all_around_them() {
    let mut slide = Slide::new(WIDTH, HEIGHT, 255);
    for y in 0..i64::from(HEIGHT) {
        let code = 255 - u8::try_from(y / 4).unwrap();
        slide.bar([0, y, 640, 1], [code, code, 255]);
    }
    slide.text("O o", (60.0, 200.0), 40.0, [16, 32, 64]);
    let dark = turned(&slide.frame(), false);
    // The middle of the O: it is as wide as high, about.
    let row: Vec<[u8; 3]> = (60..110).map(|x| pixel(&dark.frame, x, 180)).collect();
    let first = row.iter().position(|c| *c != [0; 3]).unwrap();
    let inside = row.iter().skip(first + 14).take(4);
    assert!(inside.clone().all(|c| *c == [0; 3]), "{row:?}");
    assert_eq!(pixel(&dark.frame, 600, 350), [0; 3]);
    assert_eq!(left(&dark.frame), Vec::<String>::new());
}

#[test]
fn counters_of_letters_on_a_pale_box_are_filled_as_the_box_is() {
    for (pale, ink) in [
        ([255, 230, 150], [120, 60, 0]),
        ([210, 230, 255], [10, 40, 120]),
        ([255, 215, 215], [140, 0, 0]),
        ([220, 245, 220], [0, 90, 0]),
    ] {
        let mut slide = Slide::new(WIDTH, HEIGHT, 255);
        slide.bar([40, 60, 560, 200], pale);
        slide.text("Shoal: depth 0.8", (60.0, 160.0), 40.0, ink);
        let slide = slide.frame();
        let dark = turned(&slide, false).frame;
        let around = pixel(&dark, 50, 70);
        let places = (40..600).flat_map(|x| (60..260).map(move |y| (x, y)));
        let of_box: Vec<(u32, u32)> = places
            .filter(|&(x, y)| pixel(&slide, x, y) == pale)
            .collect();
        let other = of_box
            .iter()
            .filter(|&&(x, y)| pixel(&dark, x, y) != around);
        assert!(of_box.len() > 80_000);
        assert_eq!(other.count(), 0, "on {pale:?}");
        // What differs as much as ink does stays bright.
        let brightest = (60..400).flat_map(|x| (110..165).map(move |y| (x, y)));
        let luma = |c: [u8; 3]| lightness(c.map(|v| f32::from(v) / 255.0));
        let brightest = brightest.map(|(x, y)| luma(pixel(&dark, x, y)));
        assert!(brightest.fold(0.0, f64::max) > luma(around) + 35.0);
    }
}

#[test]
fn a_photograph_that_fills_the_slide_is_kept_and_its_darks_are_lifted_in_order() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/astronaut.png");
    let photograph = read_picture(&path).unwrap().frame;
    let dark = turned(&photograph, false);
    assert_eq!(dark.change, Change::Photograph);
    // Its smooth darks, which are solid now, are content and no haze.
    assert_eq!(left(&dark.frame), Vec::<String>::new());
    let solid = 255.0 * solid_luma(&Settings::default());
    let grey_of = |frame: &Frame, x, y| {
        let [r, g, b] = pixel(frame, x, y).map(f32::from);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let places = (0..512)
        .step_by(7)
        .flat_map(|y| (0..512).step_by(7).map(move |x| (x, y)));
    let mut tones: Vec<(f32, f32)> = places
        .map(|(x, y)| (grey_of(&photograph, x, y), grey_of(&dark.frame, x, y)))
        .collect();
    assert!(tones.iter().all(|(_, after)| *after >= solid - 1.0));
    // Bright tones stay as they are, dark ones keep their order but for rounding.
    assert!(
        tones
            .iter()
            .all(|(before, after)| *before < 100.0 || after - before < 2.0)
    );
    tones.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(tones.windows(2).all(|two| two[1].1 >= two[0].1 - 2.0));
}

#[test]
fn a_photograph_whose_commonest_colour_is_black_is_no_dark_slide() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/astronaut.png");
    let photograph = read_picture(&path).unwrap().frame;
    // Its lower part, with the black helmet and collar, twice as large.
    let lower = Frame::from_fn(crate::frames::size(1024, 576), |x, y| {
        pixel(&photograph, x / 2, 112 + y / 2)
    });
    assert_eq!(turned(&lower, false).change, Change::Photograph);
}

#[test]
fn a_slide_that_keys_already_is_left_alone_bit_for_bit() {
    let mut slide = Slide::new(WIDTH, HEIGHT, 0);
    slide.text("Nothing to do", (40.0, 100.0), 20.0, [255, 217, 102]);
    let slide = slide.frame();
    let dark = turned(&slide, false);
    assert_eq!(dark.change, Change::LeftAlone);
    assert_eq!(dark.frame, slide);
}

#[test]
fn a_dark_grey_theme_becomes_black_and_its_bright_words_stay() {
    let mut slide = Slide::new(WIDTH, HEIGHT, 38);
    slide.bar([40, 150, 200, 60], [255; 3]);
    let dark = turned(&slide.frame(), false);
    assert_eq!(dark.change, Change::Blackened);
    assert_eq!(pixel(&dark.frame, 10, 10), [0; 3]);
    assert_eq!(pixel(&dark.frame, 100, 180), [255; 3]);
    assert_eq!(left(&dark.frame), Vec::<String>::new());
}

#[test]
fn a_black_slide_with_a_glow_that_is_haze_becomes_black_all_over() {
    let glow = |x: u32, y: u32| {
        let far = f64::from(WIDTH - x).hypot(f64::from(HEIGHT - y));
        (60.0 - far / 3.0).max(0.0) as u8
    };
    let slide = Frame::from_fn(crate::frames::size(WIDTH, HEIGHT), |x, y| {
        let is_bar = (40..240).contains(&x) && (100..130).contains(&y);
        if is_bar { [240; 3] } else { [glow(x, y); 3] }
    });
    let dark = turned(&slide, false);
    assert_eq!(dark.change, Change::Blackened);
    assert_eq!(pixel(&dark.frame, WIDTH - 1, HEIGHT - 1), [0; 3]);
    assert!(pixel(&dark.frame, 100, 115)[0] >= 240);
    assert_eq!(left(&dark.frame), Vec::<String>::new());
}

#[test]
fn a_picture_on_black_is_left_alone_and_no_word_is_said_against_its_haze() {
    // A person in a dark coat before a black backdrop, whose coat is taken for a background that changes.
    let picture = nightglass::files::demonstration::CAMERA.frame().unwrap();
    let dark = turned(&picture, false);
    assert_eq!(dark.change, Change::LeftWithPicture);
    assert_eq!(dark.frame, picture);
    assert!(dark.change.words().contains("most of its background"));
    let folder = tempfile::tempdir().unwrap();
    write(&folder.path().join("picture.png"), &picture);
    let output = run(folder.path(), &["picture.png", "--out", "dark"]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("still to look at: haze"), "{said}");
    assert!(!said.contains("drops its background"), "{said}");
    assert!(said.contains("dark: 1 left as before\n"), "{said}");
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .arg("darken")
        .args(args)
        .output()
        .unwrap()
}

fn write(path: &Path, frame: &Frame) {
    PictureOutput::create(path, &[])
        .unwrap()
        .write(frame)
        .unwrap();
}

#[test]
fn slides_of_one_name_are_refused_and_an_output_never_replaces_a_slide() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("b")).unwrap();
    let slide = white_slide();
    write(&folder.path().join("night.png"), &slide);
    write(&folder.path().join("b/night.png"), &slide);
    let twice = run(
        folder.path(),
        &["night.png", "b/night.png", "--out", "dark"],
    );
    assert_eq!(twice.status.code(), Some(2));
    let error = String::from_utf8_lossy(&twice.stderr);
    assert!(
        error.contains("expected slides of different names"),
        "{error}"
    );
    let before = std::fs::read(folder.path().join("night.png")).unwrap();
    let over = run(folder.path(), &["night.png", "--out", "."]);
    assert_eq!(over.status.code(), Some(2));
    assert_eq!(
        String::from_utf8_lossy(&over.stderr),
        "error: expected a folder other than the slides' own, got `.`, where `night.png` would be \
         replaced\n\nhint: name another folder, such as `--out dark`; nothing was written\n"
    );
    assert_eq!(
        std::fs::read(folder.path().join("night.png")).unwrap(),
        before
    );
    let good = run(
        folder.path(),
        &["night.png", "--out", "dark", "--sheet", "sheet.png"],
    );
    assert_eq!(good.status.code(), Some(0));
    let dark = read_picture(&folder.path().join("dark/night.png")).unwrap();
    assert_eq!(pixel(&dark.frame, 320, 200), [0; 3]);
    assert!(folder.path().join("sheet.png").exists());
}

#[test]
fn a_sheet_never_takes_the_name_of_a_dark_slide_or_of_the_palette() {
    let folder = tempfile::tempdir().unwrap();
    let mut slide = Slide::new(640, 360, 255);
    slide.text("HULL", (100.0, 200.0), 40.0, [0; 3]);
    write(&folder.path().join("night.png"), &slide.frame());
    for extra in [
        ["--sheet", "dark/night.png", "--palette", "a.png"],
        ["--sheet", "b.png", "--palette", "./b.png"],
    ] {
        let out = run(
            folder.path(),
            &[&["night.png", "--out", "dark"][..], &extra].concat(),
        );
        assert_eq!(out.status.code(), Some(2), "{extra:?}");
        let told = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(told.contains("expected a file of its own"), "{told}");
        assert!(!folder.path().join("dark/night.png").exists());
    }
}

#[test]
fn the_summary_counts_in_words_and_says_what_it_replaced_and_where_to_look() {
    let folder = tempfile::tempdir().unwrap();
    let mut slide = Slide::new(1920, 1080, 255);
    slide.text("HULL LIFT HILT", (300.0, 500.0), 18.0, [0; 3]);
    write(&folder.path().join("night.png"), &slide.frame());
    let first = run(folder.path(), &["night.png", "--out", "dark"]);
    let said = String::from_utf8_lossy(&first.stdout).into_owned();
    assert_eq!(
        said,
        "night.png -> dark/night.png\n  turned dark\n  \
         still to look at: hairline, left, 123x18 px at 320,482\n\n\
         1 slide written into dark: 1 turned dark\n\
         what to do about what is still to look at: nightglass check dark\n"
    );
    let again = run(folder.path(), &["night.png", "--out", "dark"]);
    let said = String::from_utf8_lossy(&again.stdout);
    assert!(
        said.contains("dark: 1 turned dark\nreplaced 1 picture that had the same name\n"),
        "{said}"
    );
    std::fs::create_dir_all(folder.path().join("taken/night.png")).unwrap();
    let none = run(folder.path(), &["night.png", "--out", "taken"]);
    assert_eq!(none.status.code(), Some(2));
    assert_eq!(
        String::from_utf8_lossy(&none.stdout),
        "\nno slide written into taken: what was in the way of each is said above\n"
    );
    let json = run(folder.path(), &["night.png", "--out", "dark", "--json"]);
    let document: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(document["output"], serde_json::json!([1920, 1080]));
    let slide = &document["slides"][0];
    assert_eq!(slide["replaced"], true);
    assert_eq!(slide["findings"][0]["kind"], "hairline");
}
