//! A camera frame looked at: what is in it, what is wrong with it, and what has changed since the last good setup.

use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use super::camera_report::{CameraReport, camera_findings, findings_beside_chart};
use super::chart_way::{ChartInPicture, chart_way_finding};
use super::like_report::{LikeReport, compare_like};
use super::seen_like::SeenLike;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::still::still_pair::PairFault;
use crate::pixel::frame::Frame;

/// What came of it.
#[derive(Clone, Debug)]
pub struct CameraLook {
    /// Writing and presenter, beside the chart where one lies in the picture.
    pub parts: CameraParts,
    /// What is wrong.
    pub report: CameraReport,
    /// What has changed; none where nothing was to be compared, or could be.
    pub like: Option<LikeReport>,
}

impl CameraLook {
    /// Looks at a frame on the output in which `parts` were found, beside the frame of the last good setup if there is
    /// one, or with why that is not used.
    pub fn at(
        placed: &Frame,
        raster: &CameraRaster,
        mut parts: CameraParts,
        like: Option<Result<&SeenLike, PairFault>>,
    ) -> Self {
        let like = like.map(|like| like.and_then(|like| compare_like(raster, &parts, like)));
        let mut like = match like {
            Some(Err(fault)) => {
                parts.notes.push(CameraNote::LikeNotUsed(fault));
                None
            }
            like => like.and_then(Result::ok),
        };
        let chart = ChartInPicture::find(placed);
        let mut report = match &chart {
            None => camera_findings(raster, &parts),
            Some(chart) => {
                parts = chart.parts_beside(&parts);
                findings_beside_chart(raster, &parts, chart)
            }
        };
        if let Some(way) = chart.and_then(|chart| chart.wrong_way()) {
            let is_said = like.as_mut().is_some_and(|like| like.confirm_by_chart(way));
            if !is_said {
                report.findings.insert(0, chart_way_finding(way));
            }
        }
        Self {
            parts,
            report,
            like,
        }
    }
}
