//! Zones of a setup file, and `overlap` as a person runs it.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::files::setup_file::Setup;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::space::zone::{Zone, ZoneKind, zones_for};
use nightglass::pixel::settings::Size;
use serde_json::{Value, json};

use crate::check::said;

const FILE: &str = "\
# the board's own corner
[[zones]]
name = \"clock\" # top right
kind = \"keep-out\"
box = [80, 0, 20, 12.5]

[[zones]]
name = \"figure\"
kind = \"write-here\"
box = [10, 10, 50, 50]
slide = \"deck.pdf\"
page = 3
";

fn parse(text: &str) -> Result<Setup, String> {
    Setup::parse(text, Path::new("a.toml")).map_err(|error| error.to_string())
}

#[test]
fn zones_are_read_and_are_for_the_deck_or_one_slide() {
    let zones = parse(FILE).unwrap().zones;
    let [clock, figure] = &zones[..] else {
        panic!("{zones:?}");
    };
    assert_eq!(
        (clock.name.as_str(), clock.kind, clock.box_percent()),
        ("clock", ZoneKind::KeepOut, [80.0, 0.0, 20.0, 12.5])
    );
    assert_eq!(
        (figure.kind, figure.slide.as_deref(), figure.page),
        (ZoneKind::WriteHere, Some("deck.pdf"), Some(3))
    );
    let names = |slide, page| -> Vec<String> {
        zones_for(&zones, slide, page)
            .into_iter()
            .map(|zone| zone.name)
            .collect()
    };
    assert_eq!(names("deck.pdf", Some(3)), ["clock", "figure"]);
    assert_eq!(names("deck.pdf", Some(4)), ["clock"]);
    assert_eq!(names("other.pdf", Some(3)), ["clock"]);
}

#[test]
fn a_zone_covers_whole_pixels() {
    let size = Size::new(1000, 300).unwrap();
    let bounds = |percent| {
        let zone = Zone::new("z".to_owned(), ZoneKind::KeepIn, percent).unwrap();
        <[u32; 4]>::from(zone.bounds(size))
    };
    assert_eq!(bounds([10.0, 10.0, 25.0, 50.0]), [100, 30, 250, 150]);
    assert_eq!(bounds([10.04, 0.0, 0.12, 0.1]), [100, 0, 2, 1]);
    assert_eq!(bounds([99.9, 99.9, 0.1, 0.1]), [999, 299, 1, 1]);
    assert_eq!(
        bounds([0.0, 0.0, 100.0, 100.0]),
        <[u32; 4]>::from(PixelBox::of_size(size))
    );
}

#[test]
fn what_no_zone_can_be_is_said_with_its_place() {
    let outside = FILE.replace("[80, 0, 20, 12.5]", "[90, 0, 20, 12.5]");
    assert_eq!(
        parse(&outside).unwrap_err(),
        "zone `clock`: the box of a zone must have x and y from 0 to 100 and sides of 0.1 to 100 percent, and end \
         inside the output, got [90.0, 0.0, 20.0, 12.5], line 2, column 1: `a.toml`"
    );
    for (was, with, error) in [
        (
            "\"keep-out\"",
            "\"keep-away\"",
            "`kind` must be one of keep-out, keep-in, write-here, in quotes, got \"keep-away\", line 4, column 8",
        ),
        (
            "name =",
            "title =",
            "unknown key `title` in [[zones]]; it has name, kind, box, slide, page, line 3, column 9",
        ),
        (
            "name = \"clock\"",
            "",
            "`name` must be what findings call the zone, in quotes, got nothing, line 2, column 1",
        ),
        (
            "[80, 0, 20, 12.5]",
            "[80, 0]",
            "`box` must be x, y, width and height in brackets, percent of the output, got [80, 0], line 5, column 7",
        ),
        (
            "page = 3",
            "page = 0",
            "`page` must be a whole number from 1, got 0, line 12, column 8",
        ),
    ] {
        assert!(FILE.contains(was), "{was}");
        let got = parse(&FILE.replacen(was, with, 1)).unwrap_err();
        assert_eq!(got, format!("{error}: `a.toml`"));
    }
    assert_eq!(parse("zones = []\n").unwrap().zones, []);
}

