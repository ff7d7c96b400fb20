//! `hairline`: strokes too thin for video.

use super::finding::{Finding, Kind, PixelBox, Severity, Unit};
use super::limits::{Limit, Limits};
use super::marks::Ground;
use super::strokes::thin_strokes;

/// How far under the limit a width must be, px, for what 8-bit codes make of a stroke of exactly the limit.
/// Source: chosen; the worst error over all angles has not been measured.
const SLACK_PX: f64 = 0.05;

/// One finding for all thin strokes of a slide.
pub fn find_hairlines(grounds: &[Ground], limits: &Limits) -> Option<Finding> {
    let limit = limits.get(Limit::Hairline);
    let mut marks = 0;
    let mut thinnest = f64::INFINITY;
    let mut bounds: Option<PixelBox> = None;
    for ground in grounds {
        let mut with_thin = vec![false; ground.marks.list().len()];
        for stroke in thin_strokes(ground, limit - SLACK_PX) {
            with_thin[stroke.mark] = true;
            thinnest = thinnest.min(stroke.width_px);
            let place = ground.in_output(stroke.bounds);
            bounds = Some(bounds.map_or(place, |all| all.union(place)));
        }
        marks += with_thin.iter().filter(|&&thin| thin).count();
    }
    let bounds = bounds?;
    let what = match marks {
        1 => "A line or shape has a stroke".to_owned(),
        _ => format!("{marks} lines, shapes or letters have strokes"),
    };
    Some(Finding {
        kind: Kind::Hairline,
        severity: Severity::Warn,
        bounds: Some(bounds),
        measured: thinnest,
        limit,
        unit: Unit::Px,
        advice: format!(
            "{what} thinner than {limit} px, the thinnest {thinnest:.1} px; such strokes flicker or vanish \
             when the picture is scaled. Make lines at least {limit} px wide on the output, \
             and set text in a heavier weight."
        ),
        camera: None,
    })
}
