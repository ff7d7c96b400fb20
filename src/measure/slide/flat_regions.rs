//! Regions of flat colour on a slide, and which of them are strokes.

use super::slide_raster::SlideRaster;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::raster::sides::sides;
use crate::pixel::settings::Size;

/// Codes by which a pixel differs from the region's first at most, as many times its neighbours may.
/// Source: chosen, so that a soft edge does not lead from one shape into the next.
const LIKE_FIRST: u8 = 3;
/// Sides of a square, of the slide's height, that a fill covers twice at least. Source: chosen; strokes of
/// letters of a twelfth of the height cover less.
const FILL_SIDE: f64 = 0.04;
/// Share of its box that a fill covers at least. Source: chosen; long lines and circles cover less.
const FILL_SHARE: f64 = 0.3;

/// Share of the slide that a filled area covers from which what it encloses must stay solid, 0 to 1.
/// Source: chosen; no letter is as large, whose counters may be black.
const ENCLOSING: f64 = 0.01;
/// Share of the slide that such a place covers at most. Source: chosen; more is a background again.
const MOST_ENCLOSED: f64 = 0.05;

/// One region.
#[derive(Clone, Copy, Debug)]
struct Region {
    bounds: PixelBox,
    area: u64,
    /// The colour of its first pixel, in its uppermost row.
    first: [u8; 3],
    /// Whether it is part of a filled area that is around it.
    is_cut_off: bool,
}

/// Every pixel in the region that it belongs to.
#[derive(Debug)]
pub(crate) struct FlatRegions {
    labels: Vec<u32>,
    regions: Vec<Region>,
    width: u32,
    least_fill_px: f64,
    like_first: u8,
}

impl FlatRegions {
    /// The regions whose neighbouring pixels differ by at most `like` codes.
    pub(crate) fn of(raster: &SlideRaster, like: u8) -> Self {
        let size = raster.size();
        let mut labels = vec![u32::MAX; size.area()];
        let mut regions = Vec::new();
        let mut waiting = Vec::new();
        for y in 0..size.height() {
            for x in 0..size.width() {
                if labels[raster.index(x, y)] != u32::MAX {
                    continue;
                }
                let label = u32::try_from(regions.len()).unwrap_or(u32::MAX - 1);
                let color = raster.color(x, y);
                let (mut left, mut right, mut bottom, mut area) = (x, x, y, 0);
                labels[raster.index(x, y)] = label;
                waiting.push((x, y));
                while let Some((x, y)) = waiting.pop() {
                    area += 1;
                    (left, right, bottom) = (left.min(x), right.max(x), bottom.max(y));
                    let here = raster.color(x, y);
                    for (x, y) in sides(size, (x, y)) {
                        let (index, other) = (raster.index(x, y), raster.color(x, y));
                        if labels[index] == u32::MAX
                            && is_near(here, other, like)
                            && is_near(color, other, like.saturating_mul(LIKE_FIRST))
                        {
                            labels[index] = label;
                            waiting.push((x, y));
                        }
                    }
                }
                let bounds = PixelBox {
                    x: left,
                    y,
                    width: right - left + 1,
                    height: bottom - y + 1,
                };
                regions.push(Region {
                    bounds,
                    area,
                    first: color,
                    is_cut_off: false,
                });
            }
        }
        let side = FILL_SIDE * f64::from(size.height());
        Self {
            labels,
            regions,
            width: size.width(),
            least_fill_px: 2.0 * side * side,
            like_first: like.saturating_mul(LIKE_FIRST),
        }
    }

    /// Finds what letters cut off from filled areas that they lie on, such as their counters: it has the colour of the area and
    /// is part of it. Areas of `free` pixels, those of the background, are none.
    pub(crate) fn join_counters(&mut self, is_free: impl Fn(u32, u32) -> bool) {
        let most = ENCLOSING * self.labels.len() as f64;
        for label in 0..u32::try_from(self.regions.len()).unwrap_or(u32::MAX) {
            let Region { bounds, first, .. } = self.regions[label as usize];
            let mut row = bounds.x..bounds.right();
            let seed = row.find(|&x| self.labels[self.index(x, bounds.y)] == label);
            if seed.is_none_or(|x| self.is_stroke(x, bounds.y) || is_free(x, bounds.y)) {
                continue;
            }
            for hole in self.holes_in(label) {
                if hole.len() as f64 > most {
                    continue;
                }
                for index in hole {
                    let region = &mut self.regions[self.labels[index] as usize];
                    region.is_cut_off |= is_near(first, region.first, self.like_first);
                }
            }
        }
    }

