//! The setup file: strict reading, writing that keeps what the user wrote.

use std::path::{Path, PathBuf};

use nightglass::files::setup_file::Setup;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::guides::Guide;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Engine, Fit, Size, SlidePlace, Turn};
use nightglass::pixel::views::View;

fn error_of(text: &str) -> String {
    Setup::parse(text, Path::new("nightglass.toml"))
        .unwrap_err()
        .to_string()
}

/// A setup in which nothing is as it is by default.
fn everything_set(folder: &Path) -> Setup {
    let mut setup = Setup {
        camera: Some(folder.join("board.png")),
        slides: vec![folder.join("one.png"), folder.join("two.png")],
        guides: vec![Guide::ActionSafe, Guide::Grid],
        engine: Engine::Cpu,
        mirror_monitor: true,
        ..Setup::default()
    };
    let settings = &mut setup.settings;
    settings.view = View::Kept;
    settings.key = settings
        .key
        .with_threshold(7.25)
        .unwrap()
        .with_softness(0.0)
        .unwrap();
    settings.key.ramp = Ramp::Smooth;
    settings.chain = Some(Chain::new(1.16, -7.3, 0.4).unwrap());
    settings.placement.size = Some(Size::new(1280, 720).unwrap());
    settings.placement.camera_fit = Fit::Stretch;
    settings.placement.slide_place = SlidePlace::new([50.0, 10.0, 45.5, 80.0]).unwrap();
    settings.placement.turn_camera = Turn::ThreeQuarters;
    settings.placement.mirror_camera = true;
    setup
}

#[test]
fn a_saved_setup_reads_back_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    for setup in [Setup::default(), everything_set(folder.path())] {
        let _ = std::fs::remove_file(&path);
        setup.save(&path).unwrap();
        let read = Setup::read(&path).unwrap();
        assert_eq!(read, setup);
    }
}

#[test]
fn saving_keeps_comments_order_and_untouched_values() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    let text = "# my desk\n[key] # tuned on Monday\nsoftness = 2.50 # nice\n# low on purpose\nthreshold = 5\n";
    std::fs::write(&path, text).unwrap();
    let mut setup = Setup::read(&path).unwrap();
    setup.save(&path).unwrap();
    assert_eq!(
        std::fs::read_to_string(&path).unwrap(),
        text,
        "nothing changed, yet the file did"
    );
    setup.settings.key = setup.settings.key.with_threshold(8.0).unwrap();
    setup.settings.placement.mirror_camera = true;
    setup.save(&path).unwrap();
    let saved = std::fs::read_to_string(&path).unwrap();
    assert!(
        saved.starts_with(&text.replace("threshold = 5", "threshold = 8")),
        "{saved}"
    );
    assert!(
        saved.contains("[placement]\nmirror_camera = true"),
        "{saved}"
    );
    assert!(
        !saved.contains("ramp"),
        "a default was written that nobody set: {saved}"
    );
}

#[test]
fn a_chain_that_is_taken_off_leaves_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    everything_set(folder.path()).save(&path).unwrap();
    let mut setup = Setup::read(&path).unwrap();
    setup.settings.chain = None;
    setup.save(&path).unwrap();
    assert_eq!(Setup::read(&path).unwrap().settings.chain, None);
}

#[test]
fn a_failed_save_leaves_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    std::fs::write(&path, "[kee]\n").unwrap();
    let error = Setup::default().save(&path).unwrap_err().to_string();
    assert!(error.contains("unknown section `[kee]`"), "{error}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "[kee]\n");
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        1,
        "something was left behind"
    );
}

#[test]
fn errors_name_line_column_and_the_nearest_key() {
    assert_eq!(
        error_of("camera = \"a.png\"\n\n[key]\n  treshold = 5\n"),
        "unknown key `treshold`; the nearest is `threshold`, line 4, column 3: `nightglass.toml`"
    );
    assert_eq!(
        error_of("threshold = 5\n"),
        "unknown key `threshold`; the nearest is `[key] threshold`, line 1, column 1: `nightglass.toml`"
    );
    assert_eq!(
        error_of("[plaecment]\n"),
        "unknown section `[plaecment]`; the nearest is `[placement]`, line 1, column 2: `nightglass.toml`"
    );
    assert_eq!(
        error_of("zzzzzz = 1\n"),
        "unknown key `zzzzzz`, line 1, column 1: `nightglass.toml`"
    );
}

#[test]
fn errors_name_what_was_expected_and_what_came() {
    assert_eq!(
        error_of("[key]\nthreshold = \"six\"\n"),
        "`threshold` must be a number, got \"six\", line 2, column 13: `nightglass.toml`"
    );
    assert_eq!(
        error_of("[key]\nsoftness = 130\n"),
        "`softness` must be 0 or between 0.01 and 100 percent, got 130, line 2, column 12: `nightglass.toml`"
    );
    assert_eq!(
        error_of("[key]\nramp = \"soft\"\n"),
        "`ramp` must be one of linear, smooth, got \"soft\", line 2, column 8: `nightglass.toml`"
    );
    assert_eq!(
        error_of("[placement]\nturn_camera = 45\n"),
        "`turn_camera` must be 0, 90, 180 or 270, got 45, line 2, column 15: `nightglass.toml`"
    );
    assert_eq!(
        error_of("key = 5\n"),
        "`key` must be a section, [key], line 1, column 1: `nightglass.toml`"
    );
}

