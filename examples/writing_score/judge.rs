//! How well masks agree with the truth.

use nightglass::measure::inspect::camera_parts::CameraParts;
use nightglass::measure::raster::components::{Components, Neighbours};
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::settings::Size;

use crate::decoy::Decoy;

/// False writing on one of the things that could be taken for writing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OnDecoy {
    pub(crate) name: &'static str,
    /// All its pixels.
    pub(crate) area_px: u64,
    /// Those that were found as writing.
    pub(crate) false_px: u64,
    /// Those of them in found writing that holds no written pixel: no stroke that runs into the thing.
    pub(crate) apart_px: u64,
}

/// Figures of a frame. Shares are none where there is nothing to share.
#[derive(Clone, Debug, Default)]
pub(crate) struct Score {
    /// Share of the written pixels that have a found one at most a pixel away.
    pub(crate) recall: Option<f64>,
    /// Share of the found pixels that have a written one at most a pixel away.
    pub(crate) precision: Option<f64>,
    /// Intersection over union of the presenter.
    pub(crate) presenter: Option<f64>,
    /// Pixels found where none may be: writing with none there, or a presenter with none there.
    pub(crate) ghost_px: [u64; 2],
    /// What of each decoy was found as writing.
    pub(crate) decoys: Vec<OnDecoy>,
    /// Milliseconds that finding took.
    pub(crate) milliseconds: f64,
}

/// A mask of one bool a pixel as runs.
pub(crate) fn runs_of(size: Size, mask: &[bool]) -> Runs {
    let bytes: Vec<u8> = mask.iter().map(|&is_in| u8::from(is_in)).collect();
    Runs::of_bytes(size, &bytes, |byte| byte == 1)
}

/// The parts of what was found that hold no written pixel.
fn without_written(found: &Runs, writing: &Runs) -> Runs {
    let parts = Components::of(found, Neighbours::EIGHT);
    let is_written: Vec<bool> = (0..parts.list().len())
        .map(|part| Runs::of_runs(found.size(), parts.runs_of(part)))
        .map(|part| part.intersection(writing).area() > 0)
        .collect();
    found.filtered(|run, _| !is_written[parts.label_of_run(run)])
}

/// Judges what was found.
pub(crate) fn judge(parts: &CameraParts, writing: &Runs, presenter: &Runs, decoys: &[u8]) -> Score {
    let share = |part: &Runs, whole: &Runs| {
        (whole.area() > 0).then(|| part.area() as f64 / whole.area() as f64)
    };
    let found = &parts.writing;
    let union = parts.presenter.union(presenter);
    let ghost = |found: &Runs, truth: &Runs| if truth.area() == 0 { found.area() } else { 0 };
    let false_writing = found.without(&writing.grown(1));
    let apart = without_written(found, writing);
    let counted = Decoy::ALL.iter().filter_map(|&(decoy, name)| {
        let mask = Runs::of_bytes(found.size(), decoys, |byte| byte == decoy as u8);
        (mask.area() > 0).then(|| OnDecoy {
            name,
            area_px: mask.area(),
            false_px: mask.intersection(&false_writing).area(),
            apart_px: mask.intersection(&apart).area(),
        })
    });
    Score {
        recall: share(&writing.intersection(&found.grown(1)), writing),
        precision: (writing.area() > 0)
            .then(|| share(&found.intersection(&writing.grown(1)), found).unwrap_or(0.0)),
        presenter: (presenter.area() > 0)
            .then(|| share(&parts.presenter.intersection(presenter), &union).unwrap_or(0.0)),
        ghost_px: [ghost(found, writing), ghost(&parts.presenter, presenter)],
        decoys: if decoys.is_empty() {
            Vec::new()
        } else {
            counted.collect()
        },
        milliseconds: 0.0,
    }
}
