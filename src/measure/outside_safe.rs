//! `outside-safe`: content outside graphics safe, in a reserved guide, or cut by the picture's edge.

use super::finding::{Finding, Kind, PixelBox, Severity, Unit};
use super::pieces::Content;
use super::runs::Run;
use super::slide_raster::{Fate, SlideRaster};
use crate::pixel::guides::{Guide, Shape, guide_shapes};
use crate::pixel::settings::Size;

/// Length along an edge, percent of the output's height, from which what touches it bleeds off by
/// design: a bar, a photograph, a large shape. Source: chosen; strokes of characters are thinner.
const BLEED_PERCENT: f64 = 5.0;
/// Sides, percent of the output's height, up to which a shape that the edge cuts is no large shape that
/// bleeds off, and share of its box that a bar or a photograph covers at least. Source: chosen.
const SMALL_SHAPE_PERCENT: f64 = 20.0;
const BAR_FILL: f64 = 0.9;
/// Height of a piece of a line of text over the line's, at most. Source: chosen, a descender and an accent.
const HIGHEST_IN_LINE: f64 = 1.5;
/// How near to an edge a soft end still touches it, px. Source: an antialiased edge is one pixel wide.
const TOUCHES_PX: u32 = 1;

/// A side of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    Left,
    Top,
    Right,
    Bottom,
}

impl Side {
    const ALL: [Self; 4] = [Self::Left, Self::Top, Self::Right, Self::Bottom];

    fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Top => "top",
            Self::Right => "right",
            Self::Bottom => "bottom",
        }
    }

    /// From this side of an outer box to the same side of an inner one.
    fn gap(self, outer: PixelBox, inner: PixelBox) -> u32 {
        match self {
            Self::Left => inner.x.saturating_sub(outer.x),
            Self::Top => inner.y.saturating_sub(outer.y),
            Self::Right => outer.right().saturating_sub(inner.right()),
            Self::Bottom => outer.bottom().saturating_sub(inner.bottom()),
        }
    }

    /// What lies between this side of the output and the same side of a box in it.
    fn margin(self, output: PixelBox, safe: PixelBox) -> Option<PixelBox> {
        let cut = |x: u32, y: u32, right: u32, bottom: u32| {
            (x < right && y < bottom).then(|| PixelBox {
                x,
                y,
                width: right - x,
                height: bottom - y,
            })
        };
        match self {
            Self::Left => cut(output.x, output.y, safe.x, output.bottom()),
            Self::Top => cut(output.x, output.y, output.right(), safe.y),
            Self::Right => cut(safe.right(), output.y, output.right(), output.bottom()),
            Self::Bottom => cut(output.x, safe.bottom(), output.right(), output.bottom()),
        }
    }
}

/// What the check looks at.
#[derive(Clone, Copy, Debug)]
pub struct Layout<'a> {
    /// The slide signal.
    pub raster: &'a SlideRaster,
    /// Its content.
    pub content: &'a Content,
    /// Lines of text of any size, in output pixels.
    pub lines: &'a [PixelBox],
    /// Guides to keep out of.
    pub reserved: &'a [Guide],
}

