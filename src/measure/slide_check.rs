//! What a key will do to one slide: all findings, in order.

use super::background::measure_background;
use super::finding::{Finding, Kind, Severity, Unit};
use super::limits::{Limit, Limits};
use super::over_camera::{OverCamera, find_over_camera};
use super::pieces::Content;
use super::slide_geometry::{Drawn, find_by_geometry};
use super::slide_raster::{KeyedOver, SlideRaster};
use crate::pixel::frame::Frame;
use crate::pixel::guides::Guide;
use crate::pixel::key::luma;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::Settings;
use crate::pixel::views::Background;

/// A camera frame that the slide is checked over.
#[derive(Clone, Copy, Debug)]
pub struct CheckedCamera<'a> {
    /// How findings name it.
    pub name: &'a str,
    /// The frame.
    pub frame: &'a Frame,
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
}

/// What was found on a slide.
#[derive(Clone, Debug, PartialEq)]
pub struct SlideCheck {
    /// The slide's background, before the chain.
    pub background: Background,
    /// Findings by kind, then from top to bottom.
    pub findings: Vec<Finding>,
}

/// Checks a slide.
pub fn check_slide(check: &SlideToCheck<'_>) -> SlideCheck {
    let background = measure_background(check.slide, check.settings.placement.slide_range);
    let plan = Plan::new(&Scene {
        camera: check.cameras.first().map(|camera| camera.frame),
        slide: Some(check.slide),
        background,
        settings: check.settings,
    });
    let raster = SlideRaster::new(&plan);
    let content = Content::measure(&raster, plan.background, check.lossy);
    let mut findings: Vec<Finding> = not_dark(check, background).into_iter().collect();
    let covers_the_camera = !findings.is_empty();
    let drawn = Drawn::new(&raster, &content, plan.background);
    findings.extend(find_by_geometry(
        &raster,
        &content,
        &drawn,
        check.reserved,
        check.limits,
    ));
    let cameras = check.cameras.iter().filter(|_| !covers_the_camera);
    for camera in cameras {
        let keyed = KeyedOver::new(check.slide, Some(camera.frame), check.settings, plan.output);
        findings.extend(find_over_camera(
            &OverCamera {
                name: camera.name,
                raster: &raster,
                content: &content,
                drawn: &drawn,
                keyed: &keyed,
                key: &check.settings.key,
            },
            check.limits,
        ));
    }
    findings.sort_by_key(|finding| {
        let place = finding.bounds.map(|bounds| (bounds.y, bounds.x));
        (finding.kind, place)
    });
    SlideCheck {
        background,
        findings,
    }
}

/// The finding for a background that is not made for a key.
fn not_dark(check: &SlideToCheck<'_>, background: Background) -> Option<Finding> {
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
            "The background has {luma_percent:.0} % luma and covers the camera. \
             Use black, or turn the deck dark with `nightglass darken`."
        ),
        camera: None,
    })
}
