//! The camera frame to look at, and what came of it.

use std::sync::Arc;

use super::camera_drawing::CameraDrawing;
use super::check_conditions::CheckConditions;
use super::like_frame::LikeToCompare;
use super::load_error::{LoadError, guarded};
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::check::slide_check::CheckedCamera;
use crate::measure::inspect::camera_exposure::BrightestParts;
use crate::measure::inspect::camera_finding::CameraFinding;
use crate::measure::inspect::camera_look::CameraLook;
use crate::measure::inspect::camera_verdict::Unanswered;
use crate::measure::inspect::edge_widths::EdgeWidths;
use crate::report::camera_numbers::{CameraNumber, like_numbers};
use crate::report::inspect_document::InspectDocument;
use crate::report::inspect_words::{VerdictWords, leaves_nothing_to_judge};

/// What is known about a camera frame.
#[derive(Clone, Debug)]
pub struct SeenCamera {
    /// What is wrong, the worst first.
    pub findings: Vec<CameraFinding>,
    /// What the frame cannot tell, in sentences.
    pub notes: Vec<String>,
    /// Why it could not be judged, or not all of what was asked; empty where it was.
    pub unanswered: Vec<Unanswered>,
    /// Go or what is wrong.
    pub verdict: VerdictWords,
    /// Whether something is written.
    pub is_written: bool,
    /// Whether somebody is there.
    pub is_somebody_there: bool,
    /// Writing and presenter as overlays draw them.
    pub drawing: CameraDrawing,
    /// How wide edges are.
    pub edges: EdgeWidths,
    /// How bright writing and skin are.
    pub brightest: BrightestParts,
    /// What has changed since the last good setup; empty where that was not compared.
    pub since: Vec<CameraNumber>,
}

impl SeenCamera {
    /// Whether the frame shows nothing that could be judged.
    pub fn is_blank(&self) -> bool {
        self.unanswered
            .iter()
            .any(|why| leaves_nothing_to_judge(*why))
    }

    /// Whether all of the frame was judged, whatever it was to be compared with.
    pub fn is_judged(&self) -> bool {
        self.unanswered
            .iter()
            .all(|why| *why == Unanswered::NotCompared)
    }
}

/// A camera frame to look at.
#[derive(Clone, Debug)]
pub struct CameraJob {
    /// The camera and how it lies on the output.
    pub conditions: Arc<CheckConditions>,
    /// What it is compared with.
    pub like: Option<Arc<LikeToCompare>>,
}

impl CameraJob {
    /// Whether the same would be seen.
    pub fn is_same(&self, other: &Self) -> bool {
        let is_same_like = match (&self.like, &other.like) {
            (None, None) => true,
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            _ => false,
        };
        self.has_camera_of(other) && is_same_like
    }

    /// Whether the same camera frame is laid on the output in the same way.
    pub fn has_camera_of(&self, other: &Self) -> bool {
        match (&self.conditions.camera, &other.conditions.camera) {
            (None, None) => true,
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            _ => false,
        }
    }
}

/// A camera frame that was looked at.
#[derive(Debug)]
pub struct LookedAt {
    /// What was asked.
    pub job: CameraJob,
    /// What was seen, or why nothing was.
    pub seen: Result<Arc<SeenCamera>, LoadError>,
}

/// Looks at the camera of these conditions; none where they have none.
pub(super) fn look_at_camera(job: CameraJob) -> Option<LookedAt> {
    let seen = guarded(Vec::new(), || {
        let conditions = &job.conditions;
        let camera = conditions.cameras();
        Ok(camera.map(|camera| look(camera, conditions, job.like.as_deref())))
    });
    let seen = seen.transpose()?.map(Arc::new);
    Some(LookedAt { job, seen })
}

fn look(
    camera: CheckedCamera<'_>,
    conditions: &CheckConditions,
    like: Option<&LikeToCompare>,
) -> SeenCamera {
    let placed = camera.placed.frame();
    let like = like.map(|like| like.seen(&conditions.settings, placed.size()));
    let parts = camera.placed.parts().clone();
    let look = CameraLook::at(placed, &CameraRaster::new(placed), parts, like);
    let size = camera.frame.size();
    let size = [size.width(), size.height()];
    let document = InspectDocument::of_look(camera.name.to_owned(), size, &look);
    let verdict = VerdictWords::of(&document);
    let CameraLook { parts, report, .. } = look;
    let InspectDocument {
        mut findings,
        notes,
        unanswered,
        camera,
        ..
    } = document;
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    SeenCamera {
        drawing: CameraDrawing::of(&parts),
        is_written: !parts.writing_places.is_empty(),
        is_somebody_there: parts.presenter_place.is_some(),
        findings,
        notes,
        unanswered,
        verdict,
        edges: report.edges,
        brightest: report.brightest,
        since: camera.like.iter().flat_map(like_numbers).collect(),
    }
}
