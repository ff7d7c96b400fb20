//! Whether a camera frame shows anything at all beside its backdrop.

use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::statistics::middle::middle_of;

/// How much brighter than the middle one of all cells one is where something is lit, codes. Source: chosen, 2 % of
/// white, from which a reflection is one.
const LIT_CODES: f32 = 5.1;
/// The same in deviations of what noise leaves in a cell. Source: chosen; the brightest of 40,000 cells is 4.1 off.
const LIT_DEVIATIONS: f64 = 6.0;

/// Whether neither writing nor presenter nor anything else that is lit is in the frame: a camera that is capped, off or
/// not connected looks like it.
pub(super) fn is_nothing_seen(parts: &CameraParts) -> bool {
    let are_parts = parts.writing.area() + parts.presenter.area() > 0;
    let is_lit_all_over = parts.notes.contains(&CameraNote::LitAllOver);
    !parts.is_blind() && !are_parts && !is_lit_all_over && !is_lit(&parts.backdrop)
}

/// Whether any cell is brighter than those beside it by more than noise.
fn is_lit(backdrop: &Backdrop) -> bool {
    let brightness = |mean: &[f32; 3]| mean[0].max(mean[1]).max(mean[2]);
    let mut cells: Vec<f32> = backdrop.means().iter().map(brightness).collect();
    let most = cells.iter().copied().fold(0.0, f32::max);
    let middle = middle_of(&mut cells, f32::total_cmp).unwrap_or(0.0);
    let noise = LIT_DEVIATIONS * backdrop.noise_codes() / f64::from(backdrop.cell_px());
    most - middle > LIT_CODES && f64::from(most - middle) > noise
}
