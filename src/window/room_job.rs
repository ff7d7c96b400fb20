//! Where the camera frame and zones leave room, and for which of them that was asked.

use std::sync::Arc;

use super::check_conditions::CheckConditions;
use super::load_error::{LoadError, guarded};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::space::room::{Room, RoomWanted};
use crate::measure::space::zone::Zone;

/// Room to find.
#[derive(Clone, Debug)]
pub struct RoomJob {
    /// What the camera is placed under.
    pub conditions: Arc<CheckConditions>,
    /// The zones of the slide shown.
    pub zones: Vec<Zone>,
}

impl RoomJob {
    /// Whether the same room would be found.
    pub fn is_same(&self, other: &Self) -> bool {
        let camera = |job: &Self| job.conditions.camera.as_ref().map(Arc::as_ptr);
        camera(self) == camera(other) && self.zones == other.zones
    }
}

/// The room that was found.
#[derive(Debug)]
pub struct FoundRoom {
    /// What was asked for.
    pub job: RoomJob,
    /// The largest free boxes, in pixels of the output; or why there are none.
    pub boxes: Result<Vec<PixelBox>, LoadError>,
}

/// Finds room.
pub(super) fn find_room(job: RoomJob) -> FoundRoom {
    let RoomJob { conditions, zones } = &job;
    let boxes = guarded(Vec::new(), || {
        let placed = conditions.cameras().map(|camera| camera.placed);
        let masks: Vec<_> = placed.iter().map(|placed| placed.masks()).collect();
        // What could not be looked for may be anywhere.
        if masks.iter().any(|masks| masks.unanswered().is_some()) {
            return Ok(Vec::new());
        }
        let wanted = RoomWanted::default();
        Ok(Room::find(conditions.output(), &masks, zones, &wanted).boxes)
    });
    FoundRoom { job, boxes }
}