/// For each side of the picture one finding for content outside graphics safe and one for text and
/// one for shapes that the picture's edge cuts, and one for each reserved guide with content in it.
pub fn find_outside_safe(layout: &Layout<'_>) -> Vec<Finding> {
    let Some(inside) = layout.raster.inside() else {
        return Vec::new();
    };
    let output = PixelBox::of_size(layout.raster.size());
    let Some(safe) = outline(Guide::GraphicsSafe, layout.raster.size()) else {
        return Vec::new();
    };
    let seen = seen(layout);
    let cut_lines = cut_lines(layout, inside, &seen);
    // Nothing is said of what bleeds off by design either.
    let bleeding = bleeding(layout, inside, &cut_lines);
    let quiet: Vec<bool> = bleeding.iter().zip(&seen).map(|(&b, &s)| b || !s).collect();
    let bars: Vec<bool> = bleeding.iter().zip(&seen).map(|(&b, &s)| b && s).collect();
    let is_cut_shape = |side: Side, piece: usize| {
        let piece = layout.content.pieces()[piece];
        let is_bar = piece.area as f64 >= BAR_FILL * piece.bounds.area() as f64;
        side.gap(inside, piece.bounds) <= TOUCHES_PX && !is_bar
    };
    let mut findings = Vec::new();
    let mut cut_sides = 0;
    for side in Side::ALL {
        let Some(margin) = side.margin(output, safe) else {
            continue;
        };
        let how = |piece: usize| {
            let bounds = layout.content.pieces()[piece].bounds;
            let of_line = |line: &(Side, PixelBox)| line.0 == side && belongs(bounds, line.1);
            match (cut_lines.iter().any(of_line), is_cut_shape(side, piece)) {
                (true, _) => Out::CutText,
                (false, true) => Out::CutShape,
                (false, false) => Out::Near,
            }
        };
        for out in [Out::CutText, Out::CutShape, Out::Near] {
            let parts = (0..layout.content.pieces().len()).filter(|&piece| how(piece) == out);
            let on_bars = (out == Out::Near)
                .then(|| text_within(layout, margin, &bars))
                .flatten();
            let bounds = parts
                .filter_map(|piece| {
                    let near = within(layout, piece, margin, &quiet)?;
                    // What is cut is shown whole.
                    Some(match out {
                        Out::Near => near,
                        _ => layout.content.pieces()[piece].bounds,
                    })
                })
                .chain(on_bars)
                .reduce(PixelBox::union);
            cut_sides += usize::from(out == Out::CutShape && bounds.is_some());
            findings.extend(bounds.map(|bounds| {
                let finding = margin_finding(side, out, output, safe, bounds);
                (out, finding)
            }));
        }
    }
    if cut_sides == Side::ALL.len() {
        findings.retain(|(out, _)| *out == Out::CutText);
        findings.push((Out::CutShape, filling_finding(output, safe)));
    }
    let mut findings: Vec<Finding> = findings.into_iter().map(|(_, finding)| finding).collect();
    for &guide in layout.reserved {
        findings.extend(reserved_finding(layout, guide, &quiet, &bars));
    }
    findings
}

/// What of content in a margin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Out {
    CutText,
    CutShape,
    Near,
}

