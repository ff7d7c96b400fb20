//! Patches inside solid content that the key drops, so that the camera shows through a face or a sail.

use std::cell::OnceCell;

use super::slide_check::Checked;
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::Limit;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::places::{Place, gathered};
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::slide::fates::Fate;
use crate::measure::slide::pieces::LEAST_PIECE_PX;
use crate::measure::slide::tiles::TILE_PX;
use crate::measure::told_apart::told_apart;

/// Inscribed radius under which a patch may be nothing but smoothed edges, px. Source: chosen; what is
/// left of a counter in small text when both its edges are smoothed is narrower.
const LEAST_RADIUS_PX: f64 = 3.0;
/// How far edges reach into a patch, px. Source: chosen.
const EDGE_PX: u32 = 2;
/// How far a soft rim may keep what encloses a patch from being solid, px. Source: chosen.
const SOFT_RIM_PX: u32 = 12;
/// Step over which neighbouring pixels are an edge and no tone, 8-bit codes. Source: chosen.
const TONE_STEP: f32 = 40.0;
/// Part of a tile's own luma, one in this many, that a step of its tone has at most. Source: chosen;
/// the soft edges of dim writing step further.
const TONE_PART: f32 = 3.0;
/// Share of the tiles around a patch from which it lies in continuous tone, percent. Source: chosen.
const TONE_PERCENT: usize = 50;
/// Tiles that stay around a patch at least, for their tone to say something. Source: chosen.
const LEAST_TILES: usize = 8;
/// How far around a patch tone is looked for, px. Source: chosen, three tiles.
const AROUND_PX: u32 = 24;
/// Part of the output, one in this many, from which half the shorter side of a patch's box stands for
/// its inscribed radius, which would take long to measure. Source: chosen.
const LARGE_SHARE: u64 = 4;
/// Findings on a slide at most; the largest holes. Source: chosen, a reader wants a handful.
const MOST_FINDINGS: usize = 8;

/// The findings, and the pixels of all holes.
pub(super) fn find(checked: &Checked<'_>) -> (Vec<Finding>, Runs) {
    let raster = checked.raster;
    let dropped = checked.fates.mask_of(Fate::Dropped);
    let patches = Components::of(&dropped, Neighbours::Four);
    let solids = OnceCell::new();
    let size = raster.size();
    let mut holes = Vec::new();
    for (patch, component) in patches.list().iter().enumerate() {
        let b = component.bounds;
        let at_edge =
            b.x == 0 || b.y == 0 || b.right() == size.width() || b.bottom() == size.height();
        if at_edge || component.area < LEAST_PIECE_PX {
            continue;
        }
        let runs = patches.runs_of(patch);
        if is_hole(checked, b, runs, &solids) {
            holes.push(Place::new(b, runs.to_vec()));
        }
    }
    let claimed = Runs::of_runs(size, holes.iter().flat_map(Place::runs));
    (tell(checked, holes), claimed)
}

/// The solid pixels and what of them is connected, found when first asked for.
type Solids = OnceCell<(Runs, Components)>;

/// Whether an enclosed patch is a hole.
fn is_hole(checked: &Checked<'_>, bounds: PixelBox, runs: &[Run], solids: &Solids) -> bool {
    let size = checked.raster.size();
    if !is_in_solid(checked, runs) {
        return false;
    }
    let radius = if LARGE_SHARE * bounds.area() > size.area() as u64 {
        f64::from(bounds.width.min(bounds.height)) / 2.0
    } else {
        let around = Distances::within(wider(bounds, 1, size), runs.iter().copied());
        around.map_or(0.0, |distances| distances.largest_px())
    };
    if radius < LEAST_RADIUS_PX {
        return false;
    }
    if in_continuous_tone(checked, bounds) || differs(checked, runs) {
        return true;
    }
    let least = checked.limits.get(Limit::HoleRadius) / 100.0 * f64::from(size.height());
    let needed = least.max(radius);
    solid_radius(checked, bounds, runs, solids, [least, needed]) > needed
}

