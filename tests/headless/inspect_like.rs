//! `inspect --like` as a user runs it: status, words and document.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

use crate::calibrate::save_png;
use crate::frames::hash_at;

/// A dark rig with three soft reflections, each channel in its own light, moved by whole pixels.
pub(crate) fn rig(seed: u32, [dx, dy]: [f64; 2], factor: f64) -> Frame {
    let things = [
        (90.0, 60.0, 12.0, 40.0),
        (530.0, 90.0, 8.0, 60.0),
        (420.0, 300.0, 16.0, 50.0),
    ];
    Frame::from_fn(Size::new(640, 360).unwrap(), |x, y| {
        let light: f64 = things
            .iter()
            .map(|(u, v, reach, codes)| {
                let (a, b) = (f64::from(x) - u - dx, f64::from(y) - v - dy);
                codes * (-0.5 * (a * a + b * b) / (reach * reach)).exp()
            })
            .sum();
        [0, 1, 2].map(|c| {
            let noise = f64::from(hash_at(seed + c, x, y) % 3) - 1.0;
            ((9.0 + light) * factor + noise).round() as u8
        })
    })
}

/// The same with left and right exchanged.
pub(crate) fn mirrored(frame: &Frame) -> Frame {
    let size = frame.size();
    Frame::from_fn(size, |x, y| {
        let at = (y * size.width() + size.width() - 1 - x) as usize;
        let [r, g, b, _] = frame.rgba_frac(at);
        [r, g, b].map(|v| (v * 255.0).round() as u8)
    })
}

/// The chart, smaller, in the middle of a dark frame.
fn chart_in_a_frame() -> Frame {
    let chart = draw_chart(Chart::new(Size::new(960, 540).unwrap()).unwrap());
    Frame::from_fn(Size::HD, |x, y| {
        let (x, y) = (x.wrapping_sub(400), y.wrapping_sub(200));
        if x < 960 && y < 540 {
            let [r, g, b, _] = chart.rgba_frac((y * 960 + x) as usize);
            [r, g, b].map(|v| (v * 255.0).round() as u8)
        } else {
            [8; 3]
        }
    })
}

/// A quarter turn clockwise: what was on the left is at the top.
fn turned(frame: &Frame) -> Frame {
    let size = frame.size();
    Frame::from_fn(size.transposed(), |x, y| {
        let at = ((size.height() - 1 - x) * size.width() + y) as usize;
        let [r, g, b, _] = frame.rgba_frac(at);
        [r, g, b].map(|v| (v * 255.0).round() as u8)
    })
}

fn inspect(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .arg("inspect")
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

/// The text without its line ends.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn document(folder: &Path, args: &[&str]) -> (Option<i32>, serde_json::Value) {
    let output = inspect(folder, &[args, &["--json"]].concat());
    let document = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stderr)));
    (output.status.code(), document)
}

/// A folder with the frame of the last good setup and the frame of today.
fn desk(today: &Frame) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    save_png(&folder.path().join("good.png"), &rig(1, [0.0; 2], 1.0));
    save_png(&folder.path().join("today.png"), today);
    folder
}

const ARGS: [&str; 3] = ["today.png", "--like", "good.png"];

fn kinds(document: &serde_json::Value) -> Vec<&str> {
    let findings = document["findings"].as_array().unwrap();
    findings
        .iter()
        .filter_map(|finding| finding["kind"].as_str())
        .filter(|kind| ["moved", "wrong-way-round"].contains(kind))
        .collect()
}

#[test]
fn without_the_frame_of_the_last_setup_nothing_is_said_of_it() {
    let folder = desk(&rig(10, [0.0; 2], 1.0));
    let (_, document) = document(folder.path(), &["today.png"]);
    assert!(document["camera"]["like"].is_null());
    assert!(kinds(&document).is_empty());
}