/// For each piece, whether the key keeps most of it solid. What it drops is not there, and a haze is another
/// finding's.
fn seen(layout: &Layout<'_>) -> Vec<bool> {
    let kept = |run: &Run| {
        (run.start..run.end)
            .filter(|&x| layout.raster.fate(x, run.y) == Fate::Solid)
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
fn belongs(piece: PixelBox, reach: PixelBox) -> bool {
    let line_height = f64::from(reach.height) / 2.0;
    f64::from(piece.height) <= HIGHEST_IN_LINE * line_height && reach.intersection(piece).is_some()
}

/// The reaches of lines of text that the slide's edge cuts, and the side: a piece that belongs to the line
/// touches the edge, and the line comes within its own height of it.
fn cut_lines(layout: &Layout<'_>, inside: PixelBox, seen: &[bool]) -> Vec<(Side, PixelBox)> {
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
fn bleeding(layout: &Layout<'_>, inside: PixelBox, cut: &[(Side, PixelBox)]) -> Vec<bool> {
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

/// The box around a piece's content in an area; none where it is quiet.
fn within(layout: &Layout<'_>, piece: usize, area: PixelBox, quiet: &[bool]) -> Option<PixelBox> {
    layout.content.pieces()[piece].bounds.intersection(area)?;
    let runs = layout.content.runs_of(piece).iter();
    runs.filter(|_| !quiet[piece])
        .filter_map(|run| run.bounds().intersection(area))
        .reduce(PixelBox::union)
}

/// The box around the lines of text in an area that lie on a piece that bleeds off by design.
fn text_within(layout: &Layout<'_>, area: PixelBox, bars: &[bool]) -> Option<PixelBox> {
    let pieces = layout.content.pieces().iter().zip(bars);
    let bars: Vec<PixelBox> = pieces
        .filter(|(_, bleeds)| **bleeds)
        .map(|(piece, _)| piece.bounds)
        .collect();
    let lines = layout.lines.iter();
    lines
        .filter(|line| {
            bars.iter()
                .any(|bar| bar.intersection(**line) == Some(**line))
        })
        .filter_map(|line| line.intersection(area))
        .reduce(PixelBox::union)
}

/// The finding for content in a margin.
fn margin_finding(
    side: Side,
    out: Out,
    output: PixelBox,
    safe: PixelBox,
    bounds: PixelBox,
) -> Finding {
    let length = f64::from(match side {
        Side::Left | Side::Right => output.width,
        Side::Top | Side::Bottom => output.height,
    });
    let percent = |px: u32| 100.0 * f64::from(px) / length;
    let wanted = side.gap(output, safe);
    let left = side.gap(output, bounds);
    let name = side.name();
    let advice = match out {
        Out::CutText => format!(
            "Text runs over the {name} edge and is cut. Move it in, or break the line, so that {wanted} px \
             stay free at the {name}."
        ),
        Out::CutShape => format!(
            "A shape or line runs over the {name} edge and is cut. Move it in, or make it smaller, so that \
             {wanted} px stay free at the {name}."
        ),
        Out::Near => format!(
            "Content comes within {left} px of the {name} edge; screens that cut the edges may hide what is \
             less than {wanted} px away. Move it in by {} px, {:.1} % of the picture's {}, if it must be seen.",
            wanted.saturating_sub(left),
            percent(wanted.saturating_sub(left)),
            match side {
                Side::Left | Side::Right => "width",
                Side::Top | Side::Bottom => "height",
            }
        ),
    };
    Finding {
        kind: Kind::OutsideSafe,
        severity: if out == Out::Near {
            Severity::Info
        } else {
            Severity::Fail
        },
        bounds: Some(bounds),
        measured: percent(left),
        limit: percent(wanted),
        unit: Unit::Percent,
        advice,
        camera: None,
    }
}

/// The finding for shapes that all four edges cut: a picture that fills the slide, which is meant to.
fn filling_finding(output: PixelBox, safe: PixelBox) -> Finding {
    let [across, down] = [Side::Left, Side::Top].map(|side| side.gap(output, safe));
    Finding {
        kind: Kind::OutsideSafe,
        severity: Severity::Info,
        bounds: None,
        measured: 0.0,
        limit: 100.0 * f64::from(down) / f64::from(output.height),
        unit: Unit::Percent,
        advice: format!(
            "Shapes run over all four edges, as in a picture that fills the slide. Screens that cut the edges may hide \
             {across} px at the sides and {down} px at top and bottom: keep there nothing that must be seen."
        ),
        camera: None,
    }
}

/// The finding for content in a reserved guide.
fn reserved_finding(
    layout: &Layout<'_>,
    guide: Guide,
    quiet: &[bool],
    bars: &[bool],
) -> Option<Finding> {
    let output = PixelBox::of_size(layout.raster.size());
    let shape = outline(guide, layout.raster.size())?;
    let areas: Vec<PixelBox> = if guide == Guide::Captions {
        vec![shape]
    } else {
        let margins = Side::ALL.into_iter();
        margins
            .filter_map(|side| side.margin(output, shape))
            .collect()
    };
    let pieces = 0..layout.content.pieces().len();
    let bounds = pieces
        .flat_map(|piece| areas.iter().map(move |&area| (piece, area)))
        .filter_map(|(piece, area)| within(layout, piece, area, quiet))
        .chain(
            areas
                .iter()
                .filter_map(|&area| text_within(layout, area, bars)),
        )
        .reduce(PixelBox::union)?;
    let share = 100.0 * bounds.area() as f64 / output.area() as f64;
    Some(Finding {
        kind: Kind::OutsideSafe,
        severity: Severity::Info,
        bounds: Some(bounds),
        measured: share,
        limit: 0.0,
        unit: Unit::Percent,
        advice: format!(
            "Content lies in the area kept free for {}; {share:.1} % of the picture may be covered. Move it out.",
            guide.label()
        ),
        camera: None,
    })
}

/// The area inside graphics safe; none where the output is too small to have one.
pub(super) fn graphics_safe(size: Size) -> Option<PixelBox> {
    outline(Guide::GraphicsSafe, size)
}

/// The area that a guide outlines; none where it has lines alone.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "guides lie on whole pixels inside the output"
)]
fn outline(guide: Guide, size: Size) -> Option<PixelBox> {
    guide_shapes(guide, size)
        .shapes
        .iter()
        .find_map(|shape| match *shape {
            Shape::Outline { x0, y0, x1, y1 } if x1 > x0 && y1 > y0 => Some(PixelBox {
                x: x0 as u32,
                y: y0 as u32,
                width: (x1 - x0) as u32,
                height: (y1 - y0) as u32,
            }),
            _ => None,
        })
}
