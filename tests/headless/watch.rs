//! Files that are followed: what is told, once, and how soon after the last write.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use nightglass::files::atomic;
use nightglass::files::demonstration::SLIDES;
use nightglass::files::picture_file::read_picture;
use nightglass::files::watch::Watcher;

/// The longest from the last write to the slide in memory. Source: what the window promises.
const SOON: Duration = Duration::from_millis(250);
/// Long enough that a second telling of the same save would have come.
const LATER: Duration = Duration::from_millis(600);
/// Longer than anything is waited for.
const EVER: Duration = Duration::from_secs(10);

/// A watcher, and what it tells.
fn watched(paths: &[PathBuf]) -> (Watcher, Receiver<Vec<PathBuf>>) {
    let (tell, told) = mpsc::channel();
    let watcher = Watcher::start(paths.to_vec(), move |changed| {
        tell.send(changed).ok();
    });
    (watcher.unwrap(), told)
}

/// Everything that is told until `LATER` after the last telling.
fn all_told(told: &Receiver<Vec<PathBuf>>) -> Vec<PathBuf> {
    let mut all = told.recv_timeout(EVER).unwrap();
    while let Ok(more) = told.recv_timeout(LATER) {
        all.extend(more);
    }
    all.sort();
    all
}

fn nothing_is_told(told: &Receiver<Vec<PathBuf>>) {
    assert!(told.recv_timeout(LATER).is_err());
}

/// A folder with these files, each the first slide of the demonstration.
fn folder_with(names: &[&str]) -> (tempfile::TempDir, Vec<PathBuf>) {
    let folder = tempfile::tempdir().unwrap();
    let paths: Vec<PathBuf> = names.iter().map(|name| folder.path().join(name)).collect();
    for path in &paths {
        fs::write(path, SLIDES[0].bytes).unwrap();
    }
    (folder, paths)
}

#[test]
fn a_saved_slide_is_told_once_and_read_within_a_quarter_of_a_second() {
    let (_folder, paths) = folder_with(&["slide.png", "other.png"]);
    let (_watcher, told) = watched(&paths);
    let mut times = Vec::new();
    for turn in 0..5 {
        atomic::write(&paths[0], SLIDES[turn % 2].bytes).unwrap();
        let written = Instant::now();
        let changed = told.recv_timeout(EVER).unwrap();
        let read = read_picture(&changed[0]).unwrap().frame;
        times.push(written.elapsed());
        assert_eq!(changed, paths[..1]);
        assert_eq!(read, SLIDES[turn % 2].frame().unwrap());
        nothing_is_told(&told);
    }
    println!("from the last write to the decoded slide: {times:?}");
    times.sort();
    // The median, because other work on the machine may hold up one of them.
    assert!(times[times.len() / 2] < SOON, "{times:?}");
}

#[test]
fn a_half_written_slide_is_waited_for() {
    let (_folder, paths) = folder_with(&["slide.png"]);
    let (_watcher, told) = watched(&paths);
    let bytes = SLIDES[1].bytes;
    let mut file = fs::File::create(&paths[0]).unwrap();
    file.write_all(&bytes[..bytes.len() / 2]).unwrap();
    file.flush().unwrap();
    nothing_is_told(&told);
    file.write_all(&bytes[bytes.len() / 2..]).unwrap();
    drop(file);
    let written = Instant::now();
    assert_eq!(all_told(&told), paths);
    println!(
        "from the last write: {:?}",
        written.elapsed().saturating_sub(LATER)
    );
    read_picture(&paths[0]).unwrap();
}

#[test]
fn a_slide_that_stays_cut_off_is_told_so_that_its_error_shows() {
    let (_folder, paths) = folder_with(&["slide.png"]);
    let (_watcher, told) = watched(&paths);
    fs::write(&paths[0], &SLIDES[1].bytes[..500]).unwrap();
    assert_eq!(all_told(&told), paths);
}

#[test]
fn replaced_by_renaming_and_deleted_and_made_again_are_changes_deleted_is_one_too() {
    let (folder, paths) = folder_with(&["slide.png", "camera.jpg"]);
    let (_watcher, told) = watched(&paths);

    let other = folder.path().join("export.tmp");
    fs::write(&other, SLIDES[1].bytes).unwrap();
    nothing_is_told(&told);
    fs::rename(&other, &paths[0]).unwrap();
    assert_eq!(all_told(&told), paths[..1]);

    fs::remove_file(&paths[0]).unwrap();
    std::thread::sleep(Duration::from_millis(100));
    fs::write(&paths[0], SLIDES[2].bytes).unwrap();
    assert_eq!(all_told(&told), paths[..1]);

    fs::remove_file(&paths[1]).unwrap();
    assert_eq!(all_told(&told), paths[1..]);
    assert!(!paths[1].exists());
    fs::write(&paths[1], SLIDES[2].bytes).unwrap();
    assert_eq!(all_told(&told), paths[1..]);
}

#[test]
fn a_watched_folder_tells_of_new_slides_and_of_nothing_else() {
    let (folder, paths) = folder_with(&["1.png", "2.png"]);
    let (_watcher, told) = watched(&[folder.path().to_owned()]);
    for other in ["notes.txt", ".hidden.png", "3.png.part"] {
        fs::write(folder.path().join(other), SLIDES[0].bytes).unwrap();
    }
    read_picture(&paths[0]).unwrap();
    nothing_is_told(&told);
    let new = folder.path().join("3.png");
    fs::write(&new, SLIDES[0].bytes).unwrap();
    assert_eq!(all_told(&told), [new]);
}

#[test]
fn a_folder_that_is_deleted_and_exported_again_is_followed() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("deck");
    let slides: Vec<PathBuf> = (1..=5).map(|n| folder.join(format!("{n}.png"))).collect();
    let export = |which: usize| {
        fs::create_dir(&folder).unwrap();
        for slide in &slides {
            fs::write(slide, SLIDES[which].bytes).unwrap();
            std::thread::sleep(Duration::from_millis(20));
        }
    };
    export(0);
    let (_watcher, told) = watched(std::slice::from_ref(&folder));
    for which in [1, 2] {
        fs::remove_dir_all(&folder).unwrap();
        export(which);
        assert_eq!(all_told(&told), slides);
    }
    fs::write(&slides[3], SLIDES[3].bytes).unwrap();
    assert_eq!(all_told(&told), slides[3..4]);
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_to_its_target() {
    let (folder, paths) = folder_with(&["slide.png"]);
    let elsewhere = tempfile::tempdir().unwrap();
    let link = elsewhere.path().join("linked.png");
    std::os::unix::fs::symlink(&paths[0], &link).unwrap();
    let (_watcher, told) = watched(std::slice::from_ref(&link));
    fs::write(&paths[0], SLIDES[1].bytes).unwrap();
    assert_eq!(all_told(&told), [link]);
    drop(folder);
}

#[test]
fn a_dropped_watcher_tells_nothing_more() {
    let (_folder, paths) = folder_with(&["slide.png"]);
    let (watcher, told) = watched(&paths);
    drop(watcher);
    fs::write(&paths[0], SLIDES[1].bytes).unwrap();
    let ended = told.recv_timeout(EVER);
    assert_eq!(ended, Err(mpsc::RecvTimeoutError::Disconnected));
}

#[test]
fn a_file_that_does_not_exist_yet_is_waited_for() {
    let (folder, _) = folder_with(&[]);
    let path: &Path = &folder.path().join("later.png");
    let (_watcher, told) = watched(&[path.to_owned()]);
    fs::write(path, SLIDES[1].bytes).unwrap();
    assert_eq!(all_told(&told), [path]);
}
