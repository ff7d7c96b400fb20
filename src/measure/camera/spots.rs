//! Spots of the backdrop that are brighter than their surroundings, from one pixel to a broad glow.

use super::cell_means::{CellExcess, CellMeans};
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Cell sizes that are looked at: 1, 2, 4, ... px. Source: chosen; the largest tells glows of a third of the height.
const SIZES: usize = 7;
/// Share of its peak from which a place belongs to a spot. Source: chosen; a round glow ends two deviations out.
const RIM_SHARE: f64 = 0.15;
/// Deviations of noise over which it has to be there. Source: chosen, one place in a thousand.
const RIM_DEVIATIONS: f64 = 3.0;
/// How much a ridge has to rise over the valleys beside it, a share of the spot's peak and deviations of noise.
/// Source: chosen; the noise of a line of a thousand cells spans seven deviations.
const RIDGE_SHARE: f64 = 0.25;
const RIDGE_DEVIATIONS: f64 = 8.0;
/// The same at least, codes. Source: chosen; steps that compression leaves of a slow change.
const RIDGE_CODES: f64 = 2.0;
/// How fine cells are in which ridges are counted: such that eight deviations are at most this share of the peak.
/// Source: chosen.
const RIDGE_CELL_SHARE: f64 = 0.35;

/// A spot.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Its box.
    pub bounds: PixelBox,
    /// How far its brightest cell is over what surrounds it, codes, at the size of cell where that is surest.
    pub peak_codes: f64,
    /// What noise alone exceeds 0.01 times a frame at that size, codes.
    pub noise_limit_codes: f64,
    /// How much longer than wide it is, 1 for a round one.
    pub elongation: f64,
    /// Ridges that a line across it meets, in the direction with most of them.
    pub ridges: u32,
}

/// Finds every spot that is `least_codes` over its surroundings and more than noise. The noise is that of pixels' luma,
/// with what black cuts off put back; 0 where it is not known.
pub fn find_spots(pixels: CellMeans, size: Size, least_codes: f64, noise_codes: f64) -> Vec<Spot> {
    let mut levels = vec![pixels];
    for at in 0..SIZES {
        levels.push(levels[at].halved());
    }
    let excesses: Vec<CellExcess> = levels
        .windows(2)
        .map(|pair| pair[0].excess_over(&pair[1], noise_codes))
        .collect();
    let limits: Vec<f64> = excesses
        .iter()
        .map(|excess| excess.noise_limit_codes.max(least_codes))
        .collect();
    let found = painted(&levels, &excesses, &limits, size);
    let parts = Components::of(&found, Neighbours::Within(2));
    (0..parts.list().len())
        .filter_map(|part| measure_spot(&levels, &excesses, &limits, parts.runs_of(part), size))
        .collect()
}

/// The pixels of every cell that is over the limit of its size.
fn painted(levels: &[CellMeans], excesses: &[CellExcess], limits: &[f64], size: Size) -> Runs {
    let sizes = levels.iter().zip(excesses).zip(limits);
    let over = sizes.flat_map(|((level, excess), &limit)| {
        let cells = excess.codes.iter().enumerate();
        let cells = cells.filter(move |(_, code)| f64::from(**code) > limit);
        cells.map(|(at, _)| {
            let [column, row] = level.place(at);
            PixelBox {
                x: column * level.cell_px,
                y: row * level.cell_px,
                width: level.cell_px,
                height: level.cell_px,
            }
        })
    });
    Runs::of_boxes(size, over)
}

/// Which cell of a level holds a pixel.
fn cell_at(level: &CellMeans, x: u32, y: u32) -> usize {
    (y / level.cell_px) as usize * level.across + (x / level.cell_px) as usize
}

/// The cells of a level that these runs touch, in order.
fn cells_of(level: &CellMeans, runs: &[Run]) -> Vec<usize> {
    let touched = runs
        .iter()
        .flat_map(|run| cell_at(level, run.start, run.y)..=cell_at(level, run.end - 1, run.y));
    let mut cells: Vec<usize> = touched.filter(|&at| !level.codes[at].is_nan()).collect();
    cells.sort_unstable();
    cells.dedup();
    cells
}

