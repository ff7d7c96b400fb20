//! A window that has to close: what is kept, and what it says.

use std::path::Path;

use nightglass::files::setup_file::Setup;
use nightglass::window::action::Action;
use nightglass::window::edit::Edit;
use nightglass::window::rescue::rescue;
use nightglass::window::run::WindowError;
use nightglass::window::state::State;

/// A state with a change that is not in its file.
fn unsaved(setup_path: &Path) -> State {
    let mut state = State::new(Setup::default(), Some(setup_path.to_owned()));
    state.apply(Action::Edit(Edit::Threshold(7.25)));
    state
}

#[test]
fn an_unsaved_setup_is_rescued_beside_its_file_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let rescued = folder.path().join("nightglass-rescued.toml");
    let state = unsaved(&folder.path().join("lecture.toml"));
    let error = WindowError::Lost.after_it_was_shown(&state);
    let words = error.to_string();
    assert!(words.contains(&rescued.display().to_string()), "{words}");
    let setup = Setup::read(&rescued).unwrap();
    assert_eq!(setup.settings, *state.settings());
}

#[test]
fn a_rescued_setup_is_never_written_over_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let setup_path = folder.path().join("lecture.toml");
    let taken = folder.path().join("nightglass-rescued.toml");
    std::fs::write(&taken, "mine").unwrap();
    let path = rescue(unsaved(&setup_path).setup(), Some(&setup_path)).unwrap();
    assert_eq!(path, folder.path().join("nightglass-rescued-2.toml"));
    assert_eq!(std::fs::read_to_string(&taken).unwrap(), "mine");
    assert!(Setup::read(&path).is_ok());
}

#[test]
fn nothing_is_written_where_nothing_was_unsaved() {
    let folder = tempfile::tempdir().unwrap();
    let setup_path = folder.path().join("lecture.toml");
    let state = State::new(Setup::default(), Some(setup_path));
    let error = WindowError::Lost.after_it_was_shown(&state);
    assert_eq!(error.to_string(), "the window had to close");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn something_else_is_tried_only_where_no_window_was_ever_shown() {
    let errors = || {
        [
            WindowError::Lost,
            WindowError::CannotOpen {
                why: "no display".to_owned(),
            },
        ]
    };
    for error in errors() {
        assert!(error.cannot_open(), "{error}");
    }
    for error in errors() {
        let later = error.after_it_was_shown(&State::default());
        assert!(!later.cannot_open(), "{later}");
    }
}
