//! What of a camera frame must not be covered: each written line, the presenter and the presenter's head.

use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use super::camera_verdict::Unanswered;
use super::nothing_seen::is_nothing_seen;
use crate::measure::parts::written_lines::{WrittenLine, written_lines};
use crate::measure::raster::runs::{Run, Runs};

/// Height of a head over the width of the shoulders. Source: Drillis and Contini, Body segment parameters,
/// 1966: 0.130 over 0.259 of the stature.
const HEAD_SHARE: f64 = 0.130 / 0.259;
/// Half the width in which a head is sought, over the width of the shoulders. Source: chosen; a head is about a
/// third as wide, and may lean.
const HEAD_REACH: f64 = 0.35;
/// Where rows count for the shoulders, from the top of the figure, share of its height. Source: chosen, under most of
/// a head however much of the person is seen.
const UNDER_HEAD: f64 = 0.3;
/// Share of these rows that are narrower than the shoulders. Source: chosen; neck and legs are, a waist hardly.
const NARROWER: f64 = 0.75;

/// Masks on the output.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameraMasks {
    writing: Runs,
    presenter: Runs,
    lines: Vec<WrittenLine>,
    head: Vec<Run>,
    hidden: Option<CameraNote>,
}

impl CameraMasks {
    /// The masks of what was found in a camera frame that lies on the output.
    pub fn of_parts(parts: &CameraParts) -> Self {
        let is_reason = |note: &&CameraNote| {
            matches!(
                note,
                CameraNote::TooSmall | CameraNote::NoBackdrop | CameraNote::LitAllOver
            )
        };
        let blank = is_nothing_seen(parts).then_some(CameraNote::NothingSeen);
        Self {
            hidden: parts.notes.iter().find(is_reason).copied().or(blank),
            ..Self::new(parts.writing.clone(), parts.presenter.clone())
        }
    }

    /// Masks of one raster.
    pub fn new(writing: Runs, presenter: Runs) -> Self {
        let lines = written_lines(&writing);
        let head = head_of(&presenter);
        Self {
            writing,
            presenter,
            lines,
            head,
            hidden: None,
        }
    }

    /// Why writing and presenter could not both be looked for; none where they could and anything in the frame is lit.
    pub fn unanswered(&self) -> Option<Unanswered> {
        self.hidden.and_then(CameraNote::unanswered)
    }

    /// What cannot be told of this frame because it was not found there, as a sentence without a period; none where
    /// both writing and presenter were found. `frame` is what it is called.
    pub fn missing_words(&self, frame: &str) -> Option<String> {
        let hidden = match self.hidden {
            Some(CameraNote::LitAllOver) => Some(format!(
                "most of {frame} is lit, so no presenter can be told from the backdrop, and slides may cover one unsaid"
            )),
            Some(CameraNote::NoBackdrop) => Some(format!(
                "no dark backdrop is recognised in {frame}, so neither writing nor a presenter can be told from it, and \
                 slides may cover them unsaid"
            )),
            Some(CameraNote::NothingSeen) => Some(format!(
                "nothing is seen in {frame}, as where the camera is off or capped, so slides may cover writing and a \
                 presenter unsaid"
            )),
            Some(_) => Some(format!(
                "{frame} is too small to look for writing and a presenter, so slides may cover them unsaid"
            )),
            None => None,
        };
        if hidden.is_some() {
            return hidden;
        }
        let what = match (self.lines.is_empty(), self.presenter.as_slice().is_empty()) {
            (true, true) => "neither writing nor a presenter",
            (true, false) => "no writing",
            (false, true) => "no presenter",
            (false, false) => return None,
        };
        Some(format!(
            "found {what} in {frame}, so nothing is said about covering it"
        ))
    }

    /// Where something is written.
    pub fn writing(&self) -> &Runs {
        &self.writing
    }

    /// Where the presenter is, what writing covers included.
    pub fn presenter(&self) -> &Runs {
        &self.presenter
    }

    /// The written lines, from top to bottom.
    pub fn lines(&self) -> &[WrittenLine] {
        &self.lines
    }

    /// The presenter's head, by row; empty where nobody is there.
    pub fn head(&self) -> &[Run] {
        &self.head
    }
}

/// The upper part of the figure over its middle, as high as a head is for its shoulders. A raised hand is beside it.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a number of rows"
)]
fn head_of(presenter: &Runs) -> Vec<Run> {
    let runs = presenter.as_slice();
    let Some(figure) = presenter.bounds() else {
        return Vec::new();
    };
    let middle = middle_column(runs, presenter.area());
    let first = figure.y + whole(UNDER_HEAD * f64::from(figure.height));
    let mut widths: Vec<u32> = (first..figure.bottom())
        .filter_map(|y| nearest(presenter.row(y), middle))
        .map(Run::length)
        .collect();
    widths.sort_unstable();
    let nth = (NARROWER * widths.len() as f64) as usize;
    let shoulders = f64::from(widths.get(nth).copied().unwrap_or(figure.width));
    let reach = whole(HEAD_REACH * shoulders);
    let columns = middle.saturating_sub(reach)..middle + reach + 1;
    let cut = |run: &Run| Run {
        start: run.start.clamp(columns.start, columns.end),
        end: run.end.clamp(columns.start, columns.end),
        ..*run
    };
    let over_middle: Vec<Run> = runs
        .iter()
        .map(cut)
        .filter(|run| run.length() > 0)
        .collect();
    let Some(top) = over_middle.first().map(|run| run.y) else {
        return Vec::new();
    };
    let bottom = top + whole(HEAD_SHARE * shoulders);
    over_middle
        .into_iter()
        .take_while(|run| run.y < bottom)
        .collect()
}

/// The column with half of the pixels on each side.
fn middle_column(runs: &[Run], area: u64) -> u32 {
    let left_of = |x: u32| -> u64 {
        let inside = |run: &Run| u64::from(run.end.min(x).saturating_sub(run.start));
        runs.iter().map(inside).sum()
    };
    let (mut low, mut high) = (0, runs.iter().map(|run| run.end).max().unwrap_or(0));
    while low + 1 < high {
        let x = low + (high - low) / 2;
        if 2 * left_of(x) <= area {
            low = x;
        } else {
            high = x;
        }
    }
    low
}

/// The run of a row with this column in it, else the nearest.
fn nearest(row: &[Run], x: u32) -> Option<Run> {
    let away = |run: &&Run| {
        run.start
            .saturating_sub(x)
            .max((x + 1).saturating_sub(run.end))
    };
    row.iter().min_by_key(away).copied()
}

/// Whole pixels of a length.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths within a raster, never negative"
)]
fn whole(length_px: f64) -> u32 {
    length_px.round() as u32
}
