//! Checks one slide as a file and compares what was found with what was planted.

use crate::case::{Planted, Slide};
use crate::coding::Coding;
use crate::sheet::Fault;
use image::RgbImage;
use nightglass::files::picture_file::decode_picture;
use nightglass::measure::check::placed_camera::PlacedCamera;
use nightglass::measure::check::slide_check::{CheckedCamera, SlideToCheck, check_slide};
use nightglass::measure::finding::{Finding, Kind, Severity};
use nightglass::measure::limits::Limits;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::placement::output_size;
use nightglass::pixel::settings::{Settings, Size};
use std::path::Path;

/// Least share of the smaller box that two boxes must have in common to be the same place.
const SAME_PLACE: f64 = 0.5;
/// Least share of the covered area that they must have in common for the place to be exact.
const EXACT_PLACE: f64 = 0.5;

/// What became of a planted fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    Hit,
    WrongSeverity,
    Miss,
}

/// What became of one that was looked for.
#[derive(Clone, Debug)]
pub(crate) struct Looked {
    pub(crate) planted: Planted,
    pub(crate) outcome: Outcome,
    /// Whether its box is about as large as the true one.
    pub(crate) exact_place: bool,
    /// Whether its value is right, where one is known.
    pub(crate) value_right: bool,
}

/// A slide in one coding, judged.
#[derive(Clone, Debug)]
pub(crate) struct Judged {
    pub(crate) coding: Coding,
    pub(crate) clean: bool,
    pub(crate) looked: Vec<Looked>,
    /// Kinds that warn or fail where nothing of the kind is; each once.
    pub(crate) false_alarms: Vec<Kind>,
    /// Whether anything was said as worth knowing that was not planted.
    pub(crate) remarks: Vec<Kind>,
    pub(crate) findings: Vec<Finding>,
}

/// Encodes, decodes and checks a slide, and judges the findings.
pub(crate) fn judge(slide: &Slide, picture: &RgbImage, coding: Coding) -> Result<Judged, Fault> {
    let bytes = coding.encode(picture)?;
    let decoded = decode_picture(&bytes, Path::new(coding.ending()))?;
    let camera = slide.camera.as_ref().map(frame).transpose()?;
    let settings = Settings {
        key: slide.key,
        ..Settings::default()
    };
    let placed = camera.as_ref().map(|frame| {
        let output = output_size(&settings.placement, Some(frame.size()));
        PlacedCamera::new(frame, &settings, output)
    });
    let cameras: Vec<CheckedCamera<'_>> = camera
        .iter()
        .zip(&placed)
        .map(|(frame, placed)| CheckedCamera {
            name: "camera",
            frame,
            placed,
        })
        .collect();
    let check = check_slide(&SlideToCheck {
        slide: &decoded.frame,
        lossy: decoded.lossy,
        cameras: &cameras,
        settings: &settings,
        limits: &Limits::default(),
        reserved: &slide.reserved,
        zones: &[],
    });
    Ok(compare(slide, coding, check.findings))
}

/// Compares findings with what was planted.
fn compare(slide: &Slide, coding: Coding, findings: Vec<Finding>) -> Judged {
    let looked = slide
        .planted
        .iter()
        .map(|p| look_for(p, coding, &findings))
        .collect();
    let (mut false_alarms, mut remarks) = (Vec::new(), Vec::new());
    for finding in &findings {
        let planted = slide.planted.iter().any(|p| is_there(p, coding, finding));
        if planted || slide.allowed.contains(&finding.kind) {
            continue;
        }
        let list = if finding.severity == Severity::Info {
            &mut remarks
        } else {
            &mut false_alarms
        };
        if !list.contains(&finding.kind) {
            list.push(finding.kind);
        }
    }
    Judged {
        coding,
        clean: slide.planted.is_empty(),
        looked,
        false_alarms,
        remarks,
        findings,
    }
}

/// Looks for a planted fault among the findings.
fn look_for(planted: &Planted, coding: Coding, findings: &[Finding]) -> Looked {
    let there: Vec<&Finding> = findings
        .iter()
        .filter(|f| is_there(planted, coding, f))
        .collect();
    let right: Vec<&&Finding> = there
        .iter()
        .filter(|f| planted.severities.contains(&f.severity))
        .collect();
    let outcome = match (there.is_empty(), right.is_empty()) {
        (true, _) => Outcome::Miss,
        (false, true) => Outcome::WrongSeverity,
        (false, false) => Outcome::Hit,
    };
    let covers = |finding: &Finding| match (planted.place, finding.bounds) {
        (Some(a), Some(b)) => covered_share(a, b) >= EXACT_PLACE,
        (None, _) => true,
        (Some(_), None) => false,
    };
    let measures = |finding: &Finding| {
        planted
            .value
            .is_none_or(|(value, tolerance)| (finding.measured - value).abs() <= tolerance)
    };
    Looked {
        planted: planted.clone(),
        outcome,
        exact_place: right.iter().any(|finding| covers(finding)),
        value_right: right.iter().any(|finding| measures(finding)),
    }
}

/// Whether a finding is of the planted kind and at its place, in a file of this coding.
fn is_there(planted: &Planted, coding: Coding, finding: &Finding) -> bool {
    let same_place = match (planted.place, finding.bounds) {
        (None, _) => true,
        (Some(_), None) => false,
        (Some(a), Some(b)) => {
            let smaller = a.area().min(b.area()) as f64;
            common(a, b) / smaller >= SAME_PLACE
        }
    };
    let is_as_right = planted.or_kinds.contains(&finding.kind)
        || (coding.is_lossy() && planted.or_compressed.contains(&finding.kind));
    (planted.kind == finding.kind || is_as_right) && same_place
}

/// Pixels in both boxes.
fn common(a: PixelBox, b: PixelBox) -> f64 {
    a.intersection(b).map_or(0.0, |both| both.area() as f64)
}

/// Shared area over covered area.
fn covered_share(a: PixelBox, b: PixelBox) -> f64 {
    let both = common(a, b);
    both / ((a.area() + b.area()) as f64 - both)
}

/// A picture as a frame.
fn frame(picture: &RgbImage) -> Result<Frame, Fault> {
    let size = Size::new(picture.width(), picture.height())?;
    Ok(Frame::from_fn(size, |x, y| picture.get_pixel(x, y).0))
}
