//! `check` as a person runs it: its exact words, its document against the schema, its exit status.

use std::path::PathBuf;
use std::process::{Command, Output};

use nightglass::files::demonstration::{CAMERA, SLIDES};
use serde_json::{Value, json};
use tempfile::TempDir;

/// A folder of its own with a black slide and a white one.
pub(crate) struct Desk {
    pub(crate) folder: TempDir,
}

impl Desk {
    pub(crate) fn new() -> Self {
        let desk = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        desk.paint("1 black.png", [0; 3]);
        desk.paint("2 white.png", [255; 3]);
        desk
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// A picture of one colour.
    pub(crate) fn paint(&self, name: &str, color: [u8; 3]) {
        let picture = image::RgbImage::from_pixel(64, 36, image::Rgb(color));
        picture.save(self.path(name)).unwrap();
    }

    pub(crate) fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.path(name), bytes).unwrap();
    }

    pub(crate) fn check(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(self.folder.path())
            .env_remove("COLUMNS")
            .arg("check")
            .args(args)
            .output()
            .unwrap()
    }

    /// Runs `check --json`.
    pub(crate) fn document(&self, args: &[&str]) -> Value {
        let output = self.check(&[args, &["--json"]].concat());
        serde_json::from_slice(&output.stdout).unwrap()
    }
}

pub(crate) fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_clean_deck_is_one_line() {
    let desk = Desk::new();
    let output = desk.check(&["1 black.png"]);
    assert_eq!(
        said(&output.stdout),
        "pass: nothing found on 1 slide at threshold 6 %, softness 4 %\n"
    );
    assert_eq!(said(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
}

/// What `check .` prints of the two slides.
const TABLE: &str = "\
2 slides: 1 pass, 0 warn, 1 fail
threshold 6 %, softness 4 %
output 1920x1080, over black, no camera

pass  ./1 black.png
fail  ./2 white.png
  fail  not-dark          whole picture; background luma 100 %, limit 25 %
        The background has 100 % luma and covers the camera; 25 % is the limit.
        Use black, or turn the deck dark with `nightglass darken`.
";

#[test]
fn the_table_fits_80_columns_and_needs_no_colour() {
    let desk = Desk::new();
    let output = desk.check(&["."]);
    assert_eq!(said(&output.stdout), TABLE);
    assert_eq!(output.status.code(), Some(1));
    assert!(TABLE.lines().all(|line| line.len() <= 80));
}

#[test]
fn a_narrow_and_a_wide_terminal_get_the_same_words() {
    let desk = Desk::new();
    for columns in ["1", "40", "100", "400"] {
        let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.folder.path())
            .env("COLUMNS", columns)
            .args(["check", "."])
            .output()
            .unwrap();
        let text = said(&output.stdout);
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(words(&text), words(TABLE));
        let most = columns.parse::<usize>().unwrap().clamp(40, 100);
        assert!(text.lines().all(|line| line.len() <= most), "{text}");
    }
}

/// Makes a document wrong.
type Spoil = fn(&mut Value);

#[test]
fn the_document_follows_the_schema_that_the_program_prints() {
    let desk = Desk::new();
    desk.write("3 broken.png", b"no picture");
    let schema: Value = serde_json::from_slice(&desk.check(&["--schema"]).stdout).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::validator_for(&schema).unwrap();
    let document = desk.document(&["."]);
    let errors: Vec<String> = validator
        .iter_errors(&document)
        .map(|e| e.to_string())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    let key = json!({
        "threshold": 6.0, "softness": 4.0, "ramp": "linear", "luma": "bt709",
        "alpha": "straight", "blend_space": "encoded"
    });
    assert_eq!(document["schema"], 1);
    assert_eq!(document["output"], json!([1920, 1080]));
    assert_eq!(document["key"], key);
    let white = &document["slides"][1];
    assert_eq!(white["slide"], "./2 white.png");
    assert_eq!(
        (&white["page"], &white["verdict"]),
        (&Value::Null, &json!("fail"))
    );
    assert_eq!(white["findings"][0]["kind"], "not-dark");
    assert_eq!(document["unreadable"][0]["slide"], "./3 broken.png");

    let spoiled: [(&str, Spoil); 8] = [
        ("another schema", |d| {
            d["schema"] = json!(2);
        }),
        ("a verdict that is none", |d| {
            d["slides"][0]["verdict"] = json!("good");
        }),
        ("a kind that is none", |d| {
            d["slides"][1]["findings"][0]["kind"] = json!("ugly");
        }),
        ("a box of three", |d| {
            d["slides"][1]["findings"][0]["box"] = json!([1, 2, 3]);
        }),
        ("a text for a number", |d| {
            d["key"]["threshold"] = json!("6");
        }),
        ("page 0.5", |d| {
            d["slides"][0]["page"] = json!(0.5);
        }),
        ("no slides", |d| {
            d.as_object_mut().unwrap().remove("slides");
        }),
        ("a key that is unknown", |d| {
            d["more"] = json!(1);
        }),
    ];
    for (what, spoil) in spoiled {
        let mut wrong = document.clone();
        spoil(&mut wrong);
        assert!(!validator.is_valid(&wrong), "{what} is accepted");
    }
}

#[test]
fn the_exit_status_says_what_happened() {
    let desk = Desk::new();
    let status = |args: &[&str]| desk.check(args).status.code();
    assert_eq!(status(&["1 black.png"]), Some(0));
    assert_eq!(status(&["1 black.png", "--fail-on", "warn"]), Some(0));
    assert_eq!(status(&["2 white.png"]), Some(1));
    // What could not be done outranks what was found.
    assert_eq!(status(&["2 white.png", "nowhere.png"]), Some(2));
    assert_eq!(status(&["nowhere.png"]), Some(2));
    assert_eq!(status(&[]), Some(2));
}

#[test]
fn unreadable_slides_leave_the_rest_checked() {
    let desk = Desk::new();
    desk.write("3 broken.png", b"no picture");
    let output = desk.check(&[".", "nowhere.png"]);
    assert_eq!(output.status.code(), Some(2));
    let table = said(&output.stdout);
    assert!(
        table.starts_with("2 slides: 1 pass, 0 warn, 1 fail; 2 could not be checked\n"),
        "{table}"
    );
    let stderr = said(&output.stderr);
    assert!(
        stderr.contains("no such slide or folder: `nowhere.png`"),
        "{stderr}"
    );
    assert!(
        stderr.contains("cannot use the slide `./3 broken.png`"),
        "{stderr}"
    );
}

#[test]
fn an_empty_folder_and_no_slides_say_what_to_do() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("empty")).unwrap();
    let output = desk.check(&["empty"]);
    assert!(said(&output.stderr).contains("hint: export the slides as PNG into that folder"));
    assert!(output.stdout.is_empty() && output.status.code() == Some(2));
    let output = desk.check(&[]);
    assert_eq!(
        said(&output.stderr),
        "error: expected slides, got none\n\n\
         hint: name files or folders of slides, or set `slides` in the setup file\n"
    );
}

