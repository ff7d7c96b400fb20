//! What is checked next: the slide shown at once on a thread of its own, the rest of the deck on
//! another while nothing changes. Holds no pictures; what was found is kept by the state.

use std::sync::Arc;
use std::time::{Duration, Instant};

use super::camera_job::{CameraJob, LookedAt};
use super::camera_to_check::CameraToCheck;
use super::check_conditions::CheckConditions;
use super::check_job::{CheckJob, Checked};
use super::deck_check::{Outcome, Ticket};
use super::deck_search::DeckSearch;
use super::error_words::{error_words, tell_error};
use super::files_group::file_name;
use super::job::Job;
use super::kept_slides::Slide;
use super::like_frame::{KnownLike, LikeToCompare};
use super::load_error::LoadError;
use super::loaded::Loaded;
use super::loader::Loader;
use super::overlays::Overlay;
use super::picture_source::PictureSource;
use super::pictures::Pictures;
use super::room_job::{FoundRoom, RoomJob};
use super::slide_in_sight::SlideInSight;
use super::state::State;

/// How long nothing may change before the slides that are not shown are checked again.
/// Source: chosen, longer than between two moves of a dragged slider.
const PAUSE: Duration = Duration::from_millis(400);

/// Has slides checked.
#[derive(Debug)]
pub struct Checks {
    for_shown: Loader,
    for_rest: Loader,
    conditions: Option<Arc<CheckConditions>>,
    changed_at: Option<Instant>,
    in_sight: Option<Arc<SlideInSight>>,
    asked_shown: Option<Ticket>,
    asked_rest: Option<Ticket>,
    asked_camera: Option<CameraJob>,
    asked_room: Option<RoomJob>,
    search: DeckSearch,
}

impl Checks {
    /// Nothing checked yet; one thread is for the slide shown, the other for the rest.
    pub fn new(for_shown: Loader, for_rest: Loader) -> Self {
        Self {
            for_shown,
            for_rest,
            conditions: None,
            changed_at: None,
            in_sight: None,
            asked_shown: None,
            asked_rest: None,
            asked_camera: None,
            asked_room: None,
            search: DeckSearch::default(),
        }
    }

    /// Has whatever is not known under the present settings checked.
    pub fn want(&mut self, pictures: &Pictures, state: &mut State) {
        let conditions = self.conditions_now(pictures, state);
        let shown = state.slide_index();
        self.want_shown(pictures.wanted_slide(), shown, &conditions, state);
        self.want_camera(pictures.like(), &conditions, state);
        self.want_room(&conditions, state);
        self.search
            .want(&self.for_rest, pictures.deck(), &conditions, state);
        self.want_rest(pictures, shown, conditions, state);
    }

    /// The conditions in force; what is known is old where they changed.
    fn conditions_now(&mut self, pictures: &Pictures, state: &mut State) -> Arc<CheckConditions> {
        let camera = pictures.camera().map(|frame| {
            let path = state.setup().camera.as_deref();
            let name = path.map_or_else(|| "the built-in camera".to_owned(), file_name);
            Arc::new(CameraToCheck::new(name, Arc::clone(frame)))
        });
        let setup = state.setup();
        let now = CheckConditions {
            camera,
            settings: state.settings_in_force(),
            limits: setup.limits.clone(),
            reserved: setup.reserved.clone(),
            zones: setup.zones.clone(),
        };
        match &self.conditions {
            Some(known) if known.is_same(&now) => Arc::clone(known),
            known => {
                // The first ones are no change that could be followed by others.
                self.changed_at = known.as_ref().map(|_| Instant::now());
                state.deck_check.outdate();
                let now = Arc::new(match known {
                    Some(known) => now.with_camera_of(known),
                    None => now,
                });
                self.conditions = Some(Arc::clone(&now));
                now
            }
        }
    }

    fn want_shown(
        &mut self,
        slide: Option<(&PictureSource, &Slide)>,
        shown: usize,
        conditions: &Arc<CheckConditions>,
        state: &State,
    ) {
        let ticket = state.deck_check.ticket(shown);
        let (Some((source, slide)), Some(ticket)) = (slide, ticket) else {
            self.in_sight = None;
            return;
        };
        if !state.deck_check.needs_check(shown) || self.asked_shown == Some(ticket) {
            return;
        }
        self.asked_shown = Some(ticket);
        let now = SlideInSight::new(Arc::clone(&slide.frame), slide.lossy, conditions);
        let in_sight = match self.in_sight.take() {
            Some(known) if known.is_same(&now) => known,
            _ => Arc::new(now),
        };
        self.in_sight = Some(Arc::clone(&in_sight));
        self.for_shown.request(Job::Check(Box::new(CheckJob {
            ticket,
            source: source.clone(),
            in_sight: Some(in_sight),
            conditions: Arc::clone(conditions),
            not_before: None,
        })));
    }

