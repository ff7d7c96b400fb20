//! `inspect` as a person runs it: its exact words, what it writes, its exit status.

use std::path::Path;
use std::process::{Command, Output};

use crate::calibrate::save_png;
use crate::check::said;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

pub(crate) fn inspect(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .env_remove("COLUMNS")
        .arg("inspect")
        .args(args)
        .output()
        .unwrap()
}

/// A green cross on a dark backdrop, and a lamp in it of so many codes.
fn save_frame(folder: &Path, name: &str, lamp: u8) {
    let frame = Frame::from_fn(Size::new(640, 360).unwrap(), |x, y| {
        let stroke = (100..220).contains(&x) && (176..184).contains(&y)
            || (156..164).contains(&x) && (120..240).contains(&y);
        let is_lit = (460..500).contains(&x) && (60..84).contains(&y);
        match (stroke, is_lit) {
            (true, _) => [80, 235, 110],
            (false, true) => [6 + lamp; 3],
            (false, false) => [6; 3],
        }
    });
    save_png(&folder.join(name), &frame);
}

#[test]
fn a_frame_is_told_in_these_words() {
    let folder = tempfile::tempdir().unwrap();
    save_frame(folder.path(), "camera.png", 12);
    let output = inspect(folder.path(), &["camera.png", "--masks", "masks"]);
    assert_eq!(said(&output.stderr), "");
    assert_eq!(
        said(&output.stdout),
        "warn  a reflection in the glass, top right
  warn  reflection       top right, 40x24 px at 460,60; brighter by 4.71 %,
        limit 2 %
        A glow, likely a lamp, a window or a screen that the glass mirrors.
        Switch it off, draw the curtain, or move or shade it until the glow is
        gone. Switch lamps off one after the other to find out which; let a hot
        lamp cool and hold stands before they are moved.

camera.png, looked at in 640x360
writing                 0.81 % of the picture in 1 group
                        120x120 px at 100,120
presenter               none
backdrop                2.35 % of white (good: at most 4 % of white)
unevenness of backdrop  0 % of white (good: at most 4 % of white)
edges of the writing    0 px (good: under 3 px)
brightest writing       75.69 % of white (good: under 92 % of white)
double image            none found (good: under 4 %)
note: nobody stands behind the glass, as far as this frame shows
note: this frame shows no noise to measure, as after compression, noise
      reduction or enlarging; grab one at the camera's own size before any of
      them, and keep it as PNG
wrote masks/writing.png
wrote masks/presenter.png
"
    );
    // White where writing is, black elsewhere.
    let mask = image::open(folder.path().join("masks/writing.png"))
        .unwrap()
        .to_rgb8();
    assert_eq!(
        (mask.get_pixel(110, 180).0, mask.get_pixel(480, 70).0),
        ([255; 3], [0; 3])
    );
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn many_findings_of_a_kind_are_counted_and_advice_is_given_once() {
    let folder = tempfile::tempdir().unwrap();
    let frame = Frame::from_fn(Size::new(1280, 720).unwrap(), |x, y| {
        let is_lamp = x % 140 < 60 && x > 100 && (300..340).contains(&y);
        let is_stroke = (100..400).contains(&x) && (600..610).contains(&y);
        match (is_stroke, is_lamp) {
            (true, _) => [80, 235, 110],
            (false, true) => [40; 3],
            (false, false) => [6; 3],
        }
    });
    save_png(&folder.path().join("lamps.png"), &frame);
    let output = inspect(folder.path(), &["lamps.png"]);
    let text = said(&output.stdout);
    assert!(text.starts_with("fail  a reflection in the glass, left, and 8 findings more\n"));
    assert_eq!(text.matches("reflection       ").count(), 6, "{text}");
    assert_eq!(text.matches("A glow, likely").count(), 1, "{text}");
    assert!(
        text.contains(
            "  and 3 more of reflection: 3 fail; `--report` and `--json` have them all\n"
        ),
        "{text}"
    );
    let output = inspect(folder.path(), &["lamps.png", "--json"]);
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["findings"].as_array().unwrap().len(), 9);
}

