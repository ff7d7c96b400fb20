//! The camera picture and the slides in memory, and what the loader is asked for next.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::TextureId;

use super::action::Action;
use super::error_words::{error_words, tell_error, tell_unread, tell_warnings};
use super::generation::Generation;
use super::job::Job;
use super::kept_slides::{KeptSlides, Slide};
use super::like_frame::KnownLike;
use super::load_error::LoadError;
use super::loaded::{Loaded, Measured};
use super::loader::Loader;
use super::message::Unread;
use super::near_black::NearBlack;
use super::picture_source::PictureSource;
use super::state::State;
use super::thumbnails::Thumbnails;
use crate::files::deck::Deck;
use crate::files::demonstration::SLIDES;
use crate::files::page_raster::PageRaster;
use crate::files::slide_file::SlideSource;
use crate::measure::key::histogram::NearBlackHistogram;
use crate::pixel::frame::Frame;
use crate::pixel::settings::{CodeRange, Placement, Settings};

/// The pictures behind the window.
#[derive(Debug)]
pub struct Pictures {
    loader: Loader,
    camera: Option<Arc<Frame>>,
    camera_asked: Generation,
    like: KnownLike,
    like_asked: Generation,
    deck_asked: Generation,
    deck: Vec<PictureSource>,
    known: KeptSlides,
    wanted: Option<PictureSource>,
    shown: Option<Slide>,
    near_black: NearBlack,
    thumbnails: Thumbnails,
}

impl Pictures {
    /// No pictures yet.
    pub fn new(loader: Loader) -> Self {
        Self {
            loader,
            camera: None,
            camera_asked: Generation::default(),
            like: KnownLike::None,
            like_asked: Generation::default(),
            deck_asked: Generation::default(),
            deck: Vec::new(),
            known: KeptSlides::default(),
            wanted: None,
            shown: None,
            near_black: NearBlack::default(),
            thumbnails: Thumbnails::default(),
        }
    }

    /// The camera frame.
    pub fn camera(&self) -> Option<&Arc<Frame>> {
        self.camera.as_ref()
    }

    /// The frame of the last good setup.
    pub fn like(&self) -> &KnownLike {
        &self.like
    }

    /// The slide to show: the one asked for, or while it is being read the one before.
    pub fn slide(&self) -> Option<&Slide> {
        self.shown.as_ref()
    }

    /// The slide asked for, once it is read.
    pub fn wanted_slide(&self) -> Option<(&PictureSource, &Slide)> {
        let source = self.wanted.as_ref()?;
        Some((source, self.known.get(source)??))
    }

    /// Whether the slide asked for is still being read.
    pub fn is_reading(&self) -> bool {
        let is_unknown = |source| !self.is_known(source);
        self.wanted.as_ref().is_some_and(is_unknown)
    }

    /// Files changed on disk: what is shown of them is read again, the slide shown first; until then the
    /// old pictures stay.
    pub fn reread(&mut self, changed: &[PathBuf], state: &mut State) {
        let setup = state.setup();
        if let Some(camera) = setup.camera.clone().filter(|path| changed.contains(path)) {
            self.request_camera(PictureSource::File(camera));
        }
        if let Some(like) = setup.like.clone().filter(|path| changed.contains(path)) {
            self.request_like(like);
        }
        let slides = setup.slides.clone();
        let range = setup.settings.placement.slide_range;
        let mut known = vec![false; changed.len()];
        let mut has_pages = false;
        for (index, source) in self.deck.iter().enumerate() {
            let PictureSource::Slide(slide) = source else {
                continue;
            };
            let Some(place) = changed.iter().position(|path| *path == slide.path) else {
                continue;
            };
            known[place] = true;
            has_pages |= slide.page.is_some();
            self.known.forget(source);
            state.deck_check.outdate_slide(index);
            if self.wanted.as_ref() == Some(source) {
                self.loader.request(Job::Slide(source.clone(), range));
            }
            self.loader.request(Job::Thumbnail(source.clone()));
        }
        // New slides, slides that are gone, and pages that may have become more or fewer.
        let is_slide = |path: &PathBuf| slides.iter().any(|slide| path.starts_with(slide));
        let others = changed.iter().zip(known);
        if has_pages
            || others
                .into_iter()
                .any(|(path, known)| is_slide(path) && (!known || !path.exists()))
        {
            self.request_deck(slides);
        }
    }

    /// Where the slides come from, in order.
    pub fn deck(&self) -> &[PictureSource] {
        &self.deck
    }

    /// Dark values of the slide shown, once they are measured.
    pub fn histogram(&self) -> Option<&NearBlackHistogram> {
        self.near_black.histogram()
    }

    /// Small pictures of the slides, as far as they are made.
    pub fn thumbnails(&self) -> Vec<Option<TextureId>> {
        self.thumbnails.ids()
    }

    /// Asks for a camera picture.
    pub fn request_camera(&mut self, source: PictureSource) {
        self.camera_asked.advance();
        self.loader.request(Job::Camera(self.camera_asked, source));
    }

