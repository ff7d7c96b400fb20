//! What the loader's thread brings, and what the window keeps of it.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, sync_channel};
use std::time::Duration;

use egui::Context;
use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::files::setup_file::Setup;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{CodeRange, Size};
use nightglass::pixel::views::Background;
use nightglass::window::action::MessageKind;
use nightglass::window::generation::Generation;
use nightglass::window::job::Job;
use nightglass::window::kept_slides::{KeptSlides, Slide};
use nightglass::window::loaded::Loaded;
use nightglass::window::loader::Loader;
use nightglass::window::picture_source::PictureSource;
use nightglass::window::pictures::Pictures;
use nightglass::window::state::State;

/// How long a built-in picture may take to be read. Source: chosen, far above what a busy machine needs.
const PATIENCE: Duration = Duration::from_mins(1);

/// A loader that goes on to the next job only once its result is received.
fn patient_loader() -> (Loader, Receiver<Loaded>) {
    let (deliver, results) = sync_channel(0);
    let loader = Loader::start(move |loaded| deliver.send(loaded).is_ok()).unwrap();
    (loader, results)
}

fn thumbnail(index: usize) -> Job {
    Job::Thumbnail(PictureSource::DemonstrationSlide(index))
}

#[test]
fn a_mistyped_folder_leaves_the_thumbnails_that_wait() {
    let (loader, results) = patient_loader();
    loader.request(thumbnail(0));
    loader.request(thumbnail(1));
    loader.request(Job::Deck(
        Generation::default(),
        vec![PathBuf::from("no such folder")],
    ));
    let mut made = 0;
    let mut refused = 0;
    for _ in 0..3 {
        match results.recv_timeout(PATIENCE).unwrap() {
            Loaded::Thumbnail(..) => made += 1,
            Loaded::Deck(.., Ok(deck)) if deck.slides.is_empty() => refused += deck.problems.len(),
            other => panic!("{other:?}"),
        }
    }
    assert_eq!((made, refused), (2, 1));
}

/// A camera picture and a folder of two slides on disk.
fn files() -> (tempfile::TempDir, PathBuf, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let camera = folder.path().join("camera.png");
    let deck = folder.path().join("deck");
    std::fs::create_dir(&deck).unwrap();
    std::fs::write(&camera, CAMERA.bytes).unwrap();
    for name in ["1.png", "2.png"] {
        std::fs::write(deck.join(name), SLIDES[0].bytes).unwrap();
    }
    (folder, camera, deck)
}

/// Takes results until `enough` of them were taken of the kind that is looked for.
fn take_until(
    results: &Receiver<Loaded>,
    (pictures, state): (&mut Pictures, &mut State),
    is_looked_for: impl Fn(&Loaded) -> bool,
    enough: usize,
) {
    let egui = Context::default();
    let mut taken = 0;
    while taken < enough {
        let loaded = results.recv_timeout(PATIENCE).unwrap();
        taken += usize::from(is_looked_for(&loaded));
        pictures.take(loaded, state, &egui);
    }
}

fn is_camera(loaded: &Loaded) -> bool {
    matches!(loaded, Loaded::Camera(..))
}

fn is_deck(loaded: &Loaded) -> bool {
    matches!(loaded, Loaded::Deck(..))
}

#[test]
fn own_pictures_that_come_after_the_example_was_chosen_are_not_taken() {
    let (_folder, camera, deck) = files();
    let (loader, results) = patient_loader();
    let (mut pictures, mut state) = (Pictures::new(loader), State::default());
    pictures.request_camera(PictureSource::File(camera));
    pictures.request_deck(vec![deck]);
    // Both are read before the example is chosen, and delivered after it.
    let late: Vec<_> = (0..2)
        .map(|_| results.recv_timeout(PATIENCE).unwrap())
        .collect();
    pictures.take_demonstration(&mut state);
    for loaded in late {
        assert!(is_camera(&loaded) || is_deck(&loaded));
        pictures.take(loaded, &mut state, &Context::default());
    }
    assert_eq!(state.setup().camera, None);
    assert!(state.setup().slides.is_empty() && state.is_demonstration());
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    assert!(pictures.camera().is_some());
    assert_eq!(state.slide_names().len(), SLIDES.len());
}

