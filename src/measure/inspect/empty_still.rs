//! Whether a still that is to show the rig empty does.

use super::camera_exposure::skin_share;
use super::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::runs::Runs;
use crate::measure::still::still_pair::PairFault;

/// Share of the frame that is written on from which it is not empty. Source: measured; smears that were taken for writing
/// in 92 drawn empty frames covered 0.37 % at most.
const LEAST_WRITTEN: f64 = 0.004;
/// Deviations up to which a cell of the camera frame is backdrop. Source: chosen, as where two stills are compared.
const DARK_DEVIATIONS: f32 = 4.0;
/// Share of a figure that is backdrop in the camera frame from which it has gone. Source: chosen; who stands there again
/// stands a little beside.
const LEAST_GONE: f64 = 0.1;
/// Share of all that the figures of both frames cover that both cover, from which they are one. Source: chosen.
const LEAST_COMMON: f64 = 0.8;
/// Share of a figure that is skin from which it is somebody, and no furniture or reflection that stays. Source: chosen,
/// a face over a coat.
const LEAST_SKIN: f64 = 0.02;

/// Why the still is not empty; none where it is. Looks for writing, for a figure that has left since and for somebody
/// who stands there still.
pub fn find_in_empty(camera: &CameraRaster, empty: &CameraRaster) -> Option<PairFault> {
    if camera.size() != empty.size() {
        return Some(PairFault::Size);
    }
    let alone = |camera| {
        find_camera_parts(&CameraStills {
            camera,
            empty: None,
            before: None,
        })
    };
    let before = alone(empty);
    let is_written = before.writing.area() as f64 > LEAST_WRITTEN * empty.size().area() as f64;
    let is_somebody = || {
        let now = alone(camera);
        has_gone(&before.presenter, &now)
            || is_one(&before.presenter, &now.presenter)
                && skin_share(empty, &before.presenter) > LEAST_SKIN
    };
    let is_figure = before.presenter.area() > 0;
    (is_written || is_figure && is_somebody()).then_some(PairFault::NotEmpty)
}

/// Whether a good part of a figure is backdrop now.
fn has_gone(figure: &Runs, now: &CameraParts) -> bool {
    let backdrop = &now.backdrop;
    let (cell, across) = (backdrop.cell_px(), backdrop.cells_across());
    let is_dark = |x: u32, y: u32| {
        backdrop.off_deviations((y / cell) as usize * across + (x / cell) as usize)
            < DARK_DEVIATIONS
    };
    let dark: u64 = figure
        .as_slice()
        .iter()
        .map(|run| {
            let columns = (run.start..run.end).filter(|&x| is_dark(x, run.y));
            columns.count() as u64
        })
        .sum();
    !now.is_blind() && dark as f64 > LEAST_GONE * figure.area() as f64
}

/// Whether two figures cover the same.
fn is_one(a: &Runs, b: &Runs) -> bool {
    a.intersection(b).area() as f64 > LEAST_COMMON * a.union(b).area() as f64
}
