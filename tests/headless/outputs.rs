//! What commands write and say: nothing that is there and no file of theirs is replaced, and words fit a terminal.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::report::paragraph::fitted;
use tempfile::TempDir;

/// A folder with the demonstration's camera and a slide, and a text.
fn desk() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in [
        ("camera.jpg", CAMERA.bytes),
        ("slide.png", SLIDES[0].bytes),
        ("notes.txt", b"notes"),
    ] {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    folder
}

fn run(folder: &Path, line: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .env("XDG_RUNTIME_DIR", folder)
        .args(line.split_whitespace())
        .output()
        .unwrap()
}

/// The error of a command that could not do its work.
fn error_of(folder: &Path, line: &str) -> String {
    let output = run(folder, line);
    assert_eq!(output.status.code(), Some(2), "{line}");
    assert!(output.stdout.is_empty(), "{line}");
    String::from_utf8(output.stderr).unwrap()
}

#[cfg(unix)]
#[test]
fn what_is_there_and_no_file_is_never_replaced() {
    use std::os::unix::fs::FileTypeExt as _;

    let desk = desk();
    let folder = desk.path();
    let made = Command::new("mkfifo").arg(folder.join("pipe.png")).status();
    assert!(made.unwrap().success());
    for name in ["out.png", "out.pdf", "out.html", "out.svg"] {
        std::os::unix::fs::symlink("pipe.png", folder.join(name)).unwrap();
    }
    let over = "--camera camera.jpg --slide slide.png --engine cpu";
    for (line, name) in [
        (format!("compose {over} --out pipe.png"), "pipe.png"),
        (format!("compose {over} --out out.png"), "out.png"),
        ("chart --out out.png".to_owned(), "out.png"),
        ("chart --out out.pdf".to_owned(), "out.pdf"),
        ("check slide.png --report out.html".to_owned(), "out.html"),
        ("tune slide.png --plot out.svg".to_owned(), "out.svg"),
        (
            "template --camera camera.jpg --out out.svg".to_owned(),
            "out.svg",
        ),
        ("inspect camera.jpg --marked out.png".to_owned(), "out.png"),
        (
            "darken slide.png --out dark --sheet out.png".to_owned(),
            "out.png",
        ),
    ] {
        assert_eq!(
            error_of(folder, &line),
            format!(
                "error: cannot write `{name}`\n  expected a file or a new name, found a device, a pipe or a socket\n\n\
                 hint: name another file; nothing was changed\n"
            ),
            "{line}"
        );
    }
    let kind = std::fs::metadata(folder.join("pipe.png"))
        .unwrap()
        .file_type();
    assert!(kind.is_fifo());
}

#[test]
fn a_file_where_a_folder_is_meant_is_named() {
    let desk = desk();
    let folder = desk.path();
    let error = "error: expected a folder to write into, got a file: `notes.txt`\n\n\
                 hint: name a folder, or a new name for one; nothing was changed\n";
    for line in [
        "demo notes.txt",
        "demo notes.txt/night",
        "inspect camera.jpg --masks notes.txt",
        "darken slide.png --out notes.txt",
        "manual notes.txt",
    ] {
        assert_eq!(error_of(folder, line), error, "{line}");
    }
    let line = "compose --camera camera.jpg --slide slide.png --out notes.txt/out.png";
    assert_eq!(
        error_of(folder, line),
        "error: no such folder for the output: `notes.txt/out.png`\n\n\
         hint: make the folder first, or name another one\n"
    );
    assert_eq!(std::fs::read(folder.join("notes.txt")).unwrap(), b"notes");
}

/// A folder of the system's own takes no files, whoever asks.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_told_once_and_no_slide_is_blamed() {
    let desk = desk();
    std::fs::write(desk.path().join("more.png"), SLIDES[1].bytes).unwrap();
    for line in [
        "darken slide.png more.png --out /proc",
        "inspect camera.jpg --masks /proc",
        "demo /proc",
    ] {
        assert_eq!(
            error_of(desk.path(), line),
            "error: cannot write `/proc`\n  this folder takes no new files\n\n\
             hint: name a folder that can be made and written\n",
            "{line}"
        );
    }
}

