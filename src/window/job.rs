//! Something for a thread to do, so that the window does not wait.
//! Refuses nothing: what could not be read comes back as the reader's error, a panic as one too.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use super::camera_job::{CameraJob, look_at_camera};
use super::check_job::{CheckJob, check};
use super::generation::Generation;
use super::levels_job::{LevelsJob, SuggestJob, measure_levels, suggest};
use super::load_error::guarded;
use super::loaded::{Loaded, LoadedSlide, Measured};
use super::picture_source::PictureSource;
use super::room_job::{RoomJob, find_room};
use super::thumbnail::thumbnail;
use crate::files::deck::Deck;
use crate::files::documents::Documents;
use crate::files::picture_file::{Picture, ReadError};
use crate::measure::key::histogram::measure_near_black;
use crate::measure::slide::background::measure_background;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{CodeRange, Settings};

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
    pub(super) fn rank(&self) -> u32 {
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
    pub(super) fn not_before(&self) -> Option<Instant> {
        match self {
            Self::Check(job) => job.not_before,
            _ => None,
        }
    }

    /// Whether it is about a slide of the deck.
    pub(super) fn is_about_a_slide(&self) -> bool {
        matches!(
            self,
            Self::Slide(..) | Self::NextSlide(..) | Self::Thumbnail(_)
        )
    }

    /// Whether a newer job makes this one pointless.
    pub(super) fn is_replaced_by(&self, newer: &Self) -> bool {
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

    /// Does a job. A small picture of a slide that cannot be read is left out; the slide itself will tell why.
    pub(super) fn run(
        self,
        read: &impl Fn(&PictureSource) -> Result<Picture, ReadError>,
        documents: &Documents,
    ) -> Option<Loaded> {
        match self {
            Self::Camera(generation, source) => {
                let picture = guarded(source.paths(), || Ok(read(&source)?));
                Some(Loaded::Camera(generation, source, picture))
            }
            Self::Like(generation, path) => {
                let source = PictureSource::File(path.clone());
                let picture = guarded(source.paths(), || Ok(read(&source)?));
                Some(Loaded::Like(generation, path, picture))
            }
            Self::Deck(generation, paths) => {
                let deck = guarded(paths.clone(), || Ok(Deck::open_with(&paths, documents)));
                Some(Loaded::Deck(generation, paths, deck))
            }
            Self::Slide(source, range) | Self::NextSlide(source, range) => {
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
            Self::Measure(measurement) => {
                let measured = guarded(Vec::new(), || Ok(Box::new(measure(*measurement))));
                Some(Loaded::Measured(measured))
            }
            Self::Check(job) => Some(Loaded::Checked(Box::new(check(*job, read)))),
            Self::FindRoom(job) => Some(Loaded::FoundRoom(find_room(job))),
            Self::LookAtCamera(job) => look_at_camera(job).map(Loaded::LookedAt),
            Self::Levels(job) => Some(Loaded::Levels(Box::new(measure_levels(*job, read)))),
            Self::Suggest(job) => Some(Loaded::Suggested(job.search, suggest(&job))),
            Self::Thumbnail(source) => {
                let small = guarded(source.paths(), || Ok(thumbnail(&read(&source)?.frame)));
                Some(Loaded::Thumbnail(source, small.ok()?))
            }
        }
    }
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
