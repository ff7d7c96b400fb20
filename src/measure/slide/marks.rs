//! Marks: what is drawn on a ground, taken apart at half of its strength, so that neighbouring
//! characters stay apart where their soft edges touch. The ground is the slide's background or a plate.

use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::statistics::middle::middle_of;
use crate::pixel::settings::Size;

/// Least difference of a mark from its ground, 8-bit codes. Source: WCAG 2.2 contrast of 1.1 on black is code 16.
pub(super) const FAINTEST_CODES: u8 = 16;
/// Reach of the search for the strength that a pixel is compared with. Source: chosen, soft edges are under 2 px wide.
const REACH_PX: usize = 2;
/// Least sides of a plate, px, and least share of its box that it covers. Source: chosen, what a short word fits on.
const PLATE_SIDES_PX: (u32, u32) = (24, 12);
const PLATE_FILL: f64 = 0.5;
/// Least share of a plate that has one colour. Source: chosen, over the ink of the densest text on it.
const PLATE_ONE_COLOUR: f64 = 0.4;
/// Pixels of a plate that are looked at for its colour. Source: chosen.
const PLATE_SAMPLES: u64 = 4096;
/// Width of a plate's rim, whose soft edge is no mark on it, px. Source: as [`REACH_PX`].
const RIM_PX: u32 = 2;

/// An 8-bit R'G'B' raster.
#[derive(Clone, Copy, Debug)]
pub struct Codes<'a> {
    /// Width and height.
    pub size: Size,
    /// Pixels row by row; the fourth byte does not count.
    pub pixels: &'a [[u8; 4]],
}

/// The marks on one ground. Positions are from the top left of the ground's box.
#[derive(Clone, Debug)]
pub struct Ground {
    /// The box that was looked at, in output pixels.
    pub bounds: PixelBox,
    /// The ground's colour, 8-bit codes.
    pub color: [u8; 3],
    /// How far each pixel is from the ground's colour, the largest of the three channels, 8-bit codes.
    pub strength: Vec<u8>,
    /// The marks: pixels of at least half the strength around them, joined over sides and corners.
    pub marks: Components,
    /// The runs that the marks are made of.
    pub core: Runs,
    /// Of a plate, from where to where each row was looked at; empty rows have no end after their start.
    rows: Option<Vec<(u32, u32)>>,
}

impl Ground {
    /// How far a pixel is from the ground's colour; 0 outside the box.
    pub fn strength_at(&self, x: i64, y: i64) -> u8 {
        let (width, height) = (i64::from(self.bounds.width), i64::from(self.bounds.height));
        let inside = (0..width).contains(&x) && (0..height).contains(&y);
        let at = usize::try_from(y * width + x).unwrap_or(usize::MAX);
        if inside {
            self.strength.get(at).copied().unwrap_or(0)
        } else {
            0
        }
    }

    /// Whether a place was looked at: it is on the plate, not on its soft rim or beside it.
    pub fn covers(&self, x: i64, y: i64) -> bool {
        self.rows.as_ref().is_none_or(|rows| {
            let row = usize::try_from(y).ok().and_then(|y| rows.get(y));
            row.is_some_and(|&(start, end)| (i64::from(start)..i64::from(end)).contains(&x))
        })
    }

    /// A box of this ground in output pixels.
    pub fn in_output(&self, bounds: PixelBox) -> PixelBox {
        PixelBox {
            x: bounds.x + self.bounds.x,
            y: bounds.y + self.bounds.y,
            ..bounds
        }
    }

    /// The slide's background. `content` is what is looked at: content without photographs and noise.
    pub fn background(codes: Codes<'_>, color: [u8; 3], content: &Runs) -> Option<Self> {
        let whole = PixelBox {
            x: 0,
            y: 0,
            width: codes.size.width(),
            height: codes.size.height(),
        };
        Self::new(codes, whole, color, content.as_slice())
    }

    fn new(codes: Codes<'_>, bounds: PixelBox, color: [u8; 3], region: &[Run]) -> Option<Self> {
        let size = Size::new(bounds.width, bounds.height).ok()?;
        let width = size.width() as usize;
        let mut strength = vec![0; size.area()];
        for run in region {
            let from = run.y as usize * width;
            let to = &mut strength[from + run.start as usize..from + run.end as usize];
            let first = (run.y + bounds.y) as usize * codes.size.width() as usize
                + (run.start + bounds.x) as usize;
            for (s, code) in to.iter_mut().zip(&codes.pixels[first..]) {
                *s = difference(*code, color);
            }
        }
        let half = at_least_half(&strength, width);
        let core = Runs::of_bytes(size, &half, |byte| byte > 0);
        let marks = Components::of(&core, Neighbours::EIGHT);
        Some(Self {
            bounds,
            color,
            strength,
            marks,
            core,
            rows: None,
        })
    }
}

/// The largest difference of the three channels.
pub(crate) fn difference(a: [u8; 4], b: [u8; 3]) -> u8 {
    let [r, g, b] = [0, 1, 2].map(|c: usize| a[c].abs_diff(b[c]));
    r.max(g).max(b)
}

