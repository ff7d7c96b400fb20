//! Under what slides are checked, and whether that has changed.

use std::sync::Arc;

use super::camera_to_check::CameraToCheck;
use crate::measure::check::slide_check::{CheckedCamera, SlideToCheck};
use crate::measure::limits::Limits;
use crate::measure::space::zone::Zone;
use crate::pixel::frame::Frame;
use crate::pixel::guides::Guide;
use crate::pixel::placement::output_size;
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::View;

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
        let camera = self.camera.as_deref()?;
        Some(camera.checked(&self.settings, self.output()))
    }

    /// The size of the output.
    pub(super) fn output(&self) -> Size {
        let camera_size = self.camera.as_deref().map(CameraToCheck::size);
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
