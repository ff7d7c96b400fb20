//! Whether the presenter's outline stands out from the backdrop.

use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_parts::CameraParts;
use crate::measure::camera::camera_luma::luma_codes;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;

/// Luma by which the inside of the outline has to be brighter than the backdrop, codes. Source: chosen, 1.5 % of white;
/// less is not seen on a projected picture in a lit room.
const LEAST_CODES: f64 = 3.8;
/// Share of the outline that may melt into the backdrop, percent. Source: chosen; hair and one shadowed side of a sleeve.
pub const MELTED_PERCENT: f64 = 25.0;
/// How deep the inside is looked at, and how far off the outline the backdrop, px in a frame 1080 high. Source: chosen; the
/// outline of clothes that melt is found to within a cell of 8 px, and the glow of others reaches some 30 px.
const INSIDE_PX: u32 = 14;
const OUTSIDE_PX: u32 = 30;
/// Fewest places that say something. Source: chosen.
const LEAST_PLACES: usize = 100;

/// The share of the outline that melts into the backdrop, percent, and the box around that; none where nobody is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeltedOutline {
    /// The share, percent.
    pub percent: f64,
    /// What melts.
    pub bounds: Option<PixelBox>,
}

/// Measures it at the left and right ends of each row of the figure.
pub fn measure_melted_outline(
    camera: &CameraRaster,
    parts: &CameraParts,
    figure: &Runs,
) -> Option<MeltedOutline> {
    let size = camera.size();
    let px = |at_1080: u32| at_1080 * size.height() / 1080 + 1;
    let (inside, outside) = (px(INSIDE_PX), px(OUTSIDE_PX));
    let glow = parts.writing.grown(2 * outside);
    let luma =
        |x: u32, y: u32| f64::from(luma_codes(camera.codes()[(y * size.width() + x) as usize]));
    let mean = |xs: std::ops::Range<u32>, y: u32| {
        let count = f64::from(xs.end - xs.start);
        xs.map(|x| luma(x, y)).sum::<f64>() / count
    };
    let (mut places, mut melted) = (0_usize, 0_usize);
    let mut bounds: Option<PixelBox> = None;
    for run in figure
        .as_slice()
        .iter()
        .filter(|run| run.length() > 2 * inside)
    {
        let (start, end, y) = (run.start, run.end, run.y);
        let left = (start > 2 * outside).then(|| {
            (
                start,
                start..start + inside,
                start - 2 * outside..start - outside,
            )
        });
        let right = (end + 2 * outside < size.width())
            .then(|| (end - 1, end - inside..end, end + outside..end + 2 * outside));
        for (x, own, beside) in left.into_iter().chain(right) {
            let is_backdrop =
                !figure.contains(beside.start, y) && !figure.contains(beside.end - 1, y);
            if glow.contains(x, y) || !is_backdrop {
                continue;
            }
            places += 1;
            if mean(own, y) - mean(beside, y) < LEAST_CODES {
                melted += 1;
                let place = PixelBox {
                    x,
                    y,
                    width: 1,
                    height: 1,
                };
                bounds = Some(bounds.map_or(place, |bounds| bounds.union(place)));
            }
        }
    }
    (places >= LEAST_PLACES).then(|| MeltedOutline {
        percent: 100.0 * melted as f64 / places as f64,
        bounds,
    })
}

/// The finding on it.
pub fn dark_clothes_finding(outline: &MeltedOutline) -> Option<CameraFinding> {
    (outline.percent > MELTED_PERCENT).then(|| CameraFinding {
        kind: CameraKind::DarkClothes,
        severity: Severity::Warn,
        bounds: outline.bounds,
        measured: outline.percent,
        limit: MELTED_PERCENT,
        unit: Unit::Percent,
        advice: "Dark clothes melt into the backdrop here. Wear something brighter, not white and not striped, or set a lamp \
                 behind and beside the presenter that lights hair and shoulders; secure its stand, and keep it off the \
                 glass."
            .to_owned(),
    })
}
