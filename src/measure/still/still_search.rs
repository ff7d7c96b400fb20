//! Roughly where what stands still in one picture lies in another, without a start: every way round, then finer.

use rayon::prelude::*;

use super::still_fit::{Freedom, fit};
use super::still_map::StillMap;
use super::still_plane::{StillPlane, StillPoint, correlation, correlation_of, judged};
use super::way_round::WayRound;

/// How far is looked, a part of the picture's longer side. Source: chosen; a tripod that was pushed moves less.
const FARTHEST_PART: f64 = 0.12;
/// Points that are looked at. Source: chosen, for time.
const LOOKS: usize = 400;
/// Share of them that has to be seen in the other picture. Source: chosen; the presenter covers half.
const LEAST_SEEN: f64 = 0.4;
/// Correlation from which the place is good enough as a start. Source: chosen.
const GOOD: f64 = 0.85;
/// Zooms and turns that are tried where it is not, in factors and degrees. Source: chosen; the finer search reaches from one to
/// the next.
const ZOOMS: [f64; 5] = [0.92, 0.96, 1.0, 1.04, 1.08];
const TURNS_DEGREES: [f64; 5] = [-4.0, -2.0, 0.0, 2.0, 4.0];
/// How far from a thing its surroundings are looked at, px of the plane. Source: chosen.
pub(crate) const AROUND: usize = 2;
/// The plane up to which all ways round are followed, px of its longer side. Source: chosen, for time.
const JUDGED_SIDE: usize = 240;
/// Fewest points with something to see in both pictures. Source: chosen; chance makes no 40 alike.
const LEAST_POINTS: usize = 40;

/// A way round with the map that fits best.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Candidate {
    pub(crate) way: WayRound,
    /// In pixels of the frame.
    pub(crate) map: StillMap,
    /// Mean correlation of the things of each picture with what the other has there, up to 1.
    pub(crate) score: f64,
}

/// Both pictures at one size.
struct Level<'a> {
    camera: &'a StillPlane,
    points: Vec<StillPoint>,
}

/// The best map for each way round that the sizes allow, and how well it fits.
///
/// Both are planes of one frame each, the largest first, as many and as large as those of the other.
pub(crate) fn candidates(camera: &[StillPlane], like: &[StillPlane]) -> Vec<Candidate> {
    let is_judged = |plane: &StillPlane| plane.width.max(plane.height) <= JUDGED_SIDE;
    let first = camera
        .iter()
        .position(is_judged)
        .unwrap_or(camera.len().saturating_sub(1));
    let levels: Vec<Level<'_>> = camera[first..]
        .iter()
        .map(|camera| Level {
            camera,
            points: camera.points(AROUND).0,
        })
        .collect();
    let is_square = |plane: &StillPlane| plane.width == plane.height;
    let (Some(own), Some(other)) = (camera.first(), like.first()) else {
        return Vec::new();
    };
    let is_on_its_side = own.width == other.height && own.height == other.width;
    WayRound::ALL
        .into_par_iter()
        .filter(|way| is_square(own) || is_on_its_side == way.is_on_its_side())
        .filter_map(|way| {
            let like: Vec<StillPlane> = like
                .iter()
                .skip(first)
                .map(|plane| plane.lying(way))
                .collect();
            let coarse = like.last()?;
            let camera = levels.last()?.camera;
            let (points, _) = coarse.points(AROUND);
            let mut map = search(&points, camera)?.scaled(coarse.scale);
            let mut score = 0.0;
            for (plane, level) in like.iter().zip(&levels).rev() {
                let (points, _) = plane.points(AROUND);
                let found = fit(
                    &points,
                    level.camera,
                    map.scaled(1.0 / plane.scale),
                    Freedom::All,
                );
                map = found.map.scaled(plane.scale);
                let (there, seen) = correlation(&points, level.camera, &found.map);
                let (back, seen_back) = correlation(&level.points, plane, &found.map.inverse());
                score = if seen.min(seen_back) < LEAST_POINTS {
                    0.0
                } else {
                    f64::midpoint(there, back)
                };
            }
            Some(Candidate { way, map, score })
        })
        .collect()
}

/// The best of moves up to an eighth, and of zooms and turns where none of them is good; in px of the plane.
fn search(points: &[StillPoint], camera: &StillPlane) -> Option<StillMap> {
    let each = points.len().div_ceil(LOOKS).max(1);
    let points: Vec<StillPoint> = points.iter().copied().step_by(each).collect();
    #[expect(clippy::cast_possible_truncation, reason = "a few pixels")]
    let reach = (FARTHEST_PART * camera.width.max(camera.height) as f64).ceil() as i32;
    let best_move = |zoom: f64, turn: f64| {
        let turned = StillMap::new([0.0; 2], zoom, turn);
        let places: Vec<([i32; 2], f32)> = points
            .iter()
            .map(|point| {
                let [x, y] = turned.apply(point.at.map(f64::from));
                let at = [x + camera.centre[0], y + camera.centre[1]];
                #[expect(clippy::cast_possible_truncation, reason = "a place near the plane")]
                let at = at.map(|v| v.floor() as i32);
                (at, point.code)
            })
            .collect();
        let mut best = (f64::MIN, turned);
        for dy in -reach..=reach {
            for dx in -reach..=reach {
                let score = score_at(&places, camera, [dx, dy]);
                if score > best.0 {
                    let shift = [f64::from(dx), f64::from(dy)];
                    best = (score, StillMap { shift, ..turned });
                }
            }
        }
        best
    };
    let mut best = best_move(1.0, 0.0);
    if best.0 < GOOD {
        for zoom in ZOOMS {
            for turn in TURNS_DEGREES {
                let found = best_move(zoom, turn);
                if found.0 > best.0 {
                    best = found;
                }
            }
        }
    }
    (best.0 > 0.0).then_some(best.1)
}

/// Correlation of these places, moved by whole pixels, with what is there.
fn score_at(places: &[([i32; 2], f32)], camera: &StillPlane, [dx, dy]: [i32; 2]) -> f64 {
    let mut sums = [0.0_f64; 5];
    let mut count = 0_usize;
    for ([x, y], code) in places {
        let (Ok(x), Ok(y)) = (usize::try_from(x + dx), usize::try_from(y + dy)) else {
            continue;
        };
        if x >= camera.width || y >= camera.height {
            continue;
        }
        let there = camera.codes[y * camera.width + x];
        if there.is_nan() {
            continue;
        }
        let (a, b) = (judged(*code), judged(there));
        for (sum, term) in sums.iter_mut().zip([a, b, a * a, b * b, a * b]) {
            *sum += term;
        }
        count += 1;
    }
    if count < 8 || (count as f64) < LEAST_SEEN * places.len() as f64 {
        return f64::MIN;
    }
    correlation_of(sums, count)
}
