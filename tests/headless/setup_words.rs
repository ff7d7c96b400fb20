//! What is said about a setup file that is wrong, exactly, and what to do about it.

use std::path::Path;
use std::process::Command;

use nightglass::files::setup_file::Setup;

use crate::check::Desk;

/// The error and its hint.
fn said(text: &str) -> (String, Option<String>) {
    let error = Setup::parse(text, Path::new("a.toml")).unwrap_err();
    (error.to_string(), error.hint())
}

#[test]
fn a_number_in_quotes_is_told_to_lose_them() {
    for (text, error, hint) in [
        (
            "[key]\nthreshold = \"6\"\n",
            "`threshold` must be a number, got \"6\", line 2, column 13: `a.toml`",
            "write it without quotes: `threshold = 6`",
        ),
        (
            "[key]\nsoftness = \"4,5 %\"\n",
            "`softness` must be a number, got \"4,5 %\", line 2, column 12: `a.toml`",
            "write it without quotes: `softness = 4.5`",
        ),
        (
            "[placement]\nmirror_camera = \"true\"\n",
            "`mirror_camera` must be true or false, got \"true\", line 2, column 17: `a.toml`",
            "write it without quotes: `mirror_camera = true`",
        ),
    ] {
        assert_eq!(said(text), (error.to_owned(), Some(hint.to_owned())));
    }
    let (_, hint) = said("[key]\nthreshold = \"six\"\n");
    assert_eq!(hint, None);
}

#[test]
fn a_decimal_comma_a_backslash_and_an_unknown_section_are_told_in_words() {
    let slashes =
        "write paths with forward slashes, such as \"C:/lesson/board.png\", or in single quotes";
    for (text, error, hint) in [
        (
            "[key]\nthreshold = 6,5 # percent\n",
            "expected a number with a decimal point, got `6,5`, line 2, column 14: `a.toml`",
            "write it with a point: `threshold = 6.5`",
        ),
        (
            "camera = \"C:\\new\\x.png\"\n",
            "expected a text without backslashes, got `\"C:\\new\\x.png\"`, line 1, column 19: `a.toml`",
            slashes,
        ),
        // Both are escapes that TOML has: a line break, and a backspace.
        (
            "camera = \"C:\\new\\board.png\"\n",
            "`camera` must be a path, got one with a line break, a tab or the like in it, line 1, column 10: `a.toml`",
            slashes,
        ),
        (
            "slides = [\"C:\\temp\"]\n",
            "`slides` must be a path, got one with a line break, a tab or the like in it, line 1, column 10: `a.toml`",
            slashes,
        ),
        (
            "[foo]\nbar = 1\n",
            "unknown section `[foo]`, line 1, column 2: `a.toml`",
            "correct its name, or put a # before it and before each of its lines",
        ),
        (
            "[plaecment]\n",
            "unknown section `[plaecment]`; the nearest is `[placement]`, line 1, column 2: `a.toml`",
            "correct its name, or put a # before it and before each of its lines",
        ),
        (
            "[[zone]]\n",
            "unknown section `[[zone]]`; the nearest is `[[zones]]`, line 1, column 3: `a.toml`",
            "correct its name, or put a # before it and before each of its lines",
        ),
        (
            "[[acceptd]]\nslide = \"a.png\"\n",
            "unknown section `[[acceptd]]`; the nearest is `[[accepted]]`, line 1, column 3: `a.toml`",
            "correct its name, or put a # before it and before each of its lines",
        ),
        (
            "[key]\n[key.foo]\n",
            "unknown section `[key.foo]`, line 2, column 6: `a.toml`",
            "correct its name, or put a # before it and before each of its lines",
        ),
    ] {
        assert_eq!(said(text), (error.to_owned(), Some(hint.to_owned())));
    }
    let setup = Setup::parse("camera = 'C:\\new\\x.png'\n", Path::new("a.toml")).unwrap();
    assert_eq!(setup.camera, Some("C:\\new\\x.png".into()));
}

