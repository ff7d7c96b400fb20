//! What became of a job.

use std::path::PathBuf;
use std::sync::Arc;

use super::camera_job::LookedAt;
use super::check_job::Checked;
use super::generation::Generation;
use super::levels_job::MeasuredLevels;
use super::load_error::LoadError;
use super::picture_source::PictureSource;
use super::room_job::FoundRoom;
use crate::files::deck::Deck;
use crate::files::picture_file::Picture;
use crate::measure::key::histogram::NearBlackHistogram;
use crate::measure::key::key_suggestion::KeySuggestion;
use crate::pixel::frame::Frame;
use crate::pixel::views::Background;

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