    /// The pixels that a region encloses, those that hang together in one list.
    fn holes_in(&self, label: u32) -> Vec<Vec<usize>> {
        let bounds = self.regions[label as usize].bounds;
        let Ok(size) = Size::new(bounds.width, bounds.height) else {
            return Vec::new();
        };
        let index = |x: u32, y: u32| self.index(bounds.x + x, bounds.y + y);
        let is_other: Vec<u8> = (0..bounds.height)
            .flat_map(|y| (0..bounds.width).map(move |x| (x, y)))
            .map(|(x, y)| u8::from(self.labels[index(x, y)] != label))
            .collect();
        let others = Runs::of_bytes(size, &is_other, |byte| byte == 1);
        let parts = Components::of(&others, Neighbours::Four);
        // At a side of the box it is beside the region, not in it.
        let is_enclosed = |part: &usize| {
            let part = parts.list()[*part].bounds;
            part.x > 0 && part.y > 0 && part.right() < bounds.width && part.bottom() < bounds.height
        };
        let pixels = |part: usize| -> Vec<usize> {
            let runs = parts.runs_of(part).iter();
            runs.flat_map(|run| (run.start..run.end).map(|x| index(x, run.y)))
                .collect()
        };
        let all = 0..parts.list().len();
        all.filter(is_enclosed).map(pixels).collect()
    }

    /// Whether a pixel is part of a letter, a line or another stroke, not of a filled area.
    pub(crate) fn is_stroke(&self, x: u32, y: u32) -> bool {
        let region = &self.regions[self.labels[self.index(x, y)] as usize];
        let area = region.area as f64;
        let is_thin = area < FILL_SHARE * region.bounds.area() as f64;
        !region.is_cut_off && (area < self.least_fill_px || is_thin)
    }

    /// The `free` pixels, those of the background, that large filled areas enclose.
    pub(crate) fn enclosed(
        &self,
        size: Size,
        is_free: impl Fn(u32, u32) -> bool,
    ) -> Vec<(u32, u32)> {
        let all = self.labels.len() as f64;
        let is_wall = |x: u32, y: u32| {
            let region = &self.regions[self.labels[self.index(x, y)] as usize];
            region.area as f64 >= ENCLOSING * all && !self.is_stroke(x, y) && !is_free(x, y)
        };
        let (width, height) = (size.width(), size.height());
        let mut is_open: Vec<bool> = (0..height)
            .flat_map(|y| (0..width).map(move |x| (x, y)))
            .map(|(x, y)| !is_wall(x, y))
            .collect();
        let across = (0..width).flat_map(|x| [(x, 0), (x, height - 1)]);
        let down = (0..height).flat_map(|y| [(0, y), (width - 1, y)]);
        self.take(size, &mut is_open, across.chain(down).collect());
        let mut enclosed = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let taken = self.take(size, &mut is_open, vec![(x, y)]);
                if (taken.len() as f64) <= MOST_ENCLOSED * all {
                    enclosed.extend(taken.into_iter().filter(|&(x, y)| is_free(x, y)));
                }
            }
        }
        enclosed
    }

    /// Takes what is open and hangs together with these places, and closes it.
    fn take(
        &self,
        size: Size,
        is_open: &mut [bool],
        mut waiting: Vec<(u32, u32)>,
    ) -> Vec<(u32, u32)> {
        let mut taken = Vec::new();
        while let Some((x, y)) = waiting.pop() {
            if !std::mem::replace(&mut is_open[self.index(x, y)], false) {
                continue;
            }
            taken.push((x, y));
            let around = [
                (x > 0).then(|| (x - 1, y)),
                (x + 1 < size.width()).then_some((x + 1, y)),
                (y > 0).then(|| (x, y - 1)),
                (y + 1 < size.height()).then_some((x, y + 1)),
            ];
            waiting.extend(around.into_iter().flatten());
        }
        taken
    }

    fn index(&self, x: u32, y: u32) -> usize {
        y as usize * self.width as usize + x as usize
    }
}

/// Whether two colours differ by at most so many codes.
fn is_near(a: [u8; 3], b: [u8; 3], codes: u8) -> bool {
    (0..3).all(|c| a[c].abs_diff(b[c]) <= codes)
}
