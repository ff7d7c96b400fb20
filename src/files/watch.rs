//! Follows files and says which changed, once each, when they are whole.
//!
//! What the system tells only wakes the watcher; what counts is how a file looks, compared with how it
//! looked when it was last told of. So a save that makes seven events is one change, a file that is replaced,
//! renamed onto, or deleted and made again is followed, and a lost event is made up for by the next look.
//!
//! Use: `Watcher::start(paths, on_change)` *before* the files are read the first time, with the paths as the
//! user named them (slides, folders of slides, the camera, the setup); `on_change` runs on the watcher's
//! thread and gets the changed files, named as the deck names them. A file that was not there before is
//! a new slide of a folder, one that is no more was deleted: open the deck again, which costs little.
//! Dropping the watcher ends it.

use std::collections::BTreeMap;
use std::fs::Metadata;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant, SystemTime};

use notify::event::{AccessKind, AccessMode};
use notify::{EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

use super::deck::is_picture_name;
use super::file_stamp::Stamp;
use super::whole_file::{Wholeness, wholeness_of};

/// How long to let events gather before looking. Source: chosen; the events of one save came within 3 ms.
const GATHER: Duration = Duration::from_millis(10);
/// How long a file that ends as its format says must have been left alone. Source: chosen.
const QUIET_WHOLE: Duration = Duration::from_millis(30);
/// The same for a file whose format does not tell where it ends, as TIFF and text. Source: chosen.
const QUIET_UNKNOWN: Duration = Duration::from_millis(120);
/// The same for a file that has no end yet; then it is told of as it is, and reading it says what is wrong.
/// Source: chosen, longer than a program pauses between two writes.
const QUIET_UNENDED: Duration = Duration::from_secs(1);
/// How long a file must be gone; programs delete and write again. Source: chosen.
const QUIET_GONE: Duration = Duration::from_millis(400);
/// How often to look without being woken, for drives that tell nothing. Source: chosen.
const LOOK_EVERY: Duration = Duration::from_secs(1);
/// The same where the system refused to tell of a folder. Source: chosen, well under a quarter of a second.
const LOOK_EVERY_UNTOLD: Duration = Duration::from_millis(100);

/// Follows files until it is dropped.
#[derive(Debug)]
pub struct Watcher {
    wake: Sender<Wake>,
}

/// Why the watcher wakes up.
#[derive(Debug)]
enum Wake {
    Event,
    Stop,
}

impl Watcher {
    /// Follows these files and the pictures of these folders from now on.
    ///
    /// Where the system cannot tell of changes, as on some network drives, the watcher looks by itself.
    pub fn start(
        paths: Vec<PathBuf>,
        on_change: impl Fn(Vec<PathBuf>) + Send + 'static,
    ) -> io::Result<Self> {
        let (wake, woken) = mpsc::channel();
        let for_events = wake.clone();
        let told = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
            // Reading, which the watcher does itself, is no change.
            let is_reading = event.is_ok_and(|event| match event.kind {
                EventKind::Access(kind) => kind != AccessKind::Close(AccessMode::Write),
                _ => false,
            });
            if !is_reading {
                // Nobody listens any more once the watcher is dropped.
                for_events.send(Wake::Event).ok();
            }
        });
        let mut folders = Folders::new(told.ok());
        folders.follow(&paths);
        let known = stamps(&paths);
        let mut changes = Changes {
            paths,
            known,
            waiting: BTreeMap::new(),
        };
        std::thread::Builder::new()
            .name("file watcher".to_owned())
            .spawn(move || changes.follow(&woken, &mut folders, on_change))?;
        Ok(Self { wake })
    }
}

impl Drop for Watcher {
    fn drop(&mut self) {
        // The thread may have ended by itself.
        self.wake.send(Wake::Stop).ok();
    }
}

/// How the files look now; none for a named file that is not there.
fn stamps(paths: &[PathBuf]) -> BTreeMap<PathBuf, Option<Stamp>> {
    let mut stamps = BTreeMap::new();
    for path in paths {
        let meta = path.metadata().ok();
        if !meta.as_ref().is_some_and(Metadata::is_dir) {
            stamps.insert(path.clone(), meta.as_ref().map(Stamp::new));
            continue;
        }
        let entries = path.read_dir().into_iter().flatten().flatten();
        for file in entries.map(|entry| entry.path()) {
            if is_picture_name(&file)
                && let Ok(meta) = file.metadata()
                && meta.is_file()
            {
                stamps.insert(file, Some(Stamp::new(&meta)));
            }
        }
    }
    stamps
}

/// A file that looks different from when it was last told of.
#[derive(Debug)]
struct Waiting {
    stamp: Option<Stamp>,
    since: Instant,
    wholeness: Option<Wholeness>,
}

impl Waiting {
    fn new(stamp: Option<Stamp>, since: Instant) -> Self {
        Self {
            stamp,
            since,
            wholeness: None,
        }
    }

    /// How long the file still has to be left alone before it is told of.
    fn remaining(&mut self, path: &Path, now: Instant) -> Duration {
        let left_alone = now.duration_since(self.since);
        if self.stamp.is_none() {
            return QUIET_GONE.saturating_sub(left_alone);
        }
        if left_alone < QUIET_WHOLE {
            return QUIET_WHOLE.saturating_sub(left_alone);
        }
        let look = || wholeness_of(path).unwrap_or(Wholeness::Unended);
        let quiet = match *self.wholeness.get_or_insert_with(look) {
            Wholeness::Whole => QUIET_WHOLE,
            Wholeness::Unknown => QUIET_UNKNOWN,
            Wholeness::Unended => QUIET_UNENDED,
        };
        quiet.saturating_sub(left_alone)
    }
}

