//! Content that the key drops or leaves half transparent.

use super::key_colors::hex;
use super::slide_check::Checked;
use crate::measure::contrast::contrast_of_codes;
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::places::{Place, gathered};
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::slide::fates::Fate;
use crate::measure::slide::pieces::{JOINED_WITHIN_PX, LEAST_PIECE_PX};
use crate::measure::told_apart::told_apart;

/// How far from a solid pixel, or from lost content, an edge reaches, px. Source: chosen; an edge that is smoothed and then
/// enlarged to twice its size is dropped or in the ramp for less.
const EDGE_PX: u32 = 2;
/// The same in pixels of the slide, where it is enlarged. Source: measured on letters enlarged three times,
/// whose edges lie within one and a half of their own pixels.
const EDGE_SLIDE_PX: f64 = 1.5;
/// The same in a lossy file with colour at half resolution. Source: chosen, two samples of colour.
const LOSSY_EDGE_PX: u32 = 4;
/// Share of the largest difference from which a pixel shows the content's own colour, in tenths. Source: chosen.
const OWN_COLOR_TENTHS: u32 = 8;
/// Steps along content in which the rows above and below it are looked at, px. Source: chosen, for speed.
const BESIDE_STEP_PX: usize = 4;
/// Largest difference of a channel within a colour family, 8-bit codes. Source: chosen.
const FAMILY_CODES: u8 = 48;
/// Gap within which lost content of a family is one place, percent of the output's height.
/// Source: chosen, lines of text belong together and blocks of it do not.
const PLACE_GAP_PERCENT: u32 = 6;
/// Findings of a kind on a slide at most; the largest places. Source: chosen, a reader wants a handful.
const MOST_FINDINGS: usize = 6;
/// The same where little is lost. Source: chosen; the darks of a photograph are many places.
const MOST_LITTLE: usize = 1;

/// Lost content of one colour at a place.
struct Lost {
    place: Place,
    color: [u8; 3],
    around: [u8; 3],
    fate: Fate,
}

/// All lost content that none of the `claimed` pixels is.
pub(super) fn find(checked: &Checked<'_>, claimed: &Runs) -> Vec<Finding> {
    let raster = checked.raster;
    let edge = edge_px(checked);
    let not_solid = checked.fates.mask_where(|fate| fate != Fate::Solid);
    let candidates = checked
        .content
        .mask()
        .intersection(&not_solid)
        .without(claimed);
    if candidates.as_slice().is_empty() {
        return Vec::new();
    }
    let beside_solid = checked.fates.mask_of(Fate::Solid).grown(edge);
    let lost = candidates.without(&beside_solid);
    let parts = Components::of(&lost, Neighbours::Within(JOINED_WITHIN_PX));
    let mut found: Vec<Lost> = (0..parts.list().len())
        .filter(|&part| parts.list()[part].area >= LEAST_PIECE_PX)
        .map(|part| {
            let bounds = parts.list()[part].bounds;
            look_at(checked, bounds, parts.runs_of(part), &candidates)
        })
        .collect();
    let gap = (raster.size().height() * PLACE_GAP_PERCENT / 100).max(JOINED_WITHIN_PX);
    let mut findings = Vec::new();
    for (kind, fate) in [
        (Kind::KeyedOut, Fate::Dropped),
        (Kind::HalfKeyed, Fate::InTheRamp),
    ] {
        let (these, others) = found.into_iter().partition(|lost| lost.fate == fate);
        found = others;
        findings.extend(tell(checked, kind, these, gap));
    }
    findings
}

/// How far an edge reaches on the output: along the axis that is enlarged more, so that no edge is taken for lost content.
fn edge_px(checked: &Checked<'_>) -> u32 {
    let least = if checked.lossy {
        LOSSY_EDGE_PX
    } else {
        EDGE_PX
    };
    let [across, down] = checked.enlargement;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of pixels, at most a few times that of the largest output"
    )]
    let enlarged = (EDGE_SLIDE_PX * across.max(down)).ceil() as u32;
    least.max(enlarged)
}

