//! Reflections and smears of the glass: what spots of the backdrop are likely to be, and what to do about them.

use std::collections::BTreeMap;

use super::camera_finding::{CameraFinding, CameraKind, percent_of_codes};
use crate::measure::camera::spots::Spot;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::links::Links;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// Luma over the surroundings from which a spot is a reflection, and from which it spoils the take, percent.
/// Source: the definition of the finding.
const WARN_PERCENT: f64 = 2.0;
const FAIL_PERCENT: f64 = 8.0;
/// The same from which patches are a smear, percent. Source: chosen, what is seen on a dark screen.
pub const SMEAR_PERCENT: f64 = 1.0;
/// Largest side of a point, px in a frame 1080 high. Source: chosen, a lamp across a room.
const POINT_PX: u32 = 20;
/// From which elongation a spot is a streak. Source: chosen by eye; a tube or a tripod's leg is longer.
const STREAK: f64 = 3.0;
/// From how many ridges across it a patch is wiped and no lamp. Source: chosen; two lamps side by side make two.
const SMEAR_RIDGES: u32 = 3;

/// How near spots of one texture are to one another, and of clothes to the presenter, px in a frame 1080 high; how many
/// make a texture. Source: chosen; lamps of one room are farther apart, and fewer.
const NEAR_PX: u32 = 40;
const BESIDE_PX: u32 = 60;
const MANY: usize = 5;

/// How far what is left of the glow of writing reaches, px in a frame 1080 high, and how bright it is at most, percent. Source:
/// measured on the demonstration, whose densest word has 2 % at 45 px.
const INK_GLOW_PX: u32 = 72;
const INK_GLOW_PERCENT: f64 = 4.0;

/// What a spot is likely to be, by its shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpotShape {
    /// A few pixels.
    Point,
    /// Long and thin.
    Streak,
    /// Broad.
    Glow,
}

impl SpotShape {
    /// The shape of a spot in a frame of this size.
    pub fn of(spot: &Spot, size: Size) -> Self {
        let side = spot.bounds.width.max(spot.bounds.height);
        if side <= POINT_PX * size.height() / 1080 + 1 {
            Self::Point
        } else if spot.elongation >= STREAK {
            Self::Streak
        } else {
            Self::Glow
        }
    }

    /// What it looks like, and what is likely to make it, for a sentence.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Point => (
                "A point of light",
                "a lamp, an indicator light or a screen far off. Switch it off, or put black tape or cloth over it",
            ),
            Self::Streak => (
                "A streak of light",
                "a lit edge: a stand, a tripod, a lamp's rim, a door ajar. Turn it away, cover it with black cloth, or close the door",
            ),
            Self::Glow => (
                "A glow",
                "a lamp, a window or a screen that the glass mirrors. Switch it off, draw the curtain, or move or shade it until the glow is gone",
            ),
        }
    }
}

/// The findings on spots: each reflection by itself, all smears as one.
///
/// Where many spots lie beside one another, they are texture: of clothes beside the presenter, else of dirty glass. Faint ones
/// beside writing are its glow.
pub fn spot_findings(spots: &[Spot], presenter: &Runs, writing: &Runs) -> Vec<CameraFinding> {
    let size = presenter.size();
    let px = |at_1080: u32| at_1080 * size.height() / 1080 + 1;
    let beside = presenter.grown(px(BESIDE_PX));
    let glow = writing.grown(px(INK_GLOW_PX));
    let mut findings = Vec::new();
    let mut smears: Vec<&Spot> = Vec::new();
    let strong: Vec<&Spot> = spots
        .iter()
        .filter(|spot| {
            let [x, y] = middle(spot.bounds);
            let is_faint = percent_of_codes(spot.peak_codes) < INK_GLOW_PERCENT;
            let is_glow = is_faint && glow.contains(x, y);
            is_smear(spot, size) || !is_glow && reflection(spot, size).is_some()
        })
        .collect();
    for group in groups(&strong, px(NEAR_PX)) {
        let is_many = group.len() >= MANY;
        let is_smeared = group.iter().any(|spot| is_smear(spot, size));
        let touches = |spot: &&Spot| beside.contains(spot.bounds.x, spot.bounds.y);
        // A light from behind draws the rim of shoulders and hair, of which specks alone are over the limit.
        let is_rim = |spot: &&Spot| {
            touches(spot)
                && SpotShape::of(spot, size) == SpotShape::Point
                && percent_of_codes(spot.peak_codes) < FAIL_PERCENT
        };
        if is_many && group.iter().any(touches) {
            continue;
        }
        for spot in group.into_iter().filter(|spot| !is_rim(spot)) {
            let is_faint = percent_of_codes(spot.peak_codes) < FAIL_PERCENT;
            if is_faint && (is_many || is_smeared) {
                smears.push(spot);
            } else {
                findings.extend(reflection(spot, size));
            }
        }
    }
    findings.sort_by(|a, b| b.measured.total_cmp(&a.measured));
    findings.extend(smear(&smears));
    findings
}

