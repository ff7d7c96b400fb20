//! The README and the comments say what is true.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use nightglass::files::setup_file::Setup;
use nightglass::measure::limits::LIMITS;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

use crate::calibrate::save_png;
use crate::layering::rust_files;
use crate::simulation::{Levels, Random, Way, capture};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).unwrap()
}

/// Long flags in a text.
fn flags(text: &str) -> BTreeSet<String> {
    text.split("--")
        .skip(1)
        .map(|rest| {
            rest.split(|c: char| !(c.is_ascii_lowercase() || c == '-'))
                .next()
                .unwrap()
        })
        .filter(|flag| flag.len() > 2)
        .map(|flag| flag.trim_end_matches('-').to_owned())
        .collect()
}

fn help_of(verb: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .args([verb, "--help"])
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn readme_and_help_name_the_same_flags() {
    let mut known = flags(&help_of("preview"));
    known.extend(flags(&help_of("compose")));
    known.extend(flags(&help_of("darken")));
    known.extend(flags(&help_of("tune")));
    known.extend(flags(&help_of("check")));
    known.extend(flags(&help_of("overlap")));
    known.extend(flags(&help_of("template")));
    known.extend(flags(&help_of("chart")));
    known.extend(flags(&help_of("calibrate")));
    known.extend(flags(&help_of("inspect")));
    let mentioned: BTreeSet<String> = readme()
        .lines()
        .filter(|line| !line.contains("cargo "))
        .flat_map(flags)
        .collect();
    let common = ["help", "camera", "slide", "out"].map(str::to_owned);
    for flag in &known {
        assert!(
            mentioned.contains(flag) || common.contains(flag),
            "the README does not mention --{flag}"
        );
    }
    for flag in &mentioned {
        assert!(
            known.contains(flag),
            "the README mentions --{flag}, which is unknown"
        );
    }
}

/// Commands of the README with the output that it shows.
fn shown_commands(readme: &str) -> Vec<(String, String)> {
    let mut shown: Vec<(String, String)> = Vec::new();
    let mut is_open = false;
    for line in readme.lines() {
        let code = line.strip_prefix("    ");
        if let Some(command) = code.and_then(|code| code.strip_prefix("$ nightglass ")) {
            shown.push((command.to_owned(), String::new()));
            is_open = true;
        } else if let (true, Some(code), Some((_, output))) = (is_open, code, shown.last_mut()) {
            output.push_str(code);
            output.push('\n');
        } else if let (true, true, Some((_, output))) = (is_open, line.is_empty(), shown.last_mut())
        {
            output.push('\n');
        } else {
            is_open = false;
        }
    }
    shown
}

/// Without what differs from machine to machine: the engine and its adapter.
fn portable(text: &str) -> String {
    let lines = text.trim_end().lines();
    let cut = |line: &str| match line.split_once(" (") {
        Some((before, _)) if line.starts_with("wrote ") => before.to_owned(),
        _ => line.to_owned(),
    };
    lines.map(|line| cut(line) + "\n").collect()
}

/// The test chart as a recorder has it that cuts the edges and gets a signal of the wrong range.
fn example_capture() -> Frame {
    let way = Way {
        capture: Size::new(1280, 720).unwrap(),
        crop_px: [32.0, 18.0, 32.0, 18.0],
        levels: Levels::compressed(1),
        noise_codes: 1.0,
        ..Way::clean(Size::HD)
    };
    capture(&way, &mut Random(1)).0
}

#[test]
fn the_readme_shows_real_output() {
    let shown = shown_commands(&readme());
    assert!(
        shown.len() >= 3,
        "only {} commands with output",
        shown.len()
    );
    let folder = tempfile::tempdir().unwrap();
    let run = |command: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .args(command.split_whitespace())
            .current_dir(folder.path())
            // Graphics drivers complain on stderr where it is not set.
            .env("XDG_RUNTIME_DIR", folder.path())
            .output()
            .unwrap();
        String::from_utf8([output.stdout, output.stderr].concat()).unwrap()
    };
    run("demo .");
    std::fs::remove_file(folder.path().join("nightglass.toml")).unwrap();
    save_png(&folder.path().join("capture.png"), &example_capture());
    for (command, expected) in shown {
        assert_eq!(portable(&run(&command)), portable(&expected), "{command}");
    }
}

#[test]
fn the_readme_leaves_no_gaps() {
    let readme = readme();
    let is_placeholder = |word: &&str| {
        word.len() > 3
            && word.contains('_')
            && word.chars().all(|c| c.is_ascii_uppercase() || c == '_')
    };
    let gaps: Vec<&str> = readme.split_whitespace().filter(is_placeholder).collect();
    assert!(gaps.is_empty(), "{gaps:?}");
}

#[test]
fn the_readme_lists_every_limit_with_its_default() {
    let readme = readme();
    for spec in LIMITS {
        let row = format!("| `{}` | {} ", spec.key, spec.default);
        assert!(readme.contains(&row), "the README has no row {row}");
        assert!(readme.contains(spec.meaning), "{}", spec.meaning);
    }
}

#[test]
fn the_readme_setup_is_a_setup() {
    let text: String = readme()
        .lines()
        .skip_while(|line| !line.starts_with("    camera = "))
        .take_while(|line| line.is_empty() || line.starts_with("    "))
        .map(|line| line.trim_start().to_owned() + "\n")
        .collect();
    let setup = Setup::parse(&text, Path::new("README.md")).unwrap();
    assert!(setup.camera.is_some() && setup.guides.len() == 2);
}

#[test]
fn paths_in_comments_exist() {
    let mut files = Vec::new();
    for folder in ["src", "tests"] {
        rust_files(&root().join(folder), &mut files);
    }
    let mut found = 0;
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let comments = text
            .lines()
            .filter(|line| line.trim_start().starts_with("//"));
        for path in comments.flat_map(|line| line.split('`').skip(1).step_by(2)) {
            let is_path = ["src/", "tests/", "shaders/", "examples/"]
                .iter()
                .any(|p| path.starts_with(p));
            if is_path && !path.contains('*') {
                assert!(
                    root().join(path).exists(),
                    "{} names `{path}`",
                    file.display()
                );
                found += 1;
            }
        }
    }
    assert!(found > 20, "only {found} paths were looked at");
}
