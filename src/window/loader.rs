//! A thread that does jobs, the urgent first, so that the window never waits.

use std::io;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use super::job::Job;
use super::loaded::Loaded;
use super::picture_source::PictureSource;
use crate::files::page_raster::PageRaster;
use crate::files::picture_file::{Picture, ReadError};
use crate::files::slide_file::SlideReader;

/// The jobs that wait.
#[derive(Debug, Default)]
struct Waiting {
    jobs: Vec<Job>,
    closed: bool,
}

/// What both threads see.
#[derive(Debug, Default)]
struct Shared {
    waiting: Mutex<Waiting>,
    changed: Condvar,
    slides: Mutex<SlideReader>,
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, Waiting> {
        // A list of jobs is whole after every statement, so a panic elsewhere leaves nothing broken.
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The reader of slides as it is now.
    fn slides(&self) -> SlideReader {
        let slides = self.slides.lock().unwrap_or_else(PoisonError::into_inner);
        slides.clone()
    }

    /// The most urgent job, the oldest of them; `None` once no more will come.
    fn next(&self) -> Option<Job> {
        let mut waiting = self.lock();
        loop {
            if waiting.closed {
                return None;
            }
            let now = Instant::now();
            let is_due = |job: &Job| job.not_before().is_none_or(|at| at <= now);
            let urgent = (0..waiting.jobs.len())
                .filter(|&index| is_due(&waiting.jobs[index]))
                .min_by_key(|&index| waiting.jobs[index].rank());
            if let Some(index) = urgent {
                return Some(waiting.jobs.remove(index));
            }
            let first = waiting.jobs.iter().filter_map(Job::not_before).min();
            waiting = match first {
                Some(at) => {
                    let waited = self.changed.wait_timeout(waiting, at - now);
                    waited.unwrap_or_else(PoisonError::into_inner).0
                }
                None => self
                    .changed
                    .wait(waiting)
                    .unwrap_or_else(PoisonError::into_inner),
            };
        }
    }
}

/// The thread that reads and does all other jobs.
#[derive(Debug)]
pub struct Loader {
    shared: Arc<Shared>,
}

impl Loader {
    /// Starts the thread; it hands every result to `deliver` and ends once that refuses one.
    pub fn start(deliver: impl Fn(Loaded) -> bool + Send + 'static) -> io::Result<Self> {
        let shared = Arc::new(Shared::default());
        let seen = Arc::clone(&shared);
        let read = move |source: &PictureSource| source.read_with(&seen.slides());
        Self::start_on(shared, read, deliver)
    }

    /// The same with another reader, which the tests let panic.
    pub fn with_reader(
        read: impl Fn(&PictureSource) -> Result<Picture, ReadError> + Send + 'static,
        deliver: impl Fn(Loaded) -> bool + Send + 'static,
    ) -> io::Result<Self> {
        Self::start_on(Arc::default(), read, deliver)
    }

    fn start_on(
        shared: Arc<Shared>,
        read: impl Fn(&PictureSource) -> Result<Picture, ReadError> + Send + 'static,
        deliver: impl Fn(Loaded) -> bool + Send + 'static,
    ) -> io::Result<Self> {
        let seen = Arc::clone(&shared);
        std::thread::Builder::new()
            .name("picture loader".to_owned())
            .spawn(move || {
                while let Some(job) = seen.next() {
                    if let Some(loaded) = job.run(&read, seen.slides().documents())
                        && !deliver(loaded)
                    {
                        return;
                    }
                }
            })?;
        Ok(Self { shared })
    }

    /// Adds a job; waiting ones that it makes pointless are dropped.
    pub fn request(&self, job: Job) {
        let mut waiting = self.shared.lock();
        waiting.jobs.retain(|old| !old.is_replaced_by(&job));
        waiting.jobs.push(job);
        drop(waiting);
        self.shared.changed.notify_one();
    }

    /// Has pages drawn on this raster from now on; whether it is another than before.
    pub fn draw_pages_on(&self, raster: PageRaster) -> bool {
        let slides = &self.shared.slides;
        let mut slides = slides.lock().unwrap_or_else(PoisonError::into_inner);
        let is_other = slides.raster() != raster;
        if is_other {
            *slides = SlideReader::drawing_for(raster).with_documents(slides.documents().clone());
        }
        is_other
    }

    /// Drops the waiting jobs about slides, once the deck that they belong to is not shown any more.
    pub fn drop_slides(&self) {
        self.shared
            .lock()
            .jobs
            .retain(|job| !job.is_about_a_slide());
    }
}

impl Drop for Loader {
    fn drop(&mut self) {
        self.shared.lock().closed = true;
        self.shared.changed.notify_one();
    }
}