#[test]
fn own_pictures_end_the_example_only_when_both_are_own() {
    let (_folder, camera, deck) = files();
    let (loader, results) = patient_loader();
    let (mut pictures, mut state) = (Pictures::new(loader), State::default());
    pictures.take_demonstration(&mut state);
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    assert!(state.is_demonstration() && state.has_built_in_camera());
    pictures.request_deck(vec![deck]);
    take_until(&results, (&mut pictures, &mut state), is_deck, 1);
    assert!(!state.is_demonstration() && state.has_built_in_camera());
    pictures.request_camera(PictureSource::File(camera));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    assert!(!state.has_built_in_camera());
}

#[test]
fn what_is_cleared_is_not_shown_any_more() {
    let (loader, results) = patient_loader();
    let (mut pictures, mut state) = (Pictures::new(loader), State::default());
    pictures.take_demonstration(&mut state);
    pictures.want_slide(0, CodeRange::Full);
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    let is_slide = |loaded: &Loaded| matches!(loaded, Loaded::Slide(..));
    take_until(&results, (&mut pictures, &mut state), is_slide, 1);
    pictures.want_slide(0, CodeRange::Full);
    assert!(pictures.camera().is_some() && pictures.slide().is_some());
    pictures.clear_camera();
    pictures.clear_deck(&mut state);
    pictures.want_slide(0, CodeRange::Full);
    assert!(pictures.camera().is_none() && pictures.slide().is_none());
    assert!(state.slide_names().is_empty() && pictures.thumbnails().is_empty());
}

#[test]
fn a_reader_that_panics_is_told_about_and_the_next_picture_is_read() {
    let (deliver, results) = sync_channel(0);
    let read = |source: &PictureSource| match source {
        PictureSource::File(path) => panic!("this panic is wanted: {}", path.display()),
        built_in => built_in.read(),
    };
    let loader = Loader::with_reader(read, move |loaded| deliver.send(loaded).is_ok()).unwrap();
    let (mut pictures, mut state) = (Pictures::new(loader), State::default());
    pictures.request_camera(PictureSource::File(PathBuf::from("broken.png")));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    let told = state.messages.list().last().unwrap();
    assert_eq!(told.kind, MessageKind::Error);
    assert!(told.text.contains("`broken.png`"), "{}", told.text);
    pictures.request_camera(PictureSource::DemonstrationCamera);
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    assert!(pictures.camera().is_some());
}

#[test]
fn kept_slides_are_few_in_number_and_in_bytes_but_the_wanted_one_stays() {
    let slide = |side: u32| Slide {
        frame: Arc::new(Frame::from_fn(Size::new(side, side).unwrap(), |_, _| {
            [0; 3]
        })),
        background: Background::BLACK,
        lossy: false,
    };
    let source = PictureSource::DemonstrationSlide;
    let kept_after = |sides: &[u32], wanted: usize| {
        let mut kept = KeptSlides::with_max_bytes(1000);
        for (index, side) in sides.iter().enumerate() {
            kept.keep(source(index), Some(slide(*side)), Some(&source(wanted)));
        }
        let is_kept = |index: &usize| kept.get(&source(*index)).is_some();
        (0..sides.len()).filter(is_kept).collect::<Vec<_>>()
    };
    // 400 bytes each: two have room.
    assert_eq!(kept_after(&[10; 5], 4), [3, 4]);
    assert_eq!(kept_after(&[10; 5], 0), [0, 4]);
    assert_eq!(kept_after(&[10, 10, 100], 2), [2]);
    assert_eq!(kept_after(&[100, 10], 0), [0]);
    assert_eq!(kept_after(&[1; 12], 11), [4, 5, 6, 7, 8, 9, 10, 11]);
}