/// Colour, surroundings and fate of a part of the lost content.
fn look_at(checked: &Checked<'_>, bounds: PixelBox, runs: &[Run], lost_content: &Runs) -> Lost {
    let raster = checked.raster;
    let pixels = || {
        runs.iter()
            .flat_map(|run| (run.start..run.end).map(|x| (x, run.y)))
    };
    let difference = |(x, y): (u32, u32)| checked.content.differences()[raster.index(x, y)];
    let area = pixels().count();
    let mut counts = [0_usize; 256];
    for at in pixels() {
        counts[usize::from(difference(at))] += 1;
    }
    // The largest difference that more than one pixel in fifty has, so that specks do not count.
    let mut above = 0;
    let largest = (0..=u8::MAX).rev().find(|&d| {
        above += counts[usize::from(d)];
        50 * above > area
    });
    let own = u32::from(largest.unwrap_or(0)) * OWN_COLOR_TENTHS / 10;
    let shows = |at: &(u32, u32)| u32::from(difference(*at)) >= own;
    let color = usual_color(pixels().filter(shows).map(|(x, y)| raster.color(x, y)));
    let (mut dropped, mut all) = (0, 0);
    for (x, y) in pixels().filter(shows) {
        dropped += usize::from(checked.fates.at(x, y) == Fate::Dropped);
        all += 1;
    }
    Lost {
        place: Place::new(bounds, runs.to_vec()),
        color,
        around: surroundings(checked, runs, lost_content),
        fate: if 2 * dropped > all {
            Fate::Dropped
        } else {
            Fate::InTheRamp
        },
    }
}

/// The colour that content mostly has, the median of each channel: smoothed edges do not change it.
fn usual_color(pixels: impl Iterator<Item = [u8; 3]>) -> [u8; 3] {
    let mut counts = [[0_u64; 256]; 3];
    let mut all = 0;
    for color in pixels {
        all += 1;
        for (counts, code) in counts.iter_mut().zip(color) {
            counts[usize::from(code)] += 1;
        }
    }
    counts.map(|counts| {
        let mut below = 0;
        let median = (0..=u8::MAX).find(|&code| {
            below += counts[usize::from(code)];
            2 * below >= all
        });
        median.unwrap_or(0)
    })
}

/// The usual colour around runs, by its luma: beside, above and below them, where no content is that is not solid. Lost
/// content has gaps around every solid speck that compression leaves in it, and is not its own surroundings.
fn surroundings(checked: &Checked<'_>, runs: &[Run], lost_content: &Runs) -> [u8; 3] {
    let raster = checked.raster;
    let (width, height) = (raster.size().width(), raster.size().height());
    // Lost content ends an edge before what is solid, which begins as part of the edge.
    let beside_px = 2 * edge_px(checked) + 1;
    let mut beside: Vec<(u32, [u8; 3])> = Vec::with_capacity(4 * runs.len());
    for run in runs {
        let left = run.start.checked_sub(beside_px).map(|x| (x, run.y));
        let right = Some((run.end - 1 + beside_px, run.y));
        let above = run.y.checked_sub(beside_px);
        let rows = [above, Some(run.y + beside_px)];
        let along = (run.start..run.end).step_by(BESIDE_STEP_PX);
        let over_and_under = along.flat_map(|x| rows.map(|y| y.map(|y| (x, y))));
        let places = [left, right].into_iter().chain(over_and_under).flatten();
        for (x, y) in
            places.filter(|&(x, y)| x < width && y < height && !lost_content.contains(x, y))
        {
            let color = raster.color(x, y);
            let luma = (1000.0 * raster.luma(color)).to_bits();
            beside.push((luma, color));
        }
    }
    beside.sort_unstable();
    match beside.get(beside.len() / 2) {
        Some((_, color)) => *color,
        None => [0; 3],
    }
}

/// One finding for each place and colour family.
fn tell(checked: &Checked<'_>, kind: Kind, lost: Vec<Lost>, gap: u32) -> Vec<Finding> {
    let alike = |a: &Lost, b: &Lost| {
        let largest = (0..3).map(|c| a.color[c].abs_diff(b.color[c])).max();
        largest.is_some_and(|d| d <= FAMILY_CODES)
    };
    let mut groups: Vec<Lost> = gathered(lost, gap, |lost| &lost.place, alike)
        .into_iter()
        .filter_map(joined)
        .collect();
    groups.sort_by_key(|lost| std::cmp::Reverse(lost.place.area()));
    let (little, mut findings): (Vec<Finding>, Vec<Finding>) = groups
        .iter()
        .map(|lost| finding(checked, kind, lost))
        .partition(|finding| finding.severity == Severity::Info);
    // The largest first, and of what is little lost that one alone.
    let shown = |mut these: Vec<Finding>, most: usize| {
        let left_out = these.len().saturating_sub(most);
        these.truncate(most);
        these.sort_by_key(|finding| finding.bounds.map(|bounds| (bounds.y, bounds.x)));
        if let (Some(last), 1..) = (these.last_mut(), left_out) {
            let (places, are) = match left_out {
                1 => ("1 smaller place".to_owned(), "is"),
                more => (format!("{more} smaller places"), "are"),
            };
            last.advice += &format!(" {places} on this slide {are} like it.");
        }
        these
    };
    findings = shown(findings, MOST_FINDINGS);
    findings.extend(shown(little, MOST_LITTLE));
    findings.sort_by_key(|finding| finding.bounds.map(|bounds| (bounds.y, bounds.x)));
    findings
}

