//! Where a slide's content lands: on writing, on the presenter, in or out of zones. Looks at where things are alone.

use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::inspect::camera_masks::CameraMasks;
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::free_space::{shared_px, with_clearance};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::slide::fates::{Fate, Fates};
use crate::measure::slide::pieces::{Content, LEAST_PIECE_PX};
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::space::clear_shift::shortest_clear_shift;
use crate::measure::space::guide_area::graphics_safe;
use crate::measure::space::room::CLEARANCE_PERCENT;
use crate::measure::space::zone::{Zone, ZoneKind, closed_by_zones};
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::Size;

/// Share of a line, percent, from which it is told although it is under the limit. Source: chosen, what is not 0 when
/// it is told without decimals.
const LEAST_TOLD_PERCENT: f64 = 0.5;

/// Share of the output that solid background takes from which that is what covers. Source: chosen.
const MOSTLY: f64 = 0.5;
/// What to do then.
const BACKGROUND_WORDS: &str = "Its background does, which this key keeps: make it black, or turn the slide dark with \
                                `nightglass darken`; `nightglass check` says more.";

/// What is where.
#[derive(Clone, Debug)]
pub struct Overlapped<'a> {
    /// The slide signal.
    pub raster: &'a SlideRaster,
    /// What the key makes of it.
    pub fates: &'a Fates,
    /// Its content.
    pub content: &'a Content,
    /// Where the background is kept and that is told of already.
    pub veil: &'a Runs,
    /// What is in each camera frame, with the name that findings give it.
    pub cameras: Vec<(&'a str, &'a CameraMasks)>,
    /// The zones that are for this slide.
    pub zones: &'a [Zone],
    /// Where findings begin.
    pub limits: &'a Limits,
}

/// A slide over masks, with the masks that all findings share.
#[derive(Debug)]
struct Slide<'a> {
    over: &'a Overlapped<'a>,
    /// What hides the camera and may not, so without what lies in `write-here` zones.
    solid: Runs,
    write_here: Runs,
    /// Content that is seen.
    seen: Runs,
}

/// `covers-writing`, `close-to-writing`, `covers-presenter` and `zone`.
pub fn find_overlaps(over: &Overlapped<'_>) -> Vec<Finding> {
    let size = over.raster.size();
    let solid = over.fates.mask_of(Fate::Solid).without(over.veil);
    let write_here = Runs::of_boxes(size, boxes_of(over, ZoneKind::WriteHere));
    let dropped = over.fates.mask_of(Fate::Dropped);
    let slide = Slide {
        over,
        solid,
        write_here,
        seen: over.content.mask().without(&dropped),
    };
    let mut findings = slide.findings();
    if !findings.is_empty() {
        let background = slide.solid.without(over.content.mask());
        let is_background = background.area() as f64 > MOSTLY * size.area() as f64;
        let shift = if is_background {
            BACKGROUND_WORDS.to_owned()
        } else {
            slide.shift_words()
        };
        for finding in &mut findings {
            finding.advice.push_str(&shift);
        }
    }
    findings
}