/// A spot from the pixels that were painted for it.
fn measure_spot(
    levels: &[CellMeans],
    excesses: &[CellExcess],
    limits: &[f64],
    runs: &[Run],
    size: Size,
) -> Option<Spot> {
    // The surest cell, by how many times its limit it is over its surroundings.
    let mut best = (0.0, 0, 0);
    for (index, (level, excess)) in levels.iter().zip(excesses).enumerate() {
        for run in runs {
            let cells = cell_at(level, run.start, run.y)..=cell_at(level, run.end - 1, run.y);
            for at in cells {
                let times = f64::from(excess.codes[at]) / limits[index];
                if times > best.0 {
                    best = (times, index, at);
                }
            }
        }
    }
    let (times, index, at) = best;
    let peak = times * limits[index];
    let ground = f64::from(levels[index].codes[at]) - peak;
    let fine = index.saturating_sub(2);
    let (level, deviation) = (&levels[fine], excesses[fine].deviation_codes);
    let rim = (RIM_SHARE * peak).max(RIM_DEVIATIONS * deviation);
    let over = |at: usize| f64::from(level.codes[at]) - ground;
    let is_calm = |&index: &usize| {
        RIDGE_DEVIATIONS * excesses[index].usual_deviation_codes <= RIDGE_CELL_SHARE * peak
    };
    let ridged = (0..fine).find(is_calm).unwrap_or(fine);
    let noise = RIDGE_DEVIATIONS * excesses[ridged].usual_deviation_codes;
    let rise = (RIDGE_SHARE * peak).max(noise).max(RIDGE_CODES);
    let mut cells = cells_of(level, runs);
    cells.retain(|&at| over(at) > rim);
    let place = |at: usize| level.place(at).map(f64::from);
    let side = level.cell_px;
    let bounds = cells
        .iter()
        .map(|&at| {
            let [x, y] = level.place(at).map(|v| v * side);
            PixelBox {
                x,
                y,
                width: side,
                height: side,
            }
        })
        .reduce(PixelBox::union)?;
    Some(Spot {
        bounds: inside(bounds, size),
        peak_codes: peak,
        noise_limit_codes: excesses[index].noise_limit_codes,
        elongation: elongation(cells.iter().map(|&at| (place(at), over(at)))),
        ridges: ridges(&levels[ridged], &cells_of(&levels[ridged], runs), rise),
    })
}

/// The part of a box that lies in the picture.
fn inside(bounds: PixelBox, size: Size) -> PixelBox {
    let (width, height) = (size.width(), size.height());
    PixelBox {
        width: bounds.width.min(width - bounds.x),
        height: bounds.height.min(height - bounds.y),
        ..bounds
    }
}

/// How much longer than wide weighted places spread: the root of the ratio of both main moments.
fn elongation(places: impl Iterator<Item = ([f64; 2], f64)>) -> f64 {
    let (mut w, mut sx, mut sy, mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for ([x, y], weight) in places {
        w += weight;
        sx += weight * x;
        sy += weight * y;
        xx += weight * x * x;
        xy += weight * x * y;
        yy += weight * y * y;
    }
    let (mx, my) = (sx / w, sy / w);
    // A cell spreads by itself: a twelfth of its side squared.
    let (a, b, c) = (
        xx / w - mx * mx + 1.0 / 12.0,
        xy / w - mx * my,
        yy / w - my * my + 1.0 / 12.0,
    );
    let (half, root) = (
        f64::midpoint(a, c),
        ((a - c) * (a - c) / 4.0 + b * b).sqrt(),
    );
    ((half + root) / (half - root).max(1e-3)).sqrt()
}

/// How many ridges lines across these cells meet, down the columns or along the rows: a quarter of the lines meet as many.
fn ridges(level: &CellMeans, cells: &[usize], rise: f64) -> u32 {
    let counted = |key: &dyn Fn(usize) -> usize, other: &dyn Fn(usize) -> usize| {
        let mut lines: Vec<(usize, usize, usize)> =
            cells.iter().map(|&at| (key(at), other(at), at)).collect();
        lines.sort_unstable();
        let mut ridges: Vec<u32> = lines
            .chunk_by(|a, b| a.0 == b.0)
            .map(|line| {
                ridges_of(
                    line.iter().map(|&(_, _, at)| f64::from(level.codes[at])),
                    rise,
                )
            })
            .collect();
        ridges.sort_unstable();
        ridges.get(ridges.len() * 3 / 4).copied().unwrap_or(0)
    };
    let (x, y) = (|at: usize| at % level.across, |at: usize| at / level.across);
    counted(&x, &y).max(counted(&y, &x))
}

/// Ridges of a line: places from which it falls by `rise` on the way to the next; at least one.
fn ridges_of(line: impl Iterator<Item = f64>, rise: f64) -> u32 {
    let (mut ridges, mut high, mut low) = (1, f64::MIN, f64::MAX);
    let mut is_falling = false;
    for code in line {
        if is_falling {
            low = low.min(code);
            if code > low + rise {
                ridges += 1;
                is_falling = false;
                high = code;
            }
        } else {
            high = high.max(code);
            if code < high - rise {
                is_falling = true;
                low = code;
            }
        }
    }
    ridges
}
