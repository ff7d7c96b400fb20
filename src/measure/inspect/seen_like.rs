//! A frame of the last good setup with what is in it, found once for all camera frames beside it.

use super::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use super::like_frame::StillView;
use super::seen_backdrop::find_seen_backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;
use crate::measure::still::still_pair::PairFault;
use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::{Background, View};

/// The frame on the output, or on the output on its side.
#[derive(Clone, Debug)]
pub struct SeenLike {
    raster: CameraRaster,
    parts: CameraParts,
    covered: Runs,
}

impl SeenLike {
    /// Looks at a frame on the output.
    ///
    /// A frame in which no still things can be told from writing and presenter answers nothing.
    pub fn of(raster: CameraRaster) -> Result<Self, PairFault> {
        let parts = find_camera_parts(&CameraStills {
            camera: &raster,
            empty: None,
            before: None,
        });
        if parts.is_blind() {
            return Err(PairFault::NoStill);
        }
        let covered = find_seen_backdrop(&raster, &parts).covered;
        Ok(Self {
            raster,
            parts,
            covered,
        })
    }

    /// Lays a frame on the output as the camera frame lies there, and looks at it. It has the camera frame's size, or is
    /// a turned one.
    pub fn place(
        like: &Frame,
        camera_size: Size,
        settings: &Settings,
        output: Size,
    ) -> Result<Self, PairFault> {
        let size = if like.size() == camera_size {
            output
        } else if like.size() == camera_size.transposed() {
            output.transposed()
        } else {
            return Err(PairFault::Size);
        };
        let mut settings = *settings;
        settings.view = View::Camera;
        settings.placement.size = Some(size);
        let placed = compose(&Plan::new(&Scene {
            camera: Some(like),
            slide: None,
            background: Background::BLACK,
            settings: &settings,
        }));
        Self::of(CameraRaster::new(&placed))
    }

    /// What was found in it.
    pub fn parts(&self) -> &CameraParts {
        &self.parts
    }

    pub(crate) fn still(&self) -> StillView<'_> {
        StillView {
            camera: &self.raster,
            covered: &self.covered,
        }
    }
}
