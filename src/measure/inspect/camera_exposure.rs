//! Whether writing and skin are too bright to be recorded, and writing bright enough to be read.

use super::camera_finding::{CameraFinding, CameraKind, percent_of_codes};
use super::camera_parts::CameraParts;
use crate::measure::camera::camera_luma::luma_codes;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::contrast::{contrast_ratio, relative_luminance, relative_luminance_frac};
use crate::measure::finding::{Severity, Unit};
use crate::measure::parts::piece_shape::InkPiece;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;

/// Code from which luma, or all three channels, clip. Source: 235 is white of video range, ITU-R BT.709.
const CLIP_CODE: u8 = 235;
/// The same, percent of white.
pub const CLIP_PERCENT: f64 = CLIP_CODE as f64 / 2.55;
/// Share of the writing, and of the presenter, that may clip, percent. Source: chosen; glints in eyes and on glasses are less.
const WRITING_PERCENT: f64 = 2.0;
const SKIN_PERCENT: f64 = 0.2;
/// Share of what is around a clipped patch that has to be skin. Source: chosen; a collar has skin on one side.
const SKIN_AROUND: f64 = 0.6;
/// Least contrast of strokes. Source: WCAG 2.2, 1.4.3, large text.
const LEAST_RATIO: f64 = 3.0;
/// From where to where what is behind a stroke is looked at, px in a frame 1080 high. Source: chosen; ink glows some 15.
const BEHIND_PX: (u32, u32) = (8, 24);

/// How bright writing and skin are where they are brightest, percent of white: the luma that only as much of them
/// exceeds as may clip. From [`CLIP_PERCENT`] on, the finding `clipped` says so.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BrightestParts {
    /// All but 2 % of the writing is darker; none where nothing is written.
    pub writing_percent: Option<f64>,
    /// All skin but 0.2 % of the presenter is darker; none where nobody is there or no skin is seen.
    pub skin_percent: Option<f64>,
}

/// Measures both.
pub fn measure_brightest_parts(camera: &CameraRaster, parts: &CameraParts) -> BrightestParts {
    let figure = parts.presenter.without(&parts.writing);
    let clipped_skin = skin_patches(camera, &clipped_pixels(camera).intersection(&figure));
    let skin = pixels_of(camera, &figure, |code| {
        has_skin_color(code) && !is_clipped(code)
    });
    let skin = skin.union(&clipped_skin);
    BrightestParts {
        writing_percent: brightest(
            camera,
            &parts.writing,
            parts.writing.area(),
            WRITING_PERCENT,
        ),
        skin_percent: brightest(camera, &skin, parts.presenter.area(), SKIN_PERCENT),
    }
}

/// The pixels of a mask whose codes are such.
fn pixels_of(camera: &CameraRaster, mask: &Runs, is_such: impl Fn([u8; 4]) -> bool) -> Runs {
    let mut bytes = vec![0_u8; camera.size().area()];
    let width = camera.size().width() as usize;
    for run in mask.as_slice() {
        let row = run.y as usize * width;
        let place = row + run.start as usize..row + run.end as usize;
        for (byte, code) in bytes[place.clone()].iter_mut().zip(&camera.codes()[place]) {
            *byte = u8::from(is_such(*code));
        }
    }
    Runs::of_bytes(camera.size(), &bytes, |byte| byte == 1)
}

/// Share of a figure's pixels that have the colour of skin, 0 to 1.
pub(super) fn skin_share(camera: &CameraRaster, figure: &Runs) -> f64 {
    let skin = pixels_of(camera, figure, has_skin_color);
    skin.area() as f64 / figure.area().max(1) as f64
}

/// Luma under which all pixels are but this share of `whole` pixels, percent of white; none where there are none.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "luma codes, and a share of a number of pixels"
)]
fn brightest(camera: &CameraRaster, what: &Runs, whole: u64, share_percent: f64) -> Option<f64> {
    let width = camera.size().width() as usize;
    let mut counts = [0_u64; 256];
    for run in what.as_slice() {
        let row = run.y as usize * width;
        for &code in &camera.codes()[row + run.start as usize..row + run.end as usize] {
            counts[luma_codes(code).clamp(0.0, 255.0) as usize] += 1;
        }
    }
    let mut above = (whole as f64 * share_percent / 100.0) as u64;
    let level = (0..256).rev().find(|&code| {
        let is_here = counts[code] > above;
        above = above.saturating_sub(counts[code]);
        is_here
    });
    level.map(|code| percent_of_codes(code as f64))
}

/// The pixels of a frame that clip.
fn clipped_pixels(camera: &CameraRaster) -> Runs {
    Runs::of_bytes(
        camera.size(),
        &camera.map(|code| u8::from(is_clipped(code))),
        |byte| byte == 1,
    )
}

/// Whether a pixel is as bright as can be: one channel alone is normal for fluorescent ink.
fn is_clipped(code: [u8; 4]) -> bool {
    luma_codes(code) >= f32::from(CLIP_CODE) || code[..3].iter().all(|&c| c >= CLIP_CODE)
}

