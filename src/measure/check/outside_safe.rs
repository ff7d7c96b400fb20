//! `outside-safe`: content outside graphics safe, in a reserved guide, or cut by the picture's edge.

use super::edge_contact::{BAR_FILL, Layout, TOUCHES_PX, belongs, bleeding, cut_lines, seen};
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::side::Side;
use crate::measure::space::guide_area::outline;
use crate::pixel::guides::Guide;

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
