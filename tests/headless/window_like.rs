//! The frame of the last good setup in the window: read, followed, compared on a thread, and never taken for a pass.

use std::path::PathBuf;
use std::sync::Arc;

use nightglass::files::setup_file::Setup;
use nightglass::measure::inspect::camera_finding::CameraKind;
use nightglass::measure::inspect::camera_verdict::CameraVerdict;
use nightglass::pixel::frame::Frame;
use nightglass::window::action::{Action, FileKind, Request};
use nightglass::window::camera_check::CameraKnown;
use nightglass::window::camera_job::SeenCamera;
use nightglass::window::edit::Edit;
use nightglass::window::loaded::Loaded;
use nightglass::window::picture_source::PictureSource;
use nightglass::window::state::State;

use crate::calibrate::save_png;
use crate::inspect_like::{mirrored, rig};
use crate::window_checks::Shell;

/// A window whose camera and frame of the last good setup are files.
struct Desk {
    _folder: tempfile::TempDir,
    camera: PathBuf,
    like: PathBuf,
    shell: Shell,
}

fn is_seen(state: &State) -> bool {
    state.camera_check.seen().is_some() && !state.camera_check.is_old()
}

impl Desk {
    fn new(today: &Frame) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let [camera, like] = ["today.png", "good.png"].map(|name| folder.path().join(name));
        save_png(&like, &rig(1, [0.0; 2], 1.0));
        save_png(&camera, today);
        let mut shell = Shell::new();
        shell.state.apply(Action::Edit(Edit::Size(None)));
        Self {
            _folder: folder,
            camera,
            like,
            shell,
        }
    }

    fn open_both(&mut self) {
        self.shell.pictures.request_like(self.like.clone());
        self.shell
            .pictures
            .request_camera(PictureSource::File(self.camera.clone()));
        self.shell.until(|state, _| is_seen(state));
    }

    /// What is seen once another has been than this.
    fn seen_after(&mut self, before: &Arc<SeenCamera>) -> Arc<SeenCamera> {
        self.shell.until(|state, _| {
            let seen = state.camera_check.seen();
            is_seen(state) && seen.is_some_and(|seen| !Arc::ptr_eq(seen, before))
        });
        self.seen()
    }

    fn seen(&self) -> Arc<SeenCamera> {
        Arc::clone(self.shell.state.camera_check.seen().unwrap())
    }
}

/// Whether the line to be read from the glass says that it was not compared.
fn is_unclear(seen: &SeenCamera) -> bool {
    (seen.verdict.line()).contains("not compared with the last good setup")
}

fn has(seen: &SeenCamera, kind: CameraKind) -> bool {
    seen.findings.iter().any(|finding| finding.kind == kind)
}

#[test]
fn the_camera_is_compared_and_again_when_one_of_the_files_changes() {
    let mut desk = Desk::new(&rig(10, [0.0; 2], 1.0));
    desk.open_both();
    assert_eq!(desk.shell.state.setup().like.as_ref(), Some(&desk.like));
    let steady = desk.seen();
    assert!(!has(&steady, CameraKind::Moved) && !steady.since.is_empty());
    // The camera is moved, then turned in its menu.
    save_png(&desk.camera, &rig(11, [6.0, -4.0], 1.0));
    let camera = desk.camera.clone();
    desk.shell
        .pictures
        .reread(std::slice::from_ref(&camera), &mut desk.shell.state);
    let moved = desk.seen_after(&steady);
    assert!(has(&moved, CameraKind::Moved));
    let numbers = &moved.since;
    let told = |name: &str| numbers.iter().find(|number| number.name == name).unwrap();
    assert!(
        told("moved since then")
            .measured
            .starts_with("6.0 px farther right and 4.0 px higher"),
        "{numbers:?}"
    );
    save_png(&desk.camera, &mirrored(&rig(12, [0.0; 2], 1.0)));
    desk.shell.pictures.reread(&[camera], &mut desk.shell.state);
    let wrong = desk.seen_after(&moved);
    assert!(has(&wrong, CameraKind::WrongWayRound));
    assert_eq!(wrong.verdict.verdict, CameraVerdict::Fail);
    // What is there today is the good setup from now on.
    std::fs::copy(&desk.camera, &desk.like).unwrap();
    let like = desk.like.clone();
    desk.shell.pictures.reread(&[like], &mut desk.shell.state);
    let good = desk.seen_after(&wrong);
    assert!(!has(&good, CameraKind::WrongWayRound) && !good.since.is_empty());
}

