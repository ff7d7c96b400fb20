//! `dark-edge`: a rim of soft content that comes out darker than both what it fades from and the camera.

use super::key_colors::MOST_SOFTNESS_PERCENT;
use super::over_camera::OverCamera;
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::slide::fates::Fate;
use crate::measure::statistics::middle::middle_of;
use crate::pixel::composite::blend;
use crate::pixel::key::matte;
use crate::pixel::settings::Alpha;

/// Pixels without a rise after which content has reached its own colour. Source: chosen.
const LEVEL_PX: usize = 4;
/// A fall that ends a rise, 0 to 1. Source: chosen, over the noise of JPEG of quality 90.
const FALL: f32 = 4.0 / 255.0;
/// Least rise from pixel to pixel, 0 to 1. Source: half a code.
const RISE: f32 = 0.5 / 255.0;
/// By how much compression with loss widens hard edges, px. Source: chosen; plates in JPEG files of quality 90
/// have rims of up to two pixels.
const LOSSY_BLUR_PX: f64 = 1.0;
/// Least pixels of a band. Source: as for pieces of content.
const LEAST_PX: u64 = 16;
/// Share of a band that may stay dark under a key that is advised. Source: chosen.
const LEFT_DARK: f64 = 0.02;

/// Luma of a dark pixel's own colour, and how far the band reaches along its row and column.
#[derive(Clone, Copy, Debug, Default)]
struct Dark {
    own: f32,
    across: u16,
    down: u16,
}

impl Dark {
    /// The band's width: of a straight one, `w = a d / sqrt(a² + d²)`.
    fn width_px(self) -> f64 {
        let (a, d) = (f64::from(self.across), f64::from(self.down));
        if self.across == 0 || self.down == 0 {
            a.max(d)
        } else {
            a * d / a.hypot(d)
        }
    }
}

/// One finding for all dark edges over this camera.
pub fn find_dark_edges(over: &OverCamera<'_>, limits: &Limits) -> Option<Finding> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "codes, as pictures have them"
    )]
    let depth = (limits.get(Limit::DarkEdgeDepth) / 255.0) as f32;
    let limit = limits.get(Limit::DarkEdgeWidth);
    let least = limit + if over.lossy { LOSSY_BLUR_PX } else { 0.0 };
    let mask = over
        .content
        .mask()
        .filtered(|run, _| !over.drawn.is_photograph[over.content.piece_of_run(run)]);
    let kept = mask.without(&over.fates.mask_of(Fate::Dropped));
    let mut band = Band {
        over,
        depth,
        dark: std::collections::BTreeMap::new(),
    };
    band.walk_rows(&kept);
    band.walk_columns(&kept);
    let size = over.raster.size();
    let mut wide = vec![0_u8; size.area()];
    for (&at, dark) in &band.dark {
        wide[at] = u8::from(dark.width_px() > least);
    }
    if band.dark.is_empty() {
        return None;
    }
    let found = Runs::of_bytes(size, &wide, |byte| byte > 0);
    let parts = Components::of(&found, Neighbours::EIGHT);
    let large = (0..parts.list().len()).filter(|&i| parts.list()[i].area >= LEAST_PX);
    let runs: Vec<Run> = large.flat_map(|i| parts.runs_of(i)).copied().collect();
    let bounds = runs
        .iter()
        .map(|run| run.bounds())
        .reduce(PixelBox::union)?;
    let places: Vec<usize> = runs
        .iter()
        .flat_map(|run| (run.start..run.end).map(|x| over.raster.index(x, run.y)))
        .collect();
    let mut widths: Vec<f64> = places
        .iter()
        .filter_map(|at| band.dark.get(at).map(|dark| dark.width_px()))
        .collect();
    let measured = middle_of(&mut widths, f64::total_cmp)?;
    Some(Finding {
        kind: Kind::DarkEdge,
        severity: Severity::Warn,
        bounds: Some(bounds),
        measured,
        limit,
        unit: Unit::Px,
        advice: band.advice(&places, measured),
        camera: Some(over.name.to_owned()),
    })
}

/// The dark pixels found so far, by their place.
#[derive(Debug)]
struct Band<'a> {
    over: &'a OverCamera<'a>,
    depth: f32,
    dark: std::collections::BTreeMap<usize, Dark>,
}

