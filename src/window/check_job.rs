//! One slide to check, and what came of it.

use std::sync::{Arc, OnceLock};
use std::time::Instant;

use super::deck_check::{SlideId, Ticket};
use super::load_error::{LoadError, guarded};
use super::picture_source::PictureSource;
use crate::files::demonstration::SLIDES;
use crate::files::picture_file::{Picture, ReadError};
use crate::measure::finding::Finding;
use crate::measure::limits::Limits;
use crate::measure::placed_camera::PlacedCamera;
use crate::measure::placed_slide::{PlacedSlide, PlacedUnder};
use crate::measure::slide_check::{CheckedCamera, SlideToCheck, check_placed_slide, check_slide};
use crate::measure::zone::{Zone, zones_for};
use crate::pixel::frame::Frame;
use crate::pixel::guides::Guide;
use crate::pixel::placement::output_size;
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::View;

/// A camera frame that slides are checked over.
#[derive(Clone, Debug)]
pub struct CameraToCheck {
    name: String,
    frame: Arc<Frame>,
    placed: OnceLock<PlacedCamera>,
}

impl CameraToCheck {
    /// A frame under the name that findings have it by; it is placed when a slide is first checked.
    pub fn new(name: String, frame: Arc<Frame>) -> Self {
        Self {
            name,
            frame,
            placed: OnceLock::new(),
        }
    }

    /// The frame's size.
    pub(super) fn size(&self) -> Size {
        self.frame.size()
    }

    fn is_same(&self, other: &Self) -> bool {
        self.name == other.name && Arc::ptr_eq(&self.frame, &other.frame)
    }
}

/// Everything but the slide that decides what is found.
#[derive(Clone, Debug)]
pub struct CheckConditions {
    /// The camera.
    pub camera: Option<Arc<CameraToCheck>>,
    /// Key, placement and chain in force.
    pub settings: Settings,
    /// Where findings begin.
    pub limits: Limits,
    /// Guides whose areas slides keep out of.
    pub reserved: Vec<Guide>,
    /// The zones of all slides.
    pub zones: Vec<Zone>,
}

impl CheckConditions {
    /// The camera as checks take it.
    pub(super) fn cameras(&self) -> Option<CheckedCamera<'_>> {
        let CameraToCheck {
            name,
            frame,
            placed,
        } = self.camera.as_deref()?;
        let place = || PlacedCamera::new(frame, &self.settings, self.output());
        Some(CheckedCamera {
            name,
            frame,
            placed: placed.get_or_init(place),
        })
    }

    /// The size of the output.
    pub(super) fn output(&self) -> Size {
        let camera_size = self.camera.as_ref().map(|camera| camera.frame.size());
        output_size(&self.settings.placement, camera_size)
    }

    /// Takes the camera of other conditions as it was placed, where it lies the same on the output.
    #[must_use]
    pub fn with_camera_of(mut self, other: &Self) -> Self {
        let stays = self
            .settings
            .placement
            .has_camera_of(&other.settings.placement)
            && self.settings.key.luma == other.settings.key.luma;
        if let (Some(camera), Some(placed)) = (&self.camera, &other.camera)
            && stays
            && camera.is_same(placed)
        {
            self.camera = Some(Arc::clone(placed));
        }
        self
    }

    /// A slide as checks take it.
    pub(super) fn slide_to_check<'a>(
        &'a self,
        slide: &'a Frame,
        lossy: bool,
        cameras: &'a [CheckedCamera<'a>],
        zones: &'a [Zone],
    ) -> SlideToCheck<'a> {
        SlideToCheck {
            slide,
            lossy,
            cameras,
            settings: &self.settings,
            limits: &self.limits,
            reserved: &self.reserved,
            zones,
        }
    }

    /// Whether the same would be found under both.
    pub fn is_same(&self, other: &Self) -> bool {
        let without_view = |settings: Settings| Settings {
            view: View::default(),
            ..settings
        };
        let same_camera = match (&self.camera, &other.camera) {
            (None, None) => true,
            (Some(camera), Some(other)) => camera.is_same(other),
            _ => false,
        };
        same_camera
            && without_view(self.settings) == without_view(other.settings)
            && self.limits == other.limits
            && self.reserved == other.reserved
            && self.zones == other.zones
    }
}