#[test]
fn a_moved_camera_is_said_in_the_document_and_on_a_line_of_its_own() {
    let folder = desk(&rig(10, [6.0, -4.0], 1.0));
    let (_, document) = document(folder.path(), &ARGS);
    let like = &document["camera"]["like"];
    assert_eq!(like["way_round"], "same");
    assert!(
        (like["shift_px"][0].as_f64().unwrap() - 6.0).abs() < 0.15,
        "{like}"
    );
    assert!(
        (like["shift_px"][1].as_f64().unwrap() + 4.0).abs() < 0.15,
        "{like}"
    );
    // 6 px of 640.
    assert!((like["shift_percent"][0].as_f64().unwrap() - 0.9375).abs() < 0.03);
    assert!(like["exposure_stops"].as_f64().unwrap().abs() < 0.05);
    assert_eq!(kinds(&document), ["moved"]);
    let output = inspect(folder.path(), &ARGS);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        text.contains("\nmoved since then        6.0 px farther right and 4.0 px higher; the"),
        "{text}"
    );
    assert!(
        plain(&text).contains("what stands still is 6.0 px farther right and 4.0 px higher."),
        "{text}"
    );
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let warned = inspect(folder.path(), &[&ARGS[..], &["--fail-on", "warn"]].concat());
    assert_eq!(warned.status.code(), Some(1));
}

#[test]
fn the_setup_names_the_frame_and_the_flag_goes_before_it() {
    let folder = desk(&rig(10, [6.0, -4.0], 1.0));
    let shots = folder.path().join("shots");
    std::fs::create_dir(&shots).unwrap();
    std::fs::rename(folder.path().join("good.png"), shots.join("good.png")).unwrap();
    std::fs::write(
        folder.path().join("nightglass.toml"),
        "like = \"shots/good.png\"\n",
    )
    .unwrap();
    let (_, named) = document(folder.path(), &["today.png"]);
    assert_eq!(kinds(&named), ["moved"]);
    let (_, flagged) = document(folder.path(), &["today.png", "--like", "today.png"]);
    assert!(kinds(&flagged).is_empty() && !flagged["camera"]["like"].is_null());
    // What is read is never written over.
    let over = inspect(folder.path(), &["today.png", "--marked", "shots/good.png"]);
    assert_eq!(over.status.code(), Some(2));
    std::fs::remove_file(shots.join("good.png")).unwrap();
    let gone = inspect(folder.path(), &["today.png"]);
    assert_eq!(gone.status.code(), Some(2));
    let words = String::from_utf8_lossy(&gone.stderr).into_owned();
    assert!(
        words.contains("frame of the last good setup") && words.contains("good.png"),
        "{words}"
    );
}

#[test]
fn a_mirrored_or_turned_picture_fails() {
    let good = rig(10, [0.0; 2], 1.0);
    for (frame, way, words) in [
        (mirrored(&good), "mirrored", "mirrored left to right"),
        (turned(&good), "quarter-turn", "turned a quarter clockwise"),
    ] {
        let folder = desk(&frame);
        let (status, document) = document(folder.path(), &ARGS);
        assert_eq!(status, Some(1), "{way}");
        assert_eq!(document["camera"]["like"]["way_round"], way);
        assert_eq!(kinds(&document), ["wrong-way-round"]);
        let text = inspect(folder.path(), &ARGS).stdout;
        let text = String::from_utf8_lossy(&text).into_owned();
        assert!(
            text.starts_with("fail  the picture is the wrong way round"),
            "{text}"
        );
        assert!(plain(&text).contains(words), "{text}");
    }
    // The camera's own turn, set as it is, puts it right.
    let folder = desk(&mirrored(&good));
    save_png(
        &folder.path().join("good.png"),
        &mirrored(&rig(1, [0.0; 2], 1.0)),
    );
    let (_, document) = document(folder.path(), &[&ARGS[..], &["--mirror-camera"]].concat());
    assert_eq!(document["camera"]["like"]["way_round"], "same");
}