/// The pixel in the middle of a box.
fn middle(bounds: PixelBox) -> [u32; 2] {
    [bounds.x + bounds.width / 2, bounds.y + bounds.height / 2]
}

/// Spots whose boxes are at most so far apart, in groups.
fn groups<'a>(spots: &[&'a Spot], near: u32) -> Vec<Vec<&'a Spot>> {
    let mut links = Links::new(spots.len());
    for (i, a) in spots.iter().enumerate() {
        let around = PixelBox {
            x: a.bounds.x.saturating_sub(near),
            y: a.bounds.y.saturating_sub(near),
            width: a.bounds.width + 2 * near,
            height: a.bounds.height + 2 * near,
        };
        for (j, b) in spots.iter().enumerate().skip(i + 1) {
            if around.intersection(b.bounds).is_some() {
                links.join(i, j);
            }
        }
    }
    let mut found: BTreeMap<usize, Vec<&'a Spot>> = BTreeMap::new();
    for (i, spot) in spots.iter().enumerate() {
        found.entry(links.root(i)).or_default().push(spot);
    }
    found.into_values().collect()
}

/// Whether it is a patch of wiped or dirty glass.
fn is_smear(spot: &Spot, size: Size) -> bool {
    spot.ridges >= SMEAR_RIDGES && SpotShape::of(spot, size) != SpotShape::Point
}

fn reflection(spot: &Spot, size: Size) -> Option<CameraFinding> {
    let measured = percent_of_codes(spot.peak_codes);
    let limit = percent_of_codes(spot.noise_limit_codes).max(WARN_PERCENT);
    if measured < limit {
        return None;
    }
    let (what, cause) = SpotShape::of(spot, size).words();
    Some(CameraFinding {
        kind: CameraKind::Reflection,
        severity: if measured >= FAIL_PERCENT {
            Severity::Fail
        } else {
            Severity::Warn
        },
        bounds: Some(spot.bounds),
        measured,
        limit,
        unit: Unit::Percent,
        advice: format!(
            "{what}, likely {cause}. Switch lamps off one after the other to find out which; let a hot lamp cool and \
             hold stands before they are moved."
        ),
    })
}

fn smear(smears: &[&Spot]) -> Option<CameraFinding> {
    let bounds = smears
        .iter()
        .map(|spot| spot.bounds)
        .reduce(PixelBox::union)?;
    let peak = smears
        .iter()
        .map(|spot| spot.peak_codes)
        .fold(0.0, f64::max);
    let patches = match smears.len() {
        1 => "A patch of the glass is".to_owned(),
        many => format!("{many} patches of the glass are"),
    };
    Some(CameraFinding {
        kind: CameraKind::Smear,
        severity: Severity::Info,
        bounds: Some(bounds),
        measured: percent_of_codes(peak),
        limit: SMEAR_PERCENT,
        unit: Unit::Percent,
        advice: format!(
            "{patches} wiped or dirty. Clean it with a damp lint-free cloth, then dry it; lamps off \
             first, they are hot and water does them no good."
        ),
    })
}
