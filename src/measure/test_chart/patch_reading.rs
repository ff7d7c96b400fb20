//! What a capture has in the place of a chart's patch: mean and noise, slow gradients removed.

use super::capture::{Capture, whole};
use super::chart::{Patch, PatchRole};
use super::chart_reading::ChartReading;
use crate::pixel::frame::Frame;
use crate::pixel::key::Luma;

/// What is left out along every edge of a patch, of its side. Source: chosen; at 1920x1080 a step keeps
/// 24 px between blur from either neighbour.
const INSET: f64 = 0.24;
/// The same, at least, capture px.
const MIN_INSET_PX: f64 = 1.5;
/// Fewest pixels that give a mean. Source: chosen.
const MIN_PIXELS: u32 = 9;

/// A patch as captured. Values are codes 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatchReading {
    /// Part of the chart.
    pub role: PatchRole,
    /// R'G'B' as sent.
    pub sent_u8: [u8; 3],
    /// R'G'B' as captured.
    pub mean_codes: [f64; 3],
    /// Luma as captured.
    pub luma_codes: f64,
    /// Standard deviation of R'G'B'.
    pub deviation_codes: [f64; 3],
    /// Standard deviation of luma.
    pub luma_deviation_codes: f64,
    /// Pixels that were read.
    pub pixels: u32,
}

impl PatchReading {
    /// Whether the patch is neutral.
    pub fn is_grey(&self) -> bool {
        self.role != PatchRole::Bar
    }
}

/// A rectangle in the capture, in whole pixels: `[x0, y0, x1, y1]`.
pub(super) fn inner_area(
    capture: Capture<'_>,
    reading: &ChartReading,
    patch: &Patch,
    inset: f64,
) -> [u32; 4] {
    let area = patch.area;
    let (width, height) = (f64::from(area.x1 - area.x0), f64::from(area.y1 - area.y0));
    let [sx, sy] = reading.scales;
    let (dx, dy) = (
        (inset * width).max(MIN_INSET_PX / sx),
        (inset * height).max(MIN_INSET_PX / sy),
    );
    let corner = |x: f64, y: f64| reading.map.capture_from_chart([x, y]);
    let (x0, x1) = (f64::from(area.x0) + dx, f64::from(area.x1) - dx);
    let (y0, y1) = (f64::from(area.y0) + dy, f64::from(area.y1) - dy);
    let (a, b) = (corner(x0, y0), corner(x1, y1));
    // Pixels whose whole square is inside.
    let inside = |from: f64, to: f64, side: u32| {
        (
            whole(from.min(to).ceil()).min(side),
            whole(from.max(to)).min(side),
        )
    };
    let (left, right) = inside(a[0], b[0], capture.width());
    let (top, bottom) = inside(a[1], b[1], capture.height());
    [left, top, right, bottom]
}

/// Reads every patch of which enough pixels are in the capture.
pub fn read_patches(frame: &Frame, reading: &ChartReading) -> Vec<PatchReading> {
    let capture = Capture::new(frame);
    let patches = reading.chart.patches();
    let read = |patch: &Patch| read_patch(capture, reading, patch);
    patches.iter().filter_map(read).collect()
}

fn read_patch(capture: Capture<'_>, reading: &ChartReading, patch: &Patch) -> Option<PatchReading> {
    let [x0, y0, x1, y1] = inner_area(capture, reading, patch, INSET);
    if x1 <= x0 || y1 <= y0 || (x1 - x0) * (y1 - y0) < MIN_PIXELS {
        return None;
    }
    let (kr, kb) = Luma::Bt709.weights();
    let (kr, kb) = (f64::from(kr), f64::from(kb));
    let mut sums = [Sums::default(); 4];
    let (mx, my) = (f64::from(x0 + x1 - 1) / 2.0, f64::from(y0 + y1 - 1) / 2.0);
    for y in y0..y1 {
        for x in x0..x1 {
            let [r, g, b] = capture.rgb(x, y);
            let luma = g + kr * (r - g) + kb * (b - g);
            let (dx, dy) = (f64::from(x) - mx, f64::from(y) - my);
            for (sums, value) in sums.iter_mut().zip([r, g, b, luma]) {
                sums.add(value, dx, dy);
            }
        }
    }
    let [r, g, b, luma] = sums;
    let pixels = (x1 - x0) * (y1 - y0);
    Some(PatchReading {
        role: patch.role,
        sent_u8: patch.rgb_u8,
        mean_codes: [r.mean(), g.mean(), b.mean()],
        luma_codes: luma.mean(),
        deviation_codes: [r.deviation(), g.deviation(), b.deviation()],
        luma_deviation_codes: luma.deviation(),
        pixels,
    })
}

/// What a mean and a deviation beside a plane `m + gx dx + gy dy` need.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    count: f64,
    value: f64,
    square: f64,
    with_x: f64,
    with_y: f64,
    xx: f64,
    yy: f64,
}

impl Sums {
    fn add(&mut self, value: f64, dx: f64, dy: f64) {
        self.count += 1.0;
        self.value += value;
        self.square += value * value;
        self.with_x += value * dx;
        self.with_y += value * dy;
        self.xx += dx * dx;
        self.yy += dy * dy;
    }

    fn mean(&self) -> f64 {
        self.value / self.count
    }

    /// `sqrt((Svv - Svx² / Sxx - Svy² / Syy) / (n - 3))`: a rectangle's x and y are independent.
    fn deviation(&self) -> f64 {
        let about_mean = self.square - self.value * self.value / self.count;
        let slope = |with: f64, own: f64| if own > 0.0 { with * with / own } else { 0.0 };
        let left = about_mean - slope(self.with_x, self.xx) - slope(self.with_y, self.yy);
        (left.max(0.0) / (self.count - 3.0).max(1.0)).sqrt()
    }
}