fn told(state: &State) -> Vec<&str> {
    let list = state.messages.list().iter();
    list.map(|message| message.text.as_str()).collect()
}

#[test]
fn each_file_that_cannot_be_read_is_told_about_until_it_can() {
    let (folder, good, deck) = files();
    let camera = folder.path().join("zero.png");
    std::fs::write(&camera, []).unwrap();
    std::fs::write(deck.join("1.png"), "the pole star").unwrap();
    let (loader, results) = patient_loader();
    let (mut pictures, mut state) = (Pictures::new(loader), State::default());
    let none = ["no such slide.png", "nor this.png"];
    let paths = none.map(PathBuf::from).into_iter().chain([deck.clone()]);
    pictures.request_camera(PictureSource::File(camera.clone()));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    pictures.request_deck(paths.collect());
    take_until(&results, (&mut pictures, &mut state), is_deck, 1);
    pictures.want_slide(0, CodeRange::Full);
    let is_slide = |loaded: &Loaded| matches!(loaded, Loaded::Slide(_, Err(_)));
    take_until(&results, (&mut pictures, &mut state), is_slide, 1);
    let names = ["zero.png", none[0], none[1], "1.png"];
    for (text, name) in told(&state).into_iter().zip(names) {
        assert!(text.contains(name), "{text}");
    }
    assert_eq!(told(&state).len(), names.len());
    assert!(
        told(&state)[0].starts_with("camera picture, black until it can be read: "),
        "{:?}",
        told(&state)
    );

    // What is said beside that leaves it, and trying again says it once.
    state.tell(MessageKind::Note, "Saved.");
    pictures.request_camera(PictureSource::File(camera.clone()));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    let about = |state: &State, name: &str| {
        let texts = told(state).into_iter();
        texts.filter(|text| text.contains(name)).count()
    };
    assert_eq!(names.map(|name| about(&state, name)), [1; 4]);

    pictures.request_camera(PictureSource::File(good.clone()));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    pictures.request_deck(vec![deck]);
    take_until(&results, (&mut pictures, &mut state), is_deck, 1);
    assert_eq!(names.map(|name| about(&state, name)), [0, 0, 0, 1]);
    // Another file that is no picture leaves the one that is shown.
    pictures.request_camera(PictureSource::File(camera));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    let words = told(&state).pop().unwrap().to_owned();
    assert!(
        words.starts_with("camera picture, the one before stays: "),
        "{words}"
    );
    assert_eq!(state.why_camera_unread(), None);
    // Where the file itself is damaged, what was read of it before stays in sight, and it is said so.
    let whole = std::fs::read(&good).unwrap();
    std::fs::write(&good, &whole[..whole.len() / 2]).unwrap();
    pictures.request_camera(PictureSource::File(good.clone()));
    take_until(&results, (&mut pictures, &mut state), is_camera, 1);
    assert!(pictures.camera().is_some());
    let why = state.why_camera_unread().unwrap();
    assert!(
        why.starts_with("the file is cut off before its end: "),
        "{why}"
    );
    std::fs::write(&good, whole).unwrap();
    let mut again = state.clone();
    pictures.request_camera(PictureSource::File(good));
    take_until(&results, (&mut pictures, &mut again), is_camera, 1);
    assert_eq!(again.why_camera_unread(), None);
    let words = told(&state).pop().unwrap().to_owned();
    let expected = "camera picture, shown as it was read last: ";
    assert!(
        words.starts_with(expected) && words.contains("camera.png"),
        "{words}"
    );
    assert!(pictures.camera().is_some());
    state.setup_loaded("lecture.toml".into(), Setup::default());
    assert_eq!(told(&state), ["Loaded the setup lecture.toml."]);
}