/// Whether what encloses a patch is content that stays: most of what is just beyond its ends is solid.
fn is_in_solid(checked: &Checked<'_>, runs: &[Run]) -> bool {
    let raster = checked.raster;
    let stays = |x: u32, y: u32| {
        let difference = checked.content.differences()[raster.index(x, y)];
        difference > checked.content.tolerance_codes() && checked.fates.at(x, y) == Fate::Solid
    };
    let (mut solid, mut all) = (0, 0);
    for run in runs {
        for side in beyond(*run, raster.size().width()) {
            solid += u32::from(side.into_iter().flatten().any(|x| stays(x, run.y)));
            all += 1;
        }
    }
    2 * solid > all
}

/// Columns left and right of a run, just beyond a sharp edge and beyond a soft rim.
fn beyond(run: Run, width: u32) -> [[Option<u32>; 2]; 2] {
    let reaches = [2 * EDGE_PX, SOFT_RIM_PX];
    [
        reaches.map(|reach| run.start.checked_sub(reach)),
        reaches.map(|reach| Some(run.end - 1 + reach).filter(|&x| x < width)),
    ]
}

/// Whether a patch is of another colour than the background, the smoothed ends of its runs aside.
fn differs(checked: &Checked<'_>, runs: &[Run]) -> bool {
    let content = checked.content;
    let (mut other, mut all) = (0, 0);
    for run in runs {
        for x in run.start + EDGE_PX..run.end.saturating_sub(EDGE_PX) {
            let difference = content.differences()[checked.raster.index(x, run.y)];
            let is_content = difference > content.tolerance_codes();
            other += u32::from(is_content && content.mask().contains(x, run.y));
            all += 1;
        }
    }
    2 * other > all
}

/// Whether most of what is around a patch changes from pixel to pixel as photographs do.
fn in_continuous_tone(checked: &Checked<'_>, bounds: PixelBox) -> bool {
    let Some(tiles) = checked.tiles else {
        return false;
    };
    let around = wider(bounds, AROUND_PX, checked.raster.size());
    let inside = tiles.inside();
    let Some(around) = around.intersection(inside) else {
        return false;
    };
    let first = |at: u32, from: u32| (at - from) / TILE_PX;
    let (mut toned, mut all) = (0_usize, 0_usize);
    for row in first(around.y, inside.y)..=first(around.bottom() - 1, inside.y) {
        for column in first(around.x, inside.x)..=first(around.right() - 1, inside.x) {
            let tile = tiles.as_slice()[(row * tiles.columns() + column) as usize];
            let [r, g, b] = tile.mean;
            let (kr, kb) = checked.raster.weights();
            let luma = (g + kr * (r - g) + kb * (b - g)) / 255.0;
            // Only what stays: the patch itself and the background tell nothing.
            if luma <= checked.plan.threshold + checked.plan.softness {
                continue;
            }
            all += 1;
            let changing = 2 * u32::from(tile.changes) >= TILE_PX * TILE_PX;
            let most = (255.0 * luma / TONE_PART).min(TONE_STEP);
            toned += usize::from(changing && f32::from(tile.step) <= most);
        }
    }
    all >= LEAST_TILES && 100 * toned >= TONE_PERCENT * all
}

/// The inscribed radius of the solid around a patch, px; 0 where it cannot be more than `needed`, or is
/// less than `least_px` wide along more than a third of the patch.
fn solid_radius(
    checked: &Checked<'_>,
    bounds: PixelBox,
    runs: &[Run],
    solids: &Solids,
    [least_px, needed]: [f64; 2],
) -> f64 {
    let size = checked.raster.size();
    let (solid, solids) = solids.get_or_init(|| {
        let solid = checked.fates.mask_of(Fate::Solid);
        let parts = Components::of(&solid, Neighbours::EIGHT);
        (solid, parts)
    });
    let mut touching = None;
    let (mut broad, mut all) = (0, 0);
    for run in runs {
        for side in beyond(*run, size.width()) {
            let place = side
                .into_iter()
                .flatten()
                .find_map(|x| solid.place_of(x, run.y));
            let length = place.map_or(0, |place| solid.as_slice()[place].length());
            touching = touching.or(place);
            broad += u32::from(f64::from(length) >= least_px);
            all += 1;
        }
    }
    // An outline that happens to meet a broad shape is an outline still.
    if 3 * broad <= 2 * all {
        return 0.0;
    }
    let Some(label) = touching.map(|place| solids.label_of_run(place)) else {
        return 0.0;
    };
    let whole = solids.list()[label].bounds;
    if f64::from(whole.width.min(whole.height)) <= 2.0 * needed {
        return 0.0;
    }
    // A circle that touches the patch lies within twice its radius around it.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of pixels, cut at the output's edge anyway"
    )]
    let reach = (2.0 * needed).ceil().min(f64::from(u16::MAX)) as u32 + 2 * SOFT_RIM_PX;
    let window = wider(bounds, reach, size);
    let near = solids.runs_of(label).iter().copied();
    let near = near.filter(|run| run.y >= window.y && run.y < window.bottom());
    if !near
        .clone()
        .any(|run| f64::from(run.length()) > 2.0 * needed - 1.0)
    {
        return 0.0;
    }
    Distances::within(window, near).map_or(0.0, |distances| distances.largest_px())
}