/// Writing and skin that clip.
pub fn clipped_findings(camera: &CameraRaster, parts: &CameraParts) -> Vec<CameraFinding> {
    let clipped = clipped_pixels(camera);
    let mut findings = Vec::new();
    let mut add = |what: &Runs, whole: u64, limit: f64, advice: &str| {
        let measured = 100.0 * what.area() as f64 / whole.max(1) as f64;
        let bounds = what
            .as_slice()
            .iter()
            .map(|run| run.bounds())
            .reduce(PixelBox::union);
        if measured > limit {
            findings.push(CameraFinding {
                kind: CameraKind::Clipped,
                severity: Severity::Warn,
                bounds,
                measured,
                limit,
                unit: Unit::Percent,
                advice: advice.to_owned(),
            });
        }
    };
    add(
        &clipped.intersection(&parts.writing),
        parts.writing.area(),
        WRITING_PERCENT,
        "Writing is brighter than can be recorded, so its colour turns white. Dim the light at the glass's edges, or \
         close the aperture a little (a larger f-number).",
    );
    let skin = skin_patches(
        camera,
        &clipped
            .intersection(&parts.presenter)
            .without(&parts.writing),
    );
    add(
        &skin,
        parts.presenter.area(),
        SKIN_PERCENT,
        "Skin is brighter than can be recorded and loses its shape. Move the lamp farther from the presenter, dim or \
         soften it; let it cool before you touch it, and hold the stand.",
    );
    findings
}

/// Those patches that have skin around them.
fn skin_patches(camera: &CameraRaster, clipped: &Runs) -> Runs {
    let size = camera.size();
    let parts = Components::of(clipped, Neighbours::EIGHT);
    let width = size.width();
    let is_skin: Vec<bool> = parts
        .list()
        .iter()
        .map(|part| {
            let b = part.bounds;
            let reach = 3 + b.width.min(b.height) / 4;
            let (left, right) = (
                b.x.saturating_sub(reach),
                (b.right() + reach).min(width) - 1,
            );
            let (top, bottom) = (
                b.y.saturating_sub(reach),
                (b.bottom() + reach).min(size.height()) - 1,
            );
            let sides = (left..=right).flat_map(|x| [(x, top), (x, bottom)]);
            let rim = sides.chain((top..=bottom).flat_map(|y| [(left, y), (right, y)]));
            let (mut count, mut skin) = (0_u32, 0_u32);
            for (x, y) in rim {
                count += 1;
                skin += u32::from(has_skin_color(camera.codes()[(y * width + x) as usize]));
            }
            f64::from(skin) >= SKIN_AROUND * f64::from(count)
        })
        .collect();
    clipped.filtered(|run, _| is_skin[parts.label_of_run(run)])
}

/// Red over green over blue, as skin from dark to pale is under white light. Source: chosen; hue 0 to 50 degrees.
fn has_skin_color([r, g, b, _]: [u8; 4]) -> bool {
    let (r, g, b) = (f64::from(r), f64::from(g), f64::from(b));
    let span = r - b;
    r > 40.0 && g >= b && r > g && span > 0.1 * r && span < 0.75 * r && (g - b) < 0.85 * span
}

/// Writing that is hard to see against what is behind it, a finding for each group of strokes.
pub fn faint_findings(camera: &CameraRaster, parts: &CameraParts) -> Vec<CameraFinding> {
    let height = camera.size().height();
    let near = parts.writing.grown(BEHIND_PX.0 * height / 1080 + 1);
    let mut findings = Vec::new();
    for &place in &parts.writing_places {
        let (mut sum, mut weight) = (0.0, 0.0);
        let kept = parts
            .pieces
            .pieces
            .iter()
            .zip(&parts.kept)
            .filter(|(_, kept)| **kept);
        for (piece, _) in kept.filter(|(piece, _)| piece.bounds.intersection(place).is_some()) {
            let Some(behind) = luminance_behind(camera, piece, &near) else {
                continue;
            };
            #[expect(clippy::cast_possible_truncation, reason = "codes")]
            let ink = relative_luminance_frac(piece.color.map(|code| code as f32 / 255.0));
            sum += piece.area as f64 * contrast_ratio(ink, behind);
            weight += piece.area as f64;
        }
        let measured = sum / weight;
        if weight > 0.0 && measured < LEAST_RATIO {
            findings.push(CameraFinding {
                kind: CameraKind::FaintWriting,
                severity: Severity::Warn,
                bounds: Some(place),
                measured,
                limit: LEAST_RATIO,
                unit: Unit::Ratio,
                advice: "This writing is hard to see against what is behind it. Write with a fresh or brighter marker, \
                         turn up the light at the glass's edges, or write beside the presenter and not over bright clothes."
                    .to_owned(),
            });
        }
    }
    findings
}

/// Mean luminance around a piece, beyond its glow; none where all of that is written on.
fn luminance_behind(camera: &CameraRaster, piece: &InkPiece, near: &Runs) -> Option<f64> {
    let size = camera.size();
    let reach = BEHIND_PX.1 * size.height() / 1080 + 1;
    let b = piece.bounds;
    let (right, bottom) = (
        (b.right() + reach).min(size.width()),
        (b.bottom() + reach).min(size.height()),
    );
    let (mut sum, mut count) = (0.0, 0_u32);
    for y in (b.y.saturating_sub(reach)..bottom).step_by(3) {
        for x in (b.x.saturating_sub(reach)..right).step_by(3) {
            if !near.contains(x, y) {
                let [r, g, b, _] = camera.codes()[(y * size.width() + x) as usize];
                sum += relative_luminance([r, g, b]);
                count += 1;
            }
        }
    }
    (count > 0).then(|| sum / f64::from(count))
}
