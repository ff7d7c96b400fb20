//! What a key will do to one slide: all findings, in order.

use super::background::measure_background;
use super::finding::{Finding, Kind, Severity, Unit};
use super::limits::{Limit, Limits};
use crate::pixel::frame::Frame;
use crate::pixel::guides::Guide;
use crate::pixel::key::luma;
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
    let (kr, kb) = check.settings.key.luma.weights();
    let luma_percent = 100.0 * f64::from(luma(background.color, kr, kb));
    let limit = check.limits.get(Limit::NotDark);
    let findings = (luma_percent > limit).then(|| Finding {
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
    });
    SlideCheck {
        background,
        findings: findings.into_iter().collect(),
    }
}
