//! `contrast`: text and graphics that do not stand out from what is behind them in the composite.

use super::over_camera::OverCamera;
use crate::measure::contrast::{contrast_ratio, luminance_of_light, relative_luminance};
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::fates::Fate;
use crate::measure::slide::marks::{Ground, difference};
use crate::measure::told_apart::told_apart;
use crate::pixel::color::srgb_encode;

/// Cells along the output's height; what surrounds a stroke is looked for in its cell and the eight
/// around it. Source: chosen, about the height of a character of three percent.
const CELLS_ALONG_HEIGHT: u32 = 54;
/// Share of the strength in its cell that a pixel has where it is no soft edge. Source: chosen; WCAG 2.2,
/// understanding 1.4.3, leaves antialiased edges out.
const UNSOFTENED: f64 = 0.98;
/// Difference under which a pixel is ground, 8-bit codes. Source: as in `marks`, contrast of 1.1 on black.
const GROUND_CODES: u8 = 16;
/// Least pixels of a graphic that is judged. Source: as for pieces of content.
const LEAST_PX: u64 = 16;

/// Sums of luminance in square cells of a ground.
#[derive(Clone, Debug)]
struct Cells {
    side: u32,
    across: usize,
    sums: Vec<(f64, u32)>,
}

/// A line of text or a graphic mark.
#[derive(Clone, Debug)]
struct Item {
    bounds: PixelBox,
    marks: Vec<usize>,
}

/// An item that stands out too little.
#[derive(Clone, Copy, Debug)]
struct Weak {
    bounds: PixelBox,
    /// The ratio that all but the tolerated share of it exceeds.
    ratio: f64,
    /// Luminance of what is behind it where it is weakest, 0 to 1.
    behind: f64,
    /// The item's colour there.
    color: [u8; 3],
}

/// One finding for the text and one for the graphics that do not stand out over this camera.
pub fn find_low_contrast(over: &OverCamera<'_>, limits: &Limits) -> Vec<Finding> {
    let light: [f64; 256] = std::array::from_fn(|code| {
        let code = u8::try_from(code).unwrap_or(u8::MAX);
        relative_luminance([code; 3])
    });
    let share = limits.get(Limit::ContrastShare) / 100.0;
    let (mut text, mut graphics) = (Vec::new(), Vec::new());
    let grounds = &over.drawn.grounds;
    for (ground, lines) in grounds.iter().zip(&over.drawn.lines) {
        let around = ground_luminance(over, ground, &light);
        let mut is_text = vec![false; ground.marks.list().len()];
        let weak = |item: &Item, limit: Limit, found: &mut Vec<Weak>| {
            found.extend(weakness(
                over,
                ground,
                &around,
                item,
                limits.get(limit),
                share,
            ));
        };
        for line in lines {
            line.marks.iter().for_each(|&mark| is_text[mark] = true);
            let item = Item {
                bounds: line.bounds,
                marks: line.marks.clone(),
            };
            weak(&item, Limit::ContrastText, &mut text);
        }
        for (mark, component) in ground.marks.list().iter().enumerate() {
            // A plate is there for what lies on it, and need not stand out itself.
            let place = ground.in_output(component.bounds);
            let is_plate = grounds.iter().any(|plate| plate.bounds == place);
            if !is_text[mark] && !is_plate && component.area >= LEAST_PX {
                let item = Item {
                    bounds: component.bounds,
                    marks: vec![mark],
                };
                weak(&item, Limit::ContrastGraphics, &mut graphics);
            }
        }
    }
    let text = finding(
        over,
        &text,
        "The text here has",
        limits.get(Limit::ContrastText),
    );
    let graphics = finding(
        over,
        &graphics,
        "The graphics here have",
        limits.get(Limit::ContrastGraphics),
    );
    text.into_iter().chain(graphics).collect()
}

