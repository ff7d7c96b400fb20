//! Backgrounds that are not one colour: what leads from the background's colour on without an edge.

use super::pieces::Content;
use super::slide_raster::SlideRaster;
use crate::measure::raster::bits::Bits;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::sides::sides;

/// Codes by which neighbours of a gradient differ at most; more in a lossy file. Source: chosen; white to
/// black over a tenth of an HD slide's height is 2.4 codes a row.
const STEP_CODES: u8 = 2;
const STEP_CODES_LOSSY: u8 = 4;
/// How far from known background its colour comes again inside a letter, of the slide's height.
/// Source: chosen; counters are narrower than letters are high.
const COUNTER_REACH: f64 = 0.08;
/// Steps by which it differs then. Source: chosen, for gradients across a letter.
const COUNTER_STEPS: u8 = 3;

/// The content that is background after all: gradients and soft shadows that begin at the background's
/// colour. Photographs are none.
pub(crate) fn grown_background(
    raster: &SlideRaster,
    content: &Content,
    is_painted: &Bits,
    photographs: &[PixelBox],
    background: [u8; 3],
    lossy: bool,
) -> Bits {
    let size = raster.size();
    let off_background = content.tolerance_codes().saturating_add(step_of(lossy));
    let content = content.mask();
    let step = step_of(lossy);
    let mut open = is_painted.clone();
    for bounds in photographs {
        for y in bounds.y..bounds.bottom() {
            for x in bounds.x..bounds.right() {
                open.set(x, y, false);
            }
        }
    }
    let near = |a: [u8; 3], b: [u8; 3], codes: u8| (0..3).all(|c| a[c].abs_diff(b[c]) <= codes);
    let is_near =
        |a: (u32, u32), b: (u32, u32)| near(raster.color(a.0, a.1), raster.color(b.0, b.1), step);
    let around = |place| sides(size, place);
    let mut ground = Bits::of(&content.without(content));
    let is_content = Bits::of(content);
    let mut waiting: Vec<(u32, u32)> = Vec::new();
    for run in content.as_slice() {
        for x in run.start..run.end {
            let place = (x, run.y);
            // Compression noise beside edges is no content either, and need not be background.
            let leads_on = |other: (u32, u32)| {
                !is_content.get(other.0, other.1)
                    && is_near(place, other)
                    && near(raster.color(other.0, other.1), background, off_background)
            };
            if open.get(x, run.y) && around(place).any(leads_on) {
                open.set(x, run.y, false);
                waiting.push(place);
            }
        }
    }
    let grow = |waiting: &mut Vec<(u32, u32)>, open: &mut Bits, ground: &mut Bits| {
        while let Some(place) = waiting.pop() {
            ground.set(place.0, place.1, true);
            for other in around(place) {
                if open.get(other.0, other.1) && is_near(place, other) {
                    open.set(other.0, other.1, false);
                    waiting.push(other);
                }
            }
        }
    };
    grow(&mut waiting, &mut open, &mut ground);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small share of a side"
    )]
    let reach = (COUNTER_REACH * f64::from(size.height())) as u32;
    let (width, height) = (size.width(), size.height());
    let rows = (0..height).map(|y| (0..width).map(|x| (x, y)).collect::<Vec<_>>());
    let columns = (0..width).map(|x| (0..height).map(|y| (x, y)).collect());
    for line in rows.chain(columns) {
        let mut last = None;
        for (at, &place) in (0_u32..).zip(&line) {
            if ground.get(place.0, place.1) {
                last = Some((at, place));
                continue;
            }
            let Some((from, known)) = last else { continue };
            let (color, known) = (
                raster.color(place.0, place.1),
                raster.color(known.0, known.1),
            );
            if at - from <= reach
                && open.get(place.0, place.1)
                && near(color, known, COUNTER_STEPS * step)
            {
                open.set(place.0, place.1, false);
                waiting.push(place);
                grow(&mut waiting, &mut open, &mut ground);
            }
        }
    }
    ground
}

fn step_of(lossy: bool) -> u8 {
    if lossy { STEP_CODES_LOSSY } else { STEP_CODES }
}
