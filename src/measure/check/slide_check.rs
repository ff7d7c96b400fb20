//! What a key will do to one slide: all findings, in order.

use std::cell::LazyCell;

use super::hairline::SlideFile;
use super::key_colors::KeyColors;
use super::over_camera::{OverCamera, find_over_camera};
use super::overlap::{Overlapped, find_overlaps};
use super::placed_camera::{KeyedOver, PlacedCamera};
use super::placed_slide::{PlacedSlide, PlacedUnder};
use super::slide_geometry::find_by_geometry;
use super::{chain_black, haze, hole, lost_content};
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::slide::continuous_tone::photograph_fills;
use crate::measure::slide::fates::{Fate, Fates};
use crate::measure::slide::ground::Ground;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::slide::tiles::Tiles;
use crate::measure::space::zone::Zone;
use crate::pixel::frame::Frame;
use crate::pixel::guides::Guide;
use crate::pixel::key::luma;
use crate::pixel::placement::slide_enlargement;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::Settings;
use crate::pixel::views::Background;

/// What is this near to a hole is its rim and not reported again, px. Source: chosen, over a soft edge.
const CLAIMED_AROUND_PX: u32 = 4;

/// A camera frame that the slide is checked over.
#[derive(Clone, Copy, Debug)]
pub struct CheckedCamera<'a> {
    /// How findings name it.
    pub name: &'a str,
    /// The frame.
    pub frame: &'a Frame,
    /// The frame on the output, made under the same placement and luma weights as the check's.
    pub placed: &'a PlacedCamera,
}

/// What is checked, and under what.
#[derive(Clone, Copy, Debug)]
pub struct SlideToCheck<'a> {
    /// The slide, as decoded.
    pub slide: &'a Frame,
    /// Whether its file was compressed with loss, so that small differences are noise.
    pub lossy: bool,
    /// The camera frames; the first decides the output's size where the settings do not.
    pub cameras: &'a [CheckedCamera<'a>],
    /// Key, placement and chain; the view does not matter.
    pub settings: &'a Settings,
    /// Where findings begin.
    pub limits: &'a Limits,
    /// Guides whose areas content must keep out of, beside the edge outside graphics safe.
    pub reserved: &'a [Guide],
    /// The zones that are for this slide.
    pub zones: &'a [Zone],
}

impl<'a> SlideToCheck<'a> {
    /// Its slide on the output.
    fn placed(&self) -> PlacedSlide {
        let camera = self.cameras.first().map(|camera| camera.frame.size());
        let under = PlacedUnder::new(self.settings, self.limits, camera);
        PlacedSlide::new(self.slide, self.lossy, &under)
    }

    /// What is checked, as engines take it.
    fn plan(&self, background: Background) -> Plan<'a> {
        Plan::new(&Scene {
            camera: self.cameras.first().map(|camera| camera.frame),
            slide: Some(self.slide),
            background,
            settings: self.settings,
        })
    }
}

/// What was found on a slide.
#[derive(Clone, Debug, PartialEq)]
pub struct SlideCheck {
    /// The slide's background, before the chain.
    pub background: Background,
    /// Findings by kind, then from top to bottom.
    pub findings: Vec<Finding>,
}

/// What the single checks look at.
#[derive(Debug)]
pub(crate) struct Checked<'a> {
    pub(crate) raster: &'a SlideRaster,
    pub(crate) fates: &'a Fates,
    pub(crate) tiles: Option<&'a Tiles>,
    pub(crate) ground: &'a Ground,
    pub(crate) content: &'a Content,
    pub(crate) lossy: bool,
    pub(crate) plan: &'a Plan<'a>,
    pub(crate) keys: KeyColors,
    pub(crate) limits: &'a Limits,
    /// How many output pixels a pixel of the slide becomes across and down; under 1 where it is reduced.
    pub(crate) enlargement: [f64; 2],
    cameras: &'a [CheckedCamera<'a>],
}

impl Checked<'_> {
    /// The camera that is lit over most of these pixels, and over how many percent of them.
    pub(super) fn most_lit(&self, runs: &[Run]) -> (Option<&str>, f64) {
        let mut most = (None, 0.0);
        for camera in self.cameras {
            let share = camera.placed.lit_percent(runs);
            if share > most.1 {
                most = (Some(camera.name), share);
            }
        }
        most
    }
}

/// Checks a slide.
pub fn check_slide(check: &SlideToCheck<'_>) -> SlideCheck {
    check_placed_slide(check, &check.placed())
}

