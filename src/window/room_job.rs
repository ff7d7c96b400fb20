//! Where the camera frame leaves room, and for which frame that was asked.

use std::sync::Arc;

use super::check_job::{CameraToCheck, CheckConditions};
use super::load_error::LoadError;
use super::loader::guarded;
use crate::measure::finding::PixelBox;
use crate::measure::room::{Room, RoomWanted};
use crate::measure::zone::zones_of_deck;

/// The room that was found.
#[derive(Debug)]
pub struct FoundRoom {
    /// The frame, as it was asked about.
    pub camera: Arc<CameraToCheck>,
    /// The largest free boxes, in pixels of the output; or why there are none.
    pub boxes: Result<Vec<PixelBox>, LoadError>,
}

/// Finds the room that the camera of these conditions leaves; none where they have none.
pub(super) fn find_room(conditions: &CheckConditions) -> Option<FoundRoom> {
    let camera = Arc::clone(conditions.camera.as_ref()?);
    let boxes = guarded(Vec::new(), || {
        let placed = conditions.cameras().map(|camera| camera.placed);
        let masks: Vec<_> = placed.iter().map(|placed| placed.masks()).collect();
        let zones = zones_of_deck(&conditions.zones);
        let wanted = RoomWanted::default();
        Ok(Room::find(conditions.output(), &masks, &zones, &wanted).boxes)
    });
    Some(FoundRoom { camera, boxes })
}
