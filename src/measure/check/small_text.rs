//! `small-text`: lines of text that the farther viewers cannot read.

use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::Size;

/// Heights of lines of one group differ at most by this factor. Source: chosen, between two sizes of a type scale.
const LIKE_SIZE: f64 = 1.15;
/// Picture heights from which a height of one percent can be read: 200 divided by 100.
/// Source: AVIXA V202.01:2016 (DISCAS), farthest viewer = image height x element height x 200.
const PICTURE_HEIGHTS_PER_PERCENT: f64 = 2.0;

/// A line of text: its box in output pixels and the height of its tallest character, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredLine {
    /// The box.
    pub bounds: PixelBox,
    /// The height.
    pub height_px: f64,
}

/// One finding for each group of lines of like size.
pub fn find_small_text(lines: &[MeasuredLine], output: Size, limits: &Limits) -> Vec<Finding> {
    let percent = |px: f64| 100.0 * px / f64::from(output.height());
    let (warn, fail) = (limits.get(Limit::TextWarn), limits.get(Limit::TextFail));
    let limit_of = |line: &MeasuredLine| {
        if percent(line.height_px) < fail {
            fail
        } else {
            warn
        }
    };
    let mut small: Vec<MeasuredLine> = lines
        .iter()
        .copied()
        .filter(|line| percent(line.height_px) < warn.max(fail))
        .collect();
    small.sort_by(|a, b| a.height_px.total_cmp(&b.height_px));
    let groups = small.chunk_by(|a, b| {
        b.height_px <= LIKE_SIZE * a.height_px && limit_of(a).total_cmp(&limit_of(b)).is_eq()
    });
    let mut findings: Vec<Finding> = groups
        .filter_map(|group| {
            let smallest = group.first()?;
            let bounds = group
                .iter()
                .map(|line| line.bounds)
                .reduce(PixelBox::union)?;
            let limit = limit_of(smallest);
            let severity = if percent(smallest.height_px) < fail {
                Severity::Fail
            } else {
                Severity::Warn
            };
            Some(Finding {
                kind: Kind::SmallText,
                severity,
                bounds: Some(bounds),
                measured: percent(smallest.height_px),
                limit,
                unit: Unit::Percent,
                advice: advice(smallest.height_px, limit, group.len(), output),
                camera: None,
            })
        })
        .collect();
    findings.sort_by_key(|finding| finding.bounds.map(|bounds| (bounds.y, bounds.x)));
    findings
}

/// What to do about lines whose tallest characters are this high.
fn advice(height_px: f64, limit: f64, lines: usize, output: Size) -> String {
    let height = f64::from(output.height());
    let what = match lines {
        1 => "A line of text has".to_owned(),
        _ => format!("{lines} lines of text have"),
    };
    let [percent, least] = told_apart(100.0 * height_px / height, limit, 1);
    let wanted = (limit / 100.0 * height).ceil();
    let [px, wanted_px] = told_apart(height_px, wanted, 0);
    let far = PICTURE_HEIGHTS_PER_PERCENT * limit;
    let factor = (100.0 * wanted / height_px).ceil();
    format!(
        "{what} capitals {px} px high, {percent} % of the picture's height; \
         a viewer who sits {far:.0} times the picture's height away needs {least} %, {wanted_px} px. \
         Set the type to {factor:.0} % of its size or more."
    )
}