/// Luminance of the composite where the slide shows the ground alone, in every cell near a mark.
fn ground_luminance(over: &OverCamera<'_>, ground: &Ground, light: &[f64; 256]) -> Cells {
    let side = (over.raster.size().height() / CELLS_ALONG_HEIGHT).max(4);
    let (width, height) = (ground.bounds.width, ground.bounds.height);
    let (across, down) = (
        width.div_ceil(side) as usize,
        height.div_ceil(side) as usize,
    );
    let mut near = vec![false; across * down];
    for run in ground.core.as_slice() {
        let row = (run.y / side) as usize;
        let (first, last) = ((run.start / side) as usize, ((run.end - 1) / side) as usize);
        for y in row.saturating_sub(1)..=(row + 1).min(down - 1) {
            let start = y * across;
            near[start + first.saturating_sub(1)..=start + (last + 1).min(across - 1)].fill(true);
        }
    }
    let mut sums = vec![(0.0, 0); across * down];
    for y in 0..height {
        let row = (y / side) as usize * across;
        for column in (0..across).filter(|column| near[row + column]) {
            let start = u32::try_from(column).unwrap_or(0) * side;
            let end = (start + side).min(width);
            let first = over
                .raster
                .index(ground.bounds.x + start, ground.bounds.y + y);
            let place = first..first + (end - start) as usize;
            let (sum, count) = &mut sums[row + column];
            let slide = &over.raster.codes()[place.clone()];
            for (code, out) in slide.iter().zip(&over.keyed.composite()[place]) {
                if difference(*code, ground.color) < GROUND_CODES {
                    *sum += luminance(*out, light);
                    *count += 1;
                }
            }
        }
    }
    Cells { side, across, sums }
}

/// Relative luminance of R'G'B' codes. `light` has that of each grey.
fn luminance([r, g, b, _]: [u8; 4], light: &[f64; 256]) -> f64 {
    luminance_of_light([r, g, b].map(|code| light[usize::from(code)]))
}

impl Cells {
    /// Mean in a cell and the eight around it; none where nothing was counted.
    fn mean_around(&self, cell: usize) -> Option<f64> {
        let (row, column) = (cell / self.across, cell % self.across);
        let down = self.sums.len() / self.across;
        let (mut sum, mut count) = (0.0, 0);
        for y in row.saturating_sub(1)..=(row + 1).min(down - 1) {
            for x in column.saturating_sub(1)..=(column + 1).min(self.across - 1) {
                let (cell_sum, cell_count) = self.sums[y * self.across + x];
                sum += cell_sum;
                count += cell_count;
            }
        }
        (count > 0).then(|| sum / f64::from(count))
    }
}

/// How an item falls short; none where it stands out.
fn weakness(
    over: &OverCamera<'_>,
    ground: &Ground,
    around: &Cells,
    item: &Item,
    limit: f64,
    share: f64,
) -> Option<Weak> {
    let mut pixels: Vec<(usize, u8, usize)> = Vec::new();
    let mut core = 0_u64;
    for run in item
        .marks
        .iter()
        .flat_map(|&mark| ground.marks.runs_of(mark))
    {
        core += u64::from(run.length());
        for x in run.start..run.end {
            let at = over
                .raster
                .index(ground.bounds.x + x, ground.bounds.y + run.y);
            if over.fates.as_slice()[at] == Fate::Solid as u8 {
                let cell =
                    (run.y / around.side) as usize * around.across + (x / around.side) as usize;
                let strength =
                    ground.strength[run.y as usize * ground.bounds.width as usize + x as usize];
                pixels.push((cell, strength, at));
            }
        }
    }
    // What the key does not keep solid is another finding's.
    if 2 * pixels.len() as u64 <= core {
        return None;
    }
    pixels.sort_unstable();
    let mut cells: Vec<(f64, usize, f64, [u8; 3])> = Vec::new();
    for cell in pixels.chunk_by(|a, b| a.0 == b.0) {
        let strongest = f64::from(cell[cell.len() - 1].1);
        let Some(behind) = around.mean_around(cell[0].0) else {
            continue;
        };
        let firm = cell.partition_point(|pixel| f64::from(pixel.1) < UNSOFTENED * strongest);
        let mut sum = [0_u64; 3];
        for pixel in &cell[firm..] {
            for (sum, code) in sum.iter_mut().zip(over.keyed.composite()[pixel.2]) {
                *sum += u64::from(code);
            }
        }
        let count = (cell.len() - firm) as u64;
        let color = sum.map(|sum| u8::try_from(sum / count).unwrap_or(u8::MAX));
        let ratio = contrast_ratio(relative_luminance(color), behind);
        cells.push((ratio, cell.len(), behind, color));
    }
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: usize = cells.iter().map(|cell| cell.1).sum();
    let mut passed = 0;
    let at_share = cells.iter().find(|cell| {
        passed += cell.1;
        passed as f64 > share * all as f64
    })?;
    (at_share.0 < limit).then(|| Weak {
        bounds: ground.in_output(item.bounds),
        ratio: at_share.0,
        behind: at_share.2,
        color: at_share.3,
    })
}