#[test]
fn what_is_no_toml_is_told_in_words_of_the_file() {
    for (text, words) in [
        (
            "[key]\nthreshold = \n",
            "expected a value after `threshold =`, got none, line 2, column 13",
        ),
        (
            "[key]\nthreshold = # later\n",
            "expected a value after `threshold =`, got none, line 2, column 13",
        ),
        (
            "[key]\nthreshold = six\n",
            "expected a number, true, false or a text in quotes, got `six`, line 2, column 13",
        ),
        (
            "[key\nthreshold = 6\n",
            "expected a `]` after the section's name, line 1, column 5",
        ),
        (
            "threshold\n",
            "expected `key = value` or a [section], got `threshold`, line 1, column 10",
        ),
        (
            "slides = [\"a\"\n",
            "expected a `]` at the end of the list, line 1, column 14",
        ),
        (
            "camera = \"a\n",
            "expected a quote at the end of the text, line 1, column 12",
        ),
        (
            "[key]\nthreshold = 6\nthreshold = 7\n",
            "expected each key once, got `threshold` again, line 3, column 1",
        ),
        (
            "threshold = 1 2\n",
            "expected a number, true, false or a text in quotes, got `1 2`, line 1, column 13",
        ),
        ("= 1\n", "expected TOML, "),
    ] {
        let got = error_of(text);
        assert!(got.starts_with(words), "{text}: {got}");
    }
}

/// A setup file in a folder of its own, and what saving it unchanged makes of it.
fn saved_unchanged(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    std::fs::write(&path, text).unwrap();
    Setup::read(&path).unwrap().save(&path).unwrap();
    std::fs::read_to_string(&path).unwrap()
}

#[test]
fn saving_leaves_what_did_not_change_as_it_was_written() {
    for text in [
        "camera = \"../board.png\"\n",
        "camera = \"gone/for/good.png\"\n",
        "slides = [\n  \"./here.png\", # first\n]\n",
        "[chain]\n# measured in May\n\n[key]\nthreshold = 5\n",
        "[key]\r\nthreshold = 5\r\n",
    ] {
        assert_eq!(saved_unchanged(text), text);
    }
}

#[test]
fn saving_keeps_line_ends_where_something_changed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nightglass.toml");
    std::fs::write(&path, "[key]\r\nthreshold = 5\r\n").unwrap();
    let mut setup = Setup::read(&path).unwrap();
    setup.settings.key = setup.settings.key.with_threshold(9.0).unwrap();
    setup.save(&path).unwrap();
    assert_eq!(
        std::fs::read_to_string(&path).unwrap(),
        "[key]\r\nthreshold = 9\r\n"
    );
}

#[test]
fn new_paths_are_written_relative_to_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let desk = folder.path().join("desk");
    std::fs::create_dir(&desk).unwrap();
    let path = desk.join("nightglass.toml");
    let setup = Setup {
        camera: Some(folder.path().join("shots/board.png")),
        like: Some(folder.path().join("shots/good.png")),
        slides: vec![
            desk.join("one.png"),
            desk.clone(),
            PathBuf::from("/elsewhere/two.png"),
        ],
        ..Setup::default()
    };
    setup.save(&path).unwrap();
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("camera = \"../shots/board.png\""), "{text}");
    assert!(
        text.contains("slides = [\"one.png\", \"\", \"/elsewhere/two.png\"]"),
        "{text}"
    );
    let read = Setup::read(&path).unwrap();
    assert!(text.contains("like = \"../shots/good.png\""), "{text}");
    assert_eq!(read.camera, Some(desk.join("../shots/board.png")));
    assert_eq!(read.like, Some(desk.join("../shots/good.png")));
    assert_eq!(read.slides[0], desk.join("one.png"));
}

#[cfg(unix)]
#[test]
fn a_linked_setup_stays_a_link_and_keeps_its_permissions() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (
        folder.path().join("real.toml"),
        folder.path().join("nightglass.toml"),
    );
    std::fs::write(&real, "[key]\nthreshold = 5\n").unwrap();
    std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    let mut setup = Setup::read(&link).unwrap();
    setup.settings.key = setup.settings.key.with_threshold(9.0).unwrap();
    setup.save(&link).unwrap();
    assert!(link.is_symlink());
    assert!(
        std::fs::read_to_string(&real)
            .unwrap()
            .contains("threshold = 9")
    );
    assert_eq!(real.metadata().unwrap().permissions().mode() & 0o777, 0o640);
}

#[test]
fn a_minus_zero_is_zero() {
    let setup = Setup::parse("[key]\nthreshold = -0.0\n", Path::new("x.toml")).unwrap();
    assert!(setup.settings.key.threshold_percent().is_sign_positive());
}
