//! The dark end of a deck with a key drawn over it, as SVG for screen and print.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use crate::measure::key::key_suggestion::KeySuggestion;
use crate::measure::key::slide_levels::SlideLevels;
use crate::measure::statistics::level_counts::LevelCounts;
use crate::pixel::key::{Ramp, matte};
use crate::pixel::mixer_codes::codes_of_luma;

/// Width and height, px. Source: chosen; 16:9 fits half a page and a slide.
const SIZE_PX: (u32, u32) = (960, 540);
/// Colours of content, backgrounds and lines. Source: Okabe and Ito, Color Universal Design, 2008,
/// blue and vermillion; side and filling tell the two apart without them.
const CONTENT: RGBColor = RGBColor(0, 114, 178);
const BACKGROUND: RGBColor = RGBColor(213, 94, 0);
const QUIET: RGBColor = RGBColor(110, 110, 110);
/// Corners of the drawn smooth ramp. Source: chosen by eye; corners lie on whole pixels, and more of them
/// make stairs.
const SMOOTH_RAMP_CORNERS: u32 = 24;
/// Luma under which the threshold's name has no room on its left, percent of white on the shortest axis.
const NAME_PERCENT: f64 = 4.0;
/// Room for what stands on the left, px; as much on the right, so that the picture's middle is that of the axis.
/// Source: chosen by eye, the axis's name and its longest number, `10 million`, in letters of [`LETTERS_PX`].
const LEFT_PX: u32 = 78;
/// Height of letters, px. Source: chosen by eye, legible where the plot takes half a page.
const LETTERS_PX: u32 = 15;

/// Width of a bar, percent of white. Source: chosen.
const BAR_PERCENT: f64 = 0.25;
/// Where the axis ends at least, percent of white. Source: chosen, well beyond what keys of dark slides reach.
const LEAST_END_PERCENT: f64 = 25.0;
/// What the axis shows at least beyond the key and where content begins, and the steps in which it ends, percent of
/// white. Source: chosen.
const BEYOND_PERCENT: f64 = 5.0;

/// The plot of the key that was found for slides of these levels, in their order. Content stands on the middle line,
/// backgrounds hang from it; heights are logarithmic, so that a few pixels are seen beside a million.
pub fn key_plot(found: &KeySuggestion, slides: &[SlideLevels]) -> String {
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, SIZE_PX).into_drawing_area();
        // A text has room for everything, so that drawing into it cannot fail.
        let _drawn = draw(&root, found, slides);
    }
    svg
}

/// A drawing area on the SVG text.
type Area<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;
/// Why something was not drawn.
type DrawError = DrawingAreaErrorKind<std::io::Error>;

#[expect(clippy::too_many_lines, reason = "one drawing, from back to front")]
fn draw(root: &Area<'_>, found: &KeySuggestion, slides: &[SlideLevels]) -> Result<(), DrawError> {
    root.fill(&WHITE)?;
    let end = end_percent(found);
    let content = bar_heights(found, slides, end, |slide| &slide.content);
    let background = bar_heights(found, slides, end, |slide| &slide.background);
    let most = content.iter().chain(&background).max();
    let top = height_of(most.copied().unwrap_or(0)).ceil().max(1.0);
    let (t, s) = (found.key.threshold_percent(), found.key.softness_percent());
    let font = ("sans-serif", LETTERS_PX);
    let caption = format!("threshold {t:.2} %, softness {s:.2} %");
    let mut chart = ChartBuilder::on(root)
        .margin(14)
        .caption(caption, ("sans-serif", 20))
        .x_label_area_size(44)
        .top_x_label_area_size(44)
        .y_label_area_size(LEFT_PX)
        .right_y_label_area_size(LEFT_PX)
        .build_cartesian_2d(0.0..end, -top..top)?
        .set_secondary_coord(0.0..end, -top..top);
    chart
        .configure_mesh()
        .disable_y_mesh()
        .light_line_style(WHITE)
        .bold_line_style(RGBColor(225, 225, 225))
        .axis_style(QUIET)
        .label_style(font)
        .axis_desc_style(font)
        .x_labels(11)
        .y_labels(2 * MOST_DECADES + 1)
        .x_desc("luma, percent of white")
        .y_desc("pixels of the deck")
        .x_label_formatter(&|percent| format!("{percent:.1}"))
        .y_label_formatter(&|height| pixels_text(*height))
        .draw()?;
    chart
        .configure_secondary_axes()
        .axis_style(QUIET)
        .label_style(font)
        .axis_desc_style(font)
        .x_labels(11)
        .x_desc("as a video signal counts, 8 and 10 bits")
        .x_label_formatter(&|percent| {
            let codes = codes_of_luma(*percent);
            format!("{:.0} · {:.0}", codes.video_8, codes.video_10)
        })
        .y_labels(0)
        .draw()?;

    let bars = |pixels: &'_ [u64], side: f64| -> Vec<[(f64, f64); 2]> {
        let bar = |(bin, &pixels): (usize, &u64)| {
            let left = bin as f64 * BAR_PERCENT;
            [(left, 0.0), (left + BAR_PERCENT, side * height_of(pixels))]
        };
        let some = pixels.iter().enumerate().filter(|(_, pixels)| **pixels > 0);
        some.map(bar).collect()
    };
    let solid = |bar: [(f64, f64); 2]| Rectangle::new(bar, CONTENT.filled());
    chart
        .draw_series(bars(&content, 1.0).into_iter().map(solid))?
        .label("visible content")
        .legend(|(x, y)| Rectangle::new([(x, y - 6), (x + 22, y + 6)], CONTENT.filled()));
    let hollow = |bar: [(f64, f64); 2]| Rectangle::new(bar, BACKGROUND.stroke_width(1));
    let pale = |bar: [(f64, f64); 2]| Rectangle::new(bar, BACKGROUND.mix(0.2).filled());
    chart.draw_series(bars(&background, -1.0).into_iter().map(pale))?;
    chart
        .draw_series(bars(&background, -1.0).into_iter().map(hollow))?
        .label("backgrounds (below the line)")
        .legend(|(x, y)| Rectangle::new([(x, y - 6), (x + 22, y + 6)], BACKGROUND.stroke_width(1)));
    let line = |corners: Vec<(f64, f64)>, style: ShapeStyle| PathElement::new(corners, style);
    chart.draw_series([line(vec![(0.0, 0.0), (end, 0.0)], QUIET.stroke_width(1))])?;
    // Near black both names stand on the right, one above the other.
    let (side, gap, row) = if t < NAME_PERCENT * end / LEAST_END_PERCENT {
        (HPos::Left, 0.15, 0.12)
    } else {
        (HPos::Right, -0.15, 0.02)
    };
    for (luma, name, side, gap, row) in [
        (t, "threshold", side, gap, row),
        (t + s, "solid from", HPos::Left, 0.15, 0.02),
    ] {
        if luma > end {
            continue;
        }
        chart.draw_series([line(vec![(luma, -top), (luma, top)], BLACK.stroke_width(1))])?;
        let style = TextStyle::from(font.into_font()).pos(Pos::new(side, VPos::Bottom));
        chart.draw_series([Text::new(
            format!("{name} {luma:.1}"),
            (luma + gap, -top + row * top),
            style,
        )])?;
    }
    chart
        .draw_series([line(ramp_corners(found, top, end), BLACK.stroke_width(3))])?
        .label("how much the key keeps")
        .legend(|(x, y)| PathElement::new(vec![(x, y), (x + 22, y)], BLACK.stroke_width(3)));
    chart
        .configure_series_labels()
        .position(SeriesLabelPosition::LowerRight)
        .legend_area_size(30)
        .margin(14)
        .background_style(WHITE)
        .border_style(QUIET)
        .label_font(font)
        .draw()?;
    root.present()
}