#[test]
fn saving_keeps_zones_as_they_stand_and_writes_changed_ones() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    std::fs::write(&path, FILE).unwrap();
    let mut setup = Setup::read(&path).unwrap();
    setup.settings.key = setup.settings.key.with_threshold(9.0).unwrap();
    setup.save(&path).unwrap();
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept.contains("# the board's own corner\n[[zones]]\nname = \"clock\" # top right\n"),
        "{kept}"
    );
    setup.zones.remove(0);
    setup.save(&path).unwrap();
    assert_eq!(Setup::read(&path).unwrap(), setup);
    let fresh = folder.path().join("fresh.toml");
    setup.save(&fresh).unwrap();
    assert_eq!(Setup::read(&fresh).unwrap().zones, setup.zones);
}

fn overlap(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .arg("overlap")
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn overlap_prints_the_document_of_check_with_the_camera_in_each_finding() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    write("camera.jpg", CAMERA.bytes);
    write("lands.png", SLIDES[3].bytes);
    // The lit edge of the glass alone.
    let edge = |_, y| image::Rgb([if y < 2 { 60 } else { 0 }; 3]);
    let nobody = image::RgbImage::from_fn(320, 180, edge);
    nobody.save(folder.path().join("empty.png")).unwrap();
    let output = overlap(
        folder.path(),
        &[
            "lands.png",
            "--camera",
            "camera.jpg",
            "--camera",
            "empty.png",
            "--json",
            "--fail-on",
            "warn",
        ],
    );
    let notes = said(&output.stderr);
    let empty = "found neither writing nor a presenter in `empty.png`, so nothing is said about covering it\n";
    assert!(notes.ends_with(empty), "{notes}");
    assert_eq!(output.status.code(), Some(1));
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let schema = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .args(["check", "--schema"])
        .output()
        .unwrap();
    let schema: Value = serde_json::from_slice(&schema.stdout).unwrap();
    assert!(
        jsonschema::validator_for(&schema)
            .unwrap()
            .is_valid(&document),
        "{document}"
    );
    assert_eq!(document["cameras"], json!(["camera.jpg", "empty.png"]));
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    assert!(
        findings
            .iter()
            .any(|finding| finding["kind"] == "covers-writing"),
        "{document}"
    );
    for finding in findings {
        assert_eq!(finding["camera"], "camera.jpg");
        assert!(
            ["covers-writing", "covers-presenter"].contains(&finding["kind"].as_str().unwrap())
        );
    }
}

#[test]
fn overlap_wants_a_camera_or_zones() {
    let folder = tempfile::tempdir().unwrap();
    let slide =
        image::RgbImage::from_fn(64, 36, |x, _| image::Rgb([if x < 16 { 255 } else { 0 }; 3]));
    slide.save(folder.path().join("bar.png")).unwrap();
    let output = overlap(folder.path(), &["bar.png"]);
    assert_eq!(
        said(&output.stderr),
        "error: expected a camera frame, got none\n\nhint: add `--camera FILE`, or set `camera` or [[zones]] in the \
         setup file\n"
    );
    assert_eq!(output.status.code(), Some(2));
    std::fs::write(
        folder.path().join("nightglass.toml"),
        "[[zones]]\nname = \"left\"\nkind = \"keep-out\"\nbox = [0, 0, 50, 100]\n",
    )
    .unwrap();
    let output = overlap(folder.path(), &["bar.png"]);
    let text = said(&output.stdout);
    assert!(
        text.contains("zone") && text.contains("the zone `left`"),
        "{text}"
    );
    assert_eq!(output.status.code(), Some(1));
}