#[test]
fn the_exit_status_follows_the_verdict_and_the_flag() {
    let folder = tempfile::tempdir().unwrap();
    save_frame(folder.path(), "warn.png", 12);
    save_frame(folder.path(), "fail.png", 40);
    save_frame(folder.path(), "clean.png", 0);
    for (name, flags, status) in [
        ("clean.png", &[][..], 0),
        ("clean.png", &["--fail-on", "warn"], 0),
        ("warn.png", &[], 0),
        ("warn.png", &["--fail-on", "fail"], 0),
        ("warn.png", &["--fail-on", "warn"], 1),
        ("fail.png", &[], 1),
        ("fail.png", &["--fail-on", "warn"], 1),
    ] {
        let output = inspect(folder.path(), &[&[name], flags].concat());
        assert_eq!(output.status.code(), Some(status), "{name} {flags:?}");
    }
    let missing = inspect(folder.path(), &["nowhere.png", "--fail-on", "warn"]);
    assert_eq!(missing.status.code(), Some(2));
}

#[test]
fn outputs_that_cannot_be_written_are_known_before_the_work() {
    let folder = tempfile::tempdir().unwrap();
    save_frame(folder.path(), "camera.png", 0);
    let before = std::fs::read(folder.path().join("camera.png")).unwrap();
    for (flags, error) in [
        (
            ["--report", "report.pdf"],
            "expected a name ending in .html, got `report.pdf`",
        ),
        (
            ["--marked", "camera.png"],
            "the output is also an input: `camera.png`",
        ),
        (
            ["--marked", "nowhere/marked.png"],
            "no such folder for the output: `nowhere/marked.png`",
        ),
        (
            ["--marked", "marked.gif"],
            "expected a name ending in .png, .jpg, .webp or .tiff, got `marked.gif`",
        ),
    ] {
        let output = inspect(folder.path(), &[&["camera.png"], &flags[..]].concat());
        let stderr = said(&output.stderr);
        assert!(
            stderr.starts_with(&format!("error: {error}\n\nhint: ")),
            "{stderr}"
        );
        assert!(output.stdout.is_empty() && output.status.code() == Some(2));
    }
    assert_eq!(
        std::fs::read(folder.path().join("camera.png")).unwrap(),
        before
    );
}

/// Another picture than one of the rig: bright and of many shades.
fn save_photograph(folder: &Path, name: &str) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/astronaut.png");
    let photograph = image::open(path).unwrap();
    photograph
        .resize_to_fill(640, 360, image::imageops::FilterType::Triangle)
        .save(folder.join(name))
        .unwrap();
}

#[test]
fn a_frame_that_cannot_be_judged_is_no_pass() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    save_photograph(folder, "photograph.png");
    save_png(
        &folder.join("grey.png"),
        &Frame::from_fn(Size::new(640, 360).unwrap(), |_, _| [120; 3]),
    );
    save_png(
        &folder.join("tiny.png"),
        &Frame::from_fn(Size::new(80, 60).unwrap(), |_, _| [9; 3]),
    );
    for (name, reason, words) in [
        (
            "photograph.png",
            "no-backdrop",
            "unclear  no dark backdrop is seen, so nothing can be judged\n",
        ),
        (
            "grey.png",
            "no-backdrop",
            "unclear  no dark backdrop is seen, so nothing can be judged\n",
        ),
        (
            "tiny.png",
            "too-small",
            "unclear  the frame is too small to judge\n",
        ),
    ] {
        let output = inspect(
            folder,
            &[name, "--report", "page.html", "--marked", "marked.png"],
        );
        let text = said(&output.stdout);
        assert!(text.starts_with(words), "{name}: {text}");
        assert_eq!(output.status.code(), Some(2), "{name}");
        let page = std::fs::read_to_string(folder.join("page.html")).unwrap();
        let plain = page.replace('\u{a0}', " ");
        assert!(
            plain.contains(">unclear</span>") && plain.contains("cannot be judged"),
            "{plain}"
        );
        assert!(!plain.contains("Nothing found"), "{name}");
        let output = inspect(folder, &[name, "--json"]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(document["verdict"], "unclear");
        assert_eq!(document["unanswered"], serde_json::json!([reason]));
        // Nothing is said of a backdrop that was not recognised.
        assert_eq!(document["findings"], serde_json::json!([]), "{name}");
        assert!(document["camera"]["backdrop_percent"].is_null(), "{name}");
        assert!(document["camera"]["noise_codes"].is_null(), "{name}");
    }
}