impl Slide<'_> {
    fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        for &(camera, masks) in &self.over.cameras {
            let found = findings.len();
            findings.extend(self.on_writing(masks));
            findings.extend(self.on_presenter(masks));
            for finding in &mut findings[found..] {
                finding.camera = Some(camera.to_owned());
            }
        }
        findings.extend(self.in_zones());
        findings
    }

    /// Covered lines, and those that content comes too close to.
    fn on_writing(&self, masks: &CameraMasks) -> Vec<Finding> {
        let limit = |limit| self.over.limits.get(limit);
        let (warn, fail) = (limit(Limit::WritingWarn), limit(Limit::WritingFail));
        let covering = self.solid.without(&self.write_here);
        let mut findings = Vec::new();
        let mut apart = Vec::new();
        for line in masks.lines() {
            let share = percent(shared_px(&line.runs, &covering), line.area);
            let is_quiet = share < warn.min(fail);
            if share <= 0.0 || is_quiet && share < LEAST_TOLD_PERCENT {
                apart.push(line);
                continue;
            }
            let (severity, limit) = if share >= fail {
                (Severity::Fail, fail)
            } else if is_quiet {
                (Severity::Info, warn.min(fail))
            } else {
                (Severity::Warn, warn)
            };
            let [covered, most] = told_apart(share, limit, usize::from(is_quiet));
            findings.push(Finding {
                kind: Kind::CoversWriting,
                severity,
                bounds: Some(line.bounds),
                measured: share,
                limit,
                unit: Unit::Percent,
                advice: format!(
                    "The slide covers {covered} % of this written line; {most} % is the limit. "
                ),
                camera: None,
            });
            if is_quiet {
                apart.push(line);
            }
        }
        let clearance = limit(Limit::WritingClearance);
        if clearance > 0.0
            && let Some(distances) = distances_to(&covering)
        {
            for line in apart {
                findings.extend(self.close(line.bounds, &line.runs, &distances, clearance));
            }
        }
        findings
    }

    /// The finding about a line that content comes close to.
    fn close(
        &self,
        bounds: PixelBox,
        runs: &[Run],
        distances: &Distances,
        clearance: f64,
    ) -> Option<Finding> {
        let size = self.over.raster.size();
        let row = |run: &Run| {
            let start = self.over.raster.index(run.start, run.y);
            start..start + run.length() as usize
        };
        let squared = distances.squared_px();
        let nearest = runs.iter().flat_map(|run| &squared[row(run)]).min()?;
        let distance_px = f64::from(*nearest).sqrt();
        let wanted_px = share_px(clearance, size);
        let [near, wanted] = told_apart(distance_px, wanted_px, 0);
        (distance_px < wanted_px).then(|| Finding {
            kind: Kind::CloseToWriting,
            severity: Severity::Warn,
            bounds: Some(bounds),
            measured: 100.0 * distance_px / f64::from(size.height()),
            limit: clearance,
            unit: Unit::Percent,
            advice: format!(
                "The slide comes within {near} px of this written line; {wanted} px are wanted. "
            ),
            camera: None,
        })
    }

    /// The presenter's head where it is covered, else the figure.
    fn on_presenter(&self, masks: &CameraMasks) -> Option<Finding> {
        let head_px = masks.head().iter().map(|run| u64::from(run.length())).sum();
        let head = percent(shared_px(masks.head(), &self.solid), head_px);
        let figure = masks.presenter().intersection(&self.solid);
        let share = percent(figure.area(), masks.presenter().area());
        let limit = |limit| self.over.limits.get(limit);
        let (over_head, over_figure) = (limit(Limit::HeadFail), limit(Limit::PresenterWarn));
        let (severity, measured, limit, what) = if head > 0.0 && head >= over_head {
            (Severity::Fail, head, over_head, "the presenter's head")
        } else if share > 0.0 && share >= over_figure {
            (Severity::Warn, share, over_figure, "the presenter")
        } else {
            return None;
        };
        let [covered, most] = told_apart(measured, limit, 0);
        let bounds = match severity {
            Severity::Fail => bounds_of(masks.head()),
            _ => bounds_of(figure.as_slice()),
        };
        Some(Finding {
            kind: Kind::CoversPresenter,
            severity,
            bounds,
            measured,
            limit,
            unit: Unit::Percent,
            advice: format!("The slide covers {covered} % of {what}; {most} % is the limit. "),
            camera: None,
        })
    }

    /// Content in keep-out zones, and outside all keep-in zones.
    fn in_zones(&self) -> Vec<Finding> {
        let size = self.over.raster.size();
        let mut findings = Vec::new();
        for zone in self
            .over
            .zones
            .iter()
            .filter(|zone| zone.kind == ZoneKind::KeepOut)
        {
            let area = zone.bounds(size);
            let inside = self.seen.intersection(&Runs::of_boxes(size, [area]));
            let share = percent(inside.area(), area.area());
            let advice = format!(
                "Content lies in the zone `{}`, which is to be kept free, and fills {share:.1} % of it. ",
                zone.name
            );
            findings.extend(zone_finding(&inside, share, advice));
        }
        let keep_in = boxes_of(self.over, ZoneKind::KeepIn);
        if !keep_in.is_empty() {
            let outside = self
                .seen
                .without(&Runs::of_boxes(size, keep_in.iter().copied()));
            let share = percent(outside.area(), self.seen.area());
            let zones = self.over.zones.iter();
            let names: Vec<String> = zones
                .filter(|zone| zone.kind == ZoneKind::KeepIn)
                .map(|zone| format!("`{}`", zone.name))
                .collect();
            let advice = format!(
                "{share:.1} % of the content lies outside the zone it is to stay in, {}. ",
                names.join(" or ")
            );
            findings.extend(zone_finding(&outside, share, advice));
        }
        findings
    }

    /// What to do, in a sentence: the shortest shift that clears everything at once.
    fn shift_words(&self) -> String {
        let size = self.over.raster.size();
        let wanted = self.over.limits.get(Limit::WritingClearance);
        let zones = closed_by_zones(self.over.zones, size);
        let none = Runs::none(size);
        let cameras = self.over.cameras.iter();
        let taken = cameras.fold(none, |taken, (_, masks)| {
            let writing = masks.writing().without(&self.write_here);
            taken.union(&writing).union(masks.presenter())
        });
        let shift_beside = |clearance_percent: f64| {
            let room = share_px(clearance_percent, size);
            let obstacles = zones.union(&with_clearance(&taken, room));
            shortest_clear_shift(&self.seen, &obstacles, graphics_safe(size)?)
        };
        // What touches reads as one, so a move that leaves room comes first.
        let apart = wanted.max(CLEARANCE_PERCENT);
        let shift = shift_beside(apart).map(|shift| (shift, ""));
        let near = || Some((shift_beside(wanted)?, ", though it comes near it,"));
        match shift.or_else(near) {
            Some((shift, how)) => format!(
                "Move everything on the slide {}: there it covers nothing{how} and stays inside graphics safe.",
                shift.words(size)
            ),
            None => "No move of the whole slide inside graphics safe keeps clear of everything: make its content \
                     smaller or place its parts one by one; `nightglass template` shows where there is room."
                .to_owned(),
        }
    }
}