    /// Asks for the frame of the last good setup; one that is there stays until it is read.
    pub fn request_like(&mut self, path: PathBuf) {
        self.like_asked.advance();
        if !matches!(self.like, KnownLike::Read(_)) {
            self.like = KnownLike::Reading;
        }
        self.loader.request(Job::Like(self.like_asked, path));
    }

    /// Compares the camera with nothing any more.
    pub fn clear_like(&mut self) {
        self.like_asked.advance();
        self.like = KnownLike::None;
    }

    /// Asks for the slides of files and folders.
    pub fn request_deck(&mut self, paths: Vec<PathBuf>) {
        self.deck_asked.advance();
        self.loader.request(Job::Deck(self.deck_asked, paths));
    }

    /// Shows no camera picture any more.
    pub fn clear_camera(&mut self) {
        self.camera_asked.advance();
        self.camera = None;
    }

    /// Shows no slides any more.
    pub fn clear_deck(&mut self, state: &mut State) {
        self.take_deck(Vec::new());
        state.deck_loaded(Vec::new(), Vec::new());
    }

    /// Takes the built-in pictures.
    pub fn take_demonstration(&mut self, state: &mut State) {
        self.clear_like();
        self.request_camera(PictureSource::DemonstrationCamera);
        self.take_deck(
            (0..SLIDES.len())
                .map(PictureSource::DemonstrationSlide)
                .collect(),
        );
        let names = SLIDES.iter().map(|slide| name_of(Path::new(slide.name)));
        state.demonstration_loaded(names.collect());
        self.name_slides(state);
    }

    /// Wants pages drawn for the output that this placement makes; those shown stay until they are.
    pub fn want_pages(&mut self, placement: &Placement) {
        let camera = self.camera.as_deref().map(Frame::size);
        let is_other = self
            .loader
            .draw_pages_on(PageRaster::new(placement, camera));
        let is_page = |source: &PictureSource| match source {
            PictureSource::Slide(slide) => slide.page.is_some(),
            _ => false,
        };
        if is_other && self.deck.iter().any(is_page) {
            self.known.clear();
            self.wanted = None;
        }
    }

    /// Wants this slide of the deck; its neighbours are read once it is there.
    pub fn want_slide(&mut self, index: usize, range: CodeRange) {
        let wanted = self.deck.get(index).cloned();
        if wanted != self.wanted {
            self.wanted = wanted;
            if let Some(source) = &self.wanted
                && !self.is_known(source)
            {
                self.loader.request(Job::Slide(source.clone(), range));
            }
            let neighbours = [Some(index + 1), index.checked_sub(1)];
            for source in neighbours
                .into_iter()
                .flatten()
                .filter_map(|i| self.deck.get(i))
            {
                if !self.is_known(source) {
                    self.loader.request(Job::NextSlide(source.clone(), range));
                }
            }
        }
        self.shown = match &self.wanted {
            None => None,
            Some(source) => match self.known.get(source) {
                Some(known) => known.cloned(),
                None => self.shown.take(),
            },
        };
        if self.shown.is_none() {
            self.near_black.clear();
        }
    }

    /// Has the slide shown measured, if anything that this depends on changed.
    pub fn want_measurement(&mut self, settings: &Settings) {
        let Some(slide) = &self.shown else {
            return self.near_black.clear();
        };
        let camera = self.camera.as_ref();
        if let Some(wanted) = self.near_black.wanted(slide, camera, settings) {
            self.loader.request(Job::Measure(Box::new(wanted)));
        }
    }

