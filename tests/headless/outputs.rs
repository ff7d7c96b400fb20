//! Where commands write: what is there and is no file of a picture is left alone, and said.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::demonstration::{CAMERA, SLIDES};
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