#[test]
fn an_unreadable_camera_is_named() {
    let desk = Desk::new();
    let output = desk.check(&["1 black.png", "--camera", "nowhere.jpg"]);
    assert_eq!(
        said(&output.stderr),
        "error: cannot read the camera\n  no such file: `nowhere.jpg`\n\n\
         hint: check the name and the folder you are in\n"
    );
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn accepted_findings_are_kept_in_the_setup_and_stay_quiet() {
    let desk = Desk::new();
    let output = desk.check(&["2 white.png", "--accept=haze"]);
    assert_eq!(
        said(&output.stderr),
        "nothing was found that could be accepted\n"
    );
    assert_eq!(output.status.code(), Some(1));
    let output = desk.check(&["2 white.png", "--accept", "--threshold", "7"]);
    assert_eq!(
        said(&output.stderr),
        "accepted 1 finding in `nightglass.toml`:\n  not-dark  2 white.png; whole picture\n\
         take a [[accepted]] table out of it to hear of one again\n"
    );
    assert_eq!(output.status.code(), Some(0));
    let setup = std::fs::read_to_string(desk.path("nightglass.toml")).unwrap();
    assert!(
        setup.contains("[[accepted]]\nslide = \"2 white.png\"\nkind = \"not-dark\"\n"),
        "{setup}"
    );
    assert!(
        setup.contains("threshold = 6"),
        "a flag went into the file: {setup}"
    );
    let output = desk.check(&["2 white.png"]);
    assert_eq!(
        said(&output.stdout),
        "accepted: nothing new found on 1 slide at threshold 6 %, softness 4 %; 0 pass, 1\n\
         accepted; 1 finding accepted in `nightglass.toml`\n"
    );
    let slide = &desk.document(&["2 white.png"])["slides"][0];
    assert_eq!(
        (&slide["accepted"], &slide["verdict"]),
        (&json!(1), &json!("accepted"))
    );
    desk.paint("3 grey.png", [40; 3]);
    let text = said(&desk.check(&["."]).stdout);
    assert!(
        text.starts_with(
            "3 slides: 1 pass, 1 accepted, 0 warn, 1 fail; 1 finding accepted in\n`nightglass.toml`\n"
        ),
        "{text}"
    );
    assert!(
        text.contains("\naccepted  ./2 white.png (1 accepted)\n"),
        "{text}"
    );
    let output = desk.check(&["2 white.png", "--report", "page.html"]);
    assert_eq!(output.status.code(), Some(0));
    let page = std::fs::read_to_string(desk.path("page.html")).unwrap();
    assert!(page.contains("Slides under the key: 1 slide: 1 accepted"));
    assert!(page.contains(r#"<span class="verdict accepted">accepted</span>"#));
    assert!(page.contains("Nothing found beside what was accepted."));
}

#[test]
fn the_head_names_of_the_key_what_is_not_as_everywhere() {
    let desk = Desk::new();
    let text = said(
        &desk
            .check(&[".", "--ramp", "smooth", "--luma", "bt601"])
            .stdout,
    );
    let second = text.lines().nth(1);
    assert_eq!(
        second,
        Some("threshold 6 %, softness 4 %, ramp smooth, luma weights bt601")
    );
}

#[test]
fn a_threshold_under_what_the_chain_leaves_of_black_is_found_on_every_slide() {
    let desk = Desk::new();
    let chain = |offset: &str, noise: &str| {
        let text = format!("[chain]\ngain = 0.9\noffset = {offset}\nnoise = {noise}\n");
        desk.write("nightglass.toml", text.as_bytes());
    };
    // 5 + 5.458 * 0.3 = 6.64; a pixel of 1920x1080 in 20 frames.
    chain("5", "0.3");
    let output = desk.check(&["1 black.png", "--report", "page.html"]);
    let text = said(&output.stdout);
    assert!(
        text.contains(
            "warn  1 black.png
  warn  chain-black       whole picture; black comes up to 6.64 %, limit 6 %
        The chain brings black to 5 % of white with noise of 0.3 %, so under a
        threshold of 6 % it flickers. Use a threshold of 6.7 % or more, or mend
        the chain and measure it again with `nightglass calibrate`.
"
        ),
        "{text}"
    );
    assert!(!said(&output.stderr).contains("warning"));
    let page = std::fs::read_to_string(desk.path("page.html")).unwrap();
    assert!(page.contains("Black is not dropped") && page.contains("it flickers"));
    let status = desk.check(&["1 black.png", "--fail-on", "warn"]).status;
    assert_eq!(status.code(), Some(1));
    // No threshold is over 100 %.
    chain("3", "30");
    let text = said(&desk.check(&["1 black.png"]).stdout)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        text.contains(
            "it flickers. Mend the chain and measure it again with `nightglass calibrate`."
        ),
        "{text}"
    );
    // A bright slide must be made anew whatever the chain does.
    let kinds = |slide: &str| {
        let findings = desk.document(&[slide])["slides"][0]["findings"].clone();
        let kinds = findings.as_array().unwrap().iter();
        kinds.map(|one| one["kind"].clone()).collect::<Vec<_>>()
    };
    assert_eq!(kinds("2 white.png"), ["not-dark"]);
    // Black over the threshold lies over the camera without any noise, by less than what is haze.
    chain("6.3", "0");
    let found = desk.document(&["1 black.png"])["slides"][0].clone();
    assert_eq!(found["verdict"], "warn");
    let advice = found["findings"][0]["advice"].as_str().unwrap();
    assert!(
        advice.contains(
            "under a threshold of 6 % it lies over the camera. Use a threshold of 6.3 % or more"
        ),
        "{advice}"
    );
    // Where it is haze, that says it.
    chain("9", "0.3");
    assert_eq!(kinds("1 black.png"), ["haze"]);
    chain("5", "0.1");
    assert!(kinds("1 black.png").is_empty());
}

#[test]
fn over_a_camera_a_grey_background_is_haze_and_covers_nothing_else() {
    let desk = Desk::new();
    desk.write("camera.jpg", CAMERA.bytes);
    desk.paint("grey.png", [0x1e, 0x1e, 0x28]);
    let document = desk.document(&["grey.png", "--camera", "camera.jpg"]);
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    let kinds: Vec<&str> = findings
        .iter()
        .map(|one| one["kind"].as_str().unwrap())
        .collect();
    assert_eq!(kinds, ["haze"]);
    // Where nothing else is looked at, it covers, and what helps is no smaller content.
    let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(desk.folder.path())
        .args(["overlap", "grey.png", "--camera", "camera.jpg", "--json"])
        .output()
        .unwrap();
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = document["slides"][0]["findings"].as_array().unwrap();
    assert!(findings.len() > 3);
    for finding in findings {
        let advice = finding["advice"].as_str().unwrap();
        assert!(
            advice.contains("Its background does, which this key keeps: make it black"),
            "{advice}"
        );
        assert!(!advice.contains("smaller"), "{advice}");
    }
}

#[test]
fn a_camera_frame_too_small_to_look_at_is_no_pass() {
    let desk = Desk::new();
    let dot = image::RgbImage::from_pixel(16, 9, image::Rgb([0; 3]));
    dot.save(desk.path("dot.png")).unwrap();
    let output = desk.check(&["1 black.png", "--camera", "dot.png"]);
    assert_eq!(output.status.code(), Some(2));
    let error = said(&output.stderr);
    assert!(
        error.contains("expected a camera frame of 160x90 pixels or more, got 16x9: `dot.png`"),
        "{error}"
    );
    // Portrait is large enough, and a bright frame is named for what it is.
    let tall = image::RgbImage::from_pixel(90, 160, image::Rgb([200; 3]));
    tall.save(desk.path("tall.png")).unwrap();
    let output = desk.check(&["1 black.png", "--camera", "tall.png"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(said(&output.stderr), "");
    assert_eq!(
        said(&output.stdout),
        "\
unclear: nothing found on 1 slide at threshold 6 %, softness 4 %, but not all
could be looked for
  unclear  no dark backdrop is recognised in `tall.png`, so neither writing nor
        a presenter can be told from it, and slides may cover them unsaid;
        `nightglass inspect` says what frame to take
"
    );
}

#[test]
fn a_pdf_beside_the_pictures_of_a_folder_is_said_to_be_left_out() {
    let desk = Desk::new();
    desk.write("web.pdf", b"%PDF-1.4\n");
    let output = desk.check(&["."]);
    assert_eq!(
        said(&output.stderr),
        "`./web.pdf` is left out: a folder stands for its pictures; name the file too to have its pages\n"
    );
    assert_eq!(said(&output.stdout), TABLE);
    // One that is named is not left out, whatever comes of it.
    let error = said(&desk.check(&[".", "./web.pdf"]).stderr);
    assert!(!error.contains("left out"), "{error}");
}

#[test]
fn cameras_come_from_flags_or_the_setup() {
    let desk = Desk::new();
    desk.write("camera.jpg", CAMERA.bytes);
    desk.write("slide.png", SLIDES[0].bytes);
    desk.write(
        "nightglass.toml",
        b"camera = \"camera.jpg\"\nslides = [\"slide.png\"]\n",
    );
    assert_eq!(desk.document(&[])["cameras"], json!(["camera.jpg"]));
    image::RgbImage::from_pixel(320, 180, image::Rgb([9; 3]))
        .save(desk.path("other.png"))
        .unwrap();
    let two = ["--camera", "other.png", "--camera", "camera.jpg"];
    let document = desk.document(&two);
    assert_eq!(document["cameras"], json!(["other.png", "camera.jpg"]));
    assert_eq!(document["output"], json!([320, 180]));
}
