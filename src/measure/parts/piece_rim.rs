//! What is seen from the rim of a piece that may be ink: how sharply and against what it ends.

use super::ink_colors::{NOTHING, PALE};
use super::ink_pieces::PieceFrame;
use crate::measure::raster::distance::Distances;
use crate::measure::raster::pixel_box::PixelBox;

/// Sides and corners are looked at every so many pixels of a large rim. Source: chosen, a thousand looks are enough.
const MOST_LOOKS: usize = 1500;
/// How far outside of the rim the picture is looked at, px in a frame 1080 high: just beside it, beyond blur,
/// within its glow, and beyond that. Source: chosen; a lens blurs 2 px, ink glows some 15.
const LOOKS_PX: [f64; 4] = [2.0, 3.0, 5.0, 20.0];
/// Where it is asked whether what is around is lit, px in a frame 1080 high. Source: chosen; beyond the blur and most of the
/// glow, still within the letter's neighbourhood.
const AROUND_PX: f64 = 11.0;

/// How much brighter than the backdrop what is around is at most to be as dark, and from where on it is lit, a share of the
/// piece's contrast. Source: chosen; a stroke's glow leaves 5 % there.
const DIM: f64 = 0.1;
const LIT: f64 = 0.25;

/// What is seen from a piece's rim.
#[derive(Debug, Default)]
pub(super) struct Rim {
    pub sharpness: f64,
    pub open: f64,
    pub lit_around: f64,
    pub beside_other: f64,
    pub glow: f64,
    pub darker: f64,
    pub dark_around: f64,
    pub backing: f64,
}

impl Rim {
    /// Looks outwards to the four sides from pixels of the rim.
    pub(super) fn look(
        frame: &PieceFrame<'_>,
        class: u8,
        bounds: PixelBox,
        distances: &Distances,
        strength: f64,
        mean: [f64; 3],
    ) -> Self {
        let size = frame.camera.size();
        let (width, height) = (i64::from(size.width()), i64::from(size.height()));
        let scale = f64::from(size.height()) / 1080.0;
        #[expect(clippy::cast_possible_truncation, reason = "a few pixels")]
        let px = |at_1080: f64| ((at_1080 * scale).round() as i64).max(1);
        let [beside, beyond, near, far] = LOOKS_PX.map(px);
        let around = px(AROUND_PX);
        let at = |x: i64, y: i64| {
            let inside = (0..width).contains(&x) && (0..height).contains(&y);
            inside.then(|| usize::try_from(y * width + x).unwrap_or(0))
        };
        let color = |at: usize| {
            let [r, g, b, _] = frame.camera.codes()[at];
            [r, g, b].map(f64::from)
        };
        let most = |color: [f64; 3]| color[0].max(color[1]).max(color[2]);
        let [dim, lit] = [DIM, LIT].map(|share| frame.backdrop + share * strength);
        let box_width = (bounds.width + 2) as usize;
        let squared = distances.squared_px();
        let rims: Vec<usize> = (0..squared.len()).filter(|&i| squared[i] == 1).collect();
        let every = rims.len() / MOST_LOOKS + 1;
        let (mut steep, mut open, mut others, mut looks) = (0.0, 0_u32, 0_u32, 0_u32);
        let (mut bright, mut free) = (0_u32, 0_u32);
        let (mut glow, mut glows) = (0.0, 0_u32);
        let (mut darker, mut plain) = (0_u32, 0_u32);
        let mut dark = 0_u32;
        let mut areas = Vec::new();
        for &i in rims.iter().step_by(every) {
            let x = i64::from(bounds.x) + whole(i % box_width) - 1;
            let y = i64::from(bounds.y) + whole(i / box_width) - 1;
            for (dx, dy, outside) in [
                (-1, 0, i - 1),
                (1, 0, i + 1),
                (0, -1, i - box_width),
                (0, 1, i + box_width),
            ] {
                if squared[outside] != 0 {
                    continue;
                }
                let to = |reach: i64| at(x + reach * dx, y + reach * dy);
                let (Some(inside), Some(next), Some(out)) = (to(-1), to(beside), to(beyond)) else {
                    continue;
                };
                looks += 1;
                let value = |at: usize| f64::from(frame.contrast.strength[at]);
                steep += (value(inside) - value(next)).max(0.0);
                let own = color(inside);
                let other = color(out);
                let apart = (0..3)
                    .map(|c| (own[c] - other[c]).abs())
                    .fold(0.0, f64::max);
                open += u32::from(4.0 * apart < most(own));
                if let Some(near) = to(near).filter(|&at| frame.classes[at] <= PALE) {
                    darker += u32::from(most(color(near)) > most(mean));
                    plain += 1;
                }
                others += u32::from(frame.classes[out] > PALE && frame.classes[out] != class);
                let is_free = |at: usize| frame.classes[at] == NOTHING;
                if let Some(place) = to(around).filter(|&place| is_free(place)) {
                    free += 1;
                    bright += u32::from(most(color(place)) > lit);
                    dark += u32::from(most(color(place)) <= dim);
                    let row = size.width() as usize;
                    areas.extend(frame.backings.area_at(place % row, place / row));
                }
                if let (Some(near), Some(far)) = (to(near), to(far))
                    && is_free(near)
                    && is_free(far)
                {
                    let share = own.map(|code| code / most(own).max(1.0));
                    let mean = (share[0] + share[1] + share[2]) / 3.0;
                    let along =
                        |color: [f64; 3]| (0..3).map(|c| color[c] * (share[c] - mean)).sum::<f64>();
                    glow += along(color(near)) - along(color(far));
                    glows += 1;
                }
            }
        }
        let share = |part: u32, all: u32| f64::from(part) / f64::from(all.max(1));
        Self {
            sharpness: steep / f64::from(looks.max(1)) / strength.max(1.0),
            open: share(open, looks),
            lit_around: share(bright, free),
            beside_other: share(others, looks),
            glow: glow / f64::from(glows.max(1)),
            darker: share(darker, plain),
            dark_around: share(dark, free),
            backing: backing_of(areas),
        }
    }
}

/// The area that a quarter of the looks exceeds; 0 where none saw one.
fn backing_of(mut areas: Vec<f64>) -> f64 {
    areas.sort_by(f64::total_cmp);
    areas.get(areas.len() * 3 / 4).copied().unwrap_or(0.0)
}

/// A column or row, which fits easily.
fn whole(place: usize) -> i64 {
    i64::try_from(place).unwrap_or(i64::MAX)
}
