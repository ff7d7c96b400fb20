//! The camera frame to look at, and what came of it.

use std::sync::Arc;

use super::camera_drawing::CameraDrawing;
use super::check_job::{CameraToCheck, CheckConditions};
use super::load_error::LoadError;
use super::loader::guarded;
use crate::measure::camera_exposure::BrightestParts;
use crate::measure::camera_finding::CameraFinding;
use crate::measure::camera_raster::CameraRaster;
use crate::measure::camera_report::{camera_findings, findings_beside_chart};
use crate::measure::chart_way::{ChartInPicture, chart_way_finding};
use crate::measure::edge_widths::EdgeWidths;
use crate::measure::slide_check::CheckedCamera;
use crate::report::inspect_document::InspectDocument;
use crate::report::inspect_words::VerdictWords;

/// What is known about a camera frame.
#[derive(Clone, Debug)]
pub struct SeenCamera {
    /// What is wrong, the worst first.
    pub findings: Vec<CameraFinding>,
    /// What the frame cannot tell, in sentences.
    pub notes: Vec<String>,
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
}

/// A camera frame that was looked at.
#[derive(Debug)]
pub struct LookedAt {
    /// The frame, as it was asked about.
    pub camera: Arc<CameraToCheck>,
    /// What was seen, or why nothing was.
    pub seen: Result<Arc<SeenCamera>, LoadError>,
}

/// Looks at the camera of these conditions; none where they have none.
pub(super) fn look_at_camera(conditions: &CheckConditions) -> Option<LookedAt> {
    let camera = Arc::clone(conditions.camera.as_ref()?);
    let seen = guarded(Vec::new(), || Ok(conditions.cameras().map(look)));
    let seen = seen.transpose()?.map(Arc::new);
    Some(LookedAt { camera, seen })
}

fn look(camera: CheckedCamera<'_>) -> SeenCamera {
    let placed = camera.placed.frame();
    let raster = CameraRaster::new(placed);
    let chart = ChartInPicture::find(placed);
    let beside = (chart.as_ref()).map(|chart| chart.parts_beside(camera.placed.parts()));
    let parts = beside.as_ref().unwrap_or(camera.placed.parts());
    let mut report = match &chart {
        None => camera_findings(&raster, parts),
        Some(chart) => findings_beside_chart(&raster, parts, chart),
    };
    let wrong_way = chart.and_then(|chart| chart.wrong_way());
    let by_chart = wrong_way.map(chart_way_finding);
    report.findings.splice(0..0, by_chart);
    let size = camera.frame.size();
    let size = [size.width(), size.height()];
    let document = InspectDocument::new(camera.name.to_owned(), size, parts, &report);
    let verdict = VerdictWords::of(&document);
    let InspectDocument {
        mut findings,
        notes,
        ..
    } = document;
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    SeenCamera {
        drawing: CameraDrawing::of(parts),
        is_written: !parts.writing_places.is_empty(),
        is_somebody_there: parts.presenter_place.is_some(),
        findings,
        notes,
        verdict,
        edges: report.edges,
        brightest: report.brightest,
    }
}
