//! What the loader's thread brings, and what the window keeps of it.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, sync_channel};
use std::time::Duration;

use nightglass::window::loader::{Job, Loaded, Loader, PictureSource};

/// How long a built-in picture may take to be read. Source: chosen, far above what a busy machine needs.
const PATIENCE: Duration = Duration::from_secs(60);

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
    loader.request(Job::Deck(vec![PathBuf::from("no such folder")]));
    let mut made = 0;
    let mut refused = 0;
    for _ in 0..3 {
        match results.recv_timeout(PATIENCE).unwrap() {
            Loaded::Thumbnail(..) => made += 1,
            Loaded::Deck(_, Err(_)) => refused += 1,
            other => panic!("{other:?}"),
        }
    }
    assert_eq!((made, refused), (2, 1));
}
