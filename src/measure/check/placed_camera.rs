//! A camera frame on the output, measured once for all slides and keys, and slides keyed over it.

use crate::measure::camera::camera_lit::CameraLit;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::inspect::camera_masks::CameraMasks;
use crate::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use crate::measure::raster::runs::Run;
use crate::pixel::cpu_engine::compose_here;
use crate::pixel::frame::{Frame, Pixels};
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::{Background, View};

/// A camera frame on the output, 8-bit codes as a recorder gets them, where it is lit, and what is in it.
///
/// It depends on the placement and the luma weights of the settings, not on threshold or softness.
#[derive(Clone, Debug)]
pub struct PlacedCamera {
    placed: Frame,
    lit: CameraLit,
    parts: CameraParts,
    masks: CameraMasks,
}

impl PlacedCamera {
    /// Places a camera frame on an output of this size and looks for writing and presenter.
    pub fn new(camera: &Frame, settings: &Settings, output: Size) -> Self {
        let placed = view_of(View::Camera, camera, None, settings, output);
        let lit = CameraLit::measure(codes_of(&placed), output, settings.key.luma.weights());
        let parts = find_camera_parts(&CameraStills {
            camera: &CameraRaster::new(&placed),
            empty: None,
            before: None,
        });
        let masks = CameraMasks::of_parts(&parts);
        Self {
            placed,
            lit,
            parts,
            masks,
        }
    }

    /// R'G'B' codes, row by row; the fourth is without meaning.
    pub fn codes(&self) -> &[[u8; 4]] {
        codes_of(&self.placed)
    }

    /// The frame on the output.
    pub fn frame(&self) -> &Frame {
        &self.placed
    }

    /// What was found in it.
    pub fn parts(&self) -> &CameraParts {
        &self.parts
    }

    /// Where writing and presenter are.
    pub fn masks(&self) -> &CameraMasks {
        &self.masks
    }

    /// Percent of these pixels over which the camera is lit; 0 where there are none.
    pub fn lit_percent(&self, runs: &[Run]) -> f64 {
        self.lit.share_percent(runs)
    }
}

/// A slide keyed over a camera, 8-bit codes as a recorder gets them.
#[derive(Clone, Debug)]
pub struct KeyedOver<'a> {
    camera: &'a PlacedCamera,
    composite: Frame,
}

impl<'a> KeyedOver<'a> {
    /// Keys a slide over a camera frame, on this thread. `placed` is that frame on the output.
    pub fn new(
        slide: &Frame,
        camera: &Frame,
        placed: &'a PlacedCamera,
        settings: &Settings,
    ) -> Self {
        let output = placed.placed.size();
        Self {
            camera: placed,
            composite: view_of(View::Composite, camera, Some(slide), settings, output),
        }
    }

    /// R'G'B' codes of the camera, row by row; the fourth is without meaning.
    pub fn camera(&self) -> &[[u8; 4]] {
        self.camera.codes()
    }

    /// R'G'B' codes of the composite, row by row; the fourth is without meaning.
    pub fn composite(&self) -> &[[u8; 4]] {
        codes_of(&self.composite)
    }
}

fn view_of(
    view: View,
    camera: &Frame,
    slide: Option<&Frame>,
    settings: &Settings,
    output: Size,
) -> Frame {
    let mut settings = *settings;
    settings.placement.size = Some(output);
    settings.view = view;
    compose_here(&Plan::new(&Scene {
        camera: Some(camera),
        slide,
        background: Background::BLACK,
        settings: &settings,
    }))
}

/// The pixels of an engine's frame, which is always an 8-bit one.
fn codes_of(frame: &Frame) -> &[[u8; 4]] {
    match frame.pixels() {
        Pixels::Rgba8(pixels) => pixels,
        Pixels::Rgba16(_) => &[],
    }
}