/// A slide that is checked again whenever the key changes.
#[derive(Debug)]
pub struct SlideInSight {
    frame: Arc<Frame>,
    lossy: bool,
    under: PlacedUnder,
    placed: OnceLock<PlacedSlide>,
}

impl SlideInSight {
    /// A slide that is placed when it is first checked. `lossy` says that its file was compressed with loss.
    pub fn new(frame: Arc<Frame>, lossy: bool, conditions: &CheckConditions) -> Self {
        let camera = conditions.camera.as_deref().map(CameraToCheck::size);
        Self {
            frame,
            lossy,
            under: PlacedUnder::new(&conditions.settings, &conditions.limits, camera),
            placed: OnceLock::new(),
        }
    }

    /// Whether both are the same on the output.
    pub fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.frame, &other.frame)
            && self.lossy == other.lossy
            && self.under == other.under
    }

    fn placed(&self) -> &PlacedSlide {
        let place = || PlacedSlide::new(&self.frame, self.lossy, &self.under);
        self.placed.get_or_init(place)
    }
}

/// A slide to check.
#[derive(Clone, Debug)]
pub struct CheckJob {
    /// What the result is brought with.
    pub ticket: Ticket,
    /// The slide.
    pub source: PictureSource,
    /// The same in memory; it is read where it is not there.
    pub in_sight: Option<Arc<SlideInSight>>,
    /// Under what it is checked.
    pub conditions: Arc<CheckConditions>,
    /// When it may start; none where at once.
    pub not_before: Option<Instant>,
}

/// What came of checking a slide.
#[derive(Debug)]
pub struct Checked {
    /// Which check it was.
    pub ticket: Ticket,
    /// What the slide is called in the setup.
    pub id: SlideId,
    /// Size of the output that boxes are in.
    pub output: Size,
    /// What was found, or why the slide could not be read.
    pub findings: Result<Vec<Finding>, LoadError>,
}

/// Checks a slide; reads it first where its pixels are not there. Only what was found is kept.
pub(super) fn check(
    job: CheckJob,
    read: &impl Fn(&PictureSource) -> Result<Picture, ReadError>,
) -> Checked {
    let CheckJob {
        ticket,
        source,
        in_sight,
        conditions,
        not_before: _,
    } = job;
    let cameras = conditions.cameras();
    let id = id_of(&source);
    let findings = guarded(source.paths(), || {
        let zones = zones_for(&conditions.zones, &id.file_name, id.page);
        let to_check =
            |slide, lossy| conditions.slide_to_check(slide, lossy, cameras.as_slice(), &zones);
        let check = if let Some(slide) = &in_sight {
            let check = to_check(&slide.frame, slide.lossy);
            check_placed_slide(&check, slide.placed())
        } else {
            let picture = read(&source)?;
            check_slide(&to_check(&picture.frame, picture.lossy))
        };
        Ok(check.findings)
    });
    Checked {
        ticket,
        id,
        output: conditions.output(),
        findings,
    }
}

/// What a slide is called in the setup.
pub(super) fn id_of(source: &PictureSource) -> SlideId {
    match source {
        PictureSource::Slide(slide) => SlideId {
            file_name: slide.file_name(),
            page: slide.page,
        },
        PictureSource::DemonstrationSlide(index) => SlideId {
            file_name: SLIDES[index % SLIDES.len()].name.to_owned(),
            page: None,
        },
        PictureSource::File(_) | PictureSource::DemonstrationCamera => SlideId::default(),
    }
}
