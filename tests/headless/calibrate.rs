//! `chart` and `calibrate` as a person runs them: exact words, refusals, what the setup file gets.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use nightglass::files::setup_file::Setup;
use nightglass::measure::test_chart::key_fit::Dimming;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, Size};
use serde_json::Value;
use tempfile::TempDir;

use crate::mixer::{Mixer, keyed};
use crate::simulation::{Levels, Random, Way, capture, jpeg_file};

/// A folder of its own.
struct Desk(TempDir);

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(self.0.path())
            .args(args)
            .output()
            .unwrap()
    }

    /// Standard output, after the exit status was as expected.
    fn says(&self, status: i32, args: &[&str]) -> String {
        let output = self.run(args);
        let errors = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(status), "{args:?}: {errors}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// Standard error of a command that could not do its work and said nothing else.
    fn refuses(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert_eq!(String::from_utf8(output.stdout).unwrap(), "", "{args:?}");
        String::from_utf8(output.stderr).unwrap()
    }

    /// Writes a capture as PNG.
    fn save(&self, name: &str, frame: &Frame) {
        save_png(&self.path(name), frame);
    }

    fn save_keyed(&self, name: &str, way: &Way, threshold: f64, softness: f64) {
        let mixer = Mixer {
            threshold,
            softness,
            ramp: Ramp::Linear,
            alpha: Alpha::Straight,
            dimming: Dimming::Colour,
            left: 1.0,
            over: 50.0,
        };
        self.save(name, &keyed(way, &mixer, &mut Random(3)).0);
    }
}

pub(crate) fn save_png(path: &Path, frame: &Frame) {
    let size = frame.size();
    let rgb = (0..size.area()).flat_map(|index| {
        let [r, g, b, _] = frame.rgba_frac(index);
        [r, g, b].map(|v| (v * 255.0).round() as u8)
    });
    let picture = image::RgbImage::from_raw(size.width(), size.height(), rgb.collect()).unwrap();
    picture.save(path).unwrap();
}

fn small() -> Way {
    Way::clean(Size::new(960, 540).unwrap())
}

/// A capture that arrives squeezed, mirrored and with two edges cut.
fn squeezed() -> Frame {
    let way = Way {
        crop_px: [10.0, 0.0, 0.0, 5.0],
        is_mirrored: true,
        levels: Levels::compressed(1),
        ..small()
    };
    capture(&way, &mut Random(1)).0
}

const SQUEEZED: &str = "\
2 things are wrong with the chain.
  FAIL  The slide comes mirrored left-right. Switch that off where the slide
        enters the mixer, or set `mirror_slide` if it is meant.
  FAIL  The signal is squeezed into video range and never stretched again, so
        black comes as grey and lies over the camera as haze. Set the computer's
        output to full range, or the mixer's input to limited (video) range; one
        of the two, not both.
  note  Up to 1.1 % of a side is cut off at the edges. Content inside the safe
        area is not touched.

levels     wrongly compressed: gain 0.859, offset +6.3 % of white
ends       black comes as 6.3 %, white as 92.2 % of white
noise      0.00 % of white
greys      at white red +0.0, green +0.0, blue +0.0 % beside neutral
way round  mirrored
cut off    left 10, top 0, right 0, bottom 5 px, at most 1.1 % of a side
scale      960x540 sent, 960x540 captured: 101.1 % across, 100.9 % down
threshold  at least 6.3 %: black plus 5.2 times the noise; there one pixel of a
           black slide flickers in 20 frames

wrote [chain] into desk.toml; mend what is wrong, then measure again, and it is
replaced
";

#[test]
fn a_squeezed_capture_is_told_in_words_and_kept_in_the_setup() {
    let desk = Desk::new();
    desk.save("capture.png", &squeezed());
    std::fs::write(
        desk.path("desk.toml"),
        "# the room upstairs\n[key]\nthreshold = 9 # by eye\n",
    )
    .unwrap();
    let text = desk.says(1, &["calibrate", "capture.png", "--write", "desk.toml"]);
    assert_eq!(text, SQUEEZED);
    assert!(text.lines().all(|line| line.chars().count() <= 80));

    let written = std::fs::read_to_string(desk.path("desk.toml")).unwrap();
    assert!(
        written.contains("# the room upstairs") && written.contains("threshold = 9 # by eye"),
        "{written}"
    );
    // Source: CTA-861 quantisation ranges, 219 / 255 and 16 / 255.
    let chain = Setup::parse(&written, Path::new("desk.toml"))
        .unwrap()
        .settings
        .chain
        .unwrap();
    assert!((chain.gain() - 219.0 / 255.0).abs() < 0.005, "{chain:?}");
    assert!(
        (chain.offset_percent() - 1600.0 / 255.0).abs() < 0.5,
        "{chain:?}"
    );
    let gain = written
        .lines()
        .find(|line| line.starts_with("gain ="))
        .unwrap();
    assert!(gain.len() <= "gain = 0.8588".len(), "{gain}");
}

