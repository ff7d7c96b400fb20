//! The shortest way to move what is on a slide so that it covers nothing that must be seen.

use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Height of the output over the step of shifts. Source: chosen, 2 px of high definition; nobody moves nearer by hand.
const STEP_SHARE: u32 = 540;

/// A move of everything on a slide, px of the output: to the right and down where it is positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shift {
    /// To the right.
    pub right_px: i32,
    /// Down.
    pub down_px: i32,
}

impl Shift {
    /// The words for it, such as `148 px (7.7 %) to the left and 20 px (1.9 %) up`.
    pub fn words(self, output: Size) -> String {
        let part = |px: i32, side: u32, ahead: &str, back: &str| {
            let percent = 100.0 * f64::from(px.unsigned_abs()) / f64::from(side);
            let way = if px > 0 { ahead } else { back };
            (px != 0).then(|| format!("{} px ({percent:.1} %) {way}", px.unsigned_abs()))
        };
        let across = part(self.right_px, output.width(), "to the right", "to the left");
        let down = part(self.down_px, output.height(), "down", "up");
        let parts: Vec<String> = [across, down].into_iter().flatten().collect();
        parts.join(" and ")
    }

    /// Its length, squared.
    fn squared(self) -> i64 {
        i64::from(self.right_px).pow(2) + i64::from(self.down_px).pow(2)
    }
}

/// The shortest shift after which no pixel of the content is on an obstacle and all of it is inside the area; none
/// where there is none. Exact to the step, which is 2 px at 1080 rows and 1 px up to 540.
pub fn shortest_clear_shift(content: &Runs, obstacles: &Runs, inside: PixelBox) -> Option<Shift> {
    let bounds = content
        .as_slice()
        .iter()
        .map(|run| run.bounds())
        .reduce(PixelBox::union)?;
    let step = (content.size().height() / STEP_SHARE).max(1);
    let across = steps(inside.x, bounds.x, inside.right(), bounds.right(), step);
    let down = steps(inside.y, bounds.y, inside.bottom(), bounds.bottom(), step);
    let mut shifts: Vec<Shift> = down
        .iter()
        .flat_map(|&down_px| {
            across
                .iter()
                .map(move |&right_px| Shift { right_px, down_px })
        })
        .collect();
    shifts.sort_by_key(|shift| shift.squared());
    let counts = RowCounts::of(obstacles);
    // Runs that stood in the way lately come first: most shifts are refused by one of a few.
    let mut runs = content.as_slice().to_vec();
    shifts.into_iter().find(|&shift| {
        let hit = runs.iter().position(|run| counts.any_in(run, shift));
        if let Some(hit) = hit {
            runs.swap(hit, hit / 2);
        }
        hit.is_none()
    })
}

/// Shifts along an axis that keep the content inside: whole steps from where it is, and the two ends.
fn steps(inside: u32, content: u32, inside_end: u32, content_end: u32, step: u32) -> Vec<i32> {
    let from = signed(inside) - signed(content);
    let to = signed(inside_end) - signed(content_end);
    let step = signed(step);
    let first = from.div_euclid(step) * step;
    let mut steps: Vec<i32> = (first..=to)
        .step_by(step.unsigned_abs() as usize)
        .filter(|&shift| shift >= from)
        .collect();
    if from <= to {
        steps.extend([from, to]);
    }
    steps.sort_unstable();
    steps.dedup();
    steps
}

/// How many pixels of a mask are left of each column, row by row.
#[derive(Debug)]
struct RowCounts {
    counts: Vec<u16>,
    width: usize,
}

impl RowCounts {
    fn of(mask: &Runs) -> Self {
        let width = mask.size().width() as usize + 1;
        let mut counts = vec![0_u16; width * mask.size().height() as usize];
        for (y, row) in (0..mask.size().height()).zip(counts.chunks_mut(width)) {
            for run in mask.row(y) {
                row[run.start as usize + 1..=run.end as usize].fill(1);
            }
            let mut sum = 0;
            for count in row {
                sum += *count;
                *count = sum;
            }
        }
        Self { counts, width }
    }

    /// Whether a run, moved, has a pixel of the mask. It must stay in the raster.
    fn any_in(&self, run: &Run, shift: Shift) -> bool {
        let moved = |v: u32, by: i32| v.saturating_add_signed(by) as usize;
        let row = moved(run.y, shift.down_px) * self.width;
        let before = self.counts[row + moved(run.start, shift.right_px)];
        self.counts[row + moved(run.end, shift.right_px)] > before
    }
}

/// A place or step as a signed number; rasters are far smaller than that.
fn signed(px: u32) -> i32 {
    i32::try_from(px).unwrap_or(i32::MAX)
}