/// Checks a slide that was placed before. It must be the one of this check.
pub fn check_placed_slide(check: &SlideToCheck<'_>, placed: &PlacedSlide) -> SlideCheck {
    let PlacedSlide {
        raster,
        ground,
        content,
        background,
        ..
    } = placed;
    let plan = check.plan(*background);
    let fates = Fates::new(&plan);
    let checked = Checked {
        raster,
        fates: &fates,
        tiles: placed.tiles.as_ref(),
        ground,
        content,
        lossy: check.lossy,
        plan: &plan,
        keys: KeyColors::new(&plan),
        limits: check.limits,
        enlargement: slide_enlargement(&check.settings.placement, check.slide.size(), plan.output),
        cameras: check.cameras,
    };
    let mut findings = Vec::new();
    // A photograph that fills the slide is content all over; there is no background to make dark.
    let is_photograph = LazyCell::new(|| photograph_fills(raster, plan.background, check.lossy));
    let not_dark = not_dark(check, background).filter(|_| !*is_photograph);
    // The whole slide must be made anew; what the key does to parts of it says nothing about the new one.
    let is_made_for_a_key = not_dark.is_none();
    findings.extend(not_dark);
    let mut veil = Runs::none(plan.output);
    if is_made_for_a_key {
        let found;
        (found, veil) = find_by_key(&checked, check.settings, || *is_photograph);
        findings.extend(found);
    }
    let drawn = placed.drawn();
    findings.extend(find_by_geometry(
        raster,
        &fates,
        content,
        drawn,
        check.reserved,
        SlideFile {
            lossy: check.lossy,
            enlargement: checked.enlargement,
        },
        check.limits,
    ));
    let cameras = check.cameras.iter().filter(|_| is_made_for_a_key);
    for camera in cameras {
        let keyed = KeyedOver::new(check.slide, camera.frame, camera.placed, check.settings);
        findings.extend(find_over_camera(
            &OverCamera {
                name: camera.name,
                raster,
                fates: &fates,
                content,
                drawn,
                keyed: &keyed,
                lossy: check.lossy,
                key: &check.settings.key,
            },
            check.limits,
        ));
    }
    // What covers the camera whole covers whatever is in it.
    let cameras = if is_made_for_a_key {
        check.cameras
    } else {
        &[]
    };
    findings.extend(overlaps(check, cameras, placed, &fates, &veil));
    in_order(*background, findings)
}

/// Checks where a slide's content lands, and nothing else.
pub fn check_overlap(check: &SlideToCheck<'_>) -> SlideCheck {
    let placed = check.placed();
    let fates = Fates::new(&check.plan(placed.background));
    let veil = Runs::none(placed.raster.size());
    let findings = overlaps(check, check.cameras, &placed, &fates, &veil);
    in_order(placed.background, findings)
}

/// Where content lands over these cameras and in the zones. What lies in `veil` is told of as haze.
fn overlaps(
    check: &SlideToCheck<'_>,
    cameras: &[CheckedCamera<'_>],
    placed: &PlacedSlide,
    fates: &Fates,
    veil: &Runs,
) -> Vec<Finding> {
    let masks = cameras
        .iter()
        .map(|camera| (camera.name, camera.placed.masks()));
    find_overlaps(&Overlapped {
        raster: &placed.raster,
        fates,
        content: &placed.content,
        veil,
        cameras: masks.collect(),
        zones: check.zones,
        limits: check.limits,
    })
}

/// Findings by kind, then from top to bottom.
fn in_order(background: Background, mut findings: Vec<Finding>) -> SlideCheck {
    findings.sort_by_key(|finding| {
        let place = finding.bounds.map(|bounds| (bounds.y, bounds.x));
        (finding.kind, place)
    });
    SlideCheck {
        background,
        findings,
    }
}

/// What the key makes of the background and of content, each place told of once; and where the background is haze.
fn find_by_key(
    checked: &Checked<'_>,
    settings: &Settings,
    is_photograph: impl Fn() -> bool,
) -> (Vec<Finding>, Runs) {
    let mut findings = Vec::new();
    let mut veil = Runs::none(checked.raster.size());
    // What is said of haze says it of black too where the key keeps even that.
    let mut is_black_told = false;
    if let Some((finding, place)) = haze::find(checked)
        && !is_photograph()
    {
        findings.push(finding);
        veil = place;
        is_black_told = checked.keys.fate([0; 3]) != Fate::Dropped;
    }
    if !is_black_told && let Some(finding) = chain_black::find(settings, checked.raster.size()) {
        findings.extend(Some(finding).filter(|_| !is_photograph()));
    }
    let (holes, place) = hole::find(checked);
    findings.extend(holes);
    let mut claimed = veil.clone();
    if !place.as_slice().is_empty() {
        claimed = claimed.union(&place.grown(CLAIMED_AROUND_PX));
    }
    findings.extend(lost_content::find(checked, &claimed));
    (findings, veil)
}

/// The finding about a background that is not made for a key at all.
fn not_dark(check: &SlideToCheck<'_>, background: &Background) -> Option<Finding> {
    let (kr, kb) = check.settings.key.luma.weights();
    let luma_percent = 100.0 * f64::from(luma(background.color, kr, kb));
    let limit = check.limits.get(Limit::NotDark);
    (luma_percent > limit).then(|| Finding {
        kind: Kind::NotDark,
        severity: Severity::Fail,
        bounds: None,
        measured: luma_percent,
        limit,
        unit: Unit::Percent,
        advice: format!(
            "The background has {luma_percent:.0} % luma and covers the camera; {limit:.0} % is the \
             limit. Use black, or turn the deck dark with `nightglass darken`."
        ),
        camera: None,
    })
}