    /// Takes what the loader brings.
    pub fn take(&mut self, loaded: Loaded, state: &mut State, egui: &egui::Context) {
        match loaded {
            Loaded::Camera(generation, ..) if generation != self.camera_asked => {}
            Loaded::Like(generation, ..) if generation != self.like_asked => {}
            Loaded::Deck(generation, ..) if generation != self.deck_asked => {}
            Loaded::Like(_, path, Ok(picture)) => {
                self.like = KnownLike::Read(Arc::new(picture.frame));
                state.messages.forget(Unread::Like);
                tell_warnings(state, picture.warnings);
                state.like_loaded(path);
            }
            Loaded::Like(_, path, Err(error)) => {
                // What was tried in place of another leaves that as it was.
                if state.setup().like.as_ref() == Some(&path) {
                    self.like = KnownLike::Unreadable;
                } else if matches!(self.like, KnownLike::Reading) {
                    self.like = KnownLike::None;
                }
                tell_unread(
                    state,
                    Unread::Like,
                    "frame of the last good setup: ",
                    &error,
                );
            }
            Loaded::Camera(_, source, Ok(picture)) => {
                self.camera = Some(Arc::new(picture.frame));
                state.messages.forget(Unread::Camera);
                state.camera_check.forget_unread();
                tell_warnings(state, picture.warnings);
                if let PictureSource::File(path) = source {
                    state.camera_loaded(path);
                }
            }
            Loaded::Camera(_, source, Err(error)) => self.miss_camera(source, &error, state),
            Loaded::Deck(.., Err(error)) => tell_unread(state, Unread::Deck, "", &error),
            Loaded::Measured(Err(error)) => tell_error(state, &error, error.hint()),
            Loaded::Deck(_, paths, Ok(mut deck)) => {
                // The setup's pages are pages of the setup's slides.
                if let Some(pages) = &state.setup().pages
                    && state.setup().slides == paths
                {
                    deck.pick(pages);
                }
                let Deck { slides, problems } = deck;
                state.messages.forget(Unread::Deck);
                for problem in &problems {
                    let words = error_words(problem, problem.hint());
                    state.messages.push_unread(Unread::Deck, words);
                }
                if slides.is_empty() && !problems.is_empty() {
                    return;
                }
                let names = slides.iter().map(SlideSource::title).collect();
                let shown = self.wanted.clone();
                let before = self.take_deck(slides.into_iter().map(PictureSource::Slide).collect());
                let is_same = state.setup().slides == paths;
                state.deck_loaded_again(paths, names, &before);
                self.name_slides(state);
                // The slide shown stays, wherever it is in the deck now.
                let is_shown = |source: &PictureSource| Some(source) == shown.as_ref();
                let place = self.deck.iter().position(is_shown);
                if let Some(place) = place.filter(|place| is_same && *place != state.slide_index())
                {
                    state.apply(Action::GoToSlide(place));
                }
            }
            Loaded::Slide(source, Ok(slide)) => {
                if self.wanted.as_ref() == Some(&source) {
                    state.messages.forget(Unread::Slide);
                }
                tell_warnings(state, slide.warnings);
                let slide = Slide {
                    frame: slide.frame,
                    background: slide.background,
                    lossy: slide.lossy,
                };
                self.remember(source, Some(slide));
            }
            Loaded::Slide(source, Err(error)) => {
                if self.wanted.as_ref() == Some(&source) {
                    tell_unread(state, Unread::Slide, "", &error);
                    self.remember(source, None);
                }
            }
            Loaded::Measured(Ok(measured)) => self.take_measured(*measured),
            // The checks take these.
            Loaded::Checked(_)
            | Loaded::LookedAt(_)
            | Loaded::FoundRoom(_)
            | Loaded::Levels(_)
            | Loaded::Suggested(..) => {}
            Loaded::Thumbnail(source, image) => {
                let is_it = |place: &usize| self.deck[*place] == source;
                for place in (0..self.deck.len()).filter(is_it) {
                    self.thumbnails.put(place, image.clone(), egui);
                }
            }
        }
    }

    /// The camera picture cannot be read; what is shown stays.
    fn miss_camera(&self, source: PictureSource, error: &LoadError, state: &mut State) {
        let path = match source {
            PictureSource::File(path) => Some(path),
            _ => None,
        };
        let own = path.filter(|path| state.setup().camera.as_ref() == Some(path));
        let what = match (&own, &self.camera) {
            (Some(_), Some(_)) => "camera picture, shown as it was read last: ",
            (None, Some(_)) => "camera picture, the one before stays: ",
            (_, None) => "camera picture, black until it can be read: ",
        };
        tell_unread(state, Unread::Camera, what, error);
        if let Some(path) = own {
            let why = error_words(error, error.hint());
            state.camera_check.put_unread(path, why);
        }
    }

    /// Takes another deck; for each of its slides, where it was in the deck before.
    fn take_deck(&mut self, deck: Vec<PictureSource>) -> Vec<Option<usize>> {
        self.loader.drop_slides();
        self.deck_asked.advance();
        self.known.clear();
        self.wanted = None;
        let place_before = |source| self.deck.iter().position(|other| other == source);
        let before: Vec<_> = deck.iter().map(place_before).collect();
        self.thumbnails.rearrange(&before);
        self.deck = deck;
        for source in &self.deck {
            self.loader.request(Job::Thumbnail(source.clone()));
        }
        before
    }

    /// Tells what the slides of the deck are called in the setup.
    fn name_slides(&self, state: &mut State) {
        let ids = self.deck.iter().map(PictureSource::slide_id);
        state.deck_check.name_slides(ids);
    }

    fn is_known(&self, source: &PictureSource) -> bool {
        self.known.get(source).is_some()
    }

    /// Keeps a slide that belongs to the deck.
    fn remember(&mut self, source: PictureSource, slide: Option<Slide>) {
        if self.deck.contains(&source) {
            self.known.keep(source, slide, self.wanted.as_ref());
        }
    }

    fn take_measured(&mut self, measured: Measured) {
        let is_measured = |slide: &Slide| Arc::ptr_eq(&slide.frame, &measured.slide);
        for slide in self.known.slides_mut() {
            if is_measured(slide) {
                slide.background = measured.background;
            }
        }
        if self.shown.as_ref().is_some_and(is_measured) {
            self.near_black.put(measured);
        }
    }
}

/// What a slide is called: its file name without the ending.
fn name_of(path: &Path) -> String {
    path.file_stem()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned()
}