    /// The camera, once for each frame, way to lay it on the output, and frame to compare it with.
    fn want_camera(
        &mut self,
        like: &KnownLike,
        conditions: &Arc<CheckConditions>,
        state: &mut State,
    ) {
        let Some(camera) = &conditions.camera else {
            if self.asked_camera.take().is_some() {
                state.camera_check.clear();
            }
            return;
        };
        let like = match like {
            KnownLike::None => None,
            KnownLike::Read(frame) => Some(Some(frame)),
            KnownLike::Unreadable => Some(None),
            // Looked at without it, the frame might pass.
            KnownLike::Reading => return state.camera_check.look_again(),
        };
        let placement = conditions.settings.placement;
        let like = like.map(|frame| LikeToCompare::new(frame, placement, camera.size()));
        let known = self
            .asked_camera
            .as_ref()
            .and_then(|asked| asked.like.as_ref());
        let like = like.map(|like| match known {
            Some(known) if known.is_same(&like) => Arc::clone(known),
            _ => Arc::new(like),
        });
        let job = CameraJob {
            conditions: Arc::clone(conditions),
            like,
        };
        let asked = self.asked_camera.as_ref();
        if asked.is_some_and(|asked| asked.is_same(&job)) {
            return;
        }
        // Before the first look free room may be known: it does not wait for the frame to compare with.
        if asked.is_none_or(|asked| asked.has_camera_of(&job)) {
            state.camera_check.look_again();
        } else {
            state.camera_check.outdate();
        }
        self.asked_camera = Some(job.clone());
        self.for_rest.request(Job::LookAtCamera(job));
    }

    /// The room that it and the zones of the slide shown leave, while that is drawn.
    fn want_room(&mut self, conditions: &Arc<CheckConditions>, state: &State) {
        if conditions.camera.is_none() || !state.overlays.shows(Overlay::FreeRoom) {
            return;
        }
        let zones = state.zones_of_slide();
        let job = RoomJob {
            conditions: Arc::clone(conditions),
            zones: zones.into_iter().map(|(_, zone)| zone.clone()).collect(),
        };
        let is_asked = |asked: &RoomJob| asked.is_same(&job);
        if !self.asked_room.as_ref().is_some_and(is_asked) {
            self.asked_room = Some(job.clone());
            self.for_rest.request(Job::FindRoom(job));
        }
    }

    /// One slide after the other, so that however long the deck is only one waits.
    fn want_rest(
        &mut self,
        pictures: &Pictures,
        shown: usize,
        conditions: Arc<CheckConditions>,
        state: &State,
    ) {
        let count = pictures.deck().len();
        // The slide shown has its turn once it is read; nothing is read twice.
        let is_asked = |index: usize| {
            index == shown && pictures.is_reading()
                || self.asked_shown == state.deck_check.ticket(index)
        };
        let next = (0..count)
            .map(|step| (shown + step) % count)
            .find(|&index| state.deck_check.needs_check(index) && !is_asked(index));
        let ticket = next.and_then(|index| state.deck_check.ticket(index));
        let Some(ticket) = ticket.filter(|ticket| self.asked_rest != Some(*ticket)) else {
            return;
        };
        self.asked_rest = Some(ticket);
        self.for_rest.request(Job::Check(Box::new(CheckJob {
            ticket,
            source: pictures.deck()[ticket.index].clone(),
            in_sight: None,
            conditions,
            not_before: self.changed_at.map(|at| at + PAUSE),
        })));
    }

    /// Takes what a thread found; hands back what is about pictures.
    pub fn take(&mut self, loaded: Loaded, state: &mut State) -> Option<Loaded> {
        match loaded {
            Loaded::Checked(checked) => take_checked(*checked, state),
            Loaded::FoundRoom(FoundRoom { job, boxes }) => {
                let is_asked = |asked: &RoomJob| asked.is_same(&job);
                if self.asked_room.as_ref().is_some_and(is_asked) {
                    match boxes {
                        Ok(boxes) => state.camera_check.put_free_boxes(boxes),
                        Err(error) => tell_error(state, &error, error.hint()),
                    }
                }
            }
            Loaded::LookedAt(LookedAt { job, seen }) => {
                let is_asked = |asked: &CameraJob| asked.is_same(&job);
                if self.asked_camera.as_ref().is_some_and(is_asked) {
                    let why = |error: LoadError| error_words(&error, error.hint());
                    state.camera_check.put(seen.map_err(why));
                }
            }
            Loaded::Levels(measured) => self.search.take_levels(*measured, state),
            Loaded::Suggested(search, suggestion) => {
                self.search.take_suggestion(search, suggestion, state);
            }
            other => return Some(other),
        }
        None
    }
}

/// What was found on a slide.
fn take_checked(checked: Checked, state: &mut State) {
    let Checked {
        ticket,
        id,
        output,
        findings,
    } = checked;
    let outcome = match findings {
        Ok(findings) => Outcome::Checked(findings),
        Err(error) => Outcome::Unreadable(error_words(&error, error.hint())),
    };
    let shown = state.slide_index();
    state.deck_check.put(ticket, id, output, outcome, shown);
}