#[test]
fn slides_that_would_become_one_file_are_refused() {
    let desk = desk();
    let folder = desk.path();
    std::fs::create_dir(folder.join("more")).unwrap();
    std::fs::write(folder.join("more/slide.png"), SLIDES[1].bytes).unwrap();
    for (line, words) in [
        (
            "darken slide.png slide.png --out dark",
            "error: expected each slide once, got `slide.png` twice\n\n\
             hint: name it once; nothing was written\n",
        ),
        (
            "darken slide.png ./slide.png --out dark",
            "error: expected each slide once, got `slide.png` twice\n\n\
             hint: name it once; nothing was written\n",
        ),
        (
            "darken slide.png more/slide.png --out dark",
            "error: expected slides of different names, got `slide.png` and `more/slide.png`, which would both \
             become `dark/slide.png`\n\nhint: rename one, or turn them in two goes; nothing was written\n",
        ),
    ] {
        assert_eq!(error_of(folder, line), words, "{line}");
        assert!(!folder.join("dark/slide.png").exists(), "{line}");
    }
}

#[test]
fn a_path_in_place_of_a_command_leads_to_the_window() {
    let desk = desk();
    std::fs::create_dir(desk.path().join("slides")).unwrap();
    for path in ["slides/", "slide.png", "."] {
        let error = format!(
            "error: expected a command, got a path: `{path}`\n\n\
             hint: the window opens on it with `nightglass preview {path}`\n"
        );
        assert_eq!(error_of(desk.path(), path), error);
    }
    // A path that a shell would take apart stands in quotes.
    std::fs::create_dir(desk.path().join("my deck")).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(desk.path())
        .arg("my deck")
        .output()
        .unwrap();
    let error = String::from_utf8(output.stderr).unwrap();
    assert!(
        error.ends_with("with `nightglass preview \"my deck\"`\n"),
        "{error}"
    );
    // The word after `help` is no path, and what the window does not open is not told to be opened.
    std::fs::write(desk.path().join("boat.toml"), "").unwrap();
    for (line, word) in [
        ("help slides", "slides"),
        ("boat.toml", "boat.toml"),
        ("notes.txt", "notes.txt"),
    ] {
        let error = error_of(desk.path(), line);
        let told = format!("unrecognized subcommand '{word}'");
        assert!(error.contains(&told), "{line}: {error}");
    }
    let error = error_of(desk.path(), "inspct");
    assert!(
        error.contains("unrecognized subcommand 'inspct'"),
        "{error}"
    );
}

#[test]
fn a_number_that_is_none_of_those_wanted_is_told_in_words() {
    let desk = desk();
    for number in ["0", "21", "2.5", "many"] {
        let line = format!("template --camera camera.jpg --out room.png --boxes {number}");
        let error = error_of(desk.path(), &line);
        assert!(
            error.contains("expected a whole number from 1 to 20"),
            "{error}"
        );
    }
    let line = "template --camera camera.jpg --out room.png --boxes 20";
    assert_eq!(run(desk.path(), line).status.code(), Some(0));
}

#[test]
fn what_was_accepted_is_listed_in_straight_columns() {
    let desk = desk();
    std::fs::write(desk.path().join("faint.png"), SLIDES[1].bytes).unwrap();
    std::fs::write(desk.path().join("on.png"), SLIDES[3].bytes).unwrap();
    let line = "check faint.png on.png --camera camera.jpg --accept";
    let told = String::from_utf8(run(desk.path(), line).stderr).unwrap();
    let column = |line: &str| line.find(" faint.png;").or(line.find(" on.png;"));
    let columns: Vec<usize> = told.lines().filter_map(column).collect();
    assert!(told.contains("covers-writing  on.png;"), "{told}");
    assert!(columns.len() > 2, "{told}");
    assert!(columns.iter().all(|column| *column == columns[0]), "{told}");
}

#[test]
fn lines_wider_than_a_terminal_are_broken_and_no_others() {
    let text =
        "short\n  twelve words of which not all have room in lines of forty columns\n\nlast\n";
    assert_eq!(
        fitted(text, 40),
        "short\n  twelve words of which not all have\n    room in lines of forty columns\n\nlast\n"
    );
    assert_eq!(fitted(text, 80), text);
}

#[test]
fn a_wide_terminal_takes_a_long_line_and_no_word_or_path_is_broken() {
    let line = "words ".repeat(25);
    assert_eq!(line.len(), 150);
    assert_eq!(fitted(&line, 200), format!("{line}\n"));
    let path =
        "`lesson/the-night-sky/in small boats/".to_owned() + &"north/".repeat(20) + "slide.png`";
    let text = format!("error: cannot open the slide {path}, which is not there\n");
    for columns in [40, 80, 120] {
        let broken = fitted(&text, columns);
        assert_eq!(
            broken,
            format!("error: cannot open the slide\n  {path},\n  which is not there\n")
        );
    }
    let words = "word/".repeat(60) + " " + &"x".repeat(60) + "\n";
    let broken: String = fitted(&words, 40).split_whitespace().collect();
    assert_eq!(fitted(&words, 40).lines().count(), 2, "{broken}");
}