/// 1 where the strength is more than half of the most around it, and not too faint.
fn at_least_half(strength: &[u8], width: usize) -> Vec<u8> {
    let mut half = vec![0; strength.len()];
    let rows: Vec<&[u8]> = strength.chunks_exact(width).collect();
    let empty: Vec<bool> = rows.iter().map(|row| row.iter().all(|&s| s == 0)).collect();
    let window = 2 * REACH_PX + 1;
    // Of the last rows, the most along each row; row y lies at y modulo the window.
    let mut along = vec![vec![0_u8; width]; window];
    let fill = |along: &mut Vec<u8>, y: usize| {
        along.fill(0);
        if y >= rows.len() || empty[y] {
            return;
        }
        for shift in 0..=REACH_PX.min(width - 1) {
            let (to, from) = (&mut along[shift..], rows[y]);
            to.iter_mut().zip(from).for_each(|(m, &s)| *m = (*m).max(s));
            let (to, from) = (&mut along[..], &rows[y][shift..]);
            to.iter_mut().zip(from).for_each(|(m, &s)| *m = (*m).max(s));
        }
    };
    for y in 0..REACH_PX {
        fill(&mut along[y % window], y);
    }
    let mut most = vec![0_u8; width];
    for (y, half) in half.chunks_exact_mut(width).enumerate() {
        fill(&mut along[(y + REACH_PX) % window], y + REACH_PX);
        if empty[y] {
            continue;
        }
        most.copy_from_slice(&along[0]);
        for row in &along[1..] {
            most.iter_mut()
                .zip(row)
                .for_each(|(m, &s)| *m = (*m).max(s));
        }
        for ((half, &s), &most) in half.iter_mut().zip(rows[y]).zip(&most) {
            *half = u8::from(s >= FAINTEST_CODES) & u8::from(s >= most - most / 2);
        }
    }
    half
}

/// The marks of a ground that are plates, with marks of their own on them. `budget_px` is what may still
/// be looked at in all; characters are passed over.
pub fn plates_on(
    codes: Codes<'_>,
    ground: &Ground,
    is_character: &[bool],
    budget_px: &mut u64,
) -> Vec<Ground> {
    let mut plates = Vec::new();
    for (i, mark) in ground.marks.list().iter().enumerate() {
        let area = mark.bounds.area();
        let large = mark.bounds.width >= PLATE_SIDES_PX.0 && mark.bounds.height >= PLATE_SIDES_PX.1;
        let full = mark.area as f64 >= PLATE_FILL * area as f64;
        if is_character[i] || !large || !full || area > *budget_px {
            continue;
        }
        let runs = ground.marks.runs_of(i);
        let Some(color) = one_color(codes, ground.bounds, runs, mark.area) else {
            continue;
        };
        *budget_px -= area;
        let region = inner_rows(runs, mark.bounds);
        let bounds = ground.in_output(mark.bounds);
        let mut rows = vec![(0, 0); mark.bounds.height as usize];
        for run in &region {
            rows[run.y as usize] = (run.start, run.end);
        }
        let plate = Ground::new(codes, bounds, color, &region);
        plates.extend(
            plate
                .filter(|plate| !plate.marks.list().is_empty())
                .map(|plate| Ground {
                    rows: Some(rows),
                    ..plate
                }),
        );
    }
    plates
}

/// The colour that most of a plate has; none where there is no such colour.
fn one_color(codes: Codes<'_>, origin: PixelBox, runs: &[Run], area: u64) -> Option<[u8; 3]> {
    let step = usize::try_from(area / PLATE_SAMPLES + 1).ok()?;
    let mut samples: Vec<[u8; 3]> = Vec::new();
    let mut skip = 0;
    for run in runs {
        let row = (run.y + origin.y) as usize * codes.size.width() as usize;
        let first = row + (run.start + origin.x) as usize;
        let mut x = skip;
        while x < run.length() as usize {
            let [r, g, b, _] = codes.pixels[first + x];
            samples.push([r, g, b]);
            x += step;
        }
        skip = x - run.length() as usize;
    }
    // The median of each channel is the one colour wherever there is one that covers over half.
    let mut median = [0; 3];
    for (c, median) in median.iter_mut().enumerate() {
        let mut channel: Vec<u8> = samples.iter().map(|sample| sample[c]).collect();
        *median = middle_of(&mut channel, u8::cmp)?;
    }
    let near = |s: &&[u8; 3]| difference([s[0], s[1], s[2], 0], median) < FAINTEST_CODES / 2;
    let share = samples.iter().filter(near).count() as f64 / samples.len() as f64;
    (share >= PLATE_ONE_COLOUR).then_some(median)
}

/// From the first to the last pixel of each row of a plate, from the top left of its box, without its soft rim.
fn inner_rows(runs: &[Run], bounds: PixelBox) -> Vec<Run> {
    let mut hulls: Vec<(u32, u32)> = vec![(u32::MAX, 0); bounds.height as usize];
    for run in runs {
        let hull = &mut hulls[(run.y - bounds.y) as usize];
        *hull = (
            hull.0.min(run.start - bounds.x),
            hull.1.max(run.end - bounds.x),
        );
    }
    let window = 2 * RIM_PX as usize + 1;
    let inner = hulls.windows(window).zip(0..);
    inner
        .filter_map(|(rows, y)| {
            let start = rows.iter().map(|row| row.0).max()?.saturating_add(RIM_PX);
            let end = rows.iter().map(|row| row.1).min()?.saturating_sub(RIM_PX);
            let y = y + RIM_PX;
            (start < end).then_some(Run { y, start, end })
        })
        .collect()
}
