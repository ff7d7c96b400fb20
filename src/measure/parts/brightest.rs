//! The brightest channel of a camera frame, small enough to be quick.

use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Rows at most; higher frames are halved. Source: chosen; 1080 rows are halved once, 720 not.
const MOST_ROWS: usize = 810;
/// Rows in which lengths are counted. Source: chosen, half of 1080.
const ROWS: f64 = 540.0;

/// The brightest channel, codes.
#[derive(Clone, Debug)]
pub struct Brightest {
    factor: u32,
    size: Size,
    codes: BytePlane,
}

impl Brightest {
    /// That of a frame.
    pub fn of(camera: &CameraRaster) -> Self {
        let brightest = camera.map(|[r, g, b, _]| r.max(g).max(b));
        let mut codes = BytePlane::new(camera.size(), brightest);
        let mut factor = 1;
        while codes.height() > MOST_ROWS {
            codes = codes.halved();
            factor *= 2;
        }
        let side = |px: usize| u32::try_from(px).unwrap_or(u32::MAX);
        let size = Size::new(side(codes.width()), side(codes.height())).unwrap_or(camera.size());
        Self {
            factor,
            size,
            codes,
        }
    }

    /// Pixels of the frame in one of these, along a side.
    pub fn factor(&self) -> u32 {
        self.factor
    }

    /// Width and height.
    pub fn size(&self) -> Size {
        self.size
    }

    /// The codes.
    pub fn codes(&self) -> &BytePlane {
        &self.codes
    }

    /// The backdrop's brightest channel at each place, codes.
    pub fn backdrop(&self, backdrop: &Backdrop) -> Vec<f32> {
        let (factor, cell) = (self.factor as usize, backdrop.cell_px() as usize);
        let across = backdrop.cells_across();
        let last = backdrop.cells_down() - 1;
        let rows = (0..self.codes.height()).map(|y| (y * factor / cell).min(last) * across);
        rows.flat_map(|row| {
            (0..self.codes.width()).map(move |x| {
                let column = (x * factor / cell).min(across - 1);
                let [r, g, b] = backdrop.levels()[row + column];
                r.max(g).max(b)
            })
        })
        .collect()
    }

    /// A mask of the frame's pixels, as small.
    pub fn reduced(&self, mask: &Runs) -> Runs {
        let factor = self.factor;
        let rows = (0..self.size.height()).flat_map(|y| {
            let of_row = mask.row((y * factor).min(mask.size().height() - 1)).iter();
            of_row.map(move |run| Run {
                y,
                start: run.start.div_ceil(factor),
                end: run.end.div_ceil(factor),
            })
        });
        let runs: Vec<Run> = rows.filter(|run| run.start < run.end).collect();
        Runs::of_runs(self.size, &runs)
    }

    /// A length that is so many px in 540 rows.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few pixels"
    )]
    pub fn px(&self, at_540: f64) -> usize {
        (at_540 * self.codes.height() as f64 / ROWS)
            .round()
            .max(1.0) as usize
    }
}
