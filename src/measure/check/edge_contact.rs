//! What of a slide's content touches the picture's edges: text that they cut, and what runs over them by design.

use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Run;
use crate::measure::raster::side::Side;
use crate::measure::slide::fates::{Fate, Fates};
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::pixel::guides::Guide;

/// Length along an edge, percent of the output's height, from which what touches it bleeds off by
/// design: a bar, a photograph, a large shape. Source: chosen; strokes of characters are thinner.
const BLEED_PERCENT: f64 = 5.0;
/// Sides, percent of the output's height, up to which a shape that the edge cuts is no large shape that
/// bleeds off. Source: chosen.
const SMALL_SHAPE_PERCENT: f64 = 20.0;
/// Share of its box that a bar or a photograph covers at least. Source: chosen.
pub(super) const BAR_FILL: f64 = 0.9;
/// Height of a piece of a line of text over the line's, at most. Source: chosen, a descender and an accent.
const HIGHEST_IN_LINE: f64 = 1.5;
/// How near to an edge a soft end still touches it, px. Source: an antialiased edge is one pixel wide.
pub(super) const TOUCHES_PX: u32 = 1;

/// The content of a slide, where it lies and what is kept free.
#[derive(Clone, Copy, Debug)]
pub struct Layout<'a> {
    /// The slide signal.
    pub raster: &'a SlideRaster,
    /// What the key makes of it.
    pub fates: &'a Fates,
    /// Its content.
    pub content: &'a Content,
    /// Lines of text of any size, in output pixels.
    pub lines: &'a [PixelBox],
    /// Guides to keep out of.
    pub reserved: &'a [Guide],
}

/// For each piece, whether the key keeps most of it solid. What it drops is not there, and a haze is another
/// finding's.
pub(super) fn seen(layout: &Layout<'_>) -> Vec<bool> {
    let kept = |run: &Run| {
        (run.start..run.end)
            .filter(|&x| layout.fates.at(x, run.y) == Fate::Solid)
            .count() as u64
    };
    let pieces = layout.content.pieces().iter().enumerate();
    pieces
        .map(|(i, piece)| 2 * layout.content.runs_of(i).iter().map(kept).sum::<u64>() >= piece.area)
        .collect()
}

/// Where a line of text and what is at most half its height beside it lie.
fn reach_of(line: PixelBox) -> PixelBox {
    let reach = line.height / 2;
    PixelBox {
        x: line.x.saturating_sub(reach),
        y: line.y.saturating_sub(reach),
        width: line.width + 2 * reach,
        height: line.height + 2 * reach,
    }
}

/// Whether a piece belongs to a line of text with this reach: it is hardly higher than the line and lies in it.
pub(super) fn belongs(piece: PixelBox, reach: PixelBox) -> bool {
    let line_height = f64::from(reach.height) / 2.0;
    f64::from(piece.height) <= HIGHEST_IN_LINE * line_height && reach.intersection(piece).is_some()
}

/// The reaches of lines of text that the slide's edge cuts, and the side: a piece that belongs to the line
/// touches the edge, and the line comes within its own height of it.
pub(super) fn cut_lines(
    layout: &Layout<'_>,
    inside: PixelBox,
    seen: &[bool],
) -> Vec<(Side, PixelBox)> {
    let mut cut = Vec::new();
    for side in Side::ALL {
        let pieces = layout.content.pieces().iter().zip(seen);
        let touching: Vec<PixelBox> = pieces
            .filter(|(_, seen)| **seen)
            .map(|(piece, _)| piece.bounds)
            .filter(|&piece| side.gap(inside, piece) <= TOUCHES_PX)
            .collect();
        let near = layout
            .lines
            .iter()
            .filter(|line| side.gap(inside, **line) <= line.height);
        let reaches = near.map(|&line| reach_of(line));
        let is_cut = |reach: &PixelBox| touching.iter().any(|&piece| belongs(piece, *reach));
        cut.extend(reaches.filter(is_cut).map(|reach| (side, reach)));
    }
    cut
}

/// Pieces that run over the slide's edge by design: photographs, bars, large shapes, and rules from
/// side to side. Text that the edge cuts is none.
pub(super) fn bleeding(
    layout: &Layout<'_>,
    inside: PixelBox,
    cut: &[(Side, PixelBox)],
) -> Vec<bool> {
    let height = f64::from(layout.raster.size().height());
    let long = BLEED_PERCENT / 100.0 * height;
    let small = SMALL_SHAPE_PERCENT / 100.0 * height;
    let pieces = layout.content.pieces().iter().enumerate();
    pieces
        .map(|(i, piece)| {
            let touches = |side: &Side| side.gap(inside, piece.bounds) <= TOUCHES_PX;
            let touched: Vec<Side> = Side::ALL.into_iter().filter(touches).collect();
            let across = [[Side::Left, Side::Right], [Side::Top, Side::Bottom]]
                .iter()
                .any(|pair| pair.iter().all(|side| touched.contains(side)));
            let contact = touched
                .iter()
                .map(|&side| contact_px(layout.content.runs_of(i), side, piece.bounds))
                .max();
            let is_text = cut.iter().any(|(_, reach)| belongs(piece.bounds, *reach));
            let side = piece.bounds.width.max(piece.bounds.height);
            let is_bar = piece.area as f64 >= BAR_FILL * piece.bounds.area() as f64;
            let is_shape = f64::from(side) <= small && !is_bar;
            !is_text && !is_shape && (across || contact.is_some_and(|px| f64::from(px) >= long))
        })
        .collect()
}

/// The longest stretch of a piece along a side of its box, px.
fn contact_px(runs: &[Run], side: Side, bounds: PixelBox) -> u32 {
    let along_row = |y: u32| {
        let row = runs.iter().filter(move |run| run.y == y);
        row.map(|run| run.length()).max().unwrap_or(0)
    };
    let along_column = |at_edge: &dyn Fn(&Run) -> bool| {
        let (mut longest, mut length, mut next) = (0, 0, None);
        for run in runs.iter().filter(|run| at_edge(run)) {
            length = if next == Some(run.y) { length + 1 } else { 1 };
            next = Some(run.y + 1);
            longest = longest.max(length);
        }
        longest
    };
    match side {
        Side::Top => along_row(bounds.y),
        Side::Bottom => along_row(bounds.bottom() - 1),
        Side::Left => along_column(&|run| run.start == bounds.x),
        Side::Right => along_column(&|run| run.end == bounds.right()),
    }
}