#[test]
fn a_frame_in_which_nothing_is_seen_is_no_pass() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let size = Size::new(640, 360).unwrap();
    let save = |name: &str, code: fn(u32, u32) -> u8| {
        let frame = Frame::from_fn(size, |x, y| [code(x, y); 3]);
        save_png(&folder.join(name), &frame);
    };
    save("black.png", |_, _| 0);
    save("raised.png", |_, _| 12);
    // A capped camera still has noise, here of 0 to 15 codes.
    save("noise.png", |x, y| {
        ((x * 7919 + y * 104_729 + x * y * 31) % 257 % 16).to_le_bytes()[0]
    });
    for name in ["black.png", "raised.png", "noise.png"] {
        let output = inspect(folder, &[name, "--report", "page.html"]);
        let text = said(&output.stdout);
        let words = "unclear  nothing is seen in the frame, so it cannot be judged";
        assert!(text.starts_with(words), "{name}: {text}");
        assert!(text.contains("note: this frame is dark all over"), "{text}");
        // That nothing is written and nobody is there is the same once more.
        assert_eq!(text.matches("note: ").count(), 1, "{text}");
        assert_eq!(output.status.code(), Some(2), "{name}");
        let page = std::fs::read_to_string(folder.join("page.html")).unwrap();
        assert!(page.contains(">unclear</span>") && !page.contains("Nothing found."));
        let output = inspect(folder, &[name, "--json"]);
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(document["verdict"], "unclear");
        assert_eq!(document["unanswered"], serde_json::json!(["nothing-seen"]));
    }
    // The lit edge of the glass, or a lamp, shows that the camera sees: a backdrop alone can be judged.
    save("edge.png", |_, y| if y < 4 { 60 } else { 4 });
    save("lamp.png", |x, y| {
        4 + 30 * u8::from(x / 24 == 9 && y / 24 == 4)
    });
    for name in ["edge.png", "lamp.png"] {
        let output = inspect(folder, &[name, "--json"]);
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(document["unanswered"], serde_json::json!([]), "{name}");
    }
}

/// A figure with a head and shoulders, so far to the right, a lamp that stays, and a stroke where one is wanted.
fn save_rig(folder: &Path, name: &str, figure: Option<i32>, stroke: bool) {
    let frame = Frame::from_fn(Size::new(640, 360).unwrap(), |x, y| {
        let noise = ((x * 7919 + y * 104_729 + x * y * 31) % 257 % 3).to_le_bytes()[0];
        let (x, y) = (x.cast_signed(), y.cast_signed());
        let at = figure.map(|right| x - 300 - right);
        let head = at.is_some_and(|x| 17 * x * x / 16 + (y - 120) * (y - 120) * 10 / 16 < 1600);
        let trunk = at.is_some_and(|x| x.abs() < 100 && y > 165 + x.abs() / 10);
        let is_lamp = (580..620).contains(&x) && (60..84).contains(&y);
        let is_stroke = stroke && (20..180).contains(&x) && (200..208).contains(&y);
        match (is_stroke, head, trunk, is_lamp) {
            (true, ..) => [80, 235, 110],
            (_, true, ..) => [190, 140, 112 + noise],
            (_, _, true, _) => [60, 66, 90 + noise],
            (.., true) => [40 + noise; 3],
            _ => [6 + noise; 3],
        }
    });
    save_png(&folder.join(name), &frame);
}

#[test]
fn an_empty_frame_that_is_not_empty_is_said_and_not_used() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    save_rig(folder, "camera.png", Some(0), true);
    save_rig(folder, "left.png", Some(-60), false);
    save_rig(folder, "near.png", Some(6), false);
    save_rig(folder, "written.png", None, true);
    save_rig(folder, "empty.png", None, false);
    let numbers = |more: &[&str]| {
        let output = inspect(folder, &[&["camera.png", "--json"], more].concat());
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert!(document["camera"]["presenter"]["percent"].as_f64().unwrap() > 10.0);
        document
    };
    let plain = numbers(&[]);
    let note = "the empty frame shows writing or a presenter itself and is not used";
    for name in ["camera.png", "left.png", "near.png", "written.png"] {
        let document = numbers(&["--empty", name]);
        let notes = document["notes"].as_array().unwrap();
        assert!(notes.iter().any(|told| told == note), "{name}: {notes:?}");
        assert_eq!(document["camera"], plain["camera"], "{name}");
        assert_eq!(document["findings"], plain["findings"], "{name}");
    }
    let notes = numbers(&["--empty", "empty.png"])["notes"].to_string();
    assert!(!notes.contains("not used"), "{notes}");
}
