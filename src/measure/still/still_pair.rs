//! Whether another still of the same rig can be compared with the camera frame, and what differs.

use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::parts::piece_shape::InkPiece;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::runs::Run;
use crate::measure::statistics::middle::middle_of;

/// Most that the backdrop may differ by, codes and a share of its level. Source: chosen; a third of a stop is a tenth
/// of the code.
const LIGHT_CODES: f32 = 2.0;
const LIGHT_SHARE: f32 = 0.12;
/// How far a frame that moved is looked for, cells each way. Source: chosen, 2 % of the picture's width.
const SHIFT_CELLS: isize = 5;
/// How much better another place has to fit to be where the frame moved to. Source: chosen.
const BETTER: f64 = 0.7;
/// Fewest cells with something in them that can tell of moving. Source: chosen.
const LEAST_CELLS: usize = 12;
/// Share of a piece's contrast by which it has to be new. Source: chosen, a streak's.
const NEW_SHARE: f64 = 0.35;

/// Deviations up to which a cell is dark in both, to compare their light. Source: chosen.
const DARK_DEVIATIONS: f32 = 4.0;
/// Deviations and codes over the backdrop from which a cell of the other still is lit. Source: chosen.
const LIT_DEVIATIONS: f32 = 6.0;
const LIT_CODES: f32 = 3.0;
/// What is added to a cell's brightness before a difference is a share of it, codes. Source: chosen, so that dim cells
/// count less.
const DIM_CODES: f64 = 2.0;
/// Least share of brightness that is off where a frame may have moved. Source: chosen.
const LEAST_MISFIT: f64 = 0.25;

/// Why another still is not used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PairFault {
    /// It has another size.
    Size,
    /// Its backdrop is brighter or darker, or of another colour.
    Light,
    /// What stands still is at another place.
    Moved,
    /// It shows something else.
    Scene,
    /// It is to be empty, and writing or somebody is in it.
    NotEmpty,
    /// Nothing that stands still is seen in both.
    NoStill,
    /// It fits only turned, mirrored or far away, by too little to be sure.
    Unsure,
    /// Its file cannot be read.
    Unreadable,
}

impl PairFault {
    /// What is wrong with it, in words that follow its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Size => "has another size than the camera frame",
            Self::Light => "is lit or exposed differently from the camera frame",
            Self::Moved => "does not lie on the camera frame: camera, glass or lamps have moved",
            Self::Scene => "shows another scene than the camera frame, or the same in other light",
            Self::NotEmpty => "shows writing or a presenter itself",
            Self::NoStill => "shows nothing that stands still in both frames",
            Self::Unreadable => "cannot be read",
            Self::Unsure => {
                "fits only if it is moved far, turned or mirrored, and too little stands still in sight to be sure"
            }
        }
    }
}

/// Compares another still with the frame, by what is backdrop in both.
///
/// `same_scene` is whether nothing but lamps and their reflections may stand in the other still.
pub fn compare_stills(
    camera: &Backdrop,
    other: &Backdrop,
    same_scene: bool,
) -> Result<(), PairFault> {
    if camera.means().len() != other.means().len() || camera.cells_across() != other.cells_across()
    {
        return Err(PairFault::Size);
    }
    let cells = camera.means().len();
    let both_dark: Vec<usize> = (0..cells)
        .filter(|&i| {
            camera.off_deviations(i) < DARK_DEVIATIONS && other.off_deviations(i) < DARK_DEVIATIONS
        })
        .collect();
    if both_dark.is_empty() {
        return Err(PairFault::Light);
    }
    for c in 0..3 {
        let mut off: Vec<f32> = both_dark
            .iter()
            .map(|&i| camera.means()[i][c] - other.means()[i][c])
            .collect();
        let off = middle_of(&mut off, f32::total_cmp).map_or(0.0, f32::abs);
        let level =
            both_dark.iter().map(|&i| other.means()[i][c]).sum::<f32>() / both_dark.len() as f32;
        if off > LIGHT_CODES + LIGHT_SHARE * level {
            return Err(PairFault::Light);
        }
    }
    if same_scene && has_moved(camera, other) {
        return Err(PairFault::Moved);
    }
    Ok(())
}

/// Whether what is lit in the other still is found in the frame at another place, and not at its own.
fn has_moved(camera: &Backdrop, other: &Backdrop) -> bool {
    let across = camera.cells_across();
    let down = camera.cells_down();
    let lit: Vec<usize> = (0..other.means().len())
        .filter(|&i| other.off_deviations(i) > LIT_DEVIATIONS && other.over_codes(i) > LIT_CODES)
        .collect();
    if lit.len() < LEAST_CELLS {
        return false;
    }
    // Half of the lit cells may be hidden by a presenter, so the median decides.
    let misfit = |dx: isize, dy: isize| {
        let mut off: Vec<f64> = lit
            .iter()
            .filter_map(|&i| {
                let x = (i % across)
                    .checked_add_signed(dx)
                    .filter(|&x| x < across)?;
                let y = (i / across).checked_add_signed(dy).filter(|&y| y < down)?;
                let own = f64::from(other.over_codes(i));
                Some((f64::from(camera.over_codes(y * across + x)) - own).abs() / (own + DIM_CODES))
            })
            .collect();
        middle_of(&mut off, f64::total_cmp).unwrap_or(f64::MAX)
    };
    let here = misfit(0, 0);
    let steps = -SHIFT_CELLS..=SHIFT_CELLS;
    let best = steps
        .clone()
        .flat_map(|dy| steps.clone().map(move |dx| (dx, dy)))
        .map(|(dx, dy)| misfit(dx, dy))
        .fold(f64::MAX, f64::min);
    here > LEAST_MISFIT && best < BETTER * here
}

/// Whether a piece is not in the other still: its pixels differ by a good part of its contrast.
pub fn is_new(piece: &InkPiece, change: &BytePlane) -> bool {
    let codes = |run: &Run| -> u64 {
        let row = &change.row(run.y as usize)[run.start as usize..run.end as usize];
        row.iter().map(|&code| u64::from(code)).sum()
    };
    let sum: u64 = piece.runs.iter().map(codes).sum();
    sum as f64 / piece.area.max(1) as f64 > NEW_SHARE * piece.strength
}

/// The pixels of a piece that are not in the other still, with the soft rim beside them.
pub fn new_runs(piece: &InkPiece, change: &BytePlane) -> Vec<Run> {
    let limit = NEW_SHARE * piece.strength;
    let is_changed = |x: u32, y: u32| {
        let columns = x.saturating_sub(1) as usize..(x as usize + 2).min(change.width());
        let mut rows = y.saturating_sub(1) as usize..(y as usize + 2).min(change.height());
        rows.any(|row| {
            let codes = &change.row(row)[columns.clone()];
            codes.iter().any(|&code| f64::from(code) > limit)
        })
    };
    let pixels = piece.runs.iter().flat_map(|run| {
        (run.start..run.end)
            .filter(|&x| is_changed(x, run.y))
            .map(|x| Run {
                y: run.y,
                start: x,
                end: x + 1,
            })
    });
    pixels.collect()
}

/// How far each pixel is off another still of the same size, codes of the channel that is most.
pub fn change_from(camera: &CameraRaster, other: &CameraRaster) -> BytePlane {
    let apart = |(a, b): (&[u8; 4], &[u8; 4])| (0..3).map(|c| a[c].abs_diff(b[c])).max();
    let pairs = camera.codes().iter().zip(other.codes());
    BytePlane::new(
        camera.size(),
        pairs.map(|pair| apart(pair).unwrap_or(0)).collect(),
    )
}
