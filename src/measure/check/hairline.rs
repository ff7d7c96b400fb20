//! `hairline`: strokes too thin for video. A stroke counts where what it belongs to is thin as a whole, or
//! where it is a long line; the thin parts of letters whose stems are thick do not.

use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::marks::Ground;
use crate::measure::slide::strokes::{Stroke, thin_strokes};
use crate::measure::slide::text_lines::TextLine;
use crate::measure::told_apart::told_apart;

/// How far under the limit a width must be, px, for what 8-bit codes make of a stroke of exactly the limit.
/// Source: chosen; the worst error over all angles has not been measured.
const SLACK_PX: f64 = 0.05;
/// The same in files compressed with loss. Source: chosen; grids of 2.5 px in JPEG files of quality 90
/// measured down to 1.9 px.
const LOSSY_SLACK_PX: f64 = 0.15;
/// Least strength of a stroke in files compressed with loss, 8-bit codes. Source: chosen, over the ringing
/// beside white on black in JPEG files of quality 90.
const LOSSY_FAINTEST_CODES: f64 = 48.0;
/// Share of a mark, or of a line of text, that thin strokes make up where it is thin. Source: chosen, most.
const THIN_SHARE: f64 = 0.5;
/// Least length of a stroke of a mark that stands alone, as a share of the output's height. Source: chosen;
/// shorter ones are commas, dashes and parts of letters.
const ALONE_SHARE: f64 = 0.015;
/// Least length of a line that counts whatever it is joined to, as a share of the output's height. Source: chosen.
const LONG_SHARE: f64 = 0.03;
/// Height, as a share of the output's, and width over height up to which a mark may be a letter, whose
/// strokes are judged together. Source: chosen, a large title, and `W` has 1.4.
const LETTER_SHARE: f64 = 0.1;
const LETTER_ASPECT: f64 = 1.6;

/// What of a slide's file changes how strokes look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlideFile {
    /// Whether it was compressed with loss: it is judged above what compression makes of edges.
    pub lossy: bool,
    /// How many output pixels a pixel of it becomes across and down; under 1 where it is reduced.
    pub enlargement: [f64; 2],
}

/// One finding for all thin strokes of a slide. `lines` are the lines of text of each ground,
/// `height_px` the output's height.
pub fn find_hairlines(
    grounds: &[Ground],
    lines: &[Vec<TextLine>],
    height_px: u32,
    file: SlideFile,
    limits: &Limits,
) -> Option<Finding> {
    let limit = limits.get(Limit::Hairline);
    let slack = if file.lossy { LOSSY_SLACK_PX } else { SLACK_PX };
    // Compression changes soft ends by as much as tells a line of one pixel of the file from a wider one.
    let soft_by = if file.lossy {
        [1.0; 2]
    } else {
        file.enlargement
    };
    let mut marks = 0;
    let mut thinnest = f64::INFINITY;
    let mut bounds: Option<PixelBox> = None;
    for (ground, lines) in grounds.iter().zip(lines) {
        let mut with_thin = vec![false; ground.marks.list().len()];
        let mut strokes = thin_strokes(ground, limit - slack, soft_by);
        strokes.retain(|stroke| !file.lossy || stroke.strength >= LOSSY_FAINTEST_CODES);
        for stroke in of_thin_things(ground, lines, height_px, &strokes) {
            with_thin[stroke.mark] = true;
            thinnest = thinnest.min(stroke.width_px);
            let place = ground.in_output(stroke.bounds);
            bounds = Some(bounds.map_or(place, |all| all.union(place)));
        }
        marks += with_thin.iter().filter(|&&thin| thin).count();
    }
    let bounds = bounds?;
    let what = match marks {
        1 => "A line or shape has a stroke".to_owned(),
        _ => format!("{marks} lines, shapes or letters have strokes"),
    };
    let [told_px, limit_px] = told_apart(thinnest, limit, 1);
    Some(Finding {
        kind: Kind::Hairline,
        severity: Severity::Warn,
        bounds: Some(bounds),
        measured: thinnest,
        limit,
        unit: Unit::Px,
        advice: format!(
            "{what} thinner than {limit_px} px, the thinnest {told_px} px; such strokes flicker or vanish \
             when the picture is scaled. Make lines at least {limit_px} px wide on the output, \
             and set text in a heavier weight."
        ),
        camera: None,
    })
}

/// The strokes of marks and lines of text that are thin as a whole, and long lines joined to other things.
fn of_thin_things(
    ground: &Ground,
    lines: &[TextLine],
    height_px: u32,
    strokes: &[Stroke],
) -> Vec<Stroke> {
    let list = ground.marks.list();
    let mut thin_px = vec![0; list.len()];
    for stroke in strokes {
        thin_px[stroke.mark] += stroke.core_px;
    }
    let is_thin = |marks: &[usize]| {
        let thin: u64 = marks.iter().map(|&mark| thin_px[mark]).sum();
        let all: u64 = marks.iter().map(|&mark| list[mark].area).sum();
        thin as f64 >= THIN_SHARE * all as f64
    };
    let mut line_of = vec![None; list.len()];
    for (i, line) in lines.iter().enumerate() {
        line.marks.iter().for_each(|&mark| line_of[mark] = Some(i));
    }
    let thin_lines: Vec<bool> = lines.iter().map(|line| is_thin(&line.marks)).collect();
    let height = f64::from(height_px);
    let counts = |stroke: &&Stroke| {
        if let Some(line) = line_of[stroke.mark] {
            return thin_lines[line];
        }
        let bounds = list[stroke.mark].bounds;
        let (w, h) = (f64::from(bounds.width), f64::from(bounds.height));
        let may_be_letter = h <= LETTER_SHARE * height && w <= LETTER_ASPECT * h;
        let long = stroke.length_px >= LONG_SHARE * height;
        let alone = stroke.length_px >= ALONE_SHARE * height;
        (long && !may_be_letter) || (alone && is_thin(&[stroke.mark]))
    };
    strokes.iter().filter(counts).copied().collect()
}
