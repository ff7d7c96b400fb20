//! How much more light there is than in another frame of the same rig, by bright things that stand still.

use super::like_frame::StillView;
use crate::measure::contrast::luminance_of_light;
use crate::measure::statistics::middle::{middle_of, reached_by_weight};
use crate::measure::still::still_map::StillMap;
use crate::measure::still::way_round::WayRound;
use crate::pixel::color::srgb_decode;
use crate::pixel::settings::Size;

/// Side of a cell, a part of the picture's longer side. Source: chosen; a shift of a pixel or two is nothing in it.
const CELLS: usize = 240;
/// How much light a thing has to have over the backdrop, a share of white. Source: chosen; 1 % of white in the code over
/// black is 0.1 % of the light.
const LEAST_LIGHT: f64 = 0.002;
/// Code from which a pixel may be clipped, and tells nothing. Source: chosen; 235 is white of video range.
const CLIP_CODE: u8 = 230;
/// Fewest cells with a thing in them. Source: chosen.
const LEAST_CELLS: usize = 12;
/// Widest middle half of the ratios that still is one ratio. Source: chosen.
const WIDEST_RATIO: f64 = 1.5;

/// Factors of light, linear by IEC 61966-2-1, over what the other frame has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightChange {
    /// Red, green and blue.
    pub channels: [f64; 3],
    /// Luminance.
    pub all: f64,
}

impl LightChange {
    /// The same in stops, brighter being positive.
    pub fn stops(&self) -> f64 {
        self.all.log2()
    }

    /// Each channel over luminance, percent: what changed of the colour.
    pub fn colour_percent(&self) -> [f64; 3] {
        self.channels
            .map(|channel| 100.0 * (channel / self.all - 1.0))
    }
}

/// Mean light of cells where all that is in them stands still and nothing clips; not a number elsewhere.
struct Cells {
    side: usize,
    across: usize,
    light: Vec<[f32; 3]>,
    counts: Vec<u16>,
}

impl Cells {
    /// Cells of a raster without anything in them yet.
    fn new(size: Size) -> Self {
        let (width, height) = (size.width() as usize, size.height() as usize);
        let side = width.max(height).div_ceil(CELLS).max(1);
        let (across, down) = (width.div_ceil(side), height.div_ceil(side));
        Self {
            side,
            across,
            light: vec![[0.0; 3]; across * down],
            counts: vec![0; across * down],
        }
    }

    /// Adds every pixel of a view to the cell of the place that `place_of` its column and row.
    fn fill(&mut self, view: StillView<'_>, place_of: impl Fn(usize, usize) -> Option<[usize; 2]>) {
        let table: Vec<f32> = (0..=u8::MAX)
            .map(|code| match code {
                CLIP_CODE.. => f32::NAN,
                _ => srgb_decode(f32::from(code) / 255.0),
            })
            .collect();
        let width = view.camera.size().width() as usize;
        let mut is_covered = vec![false; width];
        for (y, line) in view.camera.codes().chunks(width).enumerate() {
            let Ok(row) = u32::try_from(y) else { break };
            is_covered.fill(false);
            for run in view.covered.row(row) {
                is_covered[run.start as usize..run.end as usize].fill(true);
            }
            for (x, (code, is_covered)) in line.iter().zip(&is_covered).enumerate() {
                let Some([u, v]) = place_of(x, y) else {
                    continue;
                };
                let cell = (v / self.side) * self.across + u / self.side;
                let Some(light) = self.light.get_mut(cell) else {
                    continue;
                };
                if *is_covered {
                    *light = [f32::NAN; 3];
                } else {
                    for c in 0..3 {
                        light[c] += table[usize::from(code[c])];
                    }
                }
                self.counts[cell] += 1;
            }
        }
    }

    /// The mean of each cell; cells that are not three quarters full have none.
    fn means(&self) -> Vec<[f32; 3]> {
        let full = (3 * self.side * self.side / 4).max(1);
        self.light
            .iter()
            .zip(&self.counts)
            .map(|(light, &count)| {
                if usize::from(count) < full {
                    [f32::NAN; 3]
                } else {
                    light.map(|sum| sum / f32::from(count))
                }
            })
            .collect()
    }
}

/// Half of the cells have less light, for each channel.
fn black_of(cells: &[[f32; 3]]) -> Option<[f32; 3]> {
    let mut middle = [0.0; 3];
    for (c, middle) in middle.iter_mut().enumerate() {
        let mut all: Vec<f32> = cells
            .iter()
            .map(|light| light[c])
            .filter(|light| !light.is_nan())
            .collect();
        *middle = middle_of(&mut all, f32::total_cmp)?;
    }
    Some(middle)
}

/// Measures it: the ratio of what things have over the backdrop, half of all light being in things with less of it.
pub(super) fn measure_light(
    camera: StillView<'_>,
    like: StillView<'_>,
    way: WayRound,
    map: &StillMap,
) -> Option<LightChange> {
    let size = camera.camera.size();
    let (width, height) = (size.width() as usize, size.height() as usize);
    let mut own = Cells::new(size);
    own.fill(camera, |x, y| Some([x, y]));
    let mut other = Cells::new(size);
    let centre = [width as f64 / 2.0, height as f64 / 2.0];
    let like_size = like.camera.size();
    let sides = [like_size.width() as usize, like_size.height() as usize];
    other.fill(like, |x, y| {
        let [u, v] = way.place(sides, x, y);
        let [u, v] = map.apply([u as f64 + 0.5 - centre[0], v as f64 + 0.5 - centre[1]]);
        let (u, v) = (u + centre[0], v + centre[1]);
        let is_inside = (0.0..width as f64).contains(&u) && (0.0..height as f64).contains(&v);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "inside of the raster"
        )]
        is_inside.then_some([u as usize, v as usize])
    });
    let (own, other) = (own.means(), other.means());
    let both: Vec<([f32; 3], [f32; 3])> = own
        .into_iter()
        .zip(other)
        .filter(|(a, b)| a.iter().chain(b).all(|light| !light.is_nan()))
        .collect();
    let (own_black, other_black) = (
        black_of(&both.iter().map(|pair| pair.0).collect::<Vec<_>>())?,
        black_of(&both.iter().map(|pair| pair.1).collect::<Vec<_>>())?,
    );
    let mut ratios: [Vec<(f64, f64)>; 4] = Default::default();
    for (here, there) in both {
        let over: [f32; 3] = std::array::from_fn(|c| there[c] - other_black[c]);
        let now: [f32; 3] = std::array::from_fn(|c| here[c] - own_black[c]);
        let with_luminance = |light: [f32; 3]| {
            let [r, g, b] = light.map(f64::from);
            [r, g, b, luminance_of_light([r, g, b])]
        };
        let (over, now) = (with_luminance(over), with_luminance(now));
        for (ratios, (over, now)) in ratios.iter_mut().zip(over.into_iter().zip(now)) {
            if over > LEAST_LIGHT {
                ratios.push((now / over, over));
            }
        }
    }
    let [r, g, b, all] = ratios.map(one_ratio);
    Some(LightChange {
        channels: [r?, g?, b?],
        all: all?,
    })
}

/// The ratio that half of the weight is under; none where they are few or far apart.
fn one_ratio(mut ratios: Vec<(f64, f64)>) -> Option<f64> {
    if ratios.len() < LEAST_CELLS {
        return None;
    }
    ratios.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at = |share: f64| reached_by_weight(&ratios, share);
    let (low, middle, high) = (at(0.25)?, at(0.5)?, at(0.75)?);
    (middle > 0.0 && low > 0.0 && high < WIDEST_RATIO * low).then_some(middle)
}
