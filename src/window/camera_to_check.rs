//! The camera frame that slides are checked over, placed once.

use std::sync::{Arc, OnceLock};

use crate::measure::check::placed_camera::PlacedCamera;
use crate::measure::check::slide_check::CheckedCamera;
use crate::pixel::frame::Frame;
use crate::pixel::settings::{Settings, Size};

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

    /// The frame as checks take it, placed under these settings when it is first asked for.
    pub(super) fn checked(&self, settings: &Settings, output: Size) -> CheckedCamera<'_> {
        let place = || PlacedCamera::new(&self.frame, settings, output);
        CheckedCamera {
            name: &self.name,
            frame: &self.frame,
            placed: self.placed.get_or_init(place),
        }
    }

    /// Whether both are the same frame under the same name.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        self.name == other.name && Arc::ptr_eq(&self.frame, &other.frame)
    }
}
