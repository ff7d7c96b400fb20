//! How black the backdrop is, how evenly, and of which colour.

use super::camera_finding::{CameraFinding, CameraKind, percent_of_codes};
use crate::measure::camera::camera_luma::mean_luma_codes;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;

/// Luma from which the backdrop is not black, percent. Source: the definition of the finding.
pub const RAISED_PERCENT: f64 = 4.0;
/// How much brighter its brightest part may be than its darkest, percent of white. Source: chosen, the same.
pub const UNEVEN_PERCENT: f64 = 4.0;
/// How far its channels may be apart, percent of white. Source: chosen, the same that greys of a chain may be.
const CAST_PERCENT: f64 = 1.5;
/// Parts that the picture is cut into each way. Source: chosen.
const PARTS: u32 = 6;
/// Share of a part that has to be backdrop. Source: chosen.
const PART_SHARE: f64 = 0.15;

/// The backdrop's colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BackdropLevel {
    /// Median R', G' and B' of the whole, codes.
    pub channels_codes: [f64; 3],
    /// Luma, percent of white: the mean over the parts of the picture.
    pub luma_percent: f64,
    /// Luma of its brightest part over that of its darkest, percent of white.
    pub uneven_percent: f64,
    /// The brightest part.
    pub brightest: PixelBox,
}

/// Luma and channels of a part of the picture, codes, and its place.
type PartLevel = (f64, [f64; 3], PixelBox);

/// Measures it where it is seen; none where that is nowhere enough.
///
/// The parts' levels are means between the quarters, so that neither spots nor whole codes decide.
pub fn measure_backdrop_level(camera: &CameraRaster, seen: &Runs) -> Option<BackdropLevel> {
    let size = camera.size();
    let width = size.width() as usize;
    let count = (PARTS * PARTS) as usize;
    let mut counts = vec![[[0_u32; 256]; 3]; count];
    let edge = |part: u32, side: u32| part * side / PARTS;
    for run in seen.as_slice() {
        let down = (run.y * PARTS / size.height()).min(PARTS - 1);
        for x in run.start..run.end {
            let part = (down * PARTS + (x * PARTS / size.width()).min(PARTS - 1)) as usize;
            let code = camera.codes()[run.y as usize * width + x as usize];
            for c in 0..3 {
                counts[part][c][usize::from(code[c])] += 1;
            }
        }
    }
    let mut levels: Vec<PartLevel> = Vec::new();
    for (part, counts) in (0..PARTS * PARTS).zip(&counts) {
        let (column, row) = (part % PARTS, part / PARTS);
        let bounds = PixelBox {
            x: edge(column, size.width()),
            y: edge(row, size.height()),
            width: edge(column + 1, size.width()) - edge(column, size.width()),
            height: edge(row + 1, size.height()) - edge(row, size.height()),
        };
        let pixels: u32 = counts[0].iter().sum();
        if f64::from(pixels) < PART_SHARE * bounds.area() as f64 || pixels == 0 {
            continue;
        }
        let color = std::array::from_fn(|c| middle_mean(&counts[c], pixels));
        levels.push((mean_luma_codes(color), color, bounds));
    }
    levels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (darkest, brightest) = (levels.first()?, levels.last()?);
    let mean =
        |of: &dyn Fn(&PartLevel) -> f64| levels.iter().map(of).sum::<f64>() / levels.len() as f64;
    Some(BackdropLevel {
        channels_codes: std::array::from_fn(|c| mean(&|level| level.1[c])),
        luma_percent: percent_of_codes(mean(&|level| level.0)),
        uneven_percent: percent_of_codes(brightest.0 - darkest.0),
        brightest: brightest.2,
    })
}

/// Mean of the values between the lower and the upper quarter.
fn middle_mean(counts: &[u32; 256], pixels: u32) -> f64 {
    let (from, to) = (f64::from(pixels) / 4.0, 3.0 * f64::from(pixels) / 4.0);
    let (mut below, mut sum) = (0.0, 0.0);
    for (code, &count) in (0_u32..).zip(counts) {
        let above = below + f64::from(count);
        let inside = above.min(to) - f64::max(below, from);
        if inside > 0.0 {
            sum += inside * f64::from(code);
        }
        below = above;
    }
    sum / (to - from)
}

/// What is wrong with it.
pub fn backdrop_findings(level: &BackdropLevel) -> Vec<CameraFinding> {
    let mut findings = Vec::new();
    let finding = |kind, severity, bounds, measured, limit, advice: String| CameraFinding {
        kind,
        severity,
        bounds,
        measured,
        limit,
        unit: Unit::Percent,
        advice,
    };
    if level.luma_percent > RAISED_PERCENT {
        findings.push(finding(
            CameraKind::RaisedBlack,
            Severity::Warn,
            None,
            level.luma_percent,
            RAISED_PERCENT,
            format!(
                "The backdrop is grey, {:.1} % of white; its parts differ by {:.1} %. Keep light off it: turn lamps and \
                 barn doors away, dim the room, move the backdrop farther back. Where the camera has a flat or log \
                 profile or a raised black level, choose the standard one.",
                level.luma_percent, level.uneven_percent
            ),
        ));
    } else if level.uneven_percent > UNEVEN_PERCENT {
        findings.push(finding(
            CameraKind::RaisedBlack,
            Severity::Warn,
            Some(level.brightest),
            level.uneven_percent,
            UNEVEN_PERCENT,
            "This part of the backdrop is brighter than the rest. Find the lamp or window that shines on it and turn it \
             away or shade it; smooth folds that catch light."
                .to_owned(),
        ));
    }
    let [r, g, b] = level.channels_codes;
    let cast = percent_of_codes(r.max(g).max(b) - r.min(g).min(b));
    if cast > CAST_PERCENT {
        let names = ["red", "green", "blue", "yellow", "magenta", "cyan"];
        findings.push(finding(
            CameraKind::ColourCast,
            Severity::Info,
            None,
            cast,
            CAST_PERCENT,
            format!(
                "The backdrop is tinted {}. Set the camera's white balance on a white sheet under the lamps of the take, \
                 and keep coloured light off the backdrop.",
                names[tint(level.channels_codes)]
            ),
        ));
    }
    findings
}

/// Which of red, green, blue, yellow, magenta and cyan a colour tends to.
fn tint(channels: [f64; 3]) -> usize {
    let mut order = [0, 1, 2];
    order.sort_by(|&a, &b| channels[b].total_cmp(&channels[a]));
    let [most, middle, least] = order;
    if channels[most] - channels[middle] >= channels[middle] - channels[least] {
        most
    } else {
        // Yellow lacks blue, magenta green, cyan red.
        [5, 4, 3][least]
    }
}