/// The finding for what stands out too little.
fn finding(over: &OverCamera<'_>, weak: &[Weak], what: &str, limit: f64) -> Option<Finding> {
    let worst = weak.iter().min_by(|a, b| a.ratio.total_cmp(&b.ratio))?;
    let bounds = weak
        .iter()
        .map(|item| item.bounds)
        .reduce(PixelBox::union)?;
    let cure = match lighter(worst.color, worst.behind, limit) {
        Some([r, g, b]) => format!(
            "Recolour it #{r:02X}{g:02X}{b:02X} or lighter, which reaches {limit}, or put a dark plate behind it."
        ),
        None => plate_cure(over, worst, limit),
    };
    let [told_ratio, told_limit] = told_apart(worst.ratio, limit, 2);
    Some(Finding {
        kind: Kind::Contrast,
        severity: Severity::Warn,
        bounds: Some(bounds),
        measured: worst.ratio,
        limit,
        unit: Unit::Ratio,
        advice: format!(
            "{what} a contrast of {told_ratio} to what is behind over this camera; {told_limit} is needed. {cure}"
        ),
        camera: Some(over.name.to_owned()),
    })
}

/// The nearest lighter colour of the same hue that reaches a contrast; none where white does not.
fn lighter(color: [u8; 3], behind: f64, limit: f64) -> Option<[u8; 3]> {
    (0..=255_u8).find_map(|step| {
        let mixed = color.map(|code| {
            let rest = u16::from(u8::MAX - code) * u16::from(step) / 255;
            code.saturating_add(u8::try_from(rest).unwrap_or(u8::MAX))
        });
        (contrast_ratio(relative_luminance(mixed), behind) >= limit).then_some(mixed)
    })
}

/// What to do where no colour is light enough.
fn plate_cure(over: &OverCamera<'_>, worst: &Weak, limit: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a percentage as a code"
    )]
    let code = (255.0 * over.key.threshold_frac() + 255.0 * over.key.softness_frac())
        .ceil()
        .clamp(0.0, 255.0) as u8;
    let plate = relative_luminance([code; 3]);
    // The lightest ground on which the colour still passes, as a grey.
    let most = (relative_luminance(worst.color) + 0.05) / limit - 0.05;
    if most < plate {
        return "No colour stands out there: move it to where the picture is darker, or put a plate behind it \
                and use a lighter colour."
            .to_owned();
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0..=1 as a code, rounded down so that it passes"
    )]
    let lightest = (255.0 * f64::from(srgb_encode(most as f32)))
        .floor()
        .clamp(0.0, 255.0) as u8;
    format!(
        "No lighter colour is enough there: put a plate behind it, no lighter than \
         #{lightest:02X}{lightest:02X}{lightest:02X} and no darker than #{code:02X}{code:02X}{code:02X}, the darkest \
         that the key keeps, or move it to where the picture is darker."
    )
}
