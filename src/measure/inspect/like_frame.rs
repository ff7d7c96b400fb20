//! A camera frame beside one of the last good setup, by what stands still in both.

use super::like_light::{LightChange, measure_light};
use crate::measure::camera::black_bars::BlackBars;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::still::still_fit::{Freedom, fit};
use crate::measure::still::still_map::StillMap;
use crate::measure::still::still_pair::PairFault;
use crate::measure::still::still_plane::{StillPlane, StillPoint};
use crate::measure::still::still_search::{AROUND, Candidate, candidates};
use crate::measure::still::way_round::WayRound;
use crate::pixel::settings::Size;

/// Correlation from which two pictures may show the same; that alone decides nothing. Source: chosen; drawn frames of one rig
/// reach 0.97 and more, most of other rigs stay under it, and what passes by chance is far off or has no number that is known.
const SAME_SCENE: f64 = 0.6;
/// How much better one way round has to fit than another to be told from it. Source: chosen.
const CLEARLY: f64 = 0.25;
/// Largest standard deviation of a number that is told, a part of the picture's width. Source: chosen, a fifth of the limit.
const KNOWN_PART: f64 = 0.001;
/// How far apart things have to be to tell of zoom and rotation, a part of the picture's width. Source: chosen.
const SPREAD_PART: f64 = 0.08;
/// How far things may have moved without doubt, a part of the picture's width. Source: chosen; farther off a single one is
/// as likely another.
const FAR_PART: f64 = 0.03;
/// Correlation from which several things that are spread are sure to be the same ones, far off, turned or mirrored.
/// Source: chosen, between the 0.7 that such things of other rigs were seen to reach and the 0.97 of one rig.
pub(super) const SURELY: f64 = 0.85;

/// How wide the edge of a black bar is, px: it is left out with the bar. Source: chosen.
const BAR_EDGE_PX: u32 = 2;

/// A frame and what of it does not stand still.
#[derive(Clone, Copy, Debug)]
pub struct StillView<'a> {
    /// The frame.
    pub camera: &'a CameraRaster,
    /// Writing, its glow and the presenter.
    pub covered: &'a Runs,
}

/// What changed against a frame of the last good setup. What is not known is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LikeMeasure {
    /// How the picture lies; none where it looks alike more than one way round, or too little is seen to say.
    pub way: Option<WayRound>,
    /// How far what is in the middle has moved to the right and down, px.
    pub shift_px: [Option<f64>; 2],
    /// How much larger things are, percent.
    pub zoom_percent: Option<f64>,
    /// How far things are turned clockwise, degrees.
    pub rotation_degrees: Option<f64>,
    /// How far the corner that moves most has moved, percent of the picture's width, by what is known.
    pub displacement_percent: f64,
    /// How much more light there is; none where nothing bright stands still.
    pub light: Option<LightChange>,
    /// How well the pictures agree, a correlation.
    pub agreement: f64,
}

/// Compares the camera frame with another.
///
/// The other has the same size, or lies on its side.
pub fn measure_like(camera: StillView<'_>, like: StillView<'_>) -> Result<LikeMeasure, PairFault> {
    let size = camera.camera.size();
    if like.camera.size() != size && like.camera.size().transposed() != size {
        return Err(PairFault::Size);
    }
    let own = StillPlane::pyramid(camera.camera, &uncovered(camera));
    let other = StillPlane::pyramid(like.camera, &uncovered(like));
    let has_things = |planes: &[StillPlane]| planes.iter().any(|plane| plane.points(AROUND).1 > 0);
    if !has_things(&own) || !has_things(&other) {
        return Err(PairFault::NoStill);
    }
    let all = candidates(&own, &other);
    let best = all
        .iter()
        .copied()
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .ok_or(PairFault::NoStill)?;
    if best.score < SAME_SCENE {
        let is_seen = all.iter().any(|candidate| candidate.score > 0.0);
        return Err(if is_seen {
            PairFault::Scene
        } else {
            PairFault::NoStill
        });
    }
    // Where the right way round fits about as well, it is taken.
    let chosen = all
        .iter()
        .copied()
        .find(|candidate| candidate.score >= SAME_SCENE && candidate.score > best.score - CLEARLY)
        .unwrap_or(best);
    let is_alone = all
        .iter()
        .all(|candidate| candidate.way == chosen.way || candidate.score < chosen.score - CLEARLY);
    let known = Exact::measure(&own, &other, chosen, size);
    let sides = [f64::from(size.width()), f64::from(size.height())];
    let displacement_percent = 100.0 * known.map.worst_corner_px(sides) / sides[0];
    let is_far = displacement_percent > 100.0 * FAR_PART;
    let is_sure = known.is_spread && chosen.score >= SURELY;
    let is_turned = chosen.way != WayRound::Same;
    // Without a number that is known the pictures may agree by chance.
    if known.shift_px == [None; 2]
        || is_far && !is_sure
        || is_turned && (is_far || !is_sure || !is_alone)
    {
        return Err(PairFault::Unsure);
    }
    let light = measure_light(camera, like, chosen.way, &known.map);
    Ok(LikeMeasure {
        way: is_alone.then_some(chosen.way),
        shift_px: known.shift_px,
        zoom_percent: known.zoom_percent,
        rotation_degrees: known.rotation_degrees,
        displacement_percent,
        light,
        agreement: best.score,
    })
}

