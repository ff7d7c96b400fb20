//! Writing taken apart into lines: what a hand wrote at one go, letters, dots and underlines together.

use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::links::Links;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::places::gap_px;
use crate::measure::raster::runs::{Run, Runs};

/// Height of the output over the distance at which strokes are one. Source: chosen, ink that dries leaves such gaps.
const JOINED_SHARE: u32 = 270;
/// Share of the lower of two strokes that must lie beside the other. Source: chosen; of letters on one line
/// half and more does, of those on the next less.
const BESIDE_SHARE: f64 = 0.5;
/// Gap between words over the height of the higher stroke, at most. Source: chosen; common practice is a
/// gap of one letter, and capitals are higher than wide.
const WORD_GAP: f64 = 1.0;
/// The same over the height of the lower stroke where that is no dash. Source: chosen; a drawing is higher than words are
/// apart.
const WORD_GAP_OF_LOWER: f64 = 1.5;
/// Heights of strokes on one line over each other, at most. Source: chosen; a capital over a small letter is
/// about 2, a drawing beside words is more.
const HEIGHT_RATIO: f64 = 3.0;
/// Width of a dash over its height, at least. Source: chosen; one of an equals sign is about 4.
const DASH_RATIO: u32 = 2;
/// Strokes that a mark has at most, such as a dot, an underline or two of them. Source: chosen.
const MARK_STROKES: usize = 2;
/// Distance of a mark from its line over the line's height, at most. Source: chosen.
const MARK_GAP: f64 = 0.5;
/// Millionths of the output that a line covers at least. Source: chosen, a dot of a pen on high definition.
const LEAST_MILLIONTHS: u64 = 30;

/// A written line, or a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenLine {
    /// The smallest box around it.
    pub bounds: PixelBox,
    /// Its runs, in no order.
    pub runs: Vec<Run>,
    /// Its pixels.
    pub area: u64,
}

/// The lines of writing, from top to bottom, then from the left.
pub fn written_lines(writing: &Runs) -> Vec<WrittenLine> {
    let size = writing.size();
    let strokes = Components::of(
        writing,
        Neighbours::Within(size.height() / JOINED_SHARE + 1),
    );
    let boxes: Vec<PixelBox> = strokes.list().iter().map(|stroke| stroke.bounds).collect();
    let mut links = Links::new(boxes.len());
    for (i, &a) in boxes.iter().enumerate() {
        for (j, &b) in boxes.iter().enumerate().take(i) {
            if on_one_line(a, b) {
                links.join(i, j);
            }
        }
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); boxes.len()];
    for stroke in 0..boxes.len() {
        groups[links.root(stroke)].push(stroke);
    }
    groups.retain(|group| !group.is_empty());
    let groups = with_marks(&groups, &boxes);
    let line = |group: &Vec<usize>| {
        let bounds = group.iter().map(|&i| boxes[i]).reduce(PixelBox::union)?;
        let area = group.iter().map(|&i| strokes.list()[i].area).sum();
        let is_line = 1_000_000 * area >= LEAST_MILLIONTHS * size.area() as u64;
        is_line.then(|| WrittenLine {
            bounds,
            runs: group
                .iter()
                .flat_map(|&i| strokes.runs_of(i))
                .copied()
                .collect(),
            area,
        })
    };
    let mut lines: Vec<WrittenLine> = groups.iter().filter_map(line).collect();
    lines.sort_by_key(|line| (line.bounds.y, line.bounds.x));
    lines
}

/// Whether two strokes are letters of one line, or a letter and a dash.
fn on_one_line(a: PixelBox, b: PixelBox) -> bool {
    let beside = a.bottom().min(b.bottom()).saturating_sub(a.y.max(b.y));
    let apart = a.x.max(b.x).saturating_sub(a.right().min(b.right()));
    let (low, high) = if a.height < b.height { (a, b) } else { (b, a) };
    let is_dash = low.width >= DASH_RATIO * low.height;
    let (lower, higher) = (f64::from(low.height), f64::from(high.height));
    let most_apart = if is_dash {
        WORD_GAP * higher
    } else {
        (WORD_GAP * higher).min(WORD_GAP_OF_LOWER * lower)
    };
    f64::from(beside) >= BESIDE_SHARE * lower
        && f64::from(apart) <= most_apart
        && (is_dash || higher <= HEIGHT_RATIO * lower)
}

/// Groups with dots, dashes and underlines put to the line that they are nearest to.
fn with_marks(groups: &[Vec<usize>], boxes: &[PixelBox]) -> Vec<Vec<usize>> {
    let bounds: Vec<PixelBox> = groups
        .iter()
        .filter_map(|group| group.iter().map(|&i| boxes[i]).reduce(PixelBox::union))
        .collect();
    let home = |mark: usize| {
        let is_small = groups[mark].len() <= MARK_STROKES;
        let others = (0..groups.len()).filter(|&line| line != mark && is_small);
        others
            .filter(|&line| {
                let higher = f64::from(bounds[line].height);
                let gap = f64::from(gap_px(bounds[mark], bounds[line]));
                higher >= HEIGHT_RATIO * f64::from(bounds[mark].height) && gap <= MARK_GAP * higher
            })
            .min_by_key(|&line| gap_px(bounds[mark], bounds[line]))
    };
    let homes: Vec<Option<usize>> = (0..groups.len()).map(home).collect();
    // A line that is a mark itself takes its own marks along.
    let settled = |mut group: usize| {
        while let Some(next) = homes[group] {
            group = next;
        }
        group
    };
    let mut joined: Vec<Vec<usize>> = vec![Vec::new(); groups.len()];
    for (i, group) in groups.iter().enumerate() {
        joined[settled(i)].extend(group);
    }
    joined.retain(|group| !group.is_empty());
    joined
}