/// A box with more around it, cut at the output's edge.
fn wider(b: PixelBox, by: u32, size: crate::pixel::settings::Size) -> PixelBox {
    let (x, y) = (b.x.saturating_sub(by), b.y.saturating_sub(by));
    PixelBox {
        x,
        y,
        width: b.right().saturating_add(by).min(size.width()) - x,
        height: b.bottom().saturating_add(by).min(size.height()) - y,
    }
}

/// One finding for each place: letters of a word are one hole to a reader, two eyes are two.
fn tell(checked: &Checked<'_>, holes: Vec<Place>) -> Vec<Finding> {
    let near = |a: &Place, b: &Place| {
        let tall = a.bounds().height.max(b.bounds().height);
        crate::measure::raster::places::gap_px(a.bounds(), b.bounds()) <= tall
    };
    let gap = checked.raster.size().height();
    let mut groups: Vec<Place> = Vec::new();
    for group in gathered(holes, gap, |place| place, near) {
        let mut parts = group.into_iter();
        if let Some(mut whole) = parts.next() {
            parts.for_each(|part| whole.take_in(part));
            groups.push(whole);
        }
    }
    groups.sort_by_key(|place| std::cmp::Reverse(place.area()));
    let left_out = groups.len().saturating_sub(MOST_FINDINGS);
    groups.truncate(MOST_FINDINGS);
    groups.sort_by_key(|place| (place.bounds().y, place.bounds().x));
    let mut findings: Vec<Finding> = groups.iter().map(|place| finding(checked, place)).collect();
    if let (Some(last), 1..) = (findings.last_mut(), left_out) {
        last.advice += &format!(" {left_out} smaller holes on this slide are like it.");
    }
    findings
}

/// The finding about a place.
fn finding(checked: &Checked<'_>, place: &Place) -> Finding {
    let raster = checked.raster;
    let pixels = place
        .runs()
        .iter()
        .flat_map(|run| (run.start..run.end).map(|x| (x, run.y)));
    let brightest = pixels
        .map(|(x, y)| raster.luma(raster.color(x, y)))
        .fold(0.0, f32::max);
    let (name, lit) = checked.most_lit(place.runs());
    let is_lit = lit >= crate::measure::camera::camera_lit::LIT_SHARE_PERCENT;
    let measured = 100.0 * f64::from(brightest);
    let limit = 100.0 * f64::from(checked.plan.threshold);
    let [darkness, dropped] = told_apart(measured, limit, 1);
    let mut advice = format!(
        "The camera shows through a dark patch of up to {darkness} % luma inside solid content; \
         the key drops all up to {dropped} %. Lift the darks of the picture above that, or lay a \
         lighter plate behind it."
    );
    if is_lit {
        advice += &format!(" Over {lit:.0} % of it the camera is lit.");
    }
    Finding {
        kind: Kind::Hole,
        severity: if is_lit {
            Severity::Fail
        } else {
            Severity::Warn
        },
        bounds: Some(place.bounds()),
        measured,
        limit,
        unit: Unit::Percent,
        advice,
        camera: if is_lit {
            name.map(str::to_owned)
        } else {
            None
        },
    }
}
