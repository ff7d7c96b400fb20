//! How wide thin strokes are, to a fraction of a pixel, by the coverage that their soft edges show.

use super::marks::{FAINTEST_CODES, Ground};
use crate::measure::raster::pixel_box::PixelBox;

/// Least length of a stroke, px, and in widths. Source: chosen; shorter ones are tips and dots.
const SHORTEST_PX: f64 = 6.0;
const SHORTEST_WIDTHS: f64 = 4.0;
/// Ratio of the upper to the lower quartile of a stroke's widths over which it is a tip. Source: chosen;
/// a line has 1, a tip that grows evenly from nothing has 3.
const TAPER: f64 = 2.0;
/// Strength beside a stroke, over its own, from which it is a rim of something wider. Source: chosen, half.
const MOST_BESIDE: f64 = 0.5;
/// Rows over which a stroke's slope is taken. Source: chosen.
const SLOPE_ROWS: usize = 4;

/// Enlargements of the slide at which a line of one of its pixels is thin and soft, and its peak may lie between two
/// pixels of the output. Source: under the first, two pixels of the file can look like one; at the second, one is 2 px.
const SOFT_ENLARGEMENTS: std::ops::Range<f64> = 1.1..2.0;
/// How much wider than a line of one pixel of the file a cut may look and be one, px. Source: chosen, for 8-bit codes; at
/// the least enlargement a line of two pixels looks 0.27 px wider than the widest look of one.
const SOFT_SLACK_PX: f64 = 0.05;

/// A thin stroke of a mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Which mark of the ground it belongs to.
    pub mark: usize,
    /// Its width, px.
    pub width_px: f64,
    /// Its length, px.
    pub length_px: f64,
    /// Columns that it moves a row, or rows a column, whichever is less: 0 straight, 1 at 45 degrees.
    pub slope: f64,
    /// Pixels of its core.
    pub core_px: u64,
    /// Its full strength, 8-bit codes.
    pub strength: f64,
    /// The box of its core, from the top left of the ground's box.
    pub bounds: PixelBox,
}

/// A short cut across a mark, along a row (`lane` = y) or along a column (`lane` = x).
#[derive(Clone, Copy, Debug)]
struct Cut {
    mark: usize,
    lane: u32,
    start: u32,
    end: u32,
    /// Strength above what is beside the cut, summed over it and its soft ends.
    sum: f64,
    /// The most of it in one pixel.
    peak: f64,
    /// From the middle of that strength to the nearest middle of a pixel, px.
    off_px: f64,
    /// Strength beside it on the stronger side.
    beside: f64,
}

/// The strokes thinner than `widest_px`, by rows and by columns.
///
/// A cut's coverage is the sum of the strength along it over the stroke's full strength; a straight
/// stroke of slope k against the cuts' normal has width = coverage / sqrt(1 + k²). On a slide that is enlarged by
/// `enlargement` across and down, no pixel of the output may show the full strength of a line of one pixel of the file: see `crest`.
pub fn thin_strokes(ground: &Ground, widest_px: f64, enlargement: [f64; 2]) -> Vec<Stroke> {
    let [enlargement_across, enlargement_down] = enlargement;
    let longest_cut = (widest_px * std::f64::consts::SQRT_2).ceil() + 1.0;
    let across = cuts_of_rows(ground, longest_cut);
    let down = cuts_of_columns(ground, longest_cut);
    let mut strokes = chained(&across, enlargement_across);
    // A stroke at 45 degrees is found both ways and counts along rows.
    strokes.retain(|stroke| stroke.slope <= 1.0);
    let down = chained(&down, enlargement_down)
        .into_iter()
        .filter(|stroke| stroke.slope < 1.0);
    strokes.extend(down.map(|stroke| Stroke {
        bounds: PixelBox {
            x: stroke.bounds.y,
            y: stroke.bounds.x,
            width: stroke.bounds.height,
            height: stroke.bounds.width,
        },
        ..stroke
    }));
    strokes.retain(|stroke| stroke.width_px < widest_px);
    strokes
}

