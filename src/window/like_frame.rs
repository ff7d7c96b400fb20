//! The frame of the last good setup that the camera is compared with: as far as it is read, and as it lies on the output.

use std::sync::{Arc, OnceLock};

use crate::measure::inspect::seen_like::SeenLike;
use crate::measure::still::still_pair::PairFault;
use crate::pixel::frame::Frame;
use crate::pixel::settings::{Placement, Settings, Size};

/// How far it is read.
#[derive(Clone, Debug, Default)]
pub enum KnownLike {
    /// None is named.
    #[default]
    None,
    /// It is being read for the first time.
    Reading,
    /// Its pixels.
    Read(Arc<Frame>),
    /// It could not be read.
    Unreadable,
}

/// A frame to compare with; what is in it is found once, where it is first asked for.
#[derive(Debug)]
pub struct LikeToCompare {
    frame: Option<Arc<Frame>>,
    placement: Placement,
    camera_size: Size,
    seen: OnceLock<Result<SeenLike, PairFault>>,
}

impl LikeToCompare {
    /// A frame, or none where it could not be read, beside a camera frame of a size that is placed so.
    pub fn new(frame: Option<&Arc<Frame>>, placement: Placement, camera_size: Size) -> Self {
        Self {
            frame: frame.map(Arc::clone),
            placement,
            camera_size,
            seen: OnceLock::new(),
        }
    }

    /// Whether both would be seen alike.
    pub fn is_same(&self, other: &Self) -> bool {
        let is_same_frame = match (&self.frame, &other.frame) {
            (None, None) => true,
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            _ => false,
        };
        is_same_frame
            && self.camera_size == other.camera_size
            && self.placement.has_camera_of(&other.placement)
    }

    /// What is in it, or why it is not used.
    pub fn seen(&self, settings: &Settings, output: Size) -> Result<&SeenLike, PairFault> {
        let look = || match &self.frame {
            Some(frame) => SeenLike::place(frame, self.camera_size, settings, output),
            None => Err(PairFault::Unreadable),
        };
        self.seen.get_or_init(look).as_ref().map_err(|&fault| fault)
    }
}
