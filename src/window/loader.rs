//! Reads and measures pictures on a thread of its own, the urgent first, so that the window never waits.
//! Refuses nothing: what could not be read comes back as the reader's error, a panic as one too.

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use crate::files::deck::Deck;
use crate::files::demonstration::{CAMERA, SLIDES};
use crate::files::documents::Documents;
use crate::files::page_raster::PageRaster;
use crate::files::picture_file::{Picture, ReadError, decode_picture, read_picture};
use crate::files::slide_file::{SlideReader, SlideSource};
use crate::measure::background::measure_background;
use crate::measure::histogram::{NearBlackHistogram, measure_near_black};
use crate::measure::key_suggestion::KeySuggestion;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{CodeRange, Settings};
use crate::pixel::views::Background;

use super::camera_job::{CameraJob, LookedAt, look_at_camera};
use super::check_job::{CheckJob, Checked, check};
use super::levels_job::{LevelsJob, MeasuredLevels, SuggestJob, measure_levels, suggest};
use super::load_error::LoadError;
use super::room_job::{FoundRoom, RoomJob, find_room};
use super::thumbnail::thumbnail;

/// Where a picture comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PictureSource {
    /// A camera file.
    File(PathBuf),
    /// A slide on disk.
    Slide(SlideSource),
    /// The built-in camera picture.
    DemonstrationCamera,
    /// The built-in slide with this index.
    DemonstrationSlide(usize),
}

impl PictureSource {
    /// Reads and decodes it.
    pub fn read(&self) -> Result<Picture, ReadError> {
        self.read_with(&SlideReader::default())
    }

    /// The same, with pages drawn by this reader.
    fn read_with(&self, slides: &SlideReader) -> Result<Picture, ReadError> {
        let built_in = match self {
            Self::File(path) => return read_picture(path),
            Self::Slide(slide) => return slides.read(slide),
            Self::DemonstrationCamera => &CAMERA,
            Self::DemonstrationSlide(index) => &SLIDES[index % SLIDES.len()],
        };
        decode_picture(built_in.bytes, built_in.name.as_ref())
    }

    /// The file, if it is one.
    pub(super) fn paths(&self) -> Vec<PathBuf> {
        match self {
            Self::File(path) => vec![path.clone()],
            Self::Slide(slide) => vec![slide.path.clone()],
            Self::DemonstrationCamera | Self::DemonstrationSlide(_) => Vec::new(),
        }
    }
}

/// What is measured on a slide, and under what.
#[derive(Clone, Debug)]
pub struct Measurement {
    /// The slide.
    pub slide: Arc<Frame>,
    /// The camera, whose size decides the output's.
    pub camera: Option<Arc<Frame>>,
    /// Placement, chain and luma weights in force.
    pub settings: Settings,
}

/// Which request a result answers; what was asked for since then makes it stale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Generation(u64);

impl Generation {
    /// Makes all results so far stale.
    pub fn advance(&mut self) {
        self.0 += 1;
    }
}

/// Something to do.
#[derive(Clone, Debug)]
pub enum Job {
    /// Read the camera picture.
    Camera(Generation, PictureSource),
    /// Read the frame of the last good setup.
    Like(Generation, PathBuf),
    /// Find the slides of these files and folders.
    Deck(Generation, Vec<PathBuf>),
    /// Read a slide; its background is measured in this range.
    Slide(PictureSource, CodeRange),
    /// Measure a slide.
    Measure(Box<Measurement>),
    /// Check a slide.
    Check(Box<CheckJob>),
    /// Find the room that camera and zones leave.
    FindRoom(RoomJob),
    /// Look at the camera.
    LookAtCamera(CameraJob),
    /// Measure a slide for a key for the deck.
    Levels(Box<LevelsJob>),
    /// Choose a key for the deck.
    Suggest(Box<SuggestJob>),
    /// Read a slide that may be shown next.
    NextSlide(PictureSource, CodeRange),
    /// Make a small picture of a slide.
    Thumbnail(PictureSource),
}

impl Job {
    /// Smaller goes first.
    fn rank(&self) -> u32 {
        match self {
            Self::Camera(..)
            | Self::Like(..)
            | Self::Deck(..)
            | Self::Slide(..)
            | Self::LookAtCamera(_)
            | Self::FindRoom(_)
            | Self::Levels(_)
            | Self::Suggest(_) => 0,
            Self::Measure(_) | Self::Check(_) => 1,
            Self::NextSlide(..) => 2,
            Self::Thumbnail(_) => 3,
        }
    }

    /// When it may start; none where at once.
    fn not_before(&self) -> Option<Instant> {
        match self {
            Self::Check(job) => job.not_before,
            _ => None,
        }
    }

    /// Whether it is about a slide of the deck.
    fn is_about_a_slide(&self) -> bool {
        matches!(
            self,
            Self::Slide(..) | Self::NextSlide(..) | Self::Thumbnail(_)
        )
    }