/// Where the axis ends, percent of white: beyond the key and where content begins.
fn end_percent(found: &KeySuggestion) -> f64 {
    let floor = found.floor.map_or(0.0, |place| place.percent);
    let solid = found.key.threshold_percent() + found.key.softness_percent();
    let steps = (floor.max(solid) / BEYOND_PERCENT).floor() + 1.0;
    (BEYOND_PERCENT * steps).clamp(LEAST_END_PERCENT, 100.0)
}

/// Pixels in each bar up to the axis's end, of all slides that counted.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "up to 400 bars"
)]
fn bar_heights(
    found: &KeySuggestion,
    slides: &[SlideLevels],
    end: f64,
    levels: impl Fn(&SlideLevels) -> &LevelCounts,
) -> Vec<u64> {
    let mut bars = vec![0; (end / BAR_PERCENT).ceil() as usize];
    // White is where the last bar ends.
    let white = (100.0 / BAR_PERCENT) as usize - 1;
    for (index, slide) in slides.iter().enumerate() {
        if found.not_dark.iter().any(|place| place.slide == index) {
            continue;
        }
        for (level, pixels) in levels(slide).iter() {
            if let Some(bar) = bars.get_mut(white.min((level.percent() / BAR_PERCENT) as usize)) {
                *bar += pixels;
            }
        }
    }
    bars
}

/// Most powers of ten on the axis. Source: 16,384 x 16,384 pixels of a slide are under 10^9.
const MOST_DECADES: usize = 9;

/// Height of a bar: the power of ten, one pixel being a little over the line.
fn height_of(pixels: u64) -> f64 {
    (1.0 + pixels as f64).log10()
}

/// What stands beside a height.
fn pixels_text(height: f64) -> String {
    let power = height.abs();
    if power < 0.5 || (power - power.round()).abs() > 1e-6 {
        return String::new();
    }
    [
        "10",
        "100",
        "1 000",
        "10 000",
        "100 000",
        "1 million",
        "10 million",
    ]
    .iter()
    .zip(1..)
    .find(|(_, known)| (power - f64::from(*known)).abs() < 0.5)
    .map_or_else(|| format!("1e{power:.0}"), |(text, _)| (*text).to_owned())
}

/// The matte over the range, 0 on the middle line, 1 at the top.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the rounding to f32 is what the key does"
)]
fn ramp_corners(found: &KeySuggestion, top: f64, end: f64) -> Vec<(f64, f64)> {
    let key = &found.key;
    let (t, s) = (key.threshold_percent(), key.softness_percent());
    let kept = |percent: f64| {
        let luma = (percent / 100.0) as f32;
        f64::from(matte(
            luma,
            key.threshold_frac(),
            key.softness_frac(),
            key.ramp,
        ))
    };
    let mut corners = vec![(0.0, 0.0), (t, 0.0)];
    let corners_of_ramp = match key.ramp {
        Ramp::Linear => 1,
        Ramp::Smooth => SMOOTH_RAMP_CORNERS,
    };
    for i in 0..=corners_of_ramp {
        let percent = t + s * f64::from(i) / f64::from(corners_of_ramp);
        corners.push((percent, top * kept(percent)));
    }
    if t + s < end {
        corners.push((t + s, top));
        corners.push((end, top));
    }
    corners.retain(|(percent, _)| *percent <= end);
    corners
}
