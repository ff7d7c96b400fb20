//! `tune` as a person runs it.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::demonstration::SLIDES;
use nightglass::files::picture_output::PictureOutput;
use nightglass::files::setup_file::Setup;
use nightglass::pixel::frame::Frame;

use crate::frames::size;

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .arg("tune")
        .args(args)
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A slide of 320 x 180 with one bar of content.
fn write_slide(folder: &Path, name: &str, background: [u8; 3], content: [u8; 3]) {
    let slide = Frame::from_fn(size(320, 180), |x, y| {
        let is_content = (40..200).contains(&x) && (60..100).contains(&y);
        if is_content { content } else { background }
    });
    let output = PictureOutput::create(&folder.join(name), &[]).unwrap();
    output.write(&slide).unwrap();
}

fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    write_slide(folder.path(), "dusk.png", [12; 3], [200; 3]);
    write_slide(folder.path(), "night.png", [0; 3], [51; 3]);
    write_slide(folder.path(), "sea.png", [0; 3], [0, 0, 255]);
    folder
}

const SMALL: [&str; 2] = ["--size", "320x180"];

#[test]
fn a_gap_is_answered_first_with_margins_codes_and_the_slides_that_set_it() {
    let desk = desk();
    let output = run(
        desk.path(),
        &[&["night.png", "dusk.png"], &SMALL[..]].concat(),
    );
    assert_eq!(err(&output), "");
    assert_eq!(
        out(&output),
        "\
threshold 8.5, softness 7.6

Backgrounds reach 4.71 % of white and are dropped, visible content begins at
20 % and stays solid.

                          percent   8-bit video   10-bit video
backgrounds end              4.71          26.3          105.2
  margin                     3.79           8.3           33.2
dropped up to threshold      8.50          34.6          138.5
  softness                   7.60          16.6           66.6
solid from                  16.10          51.3          205.0
  margin                     3.90           8.5           34.2
visible content begins      20.00          59.8          239.2

this key (8.5, 7.6): 0.0 % of visible content lost, 0.00 % haze added
the key now (6, 4): 0.0 % of visible content lost, 0.00 % haze added

the brightest background
   4.71 %  whole picture  dusk.png

the darkest visible content
  20.00 %  #333333  160x40 at 40,60  night.png
"
    );
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn a_conflict_names_both_sides_and_ends_with_1() {
    let desk = desk();
    write_slide(desk.path(), "fog.png", [25; 3], [250; 3]);
    let output = run(
        desk.path(),
        &[&["night.png", "sea.png", "fog.png"], &SMALL[..]].concat(),
    );
    let said = out(&output);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.starts_with("threshold "), "{said}");
    assert!(
        said.contains(", a compromise: no key suits all slides\n"),
        "{said}"
    );
    assert!(said.contains(
        "\nbackgrounds that are as bright as content\n   9.80 %  whole picture  fog.png\n"
    ));
    assert!(said.contains(
        "\ncontent that is as dark as a background (luma and colour of its darkest)\n   7.21 %  #0000FF  160x40 at 40,60  sea.png\n"
    ));
}

