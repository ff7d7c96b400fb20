//! Decks as a person names them on the command line, and LibreOffice in every way that it can fail.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, Instant};

use nightglass::files::deck::Deck;
use nightglass::files::demonstration::CAMERA;
use nightglass::files::documents::Documents;
use nightglass::files::office::{Office, SUBSTITUTE};
use nightglass::files::picture_file::read_picture;
use nightglass::files::slide_file::SlideReader;
use nightglass::pixel::color::to_u8;
use tempfile::TempDir;

use crate::pdfs::{PdfPage, pdf};

/// A folder with a camera, a PDF of two pages and a file of a slide program.
fn desk() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let whole = [0.0, 0.0, 1.0, 1.0];
    let pages =
        [[255, 0, 0], [0, 0, 255]].map(|color| PdfPage::empty(720.0, 540.0).patch(whole, color));
    std::fs::write(folder.path().join("camera.jpg"), CAMERA.bytes).unwrap();
    std::fs::write(folder.path().join("deck.pdf"), pdf(&pages)).unwrap();
    std::fs::write(
        folder.path().join("talk.pptx"),
        b"PK, as far as anybody here looks",
    )
    .unwrap();
    std::fs::create_dir(folder.path().join("bin")).unwrap();
    folder
}

/// `compose` of the slide alone, with only `bin` to find programs in.
fn compose(desk: &Path, slide: &str, more: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nightglass"));
    command
        .current_dir(desk)
        .env("NO_COLOR", "1")
        .env("PATH", desk.join("bin"))
        .args([
            "compose",
            "--engine",
            "cpu",
            "--camera",
            "camera.jpg",
            "--view",
            "slide",
        ])
        .args(["--slide", slide, "--out", "out.png"])
        .args(more);
    command.output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn compose_takes_a_page_and_places_it_as_a_slide() {
    let desk = desk();
    for (more, color) in [(&["--pages", "2"][..], [0, 0, 255]), (&[], [255, 0, 0])] {
        let output = compose(desk.path(), "deck.pdf", more);
        assert!(output.status.success(), "{}", said(&output));
        let frame = read_picture(&desk.path().join("out.png")).unwrap().frame;
        let width = frame.size().width() as usize;
        let at = |x: usize| frame.rgba_frac(500 * width + x).map(to_u8);
        let [r, g, b] = color;
        assert_eq!(at(239), [0, 0, 0, 255]);
        assert_eq!([at(240), at(1679)], [[r, g, b, 255]; 2]);
        let told = String::from_utf8_lossy(&output.stderr)
            .contains("page 1 of 2 in `deck.pdf` is used; `--pages` picks another\n");
        assert_eq!(told, more.is_empty(), "a page that was picked is known");
    }
}

#[test]
fn pages_that_are_not_there_are_refused_with_how_many_there_are() {
    let desk = desk();
    for (pages, words) in [
        (
            "3",
            "error: expected pages from 1 to 2, got 3: `deck.pdf`\n\nhint: pick pages that there are with `--pages`\n",
        ),
        (
            "1,9",
            "error: expected pages from 1 to 2, got 9: `deck.pdf`\n\nhint: pick pages that there are with `--pages`\n",
        ),
    ] {
        let output = compose(desk.path(), "deck.pdf", &["--pages", pages]);
        assert_eq!(said(&output), words);
        assert_eq!(output.status.code(), Some(2));
    }
    let output = compose(desk.path(), "deck.pdf", &["--pages", "0"]);
    assert!(
        said(&output).contains("the first page is 1, got 0"),
        "{}",
        said(&output)
    );
    let output = compose(desk.path(), "camera.jpg", &["--pages", "2"]);
    assert!(
        said(&output).starts_with("error: pages 2 were picked, but no slide is a page of a file\n")
    );
    assert!(!desk.path().join("out.png").exists());
}

#[test]
fn without_libreoffice_a_pptx_says_to_export_a_pdf() {
    let desk = desk();
    let output = compose(desk.path(), "talk.pptx", &[]);
    assert_eq!(
        said(&output),
        "error: slides of a slide program are read through LibreOffice, which is not installed: `talk.pptx`\n\n\
         hint: export the slides as a PDF from the slide program, and name that\n"
    );
    assert_eq!(output.status.code(), Some(2));
}

/// Puts a program called `soffice` into `bin` that does this; `$out` and `$in` are where to and what.
#[cfg(unix)]
fn install(desk: &Path, does: &str) {
    use std::os::unix::fs::PermissionsExt;
    let program = desk.join("bin/soffice");
    let script = format!(
        "#!/bin/sh\nfor word; do in=\"$word\"; [ \"$last\" = --outdir ] && out=\"$word\"; last=\"$word\"; done\n{does}\n"
    );
    std::fs::write(&program, script).unwrap();
    std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
}

#[cfg(unix)]
#[test]
fn libreoffice_makes_slides_that_are_marked_as_a_substitute() {
    let desk = desk();
    let source = desk.path().join("deck.pdf");
    install(
        desk.path(),
        &format!(
            "echo \"$@\" > '{}'; /bin/cp '{}' \"$out/talk.pdf\"",
            desk.path().join("called").display(),
            source.display()
        ),
    );
    let output = compose(desk.path(), "talk.pptx", &["--pages", "2"]);
    assert!(output.status.success(), "{}", said(&output));
    assert_eq!(said(&output), format!("warning: {SUBSTITUTE}\n"));
    let called = std::fs::read_to_string(desk.path().join("called")).unwrap();
    for word in [
        "--headless",
        "--convert-to pdf",
        "-env:UserInstallation=file:///",
    ] {
        assert!(called.contains(word), "{called}");
    }
    let place = called
        .split("-env:UserInstallation=file://")
        .nth(1)
        .unwrap();
    let profile = PathBuf::from(place.split(' ').next().unwrap());
    assert!(
        !profile.exists() && !profile.parent().unwrap().exists(),
        "{called}"
    );
}

#[cfg(unix)]
fn office_in(desk: &Path, limit: Duration) -> Documents {
    let path: OsString = format!("{}", desk.join("bin").display()).into();
    Documents::with_office(Office::new(&path, limit))
}

#[cfg(unix)]
#[test]
fn libreoffice_that_fails_or_writes_nothing_or_rubbish_is_told() {
    let desk = desk();
    let path = desk.path().join("talk.pptx");
    let name = path.display();
    for (does, words) in [
        (
            "echo no such filter >&2; exit 77",
            format!("LibreOffice failed with exit status: 77 (`no such filter`) on `{name}`"),
        ),
        ("exit 0", format!("LibreOffice made no PDF of `{name}`")),
        (
            "echo nothing > \"$out/talk.pdf\"",
            format!("LibreOffice made no usable PDF of `{name}`"),
        ),
    ] {
        install(desk.path(), does);
        let deck = Deck::open_with(
            std::slice::from_ref(&path),
            &office_in(desk.path(), Duration::from_mins(1)),
        );
        assert!(deck.slides.is_empty());
        assert_eq!(deck.problems[0].to_string(), words);
        assert!(
            deck.problems[0]
                .hint()
                .unwrap()
                .starts_with("export the slides as a PDF")
        );
    }
}

/// The program starts another, as the real one does; both must be gone afterwards.
#[cfg(unix)]
#[test]
fn libreoffice_that_hangs_is_ended_with_what_it_started() {
    let desk = desk();
    let paths = [desk.path().join("talk.pptx"), desk.path().join("deck.pdf")];
    let pid = desk.path().join("pid");
    install(
        desk.path(),
        &format!("/bin/sleep 600 & echo $! > '{}'; wait", pid.display()),
    );
    let started = Instant::now();
    let limit = Duration::from_millis(1500);
    let deck = Deck::open_with(&paths, &office_in(desk.path(), limit));
    assert!(
        started.elapsed() < Duration::from_secs(30),
        "{:?}",
        started.elapsed()
    );
    assert_eq!(
        deck.problems[0].to_string(),
        format!(
            "LibreOffice took longer than 1.5 seconds on `{}`",
            paths[0].display()
        )
    );
    assert_eq!(deck.slides.len(), 2);
    let pid = std::fs::read_to_string(&pid).unwrap();
    // Ended, and perhaps not yet collected by the system.
    let state = || std::fs::read_to_string(format!("/proc/{}/stat", pid.trim()));
    let is_gone = || state().map_or(true, |state| state.contains(") Z "));
    let looked_from = Instant::now();
    while !is_gone() {
        assert!(
            looked_from.elapsed() < Duration::from_secs(30),
            "{:?}",
            state()
        );
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// The slides are converted once, however many there are.
#[cfg(unix)]
#[test]
fn libreoffice_runs_once_for_all_slides_of_a_file() {
    let desk = desk();
    let (count, source) = (desk.path().join("count"), desk.path().join("deck.pdf"));
    install(
        desk.path(),
        &format!(
            "echo once >> '{}'; /bin/cp '{}' \"$out/any.pdf\"",
            count.display(),
            source.display()
        ),
    );
    let documents = office_in(desk.path(), Duration::from_mins(1));
    let deck = Deck::open_with(&[desk.path().join("talk.pptx")], &documents);
    let reader = SlideReader::default().with_documents(documents);
    for slide in &deck.slides {
        assert_eq!(reader.read(slide).unwrap().warnings, [SUBSTITUTE]);
    }
    assert_eq!(deck.slides.len(), 2);
    assert_eq!(std::fs::read_to_string(count).unwrap(), "once\n");
}