#[test]
fn a_report_alone_writes_nothing_and_json_is_one_document() {
    let desk = Desk::new();
    desk.save("capture.png", &squeezed());
    let text = desk.says(1, &["calibrate", "capture.png", "--report-only", "--json"]);
    let document: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(document["schema"], 1);
    assert_eq!(document["output"], serde_json::json!([960, 540]));
    assert_eq!(document["range"], "compressed");
    assert_eq!(document["mirrored"], true);
    assert_eq!(document["written"], Value::Null);
    assert_eq!(document["findings"][0]["kind"], "wrong-way-round");
    assert_eq!(document["findings"][2]["severity"], "info");
    assert!(document["threshold_floor"]["percent"].as_f64().unwrap() > 6.0);
    assert!(!desk.path("nightglass.toml").exists());
}

#[test]
fn noise_that_compression_hides_gives_no_threshold() {
    let desk = Desk::new();
    let (frame, _) = capture(&small(), &mut Random(1));
    std::fs::write(desk.path("capture.jpg"), jpeg_file(&frame, 80)).unwrap();
    let text = desk.says(0, &["calibrate", "capture.jpg"]);
    for part in [
        "The chain is fine.\n",
        "JPEG compression hides the rest",
        "how far over is not known",
        "wrote [chain] into nightglass.toml\n",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(!text.contains("threshold  at least"), "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let text = desk.says(0, &["calibrate", "capture.jpg", "--json"]);
    let document: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(document["noise"]["hidden_by_jpeg"], true);
    assert_eq!(document["threshold_floor"]["percent"], Value::Null);
}

#[test]
fn the_chain_in_force_is_one_line_on_stderr() {
    let desk = Desk::new();
    desk.says(0, &["chart", "--out", "chart.png", "--size", "640x360"]);
    std::fs::write(
        desk.path("nightglass.toml"),
        "[chain]\ngain = 0.859\noffset = 6.3\n",
    )
    .unwrap();
    let output = desk.run(&[
        "compose",
        "--camera",
        "chart.png",
        "--slide",
        "chart.png",
        "--out",
        "out.png",
        "--engine",
        "cpu",
    ]);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(
        String::from_utf8(output.stderr).unwrap(),
        "using the setup in `nightglass.toml`\n\
         using the chain of the setup: gain 0.859, offset 6.3 %\n"
    );
}

#[test]
fn the_chart_is_written_as_picture_and_page() {
    let desk = Desk::new();
    let text = desk.says(0, &["chart", "--out", "chart.png", "--size", "640x360"]);
    assert_eq!(
        text,
        "wrote chart.png (640x360)\n\
         show it full screen as a slide, record it as the key gets it,\n\
         then run `nightglass calibrate` on the picture\n"
    );
    let picture = image::open(desk.path("chart.png")).unwrap();
    assert_eq!((picture.width(), picture.height()), (640, 360));
    desk.says(0, &["chart", "--out", "chart.pdf"]);
    let page = std::fs::read(desk.path("chart.pdf")).unwrap();
    assert!(page.starts_with(b"%PDF-"));

    assert_eq!(
        desk.refuses(&["chart", "--out", "chart.jpg"]),
        "error: expected a name ending in .png or .pdf, got `chart.jpg`\n\n\
         hint: both keep every pixel; .pdf goes into a deck of pages\n"
    );
    let tiny = desk.refuses(&["chart", "--out", "tiny.png", "--size", "20x20"]);
    assert!(
        tiny.contains("at least 320x180 pixels, got 20x20"),
        "{tiny}"
    );
    assert!(!desk.path("tiny.png").exists());
}

#[test]
fn what_cannot_be_measured_is_refused_with_a_way_out() {
    let desk = Desk::new();
    let flat = |code: u8| Frame::from_fn(Size::new(640, 360).unwrap(), |_, _| [code; 3]);
    desk.save("black.png", &flat(0));
    desk.save("white.png", &flat(255));
    let half = Way {
        crop_px: [480.0, 0.0, 0.0, 0.0],
        ..small()
    };
    desk.save("half.png", &capture(&half, &mut Random(1)).0);
    let tiny = Way {
        capture: Size::new(100, 56).unwrap(),
        ..small()
    };
    desk.save("tiny.png", &capture(&tiny, &mut Random(1)).0);
    std::fs::write(desk.path("words.png"), "no picture").unwrap();
    desk.says(0, &["demo", "demo"]);
    for (capture, said) in [
        ("black.png", "got a picture that is all black"),
        ("white.png", "got a picture that is all white"),
        ("demo/camera.jpg", "found 0 of 4 corner markers"),
        ("half.png", "found 2 of 4 corner markers"),
        ("tiny.png", "the capture is too small"),
        ("missing.png", "no such file: `missing.png`"),
        ("words.png", "not a PNG, JPEG"),
    ] {
        for args in [
            &["calibrate", capture] as &[&str],
            &["calibrate", "--keyed", "--over", "50", capture],
        ] {
            let text = desk.refuses(args);
            assert!(text.contains(said) && text.contains("\nhint: "), "{text}");
            assert!(text.contains(capture), "{text}");
        }
    }
    let two = desk.refuses(&["calibrate", "half.png", "tiny.png"]);
    assert!(two.contains("expected one capture, got 2"), "{two}");
    assert!(!desk.path("nightglass.toml").exists());
}

const KEYED: &str = "\
a.png: threshold 10.0 %, softness 15.0 % of white
  ramp linear, alpha straight, the fit misses by 0.11 % of white on average
b.png: threshold 20.1 %, softness 11.9 % of white
  ramp linear, alpha straight, the fit misses by 0.12 % of white on average

threshold knob: 0 is -0.06 %, each step +0.101 % of white
softness knob: 0 is -0.55 %, each step +0.311 % of white
a third capture at other positions would check these scales

wrote [knobs] into desk.toml
";

#[test]
fn keyed_captures_give_key_and_knobs() {
    let desk = Desk::new();
    desk.save_keyed("a.png", &small(), 10.0, 15.0);
    desk.save_keyed("b.png", &small(), 20.0, 12.0);
    std::fs::write(desk.path("desk.toml"), "# the room upstairs\n").unwrap();
    let both = ["calibrate", "--keyed", "a.png", "b.png", "--over", "50"];
    let with = |knobs: &'static str, file: &'static str| -> Vec<&str> {
        [&both[..], &["--knobs", knobs, "--write", file]].concat()
    };
    assert_eq!(desk.says(0, &with("100/50,200/40", "desk.toml")), KEYED);
    let written = std::fs::read_to_string(desk.path("desk.toml")).unwrap();
    assert!(written.contains("# the room upstairs"), "{written}");
    let setup = Setup::parse(&written, Path::new("desk.toml")).unwrap();
    let knobs = setup.knobs.unwrap();
    assert!((knobs.threshold.unwrap().knob_from_percent(15.0) - 150.0).abs() < 5.0);
    assert!((knobs.softness.unwrap().knob_from_percent(13.5) - 45.0).abs() < 2.0);

    let alone = desk.says(0, &["calibrate", "--keyed", "a.png", "--over", "50%"]);
    assert!(
        alone.contains("no knob scale: two or more captures"),
        "{alone}"
    );
    assert!(alone.ends_with("\nnothing was written\n"), "{alone}");

    // The same position twice with two different keys: one of the two pairs is wrong.
    let torn = desk.says(1, &with("150/50,150/50", "torn.toml"));
    for part in [
        "the threshold knob stood at one position only",
        "the softness knob stood at one position only",
        "uncertain: a capture is 10.07 % of white beside these scales",
        "\nnothing was written\n",
    ] {
        assert!(torn.contains(part), "{part}: {torn}");
    }
    assert!(
        torn.lines().all(|line| line.chars().count() <= 80),
        "{torn}"
    );
    assert!(!desk.path("torn.toml").exists());

    // The same capture twice tells no scale, and never takes the place of one.
    let same = ["calibrate", "--keyed", "a.png", "a.png", "--over", "50"];
    let still = desk.says(
        1,
        &[
            &same[..],
            &["--knobs", "100/50,100/50", "--write", "desk.toml"],
        ]
        .concat(),
    );
    for part in ["uncertain: neither knob moved", "\nnothing was written\n"] {
        assert!(still.contains(part), "{part}: {still}");
    }
    assert_eq!(
        std::fs::read_to_string(desk.path("desk.toml")).unwrap(),
        written
    );
    // A knob that stood still keeps the scale that the setup has.
    desk.save_keyed("c.png", &small(), 20.0, 15.0);
    let more = ["calibrate", "--keyed", "a.png", "c.png", "--over", "50"];
    let output = desk.run(
        &[
            &more[..],
            &["--knobs", "100/50,200/50", "--write", "desk.toml"],
        ]
        .concat(),
    );
    assert_eq!(
        String::from_utf8(output.stderr).unwrap(),
        "the softness knob stood at one position only, so the setup's scale of it stays\n"
    );
    assert_eq!(
        Setup::read(&desk.path("desk.toml"))
            .unwrap()
            .knobs
            .unwrap()
            .softness,
        knobs.softness
    );

    let few = desk.refuses(&[&both[..], &["--knobs", "100/50"]].concat());
    assert!(
        few.contains("expected one pair of `--knobs` for each capture"),
        "{few}"
    );
    let grey = desk.refuses(&["calibrate", "--keyed", "a.png", "--over", "40"]);
    assert!(
        grey.contains("to show the grey behind at 40.0 % of white, got 50.2 %"),
        "{grey}"
    );
}

#[test]
fn a_knob_that_stood_still_tells_no_scale() {
    let desk = Desk::new();
    desk.save_keyed("a.png", &small(), 10.0, 15.0);
    desk.save_keyed("c.png", &small(), 20.0, 15.0);
    let more = ["calibrate", "--keyed", "a.png", "c.png", "--over", "50"];
    let told = desk.says(
        0,
        &[
            &more[..],
            &["--knobs", "100/50,200/50", "--write", "new.toml"],
        ]
        .concat(),
    );
    assert!(
        told.contains(
            "\nthe softness knob stood at one position only, which tells no scale of it\n"
        ),
        "{told}"
    );
    let written = std::fs::read_to_string(desk.path("new.toml")).unwrap();
    let keys: Vec<&str> = written
        .lines()
        .filter(|line| line.contains("_zero =") || line.contains("_step ="))
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split(' ').next())
        .collect();
    assert_eq!(keys, ["threshold_zero", "threshold_step"], "{written}");
    let knobs = Setup::read(&desk.path("new.toml")).unwrap().knobs.unwrap();
    assert!(knobs.threshold.is_some() && knobs.softness.is_none());
    // Two captures lie on any line: how far they are beside it tells nothing, whichever knob moved.
    desk.save_keyed("d.png", &small(), 10.0, 12.0);
    let softer = ["calibrate", "--keyed", "a.png", "d.png", "--over", "50"];
    let told = desk.says(0, &[&softer[..], &["--knobs", "100/50,100/40"]].concat());
    assert!(
        told.contains("\na third capture at other positions would check these scales\n"),
        "{told}"
    );
    desk.save_keyed("slide.png", &small(), 10.0, 15.0);
    let tuned = desk.run(&["tune", "slide.png", "--setup", "new.toml"]);
    let tuned = String::from_utf8(tuned.stdout).unwrap();
    let line = tuned
        .lines()
        .find(|line| line.starts_with("on the mixer's own knobs: threshold "));
    assert!(
        line.is_some_and(|line| !line.contains("softness")),
        "{tuned}"
    );
}

#[test]
fn the_key_behind_a_chain_is_told_in_the_levels_that_the_key_gets() {
    let desk = Desk::new();
    let way = Way {
        levels: Levels::compressed(1),
        ..small()
    };
    desk.save("chart.png", &capture(&way, &mut Random(1)).0);
    desk.save_keyed("keyed.png", &way, 14.0, 10.0);
    desk.says(1, &["calibrate", "chart.png"]);
    let output = desk.run(&[
        "calibrate",
        "--keyed",
        "keyed.png",
        "--over",
        "50",
        "--json",
    ]);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(
        String::from_utf8(output.stderr).unwrap(),
        "using the chain of the setup: gain 0.859, offset 6.3 %\n"
    );
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let of = |name: &str| document["captures"][0][name].as_f64().unwrap();
    assert!((of("threshold") - 14.0).abs() < 0.5, "{document}");
    assert!((of("softness") - 10.0).abs() < 0.5, "{document}");
}