#[test]
fn json_is_one_document_whatever_the_order_and_the_number_of_threads() {
    let desk = desk();
    let args = |slides: [&'static str; 3]| [&slides[..], &SMALL[..], &["--json"]].concat();
    let document = |slides, threads: &str| -> serde_json::Value {
        let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.path())
            .env("RAYON_NUM_THREADS", threads)
            .arg("tune")
            .args(args(slides))
            .output()
            .unwrap();
        assert_eq!(err(&output), "");
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let first = document(["dusk.png", "night.png", "sea.png"], "1");
    assert_eq!(first["schema"], 1);
    assert_eq!(first["output"], serde_json::json!([320, 180]));
    assert_eq!(first["current"]["threshold"], 6.0);
    assert_eq!(first["clean"], true);
    assert_eq!(first["ceiling"]["slide"], "dusk.png");
    assert_eq!(first["floor"]["slide"], "sea.png");
    assert_eq!(first["floor"]["box"], serde_json::json!([40, 60, 160, 40]));
    assert_eq!(first["slides"], 3);
    // Source: ITU-R BT.709-6, 16 + 219 y and 64 + 876 y.
    let (t, s) = (
        first["key"]["threshold"].as_f64().unwrap() / 100.0,
        first["key"]["softness"].as_f64().unwrap() / 100.0,
    );
    let codes = &first["codes"];
    for (name, value) in [
        ("threshold_8", 16.0 + 219.0 * t),
        ("threshold_10", 64.0 + 876.0 * t),
        ("softness_8", 219.0 * s),
        ("softness_10", 876.0 * s),
    ] {
        assert!(
            (codes[name].as_f64().unwrap() - value).abs() < 1e-9,
            "{name}"
        );
    }
    for threads in ["2", "7"] {
        assert_eq!(
            document(["sea.png", "dusk.png", "night.png"], threads),
            first
        );
    }
}

#[test]
fn the_key_goes_into_a_setup_that_keeps_its_comments_or_into_a_new_one() {
    let desk = desk();
    let text = "# the boathouse\nslides = [\"night.png\", \"dusk.png\"]\n\n[key]\nthreshold = 3 # by eye\nramp = \"smooth\"\n";
    std::fs::write(desk.path().join("boat.toml"), text).unwrap();
    let output = run(
        desk.path(),
        &[
            &["--setup", "boat.toml", "--write", "boat.toml"],
            &SMALL[..],
        ]
        .concat(),
    );
    assert_eq!(
        err(&output),
        "wrote threshold 8.5 and softness 7.6 into `boat.toml`\n"
    );
    assert_eq!(
        std::fs::read_to_string(desk.path().join("boat.toml")).unwrap(),
        text.replace("threshold = 3 #", "threshold = 8.5 #") + "softness = 7.6\n"
    );
    let output = run(
        desk.path(),
        &[
            &["night.png", "--write", "new.toml", "--luma", "bt601"],
            &SMALL[..],
        ]
        .concat(),
    );
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let new = Setup::read(&desk.path().join("new.toml")).unwrap();
    assert_eq!(new.settings.key.threshold_percent(), 4.0);
    assert_eq!(new.settings.key.softness_percent(), 8.0);
    assert_eq!(new.settings.key.luma, nightglass::pixel::key::Luma::Bt601);
}

#[test]
fn chain_and_knobs_of_the_setup_count() {
    let desk = desk();
    let text = "slides = [\"night.png\"]\n[placement]\nsize = \"320x180\"\n[chain]\noffset = 2\nnoise = 0.5\n\
                [knobs]\nthreshold_zero = 1\nthreshold_step = 0.5\nsoftness_zero = 0\nsoftness_step = 0.25\n";
    std::fs::write(desk.path().join("boat.toml"), text).unwrap();
    let said = out(&run(desk.path(), &["--setup", "boat.toml"]));
    // 57,600 pixels less those beside the bar: k = 5.0997 by scipy.stats.norm.isf(0.01 / 50384).
    assert!(said.contains("backgrounds end              4.5"), "{said}");
    assert!(said.contains("visible content begins      21.99"), "{said}");
    assert!(
        said.contains("\non the mixer's own knobs: threshold "),
        "{said}"
    );
    assert!(said.contains("the chain's noise of 0.5 %"), "{said}");
}

#[test]
fn the_plot_is_svg_with_what_it_shows_in_words() {
    let desk = desk();
    let output = run(
        desk.path(),
        &[&["night.png", "dusk.png", "--plot", "key.svg"], &SMALL[..]].concat(),
    );
    assert_eq!(err(&output), "wrote the plot `key.svg`\n");
    let svg = std::fs::read_to_string(desk.path().join("key.svg")).unwrap();
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
    for words in [
        "threshold 8.50 %, softness 7.60 %",
        "luma, percent of white",
        "as a video signal counts, 8 and 10 bits",
        "visible content",
        "backgrounds (below the line)",
        "how much the key keeps",
    ] {
        assert!(svg.contains(words), "{words}");
    }
}

/// Left sides of the rectangles of a colour, px.
fn filled_at(svg: &str, color: &str) -> Vec<f64> {
    let lines = svg
        .lines()
        .filter(|line| line.starts_with("<rect ") && line.contains(&format!("fill=\"{color}\"")));
    let left = |line: &str| line.split(" x=\"").nth(1)?.split('"').next()?.parse().ok();
    lines.map(|line| left(line).unwrap()).collect()
}

#[test]
fn the_plot_reaches_to_where_content_begins() {
    let desk = desk();
    write_slide(desk.path(), "moon.png", [0; 3], [153; 3]);
    write_slide(desk.path(), "star.png", [0; 3], [255; 3]);
    // 153 of 255 is 60 %, shown on an axis to 65 %; content of 20 % is within what is shown anyway. White is in the
    // last bar there is.
    for (slide, label, begins, end) in [
        ("moon.png", "60.0", 60.0, 65.0),
        ("night.png", "25.0", 20.0, 25.0),
        ("star.png", "100.0", 99.75, 100.0),
    ] {
        let args = [&[slide, "--plot", "key.svg"], &SMALL[..]].concat();
        assert_eq!(run(desk.path(), &args).status.code(), Some(0));
        let svg = std::fs::read_to_string(desk.path().join("key.svg")).unwrap();
        let labels: Vec<&str> = svg.lines().map(str::trim).collect();
        assert!(labels.contains(&label), "{slide}: {svg}");
        // 960 px less margin and labels on both sides; the last one is in the legend.
        let (left, width) = (92.0, 960.0 - 2.0 * 92.0);
        let places = filled_at(&svg, "#0072B2");
        assert_eq!(places.len(), 2, "{slide}");
        let wanted = left + width * begins / end;
        assert!(
            (places[0] - wanted).abs() <= 2.0,
            "{slide}: {places:?}, {wanted}"
        );
    }
}

#[test]
fn of_a_slide_without_content_nothing_is_lost() {
    let desk = desk();
    write_slide(desk.path(), "black.png", [0; 3], [0; 3]);
    let args = [&["black.png"], &SMALL[..]].concat();
    let said = out(&run(desk.path(), &args));
    assert!(said.contains(": 0.0 % of visible content lost"), "{said}");
    let said = out(&run(desk.path(), &[&args[..], &["--json"]].concat()));
    assert!(!said.contains("-0.0"), "{said}");
}

#[test]
fn bad_input_is_said_and_harms_nothing() {
    let desk = desk();
    let refused = |args: &[&str], says: &str| {
        let output = run(desk.path(), args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert_eq!(err(&output), says);
        assert_eq!(out(&output), "");
    };
    refused(
        &[],
        "error: expected slides, got none\n\nhint: name files or folders of slides, or set `slides` in the setup file\n",
    );
    refused(
        &["night.png", "--plot", "key.png"],
        "error: expected a name ending in .svg, got `key.png`\n\nhint: name the plot something.svg\n",
    );
    refused(
        &["night.png", "--plot", "nowhere/key.svg"],
        "error: no such folder for the output: `nowhere/key.svg`\n\nhint: make the folder first, or name another one\n",
    );
    std::fs::write(desk.path().join("bad.toml"), "[key]\nthreshhold = 3\n").unwrap();
    refused(
        &["night.png", "--write", "bad.toml"],
        "error: unknown key `threshhold`; the nearest is `threshold`, line 2, column 1: `bad.toml`\n\n\
         hint: correct the key, or put a # before the line\n",
    );
    assert_eq!(
        std::fs::read_to_string(desk.path().join("bad.toml")).unwrap(),
        "[key]\nthreshhold = 3\n"
    );
}

#[test]
fn an_unreadable_slide_leaves_the_others_and_ends_with_2() {
    let desk = desk();
    std::fs::write(desk.path().join("torn.png"), b"no picture").unwrap();
    let output = run(
        desk.path(),
        &[&["night.png", "torn.png", "dusk.png"], &SMALL[..]].concat(),
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(
        err(&output).starts_with("error: cannot use the slide `torn.png`\n"),
        "{}",
        err(&output)
    );
    assert!(out(&output).starts_with("threshold 8.5, softness 7.6\n"));
    let output = run(desk.path(), &["torn.png"]);
    assert_eq!((output.status.code(), out(&output).as_str()), (Some(2), ""));
}

#[test]
fn the_demonstration_conflicts_where_it_says() {
    let folder = tempfile::tempdir().unwrap();
    for slide in &SLIDES {
        std::fs::write(folder.path().join(slide.name), slide.bytes).unwrap();
    }
    let output = run(folder.path(), &[".", "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let conflict = &document["conflict"];
    let slides = |side: &str| -> Vec<String> {
        let places = conflict[side].as_array().unwrap().iter();
        places
            .map(|p| p["slide"].as_str().unwrap().to_owned())
            .collect()
    };
    assert!(
        slides("backgrounds")
            .iter()
            .all(|s| s.contains("grey_background"))
    );
    assert!(slides("contents").iter().any(|s| s.contains("faint_stars")));
}