#[test]
fn a_frame_of_another_size_or_scene_is_named_and_not_used() {
    let folder = desk(&rig(10, [0.0; 2], 1.0));
    let other = Size::new(320, 180).unwrap();
    save_png(
        &folder.path().join("small.png"),
        &Frame::from_fn(other, |_, _| [9; 3]),
    );
    save_png(
        &folder.path().join("even.png"),
        &Frame::from_fn(Size::new(640, 360).unwrap(), |_, _| [9; 3]),
    );
    // Nobody and nothing but the lit edge of the glass.
    save_png(
        &folder.path().join("edge.png"),
        &Frame::from_fn(Size::new(640, 360).unwrap(), |_, y| {
            [9 + 60_u32.saturating_sub(2 * y).to_le_bytes()[0]; 3]
        }),
    );
    for (file, words) in [
        (
            "small.png",
            "has another size than the camera frame and is not used",
        ),
        (
            "even.png",
            "shows nothing that stands still in both frames and is not used",
        ),
    ] {
        let (status, document) = document(folder.path(), &["today.png", "--like", file]);
        assert!(document["camera"]["like"].is_null());
        assert!(kinds(&document).is_empty());
        // Who asks for a comparison and gets none has no pass.
        assert_eq!(status, Some(2), "{file}");
        assert_eq!(document["unanswered"], serde_json::json!(["not-compared"]));
        let text = inspect(folder.path(), &["today.png", "--like", file]).stdout;
        let text = plain(&String::from_utf8_lossy(&text));
        // What fails for sure still fails.
        assert!(
            text.starts_with(
                "fail a reflection in the glass, top right, and 2 findings more; not compared with \
                 the last good setup"
            ),
            "{text}"
        );
        let text = inspect(folder.path(), &["edge.png", "--like", file]).stdout;
        let text = plain(&String::from_utf8_lossy(&text));
        assert!(
            text.starts_with(
                "unclear not compared with the last good setup, this frame alone: no fault; take a \
                 frame with writing and presenter too"
            ),
            "{text}"
        );
        let notes = document["notes"].as_array().unwrap();
        assert!(
            notes.iter().any(|note| {
                let note = note.as_str().unwrap();
                note.starts_with("the frame of the last good setup") && note.ends_with(words)
            }),
            "{notes:?}"
        );
    }
    let output = inspect(folder.path(), &["today.png", "--like", "none.png"]);
    assert_eq!(output.status.code(), Some(2));
    let error = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        error.contains("cannot read the frame of the last good setup"),
        "{error}"
    );
}

#[test]
fn a_frame_too_small_to_look_at_ends_with_status_2() {
    let folder = tempfile::tempdir().unwrap();
    let size = Size::new(80, 60).unwrap();
    save_png(
        &folder.path().join("tiny.png"),
        &Frame::from_fn(size, |_, _| [9; 3]),
    );
    let output = inspect(folder.path(), &["tiny.png"]);
    assert_eq!(output.status.code(), Some(2));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.contains("too small"), "{text}");
}

#[test]
fn a_chart_in_the_picture_tells_which_way_round_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let upright = chart_in_a_frame();
    for (name, frame, words) in [
        ("upright.png", upright.clone(), None),
        (
            "mirrored.png",
            mirrored(&upright),
            Some("mirrored left to right"),
        ),
        (
            "turned.png",
            turned(&upright),
            Some("turned a quarter clockwise"),
        ),
        (
            "double.png",
            turned(&turned(&upright)),
            Some("turned upside down"),
        ),
    ] {
        save_png(&folder.path().join(name), &frame);
        let (status, document) = document(folder.path(), &[name]);
        let first = &document["findings"][0];
        let told = (first["kind"] == "wrong-way-round").then(|| first["advice"].as_str().unwrap());
        let expected = words.map(|words| format!("By the chart in it the picture is {words}. "));
        match (told, expected) {
            (Some(told), Some(expected)) => assert!(told.starts_with(&expected), "{name}: {told}"),
            (told, expected) => assert_eq!(told, expected.as_deref(), "{name}"),
        }
        if words.is_some() {
            assert_eq!(status, Some(1), "{name}");
            assert_eq!(
                (&first["measured"], &first["limit"]),
                (&4.0.into(), &0.0.into())
            );
        }
    }
}

