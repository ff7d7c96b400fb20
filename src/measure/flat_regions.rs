//! Regions of flat colour on a slide, and which of them are plates: dark bars and boxes with lighter words on them.

use super::finding::PixelBox;
use super::slide_raster::SlideRaster;

/// Codes by which a pixel differs from the region's first at most, as many times its neighbours may.
/// Source: chosen, so that a soft edge does not lead from one shape into the next.
const LIKE_FIRST: u8 = 3;
/// Share of the slide that a plate covers at least, 0 to 1. Source: chosen; no letter is as large.
const LEAST_PLATE: f64 = 0.01;
/// Share of a plate and what it encloses that is the plate at least. Source: chosen; frames are thinner.
const LEAST_FILL: f64 = 0.5;
/// Sides of a square, of the slide's height, that a fill covers twice at least. Source: chosen; strokes of
/// letters of a twelfth of the height cover less.
const FILL_SIDE: f64 = 0.04;
/// Share of its box that a fill covers at least. Source: chosen; long lines and circles cover less.
const FILL_SHARE: f64 = 0.3;

/// One region.
#[derive(Clone, Copy, Debug)]
struct Region {
    bounds: PixelBox,
    area: u64,
    color: [u8; 3],
}

/// Every pixel in the region that it belongs to.
#[derive(Debug)]
pub(super) struct FlatRegions {
    labels: Vec<u32>,
    regions: Vec<Region>,
    width: u32,
    least_fill_px: f64,
}

impl FlatRegions {
    /// The regions whose neighbouring pixels differ by at most `like` codes.
    pub(super) fn of(raster: &SlideRaster, like: u8) -> Self {
        let size = raster.size();
        let mut labels = vec![u32::MAX; size.area()];
        let mut regions = Vec::new();
        let mut waiting = Vec::new();
        let near = |a: [u8; 3], b: [u8; 3], codes: u8| (0..3).all(|c| a[c].abs_diff(b[c]) <= codes);
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
                    let around = [
                        (x.wrapping_sub(1), y),
                        (x + 1, y),
                        (x, y.wrapping_sub(1)),
                        (x, y + 1),
                    ];
                    for (x, y) in around {
                        if x >= size.width() || y >= size.height() {
                            continue;
                        }
                        let (index, other) = (raster.index(x, y), raster.color(x, y));
                        if labels[index] == u32::MAX
                            && near(here, other, like)
                            && near(color, other, like.saturating_mul(LIKE_FIRST))
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
                    color,
                });
            }
        }
        let side = FILL_SIDE * f64::from(size.height());
        Self {
            labels,
            regions,
            width: size.width(),
            least_fill_px: 2.0 * side * side,
        }
    }

    /// Whether a pixel is part of a letter, a line or another stroke, not of a filled area.
    pub(super) fn is_stroke(&self, x: u32, y: u32) -> bool {
        let region = &self.regions[self.labels[self.index(x, y)] as usize];
        let area = region.area as f64;
        area < self.least_fill_px || area < FILL_SHARE * region.bounds.area() as f64
    }

    /// The pixels of plates and of what lies on them: large regions of a colour that `is_dark` and that
    /// enclose something which is not.
    pub(super) fn plates(
        &self,
        raster: &SlideRaster,
        is_dark: impl Fn([u8; 3]) -> bool,
    ) -> Vec<bool> {
        let mut plates = vec![false; self.labels.len()];
        let least = LEAST_PLATE * self.labels.len() as f64;
        for (label, region) in (0..).zip(&self.regions) {
            if (region.area as f64) < least || !is_dark(region.color) {
                continue;
            }
            let inside = self.enclosed(label, region.bounds);
            let lighter = |&index: &usize| {
                let [r, g, b, _] = raster.codes()[index];
                self.labels[index] != label && !is_dark([r, g, b])
            };
            if region.area as f64 >= LEAST_FILL * inside.len() as f64 && inside.iter().any(lighter)
            {
                for index in inside {
                    plates[index] = true;
                }
            }
        }
        plates
    }

    /// The pixels of a region and those that it encloses: what cannot be reached from the edge of its box.
    fn enclosed(&self, label: u32, bounds: PixelBox) -> Vec<usize> {
        let (right, bottom) = (bounds.right(), bounds.bottom());
        let local = |x: u32, y: u32| ((y - bounds.y) * bounds.width + x - bounds.x) as usize;
        let mut outside = vec![false; bounds.width as usize * bounds.height as usize];
        let columns = (bounds.x..right).flat_map(|x| [(x, bounds.y), (x, bottom - 1)]);
        let rows = (bounds.y..bottom).flat_map(|y| [(bounds.x, y), (right - 1, y)]);
        let mut waiting: Vec<(u32, u32)> = columns.chain(rows).collect();
        while let Some((x, y)) = waiting.pop() {
            if outside[local(x, y)] || self.labels[self.index(x, y)] == label {
                continue;
            }
            outside[local(x, y)] = true;
            if x > bounds.x {
                waiting.push((x - 1, y));
            }
            if y > bounds.y {
                waiting.push((x, y - 1));
            }
            if x + 1 < right {
                waiting.push((x + 1, y));
            }
            if y + 1 < bottom {
                waiting.push((x, y + 1));
            }
        }
        let places = (bounds.y..bottom).flat_map(|y| (bounds.x..right).map(move |x| (x, y)));
        let inside = places.filter(|&(x, y)| !outside[local(x, y)]);
        inside.map(|(x, y)| self.index(x, y)).collect()
    }

    fn index(&self, x: u32, y: u32) -> usize {
        y as usize * self.width as usize + x as usize
    }
}