#[test]
fn commas_in_what_is_no_number_are_not_told_to_be_points() {
    for (line, value) in [
        ("[placement]\nsize = 1920,1080\n", "1920,1080"),
        ("[placement]\nslide_place = 10,20\n", "10,20"),
        ("[[zones]]\nplace = 1,2\n", "1,2"),
    ] {
        let (error, hint) = said(line);
        let told =
            format!("expected a text in quotes or a list in brackets, got `{value}`, line 2, ");
        assert!(error.starts_with(&told), "{error}");
        assert!(!hint.unwrap().contains("point"));
    }
    for key in [
        "[chain]\nnoise",
        "[limits]\nhaze_warn",
        "[knobs]\nthreshold_step",
    ] {
        let (_, hint) = said(&format!("{key} = 0,5\n"));
        let name = key.split('\n').nth(1).unwrap();
        assert_eq!(hint, Some(format!("write it with a point: `{name} = 0.5`")));
    }
}

#[test]
fn a_backslash_is_blamed_where_the_parser_does_and_nowhere_else() {
    let slashes =
        "write paths with forward slashes, such as \"C:/lesson/board.png\", or in single quotes";
    for (text, got) in [
        ("slides = [\"C:\\deck\\01.png\"]\n", "\"C:\\deck\\01.png\""),
        (
            "slides = [\n  \"a.png\",\n  \"C:\\users\\a.png\",\n]\n",
            "\"C:\\users\\a.png\"",
        ),
        ("slides = ['a.png', \"C:\\xyz\"]\n", "\"C:\\xyz\""),
    ] {
        let (error, hint) = said(text);
        let told = format!("expected a text without backslashes, got `{got}`, line ");
        assert!(error.starts_with(&told), "{error}");
        assert_eq!(hint.as_deref(), Some(slashes));
    }
    let (error, hint) = said("camera = \"a\\\"b\" x\n");
    assert!(!error.contains("backslash"), "{error}");
    assert!(!hint.unwrap().contains("slash"));
}

#[test]
fn a_warning_beyond_its_failure_is_refused_where_both_are_written() {
    let hint = "what fails has warned before: swap the numbers, or set both anew";
    for (text, error) in [
        (
            "[limits]\ntext_warn = 1\ntext_fail = 5\n",
            "`text_warn` must be at least `text_fail`, got 1 and 5, line 3, column 1: `a.toml`",
        ),
        (
            "[limits]\nhaze_fail = 2\nhaze_warn = 2.5\n",
            "`haze_warn` must be at most `haze_fail`, got 2.5 and 2, line 2, column 1: `a.toml`",
        ),
    ] {
        assert_eq!(said(text), (error.to_owned(), Some(hint.to_owned())));
    }
    // One alone moves the other out of the way, and equal ones leave no warning.
    for text in [
        "[limits]\ntext_fail = 5\n",
        "[limits]\nhaze_warn = 2\nhaze_fail = 2\n",
    ] {
        assert!(Setup::parse(text, Path::new("a.toml")).is_ok(), "{text}");
    }
}

#[test]
fn a_file_that_only_the_setup_names_is_looked_for_beside_the_setup() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("rig")).unwrap();
    let setup = "camera = \"board.png\"\nlike = \"good.png\"\nslides = [\"night.png\"]\n";
    desk.write("rig/a.toml", setup.as_bytes());
    desk.paint("camera.png", [0; 3]);
    for (line, key) in [
        ("check 1\u{a0}black.png --setup rig/a.toml", "camera"),
        ("check --setup rig/a.toml --camera camera.png", "slides"),
        ("template --setup rig/a.toml --out room.png", "camera"),
        ("inspect camera.png --setup rig/a.toml", "like"),
        ("preview --setup rig/a.toml", "camera"),
        (
            "compose --setup rig/a.toml --slide 1\u{a0}black.png --out out.png",
            "camera",
        ),
        (
            "compose --setup rig/a.toml --camera camera.png --out out.png",
            "slides",
        ),
    ] {
        let words = line.split(' ').map(|word| word.replace('\u{a0}', " "));
        let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.path("."))
            .args(words)
            .output()
            .unwrap();
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        let hint = format!(
            "\nhint: the setup file names it under `{key}`, seen from the setup's own folder: correct it there\n"
        );
        assert!(error.contains(&hint), "{line}: {error}");
    }
    let output = desk.check(&["1 black.png", "--camera", "board.png"]);
    let error = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(error.contains("the folder you are in"), "{error}");
}