/// Parts of a group as one, with the colours of the largest.
fn joined(group: Vec<Lost>) -> Option<Lost> {
    let mut parts = group.into_iter();
    let mut whole = parts.next()?;
    let mut largest = whole.place.area();
    for part in parts {
        if part.place.area() > largest {
            largest = part.place.area();
            (whole.color, whole.around) = (part.color, part.around);
        }
        whole.place.take_in(part.place);
    }
    Some(whole)
}

/// The finding about a place.
fn finding(checked: &Checked<'_>, kind: Kind, lost: &Lost) -> Finding {
    let ratio = contrast_of_codes(lost.color, lost.around);
    let (severity, limit) = loss(checked.limits, ratio);
    let (name, lit) = checked.most_lit(lost.place.runs());
    let is_lit = lit >= crate::measure::camera::camera_lit::LIT_SHARE_PERCENT;
    let told = told(checked, kind, lost, (ratio, limit), is_lit);
    if is_lit {
        return Finding {
            kind,
            severity: Severity::Fail,
            bounds: Some(lost.place.bounds()),
            measured: lit,
            limit: crate::measure::camera::camera_lit::LIT_SHARE_PERCENT,
            unit: Unit::Percent,
            advice: format!("The camera is lit behind it and shows through. {told}"),
            camera: name.map(str::to_owned),
        };
    }
    Finding {
        kind,
        severity,
        bounds: Some(lost.place.bounds()),
        measured: ratio,
        limit,
        unit: Unit::Ratio,
        advice: told,
        camera: None,
    }
}

/// How bad it is to lose content of this contrast, and the limit that says so.
fn loss(limits: &Limits, ratio: f64) -> (Severity, f64) {
    let (warn, fail) = (limits.get(Limit::LossWarn), limits.get(Limit::LossFail));
    if ratio >= fail {
        (Severity::Fail, fail)
    } else if ratio >= warn {
        (Severity::Warn, warn)
    } else {
        (Severity::Info, warn)
    }
}

/// What is lost, and what to do about it.
///
/// `ratio` and `limit` are those of its contrast on the slide; where the camera behind it `is_lit`, more is lost.
fn told(
    checked: &Checked<'_>,
    kind: Kind,
    lost: &Lost,
    (ratio, limit): (f64, f64),
    is_lit: bool,
) -> String {
    let keys = &checked.keys;
    let color = keys.before_chain(lost.color);
    let luma = keys.luma_percent(lost.color);
    let what = match kind {
        Kind::KeyedOut => "disappears",
        _ => "comes out half transparent",
    };
    let name = if is_blue(color) { "The blue " } else { "" };
    let because = if is_blue(color) {
        let blue = keys.luma_percent([0, 0, u8::MAX]);
        format!(" Blue has little luma: even #0000FF has {blue:.1} %.")
    } else {
        String::new()
    };
    let [told_ratio, told_limit] = told_apart(ratio, limit, 2);
    let is_little = ratio < limit && !is_lit;
    let beside = if is_little {
        format!(", under the limit of {told_limit}, so little is lost")
    } else if ratio < limit {
        String::new()
    } else {
        format!(", limit {told_limit}")
    };
    let cure = match keys.solid(color) {
        Some(solid) => format!(
            "{} it {} or lighter, the nearest colour that this key keeps solid.",
            if is_little {
                "Leave it, or recolour"
            } else {
                "Recolour"
            },
            hex(solid)
        ),
        None => "Lower threshold and softness: this key keeps no colour solid.".to_owned(),
    };
    format!(
        "{name}{} {what} at {luma:.1} % luma (contrast {told_ratio} on the slide{beside}).{because} {cure}",
        hex(color)
    )
}

/// Whether a colour is mostly blue.
fn is_blue([r, g, b]: [u8; 3]) -> bool {
    b >= 96 && u16::from(b) > 2 * u16::from(r.max(g))
}