/// The short cuts along rows, by row, then by column.
fn cuts_of_rows(ground: &Ground, longest_cut: f64) -> Vec<Cut> {
    let runs = ground.core.as_slice().iter().enumerate();
    runs.filter(|(_, run)| f64::from(run.length()) <= longest_cut)
        .map(|(i, run)| {
            let along = |x: i64| {
                let y = i64::from(run.y);
                ground.covers(x, y).then(|| ground.strength_at(x, y))
            };
            cut(
                ground.marks.label_of_run(i),
                run.y,
                run.start,
                run.end,
                along,
            )
        })
        .collect()
}

/// The short cuts along columns, by column, then by row.
fn cuts_of_columns(ground: &Ground, longest_cut: f64) -> Vec<Cut> {
    let core = &ground.core;
    let mut tops = vec![0_u32; core.size().width() as usize];
    let mut cuts = Vec::new();
    let mut index = 0;
    for y in 0..core.size().height() {
        let above = y.checked_sub(1).map_or(&[][..], |y| core.row(y));
        let below = if y + 1 < core.size().height() {
            core.row(y + 1)
        } else {
            &[]
        };
        for &run in core.row(y) {
            run.uncovered_by(above, |x| tops[x as usize] = y);
            run.uncovered_by(below, |x| {
                let (start, end) = (tops[x as usize], y + 1);
                if f64::from(end - start) <= longest_cut {
                    let along = |y: i64| {
                        let x = i64::from(x);
                        ground.covers(x, y).then(|| ground.strength_at(x, y))
                    };
                    cuts.push(cut(ground.marks.label_of_run(index), x, start, end, along));
                }
            });
            index += 1;
        }
    }
    cuts.sort_unstable_by_key(|cut| (cut.lane, cut.start));
    cuts
}

/// Measures a cut. `along` is none beside a plate, where a cut is the plate's own edge.
fn cut(mark: usize, lane: u32, start: u32, end: u32, along: impl Fn(i64) -> Option<u8>) -> Cut {
    let (a, b) = (i64::from(start), i64::from(end));
    let at = |i: i64| f64::from(along(i).unwrap_or(0));
    let at_edge = along(a - 1).is_none() || along(b).is_none();
    let (before, after) = (at(a - 1).min(at(a - 2)), at(b).min(at(b + 1)));
    let (base, beside) = (before.min(after), before.max(after));
    let core = (a..b).map(at);
    let peak = core.clone().fold(0.0, f64::max) - base;
    let soft_ends = [at(a - 1) - before, at(b) - after];
    let sum = core.clone().map(|s| s - base).sum::<f64>() + soft_ends[0] + soft_ends[1];
    // In middles of pixels from the first of the core on.
    let [first, last] = [-1.0, (b - a) as f64];
    let moment = (0..).zip(core).map(|(i, s)| f64::from(i) * (s - base));
    let moment = moment.sum::<f64>() + first * soft_ends[0] + last * soft_ends[1];
    let middle = moment / sum.max(1.0);
    Cut {
        mark,
        lane,
        start,
        end,
        sum,
        peak,
        off_px: (middle - middle.round()).abs(),
        beside: if at_edge {
            f64::INFINITY
        } else {
            beside - base
        },
    }
}

/// The full strength of the stroke that a cut goes through.
///
/// A line of one pixel of a file that is enlarged by `e`, linearly between middles of pixels, is `1 - |d| / e` strong at
/// the distance `d` from its middle. Of a cut that looks no wider than that, at the distance `off` that its own middle
/// has from one of a pixel, the peak is `1 - off / e` of the full strength; of any other it is the full strength.
fn crest(cut: &Cut, enlargement: f64) -> f64 {
    if !SOFT_ENLARGEMENTS.contains(&enlargement) {
        return cut.peak;
    }
    let strength = |distance: f64| (1.0 - distance.abs() / enlargement).max(0.0);
    let shown = strength(cut.off_px);
    let of_one_pixel: f64 = (-2..=2).map(|i| strength(cut.off_px + f64::from(i))).sum();
    let looks_like_one = cut.sum <= (of_one_pixel / shown + SOFT_SLACK_PX) * cut.peak;
    if looks_like_one {
        cut.peak / shown
    } else {
        cut.peak
    }
}

