//! Writing and presenter in one still of the camera. Says what it cannot know in notes.

use super::camera_raster::CameraRaster;
use super::components::{Components, Neighbours};
use super::distance::Distances;
use super::finding::PixelBox;
use super::runs::Runs;

/// What was found in a camera frame, in pixels of the output.
#[derive(Clone, Debug)]
pub struct CameraParts {
    /// Where the glass is written on.
    pub writing: Runs,
    /// Where the presenter is, including what writing covers.
    pub presenter: Runs,
    /// A box around each group of strokes that belong together.
    pub writing_places: Vec<PixelBox>,
    /// The box around the presenter; none where nobody is there.
    pub presenter_place: Option<PixelBox>,
}

/// Finds writing and presenter.
pub fn find_camera_parts(camera: &CameraRaster) -> CameraParts {
    let size = camera.size();
    let most = camera.map(|[r, g, b, _]| r.max(g).max(b));
    let mut counts = [0_usize; 256];
    for &v in &most {
        counts[usize::from(v)] += 1;
    }
    let quantile = |share: f64| {
        let wanted = share * most.len() as f64;
        let mut sum = 0;
        (0..=255_u8)
            .find(|&v| {
                sum += counts[usize::from(v)];
                sum as f64 >= wanted
            })
            .unwrap_or(255)
    };
    let backdrop = quantile(0.25);
    let lit = Runs::of_bytes(size, &most, |v| v > backdrop.saturating_add(20));
    let parts = Components::of(&lit, Neighbours::EIGHT);
    let mut is_writing = vec![false; parts.list().len()];
    for (i, part) in parts.list().iter().enumerate() {
        let bounds = part.bounds;
        let thickest = Distances::within(bounds, parts.runs_of(i).iter().copied())
            .map_or(f64::from(bounds.width.min(bounds.height)), |d| {
                d.largest_px()
            });
        is_writing[i] = part.area >= 30 && 2.0 * thickest < 0.05 * f64::from(size.height());
    }
    let writing = lit.filtered(|run, _| is_writing[parts.label_of_run(run)]);
    let largest = (0..is_writing.len())
        .filter(|&i| !is_writing[i])
        .max_by_key(|&i| parts.list()[i].area);
    let presenter = lit.filtered(|run, _| Some(parts.label_of_run(run)) == largest);
    let writing_places = Components::of(&writing, Neighbours::Within(size.height() / 40 + 1))
        .list()
        .iter()
        .map(|part| part.bounds)
        .collect();
    CameraParts {
        writing,
        presenter,
        writing_places,
        presenter_place: largest.map(|i| parts.list()[i].bounds),
    }
}