#[test]
fn free_room_stays_where_only_the_frame_beside_the_camera_changes() {
    let mut desk = Desk::new(&rig(10, [0.0; 2], 1.0));
    desk.open_both();
    let overlay = nightglass::window::overlays::Overlay::FreeRoom;
    desk.shell.state.apply(Action::ToggleOverlay(overlay));
    desk.shell
        .until(|state, _| !state.camera_check.free_boxes().is_empty());
    let before = desk.seen();
    desk.shell.pictures.clear_like();
    desk.shell.turn();
    assert!(desk.shell.state.camera_check.is_old());
    assert!(!desk.shell.state.camera_check.free_boxes().is_empty());
    let alone = desk.seen_after(&before);
    assert!(alone.since.is_empty());
}

#[test]
fn the_first_look_waits_for_it_and_free_room_does_not() {
    let mut desk = Desk::new(&rig(10, [0.0; 2], 1.0));
    let overlay = nightglass::window::overlays::Overlay::FreeRoom;
    desk.shell.state.apply(Action::ToggleOverlay(overlay));
    desk.shell
        .pictures
        .request_camera(PictureSource::File(desk.camera.clone()));
    desk.shell.pictures.request_like(desk.like.clone());
    // The thread that finds the room would have looked at the camera before.
    let is_like = |loaded: &Loaded| matches!(loaded, Loaded::Like(..));
    desk.shell.until_before(is_like, |state, pictures| {
        let is_looking = matches!(state.camera_check.known(), CameraKnown::Looking);
        assert!(
            pictures.camera().is_none() || is_looking,
            "without it the frame would pass for a moment"
        );
        !state.camera_check.free_boxes().is_empty()
    });
    desk.shell.until(|state, _| {
        assert!(!state.camera_check.free_boxes().is_empty());
        is_seen(state)
    });
    assert!(!desk.seen().since.is_empty());
}

#[test]
fn one_that_cannot_be_read_or_used_is_no_pass() {
    let mut desk = Desk::new(&rig(10, [0.0; 2], 1.0));
    desk.open_both();
    let before = desk.seen();
    assert!(!is_unclear(&before));
    std::fs::write(&desk.like, "no picture").unwrap();
    let like = desk.like.clone();
    desk.shell
        .pictures
        .reread(std::slice::from_ref(&like), &mut desk.shell.state);
    let seen = desk.seen_after(&before);
    assert!(is_unclear(&seen), "{:?}", seen.verdict);
    let is_told =
        |seen: &SeenCamera, words: &str| seen.notes.iter().any(|note| note.contains(words));
    assert!(is_told(&seen, "cannot be read"), "{:?}", seen.notes);
    save_png(
        &like,
        &Frame::from_fn(
            nightglass::pixel::settings::Size::new(320, 180).unwrap(),
            |_, _| [9; 3],
        ),
    );
    desk.shell.pictures.reread(&[like], &mut desk.shell.state);
    let seen = desk.seen_after(&seen);
    assert!(is_unclear(&seen), "{:?}", seen.verdict);
    assert!(is_told(&seen, "another size"), "{:?}", seen.notes);
}

#[test]
fn one_that_was_tried_in_vain_leaves_the_one_before() {
    let mut desk = Desk::new(&rig(10, [0.0; 2], 1.0));
    desk.open_both();
    let other = desk.like.with_file_name("no_picture.png");
    std::fs::write(&other, "no picture").unwrap();
    desk.shell.pictures.request_like(other);
    desk.shell
        .until(|state, _| !state.messages.list().is_empty());
    desk.shell.turn();
    assert_eq!(desk.shell.state.setup().like.as_ref(), Some(&desk.like));
    assert!(is_seen(&desk.shell.state), "nothing is looked at again");
}

#[test]
fn it_is_asked_for_with_its_setup_and_left_out_by_hand() {
    let mut state = State::default();
    let setup = Setup {
        camera: Some("board.png".into()),
        like: Some("good.png".into()),
        ..Setup::default()
    };
    state.setup_loaded("lesson.toml".into(), setup.clone());
    let load = Request::LoadLike("good.png".into());
    assert!(state.take_requests().contains(&load));
    state.apply(Action::PathGiven(FileKind::Like, "other.png".into()));
    assert_eq!(
        state.take_requests(),
        [Request::LoadLike("other.png".into())]
    );
    // On disk it is taken out of the setup, and put in again.
    let without = Setup {
        like: None,
        ..setup.clone()
    };
    state.setup_changed_on_disk(without);
    assert_eq!(state.take_requests(), [Request::ClearLike]);
    state.setup_changed_on_disk(setup);
    assert_eq!(state.take_requests(), [load]);
    state.apply(Action::LeaveOutLike);
    assert_eq!(state.take_requests(), [Request::ClearLike]);
    assert!(state.setup().like.is_none() && state.has_unsaved_changes());
}
