//! The slide that is checked again and again while its key is dragged, placed once.

use std::sync::{Arc, OnceLock};

use super::camera_to_check::CameraToCheck;
use super::check_conditions::CheckConditions;
use crate::measure::check::placed_slide::{PlacedSlide, PlacedUnder};
use crate::pixel::frame::Frame;

/// A slide that is checked again whenever the key changes.
#[derive(Debug)]
pub struct SlideInSight {
    pub(super) frame: Arc<Frame>,
    pub(super) lossy: bool,
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

    /// The slide on the output.
    pub(super) fn placed(&self) -> &PlacedSlide {
        let place = || PlacedSlide::new(&self.frame, self.lossy, &self.under);
        self.placed.get_or_init(place)
    }
}