/// Chains of cuts in neighbouring lanes, as strokes whose boxes have the lanes down.
fn chained(cuts: &[Cut], enlargement: f64) -> Vec<Stroke> {
    let mut strokes = Vec::new();
    let mut open: Vec<Vec<Cut>> = Vec::new();
    let mut rest = cuts;
    while let Some(&Cut { lane, .. }) = rest.first() {
        let (row, later) = rest.split_at(rest.partition_point(|cut| cut.lane == lane));
        rest = later;
        let mut before = std::mem::take(&mut open).into_iter().peekable();
        for &cut in row {
            let mut chain = Vec::new();
            while let Some(candidate) =
                before.next_if(|chain| chain.last().is_some_and(|last| last.start <= cut.end))
            {
                if candidate.last().is_some_and(|last| follows(last, &cut)) && chain.is_empty() {
                    chain = candidate;
                } else {
                    strokes.extend(stroke(&candidate, enlargement));
                }
            }
            chain.push(cut);
            open.push(chain);
        }
        for chain in before {
            strokes.extend(stroke(&chain, enlargement));
        }
    }
    for chain in open {
        strokes.extend(stroke(&chain, enlargement));
    }
    strokes
}

/// Whether a cut goes on where another ended: in the next lane of the same mark, touching at least at a corner.
fn follows(last: &Cut, cut: &Cut) -> bool {
    let touching = cut.start <= last.end && last.start <= cut.end;
    last.mark == cut.mark && last.lane + 1 == cut.lane && touching
}

/// What a chain measures; none where it is no thin stroke.
fn stroke(chain: &[Cut], enlargement: f64) -> Option<Stroke> {
    let (first, last) = (chain.first()?, chain.last()?);
    let middle = |cut: &Cut| f64::from(cut.start + cut.end) / 2.0;
    let step = SLOPE_ROWS.min(chain.len() - 1).max(1);
    let shifts: Vec<f64> = chain
        .windows(step + 1)
        .map(|w| (middle(&w[step]) - middle(&w[0])).abs() / step as f64)
        .collect();
    let slope = shifts.iter().sum::<f64>() / shifts.len().max(1) as f64;
    let stretch = (1.0 + slope * slope).sqrt();
    let mut sums: Vec<f64> = chain.iter().map(|cut| cut.sum).collect();
    let mut peaks: Vec<f64> = chain.iter().map(|cut| crest(cut, enlargement)).collect();
    // The cut whose pixels hit the stroke's middle shows its full strength; nine in ten are weaker.
    let full = share_of(&mut peaks, 0.9);
    let width_px = share_of(&mut sums, 0.5) / full.max(1.0) / stretch;
    let length_px = chain.len() as f64 * stretch;
    let even = share_of(&mut sums, 0.75) <= TAPER * share_of(&mut sums, 0.25);
    let long = length_px >= SHORTEST_PX.max(SHORTEST_WIDTHS * width_px);
    let start = chain.iter().map(|cut| cut.start).min()?;
    let end = chain.iter().map(|cut| cut.end).max()?;
    // A cut between lighter things beside it is a gap, and one with as much beside it on one side is a rim.
    let visible = full >= f64::from(FAINTEST_CODES);
    let mut besides: Vec<f64> = chain.iter().map(|cut| cut.beside).collect();
    let free = share_of(&mut besides, 0.5) < MOST_BESIDE * full;
    (even && long && visible && free).then(|| Stroke {
        mark: first.mark,
        width_px,
        length_px,
        slope,
        core_px: chain.iter().map(|cut| u64::from(cut.end - cut.start)).sum(),
        strength: full,
        bounds: PixelBox {
            x: start,
            y: first.lane,
            width: end - start,
            height: last.lane + 1 - first.lane,
        },
    })
}

/// The value that a share of the values is at or under. The values are reordered.
fn share_of(values: &mut [f64], share: f64) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place among the values"
    )]
    let place = (share * (values.len() - 1) as f64).round() as usize;
    *values.select_nth_unstable_by(place, f64::total_cmp).1
}
