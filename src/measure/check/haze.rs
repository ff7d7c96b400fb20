//! Light that a slide's background adds over the camera.

use super::key_colors::{hex, mean_color};
use super::slide_check::Checked;
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::Limit;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::slide::fates::Fate;
use crate::measure::told_apart::told_apart;
use crate::pixel::composite::blend;
use crate::pixel::key::{luma, matte};
use crate::pixel::plan::Plan;
use crate::pixel::settings::Alpha;

/// Share of the output under which added light is not the background's, percent. Source: chosen, over
/// what compression leaves around the writing of a full slide.
const LEAST_SHARE_PERCENT: f64 = 0.5;
/// Share of the output's sides from which a box is the whole picture, percent. Source: chosen.
const WHOLE_PERCENT: u64 = 98;

/// What the background adds, and where; nothing where it adds less than the limit.
pub(super) fn find(checked: &Checked<'_>) -> Option<(Finding, Runs)> {
    let raster = checked.raster;
    let black_is_dropped = checked.plan.alpha == Alpha::Straight;
    if black_is_dropped && !may_add(checked) {
        return None;
    }
    let warn = checked.limits.get(Limit::HazeWarn);
    let fail = checked.limits.get(Limit::HazeFail);
    let tolerance = checked.content.tolerance_codes();
    let mut added = AddedLight::new(checked.plan);
    let light = added_light(checked, &mut added, tolerance, warn / 2.0);
    let place = Runs::of_bytes(raster.size(), &light, |codes| codes > 0);
    let mut sum = 0.0;
    let mut brightest = ([0; 3], 0.0);
    let mut bounds: Option<PixelBox> = None;
    for run in place.as_slice() {
        for x in run.start..run.end {
            let color = raster.color(x, run.y);
            let percent = added.percent(color);
            sum += percent;
            if percent > brightest.1 {
                brightest = (color, percent);
            }
        }
        bounds = Some(bounds.map_or(run.bounds(), |b| b.union(run.bounds())));
    }
    let area = place.area();
    let share = 100.0 * area as f64 / raster.size().area() as f64;
    let mean = sum / area.max(1) as f64;
    if share < LEAST_SHARE_PERCENT || mean < warn {
        return None;
    }
    let (severity, limit) = if mean >= fail {
        (Severity::Fail, fail)
    } else {
        (Severity::Warn, warn)
    };
    let pixels = place
        .as_slice()
        .iter()
        .flat_map(|run| (run.start..run.end).step_by(4).map(|x| (x, run.y)));
    let color = if checked.ground.is_flat() {
        mean_color(pixels.map(|(x, y)| raster.color(x, y)))
    } else {
        brightest.0
    };
    let finding = Finding {
        kind: Kind::Haze,
        severity,
        bounds: bounds.filter(|b| !is_whole(*b, raster.size().width(), raster.size().height())),
        measured: mean,
        limit,
        unit: Unit::Percent,
        advice: advice(checked, color, mean, share, limit),
        camera: None,
    };
    Some((finding, place))
}

/// Whether a box is as good as the whole output.
fn is_whole(bounds: PixelBox, width: u32, height: u32) -> bool {
    let most = |part: u32, whole: u32| 100 * u64::from(part) >= WHOLE_PERCENT * u64::from(whole);
    most(bounds.width, width) && most(bounds.height, height)
}

/// Whether any background pixel is not dropped.
fn may_add(checked: &Checked<'_>) -> bool {
    let tolerance = checked.content.tolerance_codes();
    let pixels = checked.fates.as_slice().iter();
    pixels
        .zip(checked.content.differences())
        .any(|(&fate, &difference)| fate != Fate::Dropped as u8 && difference <= tolerance)
}

/// 1 for each background pixel that adds more than this, else 0.
fn added_light(
    checked: &Checked<'_>,
    added: &mut AddedLight<'_>,
    tolerance: u8,
    more_than_percent: f64,
) -> Vec<u8> {
    let raster = checked.raster;
    let straight = checked.plan.alpha == Alpha::Straight;
    let pixels = raster
        .codes()
        .iter()
        .zip(checked.fates.as_slice())
        .zip(checked.content.differences());
    pixels
        .map(|((&[r, g, b, _], &fate), &difference)| {
            let is_dropped = straight && fate == Fate::Dropped as u8;
            let is_background = difference <= tolerance && !is_dropped;
            u8::from(is_background && added.percent([r, g, b]) > more_than_percent)
        })
        .collect()
}

/// Slots for colours whose light is known. Source: chosen; a gradient or a dithered grey has fewer colours.
const SLOTS: usize = 1 << 12;

/// The light that colours add; a colour that was met before is not worked out again.
#[derive(Debug)]
struct AddedLight<'a> {
    plan: &'a Plan<'a>,
    known: Vec<Option<([u8; 3], f64)>>,
}

impl<'a> AddedLight<'a> {
    fn new(plan: &'a Plan<'a>) -> Self {
        Self {
            plan,
            known: vec![None; SLOTS],
        }
    }

    /// Luma that a slide colour adds over black, percent of white: composite minus camera.
    fn percent(&mut self, codes: [u8; 3]) -> f64 {
        let [r, g, b] = codes.map(usize::from);
        let slot = (r ^ g << 4 ^ b << 8) % SLOTS;
        if let Some((color, percent)) = self.known[slot]
            && color == codes
        {
            return percent;
        }
        let percent = added_percent(self.plan, codes);
        self.known[slot] = Some((codes, percent));
        percent
    }
}

fn added_percent(plan: &Plan<'_>, codes: [u8; 3]) -> f64 {
    let slide = codes.map(|v| f32::from(v) / 255.0);
    let y = luma(slide, plan.kr, plan.kb);
    let m = matte(y, plan.threshold, plan.softness, plan.ramp);
    let out = blend(m, slide, [0.0; 3], plan.alpha, plan.blend_space);
    100.0 * f64::from(luma(out, plan.kr, plan.kb))
}

/// What to do about it.
fn advice(checked: &Checked<'_>, color: [u8; 3], mean: f64, share: f64, limit: f64) -> String {
    let plan = checked.plan;
    let color = checked.keys.before_chain(color);
    let place = if checked.ground.is_flat() {
        format!("The background {}", hex(color))
    } else {
        format!("The background, up to {},", hex(color))
    };
    let [added, limit] = told_apart(mean, limit, 1);
    let told = format!(
        "{place} adds {added} % of white over {share:.0} % of the picture; {limit} % is the limit."
    );
    let from_black = checked.keys.fate([0; 3]) != Fate::Dropped;
    if from_black && plan.chain.is_some() {
        return format!(
            "{told} Even black arrives lighter than the key drops: \
             correct the chain's black level, or raise the threshold."
        );
    }
    let premultiplied = plan.alpha == Alpha::Premultiplied;
    match checked.keys.dropped(color) {
        Some(darker) if !premultiplied && darker != [0; 3] => format!(
            "{told} Make it black, or at most {}, which this key drops.",
            hex(darker)
        ),
        _ => format!("{told} Make it black, #000000."),
    }
}