/// A share of the output's height in percent as a length, px.
fn share_px(percent: f64, output: Size) -> f64 {
    percent * f64::from(output.height()) / 100.0
}

/// Distances of all other pixels to what covers; none where nothing does.
fn distances_to(covering: &Runs) -> Option<Distances> {
    let whole = PixelBox::of_size(covering.size());
    if covering.as_slice().is_empty() {
        return None;
    }
    let free = Runs::of_boxes(covering.size(), [whole]).without(covering);
    Distances::within(whole, free.as_slice().iter().copied())
}

/// The finding about content where it is not to be; none where there is too little of it.
fn zone_finding(content: &Runs, share: f64, advice: String) -> Option<Finding> {
    (content.area() >= LEAST_PIECE_PX).then(|| Finding {
        kind: Kind::Zone,
        severity: Severity::Fail,
        bounds: bounds_of(content.as_slice()),
        measured: share,
        limit: 0.0,
        unit: Unit::Percent,
        advice,
        camera: None,
    })
}

/// The boxes of the zones of a kind.
fn boxes_of(over: &Overlapped<'_>, kind: ZoneKind) -> Vec<PixelBox> {
    let size = over.raster.size();
    let zones = over.zones.iter().filter(|zone| zone.kind == kind);
    zones.map(|zone| zone.bounds(size)).collect()
}

/// The smallest box around runs.
fn bounds_of(runs: &[Run]) -> Option<PixelBox> {
    runs.iter().map(|run| run.bounds()).reduce(PixelBox::union)
}

/// A share in percent; 0 of nothing.
fn percent(part: u64, of: u64) -> f64 {
    if of == 0 {
        0.0
    } else {
        100.0 * part as f64 / of as f64
    }
}
