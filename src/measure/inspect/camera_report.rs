//! All findings on a camera frame, with the numbers behind them.

use super::backdrop_level::{BackdropLevel, backdrop_findings, measure_backdrop_level};
use super::camera_exposure::{
    BrightestParts, clipped_findings, faint_findings, measure_brightest_parts,
};
use super::camera_finding::{CameraFinding, CameraKind};
use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use super::chart_way::ChartInPicture;
use super::dark_clothes::{MeltedOutline, dark_clothes_finding, measure_melted_outline};
use super::double_image::{DoubleImage, double_image_finding, measure_double_image};
use super::edge_widths::{EdgeWidths, focus_findings, measure_edge_widths};
use super::nothing_seen::is_nothing_seen;
use super::reflections::{SMEAR_PERCENT, spot_findings};
use super::seen_backdrop::{SeenBackdrop, find_seen_backdrop};
use crate::measure::camera::camera_noise::{CameraNoise, measure_camera_noise};
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::camera::cell_means::CellMeans;
use crate::measure::camera::spots::find_spots;
use crate::measure::finding::{Severity, Unit};
use crate::measure::raster::runs::Runs;

/// Noise from which it is worth knowing, codes. Source: chosen; 5.7 deviations of it are the brightest speck of a
/// 1080p frame, 4.5 % of white, and a key's threshold of 6 % is near.
pub const NOISE_CODES: f64 = 2.0;
/// Least share of the frame in which backdrop has to be seen to say something about it. Source: chosen.
const LEAST_SEEN: f64 = 0.01;

/// What was measured in a camera frame, and what is wrong with it.
#[derive(Clone, Debug)]
pub struct CameraReport {
    /// All findings, by kind.
    pub findings: Vec<CameraFinding>,
    /// The noise; none where too little backdrop is seen.
    pub noise: Option<CameraNoise>,
    /// The backdrop's level; none where too little of it is seen.
    pub backdrop: Option<BackdropLevel>,
    /// How wide edges are.
    pub edges: EdgeWidths,
    /// How bright writing and skin are.
    pub brightest: BrightestParts,
    /// How much of the presenter's outline melts into the backdrop; none where nobody is there.
    pub outline: Option<MeltedOutline>,
    /// The copy of all strokes; none where there is none.
    pub double_image: Option<DoubleImage>,
    /// What the frame cannot tell, beside what its parts say already.
    pub notes: Vec<CameraNote>,
}

/// Looks for everything that is wrong with a frame in which writing and presenter were found.
pub fn camera_findings(camera: &CameraRaster, parts: &CameraParts) -> CameraReport {
    findings_in(camera, parts, &find_seen_backdrop(camera, parts))
}

/// The same of a frame with the test chart in it, whose parts are those beside the chart.
pub fn findings_beside_chart(
    camera: &CameraRaster,
    parts: &CameraParts,
    chart: &ChartInPicture,
) -> CameraReport {
    let mut seen = find_seen_backdrop(camera, parts);
    seen.mask = seen.mask.without(&chart.mask(camera.size()));
    findings_in(camera, parts, &seen)
}

fn findings_in(camera: &CameraRaster, parts: &CameraParts, seen: &SeenBackdrop) -> CameraReport {
    let mut findings = Vec::new();
    // Without a dark backdrop every part of a picture is a spot, and none of it is to be black.
    let is_blind = parts.is_blind();
    let is_seen = !is_blind && seen.mask.area() as f64 > LEAST_SEEN * camera.size().area() as f64;
    let mut calm = seen.mask.clone();
    if is_seen {
        let pixels = CellMeans::of_pixels(camera, &seen.mask);
        let noise =
            measure_camera_noise(camera, &seen.mask).map_or(0.0, |noise| noise.luma_codes());
        let spots = find_spots(pixels, camera.size(), 2.55 * SMEAR_PERCENT, noise);
        findings.extend(spot_findings(&spots, &seen.figure, &parts.writing));
        let boxes = findings.iter().filter_map(|finding| finding.bounds);
        calm = calm.without(&Runs::of_boxes(camera.size(), boxes));
    }
    let noise = (!is_blind)
        .then(|| measure_camera_noise(camera, &calm))
        .flatten();
    let backdrop = is_seen
        .then(|| measure_backdrop_level(camera, &calm))
        .flatten();
    findings.extend(backdrop.iter().flat_map(backdrop_findings));
    findings.extend(noise.and_then(noise_finding));
    let outline = measure_melted_outline(camera, parts, &seen.figure);
    findings.extend(outline.as_ref().and_then(dark_clothes_finding));
    findings.extend(clipped_findings(camera, parts));
    findings.extend(faint_findings(camera, parts));
    let edges = measure_edge_widths(camera, parts, noise.map_or(0.0, |noise| noise.most_codes()));
    findings.extend(focus_findings(&edges, parts));
    let double_image = measure_double_image(camera, parts, edges.writing_px);
    findings.extend(double_image.as_ref().map(double_image_finding));
    findings.sort_by_key(|finding| finding.kind);
    let hidden = [
        (backdrop.is_none() && !is_blind).then_some(CameraNote::BackdropHidden),
        is_nothing_seen(parts).then_some(CameraNote::NothingSeen),
        noise
            .is_some_and(|noise| noise.is_hidden)
            .then_some(CameraNote::NoiseHidden),
    ];
    CameraReport {
        findings,
        notes: hidden.into_iter().flatten().collect(),
        noise,
        backdrop,
        edges,
        brightest: measure_brightest_parts(camera, parts),
        outline,
        double_image,
    }
}

fn noise_finding(noise: CameraNoise) -> Option<CameraFinding> {
    let measured = noise.most_codes();
    let [r, g, b] = noise.channels_codes;
    let hidden = if noise.is_hidden {
        " The file is compressed with loss, which hides noise: there is more of it."
    } else {
        ""
    };
    (measured >= NOISE_CODES).then(|| CameraFinding {
        kind: CameraKind::Noise,
        severity: Severity::Info,
        bounds: None,
        measured,
        limit: NOISE_CODES,
        unit: Unit::Codes,
        advice: format!(
            "Pixels of the backdrop differ by {r:.1}, {g:.1} and {b:.1} of 255 in red, green and blue. Lower the camera's \
             gain (ISO) and open the aperture or add light on the presenter.{hidden}"
        ),
    })
}