/// The exact map, what is not known of it left out.
#[derive(Clone, Copy, Debug)]
struct Exact {
    map: StillMap,
    shift_px: [Option<f64>; 2],
    zoom_percent: Option<f64>,
    rotation_degrees: Option<f64>,
    /// Whether things far apart were seen.
    is_spread: bool,
}

impl Exact {
    fn measure(own: &[StillPlane], other: &[StillPlane], start: Candidate, size: Size) -> Self {
        let width = f64::from(size.width());
        let mut map = start.map;
        let (mut deviations, mut is_spread) = ([f64::INFINITY; 4], false);
        for (camera, like) in own.iter().zip(other).rev() {
            let like = like.lying(start.way);
            let points = like.points(AROUND).0;
            is_spread = spread_of(&points, camera, &map) * like.scale > SPREAD_PART * width;
            let near = map.scaled(1.0 / like.scale);
            let (camera, like_whole) = (&camera.whole(), like.whole());
            let points: Vec<StillPoint> = points
                .iter()
                .filter_map(|point| {
                    let (code, slope) = like_whole.at(point.at.map(f64::from))?;
                    Some(StillPoint {
                        at: point.at,
                        code,
                        slope,
                    })
                })
                .collect();
            let mut found = fit(&points, camera, near, Freedom::All);
            let known = |deviation: f64, reach: f64| deviation * reach < KNOWN_PART * width;
            let half = width / 2.0;
            if !is_spread || !known(found.deviations[2].max(found.deviations[3]), half) {
                let flat = StillMap {
                    a: 0.0,
                    b: 0.0,
                    ..near
                };
                found = fit(&points, camera, flat, Freedom::Shift);
            }
            map = found.map.scaled(like.scale);
            let [x, y, a, b] = found.deviations;
            deviations = [x * like.scale, y * like.scale, a * half, b * half];
        }
        let is_known = deviations.map(|deviation| deviation < KNOWN_PART * width);
        let has_turned = is_spread && is_known[2] && is_known[3];
        let mut shift_px = [None; 2];
        for axis in 0..2 {
            if is_known[axis] {
                shift_px[axis] = Some(map.shift[axis]);
            } else {
                map.shift[axis] = 0.0;
            }
        }
        Self {
            map,
            shift_px,
            zoom_percent: has_turned.then(|| map.zoom_percent()),
            rotation_degrees: has_turned.then(|| map.rotation_degrees()),
            is_spread,
        }
    }
}

/// How far from their middle the slopes are that both pictures have, a root of the mean square, px of the plane.
fn spread_of(points: &[StillPoint], camera: &StillPlane, map: &StillMap) -> f64 {
    let near = map.scaled(1.0 / camera.scale);
    let (mut weights, mut sum, mut squares) = (0.0, [0.0; 2], 0.0);
    for point in points.iter().step_by(1 + points.len() / 20_000) {
        let at = point.at.map(f64::from);
        if camera.at(near.apply(at)).is_none() {
            continue;
        }
        // Not squared, so that one bright thing does not decide.
        let weight = f64::from(point.slope[0].hypot(point.slope[1]));
        weights += weight;
        sum = std::array::from_fn(|i| sum[i] + weight * at[i]);
        squares += weight * (at[0] * at[0] + at[1] * at[1]);
    }
    if weights <= 0.0 {
        return 0.0;
    }
    let mean = sum.map(|v| v / weights);
    (squares / weights - mean[0] * mean[0] - mean[1] * mean[1])
        .max(0.0)
        .sqrt()
}

/// What does not stand still, with black bars at the sides: they stay where they are when the camera moves.
fn uncovered(view: StillView<'_>) -> Runs {
    let bars = BlackBars::of(view.camera);
    if bars.sides_px == [0; 4] {
        return view.covered.clone();
    }
    let size = view.camera.size();
    let picture = bars.inside(view.camera, BAR_EDGE_PX);
    let whole = Runs::of_boxes(size, [PixelBox::of_size(size)]);
    view.covered
        .union(&whole.without(&Runs::of_boxes(size, picture)))
}