/// What is followed, and what has changed and is not yet told.
#[derive(Debug)]
struct Changes {
    paths: Vec<PathBuf>,
    known: BTreeMap<PathBuf, Option<Stamp>>,
    waiting: BTreeMap<PathBuf, Waiting>,
}

impl Changes {
    /// Tells of changes until it is told to stop.
    fn follow(
        &mut self,
        woken: &Receiver<Wake>,
        folders: &mut Folders,
        on_change: impl Fn(Vec<PathBuf>),
    ) {
        loop {
            let (whole, next) = self.look(Instant::now());
            if !whole.is_empty() {
                on_change(whole);
                continue;
            }
            let wait = next.unwrap_or(LOOK_EVERY).min(folders.look_every());
            match woken.recv_timeout(wait) {
                Ok(Wake::Stop) | Err(RecvTimeoutError::Disconnected) => return,
                Ok(Wake::Event) => {
                    std::thread::sleep(GATHER);
                    if woken.try_iter().any(|wake| matches!(wake, Wake::Stop)) {
                        return;
                    }
                }
                Err(RecvTimeoutError::Timeout) => {}
            }
            folders.follow(&self.paths);
        }
    }

    /// The files that changed and are whole, and when to look again at those that are not.
    fn look(&mut self, now: Instant) -> (Vec<PathBuf>, Option<Duration>) {
        let mut seen = stamps(&self.paths);
        for path in self.known.keys() {
            seen.entry(path.clone()).or_insert(None);
        }
        let mut whole = Vec::new();
        let mut next: Option<Duration> = None;
        for (path, stamp) in &seen {
            // A file of a folder that was never told of and is gone again is no change.
            if self.known.get(path).copied().flatten() == *stamp {
                self.waiting.remove(path);
                continue;
            }
            let waiting = self
                .waiting
                .entry(path.clone())
                .or_insert_with(|| Waiting::new(*stamp, now));
            if waiting.stamp != *stamp {
                *waiting = Waiting::new(*stamp, now);
            }
            let remaining = waiting.remaining(path, now);
            if remaining.is_zero() {
                self.waiting.remove(path);
                self.known.insert(path.clone(), *stamp);
                whole.push(path.clone());
            } else {
                next = Some(next.map_or(remaining, |next| next.min(remaining)));
            }
        }
        self.waiting.retain(|path, _| seen.contains_key(path));
        (whole, next)
    }
}

/// The folders that the system tells of.
#[derive(Debug)]
struct Folders {
    told: Option<RecommendedWatcher>,
    followed: BTreeMap<PathBuf, (u64, Option<SystemTime>)>,
    is_untold: bool,
}

impl Folders {
    fn new(told: Option<RecommendedWatcher>) -> Self {
        Self {
            is_untold: told.is_none(),
            told,
            followed: BTreeMap::new(),
        }
    }

    /// How often to look without being woken.
    fn look_every(&self) -> Duration {
        if self.is_untold {
            LOOK_EVERY_UNTOLD
        } else {
            LOOK_EVERY
        }
    }

    /// Has the system tell of every folder that matters now, also of one that was made again.
    fn follow(&mut self, paths: &[PathBuf]) {
        let Some(told) = &mut self.told else {
            return;
        };
        let mut wanted = BTreeMap::new();
        for folder in paths.iter().flat_map(|path| folders_of(path)) {
            if let Ok(meta) = folder.metadata() {
                wanted.insert(folder, folder_identity(&meta));
            }
        }
        for (folder, identity) in &self.followed {
            if wanted.get(folder) != Some(identity) {
                // A folder that is gone is not followed any more anyway.
                told.unwatch(folder).ok();
            }
        }
        self.is_untold = false;
        let mut followed = BTreeMap::new();
        for (folder, identity) in &wanted {
            let is_followed = self.followed.get(folder) == Some(identity)
                || told.watch(folder, RecursiveMode::NonRecursive).is_ok();
            if is_followed {
                followed.insert(folder.clone(), *identity);
            } else {
                self.is_untold = true;
            }
        }
        self.followed = followed;
    }
}

/// What tells a folder from another that got its name later.
fn folder_identity(meta: &Metadata) -> (u64, Option<SystemTime>) {
    #[cfg(unix)]
    let number = std::os::unix::fs::MetadataExt::ino(meta);
    #[cfg(not(unix))]
    let number = 0;
    (number, meta.created().ok())
}

/// The folders in which a change of this path shows: itself, the one that it lies in, and, where it is
/// a link, the one that its target lies in. Each by the one name that does not depend on the way to it,
/// because the system tells of a folder under one name only.
fn folders_of(path: &Path) -> Vec<PathBuf> {
    let parent = |path: &Path| match path.parent() {
        Some(parent) if parent != Path::new("") => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    let target = path.canonicalize().ok();
    let own = target.clone().filter(|target| target.is_dir());
    let around = [Some(parent(path)), target.as_deref().map(parent)];
    let around = around
        .into_iter()
        .flatten()
        .filter_map(|folder| folder.canonicalize().ok());
    own.into_iter().chain(around).collect()
}