#[test]
fn what_lies_on_the_chart_is_no_fault_of_the_rig() {
    let folder = tempfile::tempdir().unwrap();
    let chart = draw_chart(Chart::new(Size::new(1280, 720).unwrap()).unwrap());
    save_png(&folder.path().join("chart.png"), &chart);
    save_png(&folder.path().join("mirrored.png"), &mirrored(&chart));
    let (status, right) = document(folder.path(), &["chart.png"]);
    assert_eq!(right["findings"], serde_json::json!([]));
    assert_eq!(
        (status, &right["verdict"]),
        (Some(2), &"unclear".into()),
        "nothing but its way round was looked at"
    );
    let told = right["notes"][0].as_str().unwrap();
    assert!(
        told.starts_with("the test chart is in this frame"),
        "{told}"
    );
    assert_eq!(right["camera"]["writing"]["percent"], 0.0);
    assert_eq!(right["camera"]["presenter"]["percent"], 0.0);
    let (status, wrong) = document(folder.path(), &["mirrored.png"]);
    let kinds: Vec<_> = wrong["findings"].as_array().unwrap().iter().collect();
    assert_eq!(kinds.len(), 1, "{kinds:?}");
    assert_eq!(kinds[0]["kind"], "wrong-way-round");
    assert_eq!((status, &wrong["verdict"]), (Some(2), &"fail".into()));
}

#[test]
fn a_lamp_beside_the_chart_is_found_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let chart = chart_in_a_frame();
    let size = chart.size();
    let frame = Frame::from_fn(size, |x, y| {
        let is_lamp = (40..70).contains(&x) && (50..80).contains(&y);
        let index = (y * size.width() + x) as usize;
        let [r, g, b, _] = chart.rgba_frac(index);
        if is_lamp {
            [120; 3]
        } else {
            [r, g, b].map(|v| (v * 255.0).round() as u8)
        }
    });
    save_png(&folder.path().join("lamp.png"), &frame);
    let (_, document) = document(folder.path(), &["lamp.png"]);
    let found = document["findings"].as_array().unwrap();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["kind"], "reflection");
    assert_eq!(found[0]["box"], serde_json::json!([40, 50, 30, 30]));
}

#[test]
fn chart_and_good_frame_that_say_the_same_are_one_finding() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    // The chart before the rig, so that both tell which way round it is.
    let chart = draw_chart(Chart::new(Size::new(960, 540).unwrap()).unwrap());
    let good = Frame::from_fn(Size::HD, |x, y| {
        let (u, v) = (x.wrapping_sub(400), y.wrapping_sub(200));
        let lamp = (100..140).contains(&x) && (900..960).contains(&y)
            || (1700..1760).contains(&x) && (100..130).contains(&y);
        if u < 960 && v < 540 {
            let [r, g, b, _] = chart.rgba_frac((v * 960 + u) as usize);
            [r, g, b].map(|v| (v * 255.0).round() as u8)
        } else if lamp {
            [90; 3]
        } else {
            [8; 3]
        }
    });
    save_png(&folder.join("good.png"), &good);
    save_png(&folder.join("today.png"), &mirrored(&good));
    let (status, document) = document(folder, &ARGS);
    assert_eq!(status, Some(1));
    let found = document["findings"].as_array().unwrap();
    let wrong: Vec<_> = found
        .iter()
        .filter(|finding| finding["kind"] == "wrong-way-round")
        .collect();
    let [finding] = wrong[..] else {
        panic!("{wrong:?}, {}", document["notes"]);
    };
    let advice = finding["advice"].as_str().unwrap();
    assert!(
        advice.starts_with(
            "Beside the frame of the last good setup, and by the chart in it, the picture is \
             mirrored left to right. "
        ),
        "{advice}"
    );
    assert_eq!(finding["limit"], 0.85);
}