    /// Whether a newer job makes this one pointless.
    fn is_replaced_by(&self, newer: &Self) -> bool {
        match newer {
            Self::Camera(..) => matches!(self, Self::Camera(..)),
            Self::Like(..) => matches!(self, Self::Like(..)),
            Self::Deck(..) => matches!(self, Self::Deck(..)),
            Self::Slide(..) => matches!(self, Self::Slide(..) | Self::NextSlide(..)),
            Self::Measure(_) => matches!(self, Self::Measure(_)),
            Self::Check(_) => matches!(self, Self::Check(_)),
            Self::FindRoom(_) => matches!(self, Self::FindRoom(_)),
            Self::LookAtCamera(_) => matches!(self, Self::LookAtCamera(_)),
            Self::Levels(_) | Self::Suggest(_) => {
                matches!(self, Self::Levels(_) | Self::Suggest(_))
            }
            Self::NextSlide(..) | Self::Thumbnail(_) => false,
        }
    }
}

/// A slide that was read.
#[derive(Debug)]
pub struct LoadedSlide {
    /// Its pixels.
    pub frame: Arc<Frame>,
    /// Its background.
    pub background: Background,
    /// Whether its file was compressed with loss.
    pub lossy: bool,
    /// Sentences for the user.
    pub warnings: Vec<String>,
}

/// What became of a job.
#[derive(Debug)]
pub enum Loaded {
    /// The camera picture.
    Camera(Generation, PictureSource, Result<Picture, LoadError>),
    /// The frame of the last good setup.
    Like(Generation, PathBuf, Result<Picture, LoadError>),
    /// The slides of what was asked for.
    Deck(Generation, Vec<PathBuf>, Result<Deck, LoadError>),
    /// A slide.
    Slide(PictureSource, Result<LoadedSlide, LoadError>),
    /// A slide's background and the spread of its dark values.
    Measured(Result<Box<Measured>, LoadError>),
    /// What a slide was found to have.
    Checked(Box<Checked>),
    /// The room that camera and zones leave.
    FoundRoom(FoundRoom),
    /// What was seen in the camera frame.
    LookedAt(LookedAt),
    /// What a slide has for a key for the deck.
    Levels(Box<MeasuredLevels>),
    /// A key for the deck, for the search with this number.
    Suggested(u64, Result<Box<KeySuggestion>, LoadError>),
    /// A small picture of a slide.
    Thumbnail(PictureSource, egui::ColorImage),
}

/// What was measured on a slide.
#[derive(Debug)]
pub struct Measured {
    /// The slide.
    pub slide: Arc<Frame>,
    /// Its background.
    pub background: Background,
    /// Its dark values.
    pub histogram: NearBlackHistogram,
}

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

/// The thread that reads.
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
                    if let Some(loaded) = run(job, &read, seen.slides().documents())
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

/// Does a job. A small picture of a slide that cannot be read is left out; the slide itself will tell why.
fn run(
    job: Job,
    read: &impl Fn(&PictureSource) -> Result<Picture, ReadError>,
    documents: &Documents,
) -> Option<Loaded> {
    match job {
        Job::Camera(generation, source) => {
            let picture = guarded(source.paths(), || Ok(read(&source)?));
            Some(Loaded::Camera(generation, source, picture))
        }
        Job::Like(generation, path) => {
            let source = PictureSource::File(path.clone());
            let picture = guarded(source.paths(), || Ok(read(&source)?));
            Some(Loaded::Like(generation, path, picture))
        }
        Job::Deck(generation, paths) => {
            let deck = guarded(paths.clone(), || Ok(Deck::open_with(&paths, documents)));
            Some(Loaded::Deck(generation, paths, deck))
        }
        Job::Slide(source, range) | Job::NextSlide(source, range) => {
            let slide = guarded(source.paths(), || {
                let picture = read(&source)?;
                Ok(LoadedSlide {
                    background: measure_background(&picture.frame, range),
                    frame: Arc::new(picture.frame),
                    lossy: picture.lossy,
                    warnings: picture.warnings,
                })
            });
            Some(Loaded::Slide(source, slide))
        }
        Job::Measure(measurement) => {
            let measured = guarded(Vec::new(), || Ok(Box::new(measure(*measurement))));
            Some(Loaded::Measured(measured))
        }
        Job::Check(job) => Some(Loaded::Checked(Box::new(check(*job, read)))),
        Job::FindRoom(job) => Some(Loaded::FoundRoom(find_room(job))),
        Job::LookAtCamera(job) => look_at_camera(job).map(Loaded::LookedAt),
        Job::Levels(job) => Some(Loaded::Levels(Box::new(measure_levels(*job, read)))),
        Job::Suggest(job) => Some(Loaded::Suggested(job.search, suggest(&job))),
        Job::Thumbnail(source) => {
            let small = guarded(source.paths(), || Ok(thumbnail(&read(&source)?.frame)));
            Some(Loaded::Thumbnail(source, small.ok()?))
        }
    }
}

/// Does something with these files; a panic in it becomes an error, so that the thread goes on.
pub(super) fn guarded<T>(
    paths: Vec<PathBuf>,
    work: impl FnOnce() -> Result<T, LoadError>,
) -> Result<T, LoadError> {
    // What the work had in its hands is dropped with it; nothing half done is seen afterwards.
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| Err(LoadError::Panicked { paths }))
}

/// Background and dark values of a slide.
fn measure(measurement: Measurement) -> Measured {
    let Measurement {
        slide,
        camera,
        settings,
    } = measurement;
    let background = measure_background(&slide, settings.placement.slide_range);
    let histogram = measure_near_black(&Plan::new(&Scene {
        camera: camera.as_deref(),
        slide: Some(&slide),
        background,
        settings: &settings,
    }));
    Measured {
        slide,
        background,
        histogram,
    }
}