#[test]
fn an_accepted_finding_that_is_wrong_is_named_with_its_line() {
    let kinds = "one of not-dark, haze, chain-black, hole, keyed-out, half-keyed, dark-edge, hairline, \
                 small-text, outside-safe, contrast, covers-writing, close-to-writing, \
                 covers-presenter, zone, in quotes";
    for (table, error) in [
        (
            "",
            "`slide` must be the name of the slide's file in quotes, got nothing, line 2, column 1".to_owned(),
        ),
        (
            "slide = \"a.png\"\n",
            format!("`kind` must be {kinds}, got nothing, line 2, column 1"),
        ),
        (
            "slide = \"a.png\"\nkind = \"Haze\"\n",
            format!("`kind` must be {kinds}, got \"Haze\", line 4, column 8"),
        ),
        (
            "slide = 3\nkind = \"haze\"\n",
            "`slide` must be the name of the slide's file in quotes, got 3, line 3, column 9".to_owned(),
        ),
        (
            "slide = \"a.png\"\nkind = \"haze\"\nplace = [1, 2]\n",
            "`place` must be x, y, width and height in brackets, percent of the output, got [1, 2], line 5, column 9".to_owned(),
        ),
        (
            "slide = \"a.png\"\nkind = \"haze\"\npage = 0\n",
            "`page` must be a whole number from 1, got 0, line 5, column 8".to_owned(),
        ),
        (
            "slide = \"a.png\"\nkinds = \"haze\"\n",
            "unknown key `kinds` in [[accepted]]; it has slide, kind, page, place, line 4, column 9".to_owned(),
        ),
    ] {
        let (got, _) = said(&format!("# mine\n[[accepted]]\n{table}"));
        assert_eq!(got, format!("{error}: `a.toml`"));
    }
    let (got, _) = said("accepted = 3\n");
    assert_eq!(
        got,
        "`accepted` must be tables, [[accepted]], with slide, kind, page, place, got 3, line 1, column 1: `a.toml`"
    );
    let none = Setup::parse("accepted = []\n", Path::new("a.toml")).unwrap();
    assert_eq!(none.accepted, []);
}

#[test]
fn a_key_cannot_be_written_into_no_folder_a_picture_or_a_folder() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("kept")).unwrap();
    let before = std::fs::read(desk.path("1 black.png")).unwrap();
    for (verb, input) in [("tune", "1 black.png"), ("calibrate", "2 white.png")] {
        for (name, error) in [
            (
                "nowhere/night.toml",
                "error: no such folder for the setup file: `nowhere/night.toml`\n\n\
                 hint: make the folder first, or name another one\n",
            ),
            (
                "1 black.png",
                "error: expected a setup file, got something that is no text: `1 black.png`\n\n\
                 hint: name a file such as nightglass.toml; nothing was changed\n",
            ),
            (
                "kept",
                "error: expected a setup file, got a folder: `kept`\n\n\
                 hint: name a file such as nightglass.toml; nothing was changed\n",
            ),
        ] {
            let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
                .current_dir(desk.folder.path())
                .args([verb, input, "--write", name])
                .output()
                .unwrap();
            assert_eq!(crate::check::said(&output.stderr), error);
            assert!(output.stdout.is_empty() && output.status.code() == Some(2));
        }
    }
    assert_eq!(std::fs::read(desk.path("1 black.png")).unwrap(), before);
    let names = std::fs::read_dir(desk.folder.path()).unwrap().count();
    assert_eq!(names, 3);
}

#[test]
fn pages_of_a_picture_are_refused_before_anything_is_checked() {
    let desk = Desk::new();
    let output = desk.check(&["1 black.png", "--pages", "2"]);
    assert_eq!(
        crate::check::said(&output.stderr),
        "error: pages 2 were picked, but no slide is a page of a file\n\n\
         hint: leave `--pages` out, or name a PDF\n"
    );
    assert!(output.stdout.is_empty() && output.status.code() == Some(2));
}