impl Band<'_> {
    fn walk_rows(&mut self, kept: &Runs) {
        for run in kept.as_slice() {
            let first = self.over.raster.index(run.start, run.y);
            let length = run.length() as usize;
            self.walk(length, |i| first + i, true);
            self.walk(length, |i| first + length - 1 - i, true);
        }
    }

    fn walk_columns(&mut self, kept: &Runs) {
        let width = kept.size().width() as usize;
        let mut tops = vec![0_u32; width];
        let row = |y: Option<u32>| match y {
            Some(y) if y < kept.size().height() => kept.row(y),
            _ => &[],
        };
        for y in 0..kept.size().height() {
            let (above, below) = (row(y.checked_sub(1)), row(y.checked_add(1)));
            for &run in kept.row(y) {
                run.uncovered_by(above, |x| tops[x as usize] = y);
                run.uncovered_by(below, |x| {
                    let length = (y + 1 - tops[x as usize]) as usize;
                    let first = self.over.raster.index(x, tops[x as usize]);
                    self.walk(length, |i| first + i * width, false);
                    self.walk(length, |i| first + (length - 1 - i) * width, false);
                });
            }
        }
    }

    /// Walks into content from where the key drops it, as long as it gets lighter, and notes dark pixels.
    fn walk(&mut self, length: usize, place: impl Fn(usize) -> usize, along_row: bool) {
        let raster = self.over.raster;
        let slide = |i: usize| {
            let [r, g, b, _] = raster.codes()[place(i)];
            raster.luma([r, g, b])
        };
        let (mut own, mut level, mut end) = (slide(0), 0, 1);
        while end < length && level < LEVEL_PX {
            let here = slide(end);
            if here < own - FALL {
                break;
            }
            level = if here > own + RISE { 0 } else { level + 1 };
            own = own.max(here);
            end += 1;
        }
        let rise = end - level;
        if rise < 2 {
            return;
        }
        let mut start = 0;
        for i in 0..=rise {
            if i < rise && self.is_dark(place(i), own) {
                continue;
            }
            let count = u16::try_from(i - start).unwrap_or(u16::MAX);
            for at in (start..i).map(&place) {
                let dark = self.dark.entry(at).or_default();
                dark.own = dark.own.max(own);
                let reach = if along_row {
                    &mut dark.across
                } else {
                    &mut dark.down
                };
                *reach = (*reach).max(count);
            }
            start = i + 1;
        }
    }

    /// Whether a pixel comes out darker than the camera and than the content's own colour.
    fn is_dark(&self, at: usize, own: f32) -> bool {
        let out = self.luma(self.over.keyed.composite()[at]);
        let camera = self.luma(self.over.keyed.camera()[at]);
        out < camera - self.depth && out < own - self.depth
    }

    fn luma(&self, [r, g, b, _]: [u8; 4]) -> f32 {
        self.over.raster.luma([r, g, b])
    }

    /// Share of these places that would stay dark under another key.
    fn dark_share(&self, places: &[usize], alpha: Alpha, softness: f32) -> f64 {
        let (over, key) = (self.over, self.over.key);
        let frac = |[r, g, b, _]: [u8; 4]| [r, g, b].map(|code| f32::from(code) / 255.0);
        let (kr, kb) = key.luma.weights();
        let left = places.iter().filter(|&&at| {
            let (slide, camera) = (frac(over.raster.codes()[at]), frac(over.keyed.camera()[at]));
            let m = matte(
                crate::pixel::key::luma(slide, kr, kb),
                key.threshold_frac(),
                softness,
                key.ramp,
            );
            let out = blend(m, slide, camera, alpha, key.blend_space);
            let out = crate::pixel::key::luma(out, kr, kb);
            let own = self.dark.get(&at).map_or(0.0, |dark| dark.own);
            out < crate::pixel::key::luma(camera, kr, kb) - self.depth && out < own - self.depth
        });
        left.count() as f64 / places.len().max(1) as f64
    }

    fn advice(&self, places: &[usize], width_px: f64) -> String {
        let what = format!(
            "Soft edges come out as a dark rim {width_px:.1} px wide over this camera. \
             Take glow, shadow or blur off in the slide program"
        );
        let key = self.over.key;
        let now = key.softness_frac();
        let most = 1.0 - key.threshold_frac();
        let others = (1..=100_u8)
            .map(|percent| f32::from(percent) / 100.0)
            .filter(|&softness| softness > now && softness <= most);
        let mut tries: Vec<(Alpha, f32)> = vec![(Alpha::Premultiplied, now)];
        let softer: Vec<f32> = others.collect();
        // Straight, a wide ramp leaves other content half transparent; premultiplied content keeps its light.
        #[expect(clippy::cast_possible_truncation, reason = "a few percent")]
        let widest = match key.alpha {
            Alpha::Straight => (MOST_SOFTNESS_PERCENT / 100.0) as f32,
            Alpha::Premultiplied => most,
        };
        let narrow = softer.iter().filter(|&&softness| softness <= widest);
        tries.extend(narrow.map(|&softness| (key.alpha, softness)));
        tries.extend(
            softer
                .iter()
                .map(|&softness| (Alpha::Premultiplied, softness)),
        );
        let cure = tries
            .into_iter()
            .filter(|&(alpha, softness)| alpha != key.alpha || softness > now)
            .find(|&(alpha, softness)| self.dark_share(places, alpha, softness) <= LEFT_DARK);
        match cure {
            Some((alpha, softness)) => {
                let alpha = (alpha != key.alpha).then_some("alpha `premultiplied`");
                let softness =
                    (softness > now).then(|| format!("softness {:.0} %", 100.0 * softness));
                let set: Vec<String> = alpha
                    .map(str::to_owned)
                    .into_iter()
                    .chain(softness)
                    .collect();
                format!(
                    "{what}, or set {}, with which no rim is left here; check the whole deck under that key.",
                    set.join(" and ")
                )
            }
            None => format!("{what}; no setting of the key removes the rim here."),
        }
    }
}
