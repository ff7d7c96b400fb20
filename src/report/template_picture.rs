//! Where there is room, as a transparent picture to lay under slides, and as a drawing.

use super::template_labels::{DRAWING_WIDER, Label, PAD_SHARE, edges, labels, letters_px, line_px};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Run;
use crate::measure::space::room::Room;
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::{Frame, Pixels};
use crate::pixel::guide_drawing::draw_guide_lines;
use crate::pixel::guides::{Guide, Shape, guide_shapes};
use crate::pixel::settings::Size;

/// Colours of what is kept clear and of free boxes. Source: Okabe and Ito, Color Universal Design, 2008, vermillion
/// and bluish green; stripes and words tell them apart without.
const CLEAR_U8: [u8; 3] = [213, 94, 0];
const FREE_U8: [u8; 3] = [0, 158, 115];
/// What is behind words. Source: chosen; nearly opaque black.
const GROUND_U8: [u8; 3] = [0; 3];
const GROUND_OPACITY: f32 = 0.85;
/// How much areas cover. Source: chosen by eye; slides stay readable on top, on black and on white.
const CLEAR_OPACITY: f32 = 0.3;
const STRIPE_OPACITY: f32 = 0.75;
const REACH_OPACITY: f32 = 0.25;
/// Distance of stripes and their width in it, shares of the output's height. Source: chosen by eye.
const STRIPE_SHARE: f64 = 1.0 / 30.0;
const STRIPE_FILL: u32 = 4;
/// Safe areas that are drawn.
const GUIDES: [Guide; 2] = [Guide::ActionSafe, Guide::GraphicsSafe];
/// Colour of what is out of reach. Source: chosen, a middle grey.
const REACH_U8: [u8; 3] = [128; 3];

/// The picture: stripes where nothing may lie, outlines of free boxes, safe areas; all else is transparent.
pub fn template_picture(room: &Room) -> Frame {
    let size = room.kept_clear.size();
    // What a picture is over black and over white says how much of it covers.
    let [black, white] = [0, 255].map(|ground| {
        let mut frame = Frame::from_fn(size, |_, _| [ground; 3]);
        draw(&mut frame, room);
        frame
    });
    let pixels = match (black.pixels(), white.pixels()) {
        (Pixels::Rgba8(black), Pixels::Rgba8(white)) => black
            .iter()
            .zip(white)
            .map(|(&black, &white)| uncovered(black, white))
            .collect(),
        _ => Vec::new(),
    };
    Frame::new(size, Pixels::Rgba8(pixels)).unwrap_or(black)
}

/// Colour and alpha of what was laid over black and over white.
///
/// `alpha = 1 - (over white - over black)`, `color = over black / alpha`. Source: Smith and Blinn, Blue Screen
/// Matting, 1996, triangulation matting.
fn uncovered(black: [u8; 4], white: [u8; 4]) -> [u8; 4] {
    let differences = (0..3).map(|c| u32::from(white[c]) - u32::from(black[c].min(white[c])));
    let alpha = 255 - differences.min().unwrap_or(255);
    let color = |c: usize| {
        let value = (255 * u32::from(black[c]) + alpha / 2).checked_div(alpha);
        u8::try_from(value.unwrap_or(0)).unwrap_or(u8::MAX)
    };
    [
        color(0),
        color(1),
        color(2),
        u8::try_from(alpha).unwrap_or(u8::MAX),
    ]
}

fn draw(frame: &mut Frame, room: &Room) {
    let size = frame.size();
    if let Some(mut canvas) = Canvas::new(frame) {
        for area in out_of_reach(room) {
            canvas.fill(edges(area), REACH_U8, REACH_OPACITY);
        }
        let period = stripe_px(size);
        for run in room.kept_clear.as_slice() {
            canvas.fill(edges(run.bounds()), CLEAR_U8, CLEAR_OPACITY);
            for stripe in stripes_of(*run, period) {
                canvas.fill(edges(stripe), CLEAR_U8, STRIPE_OPACITY);
            }
        }
    }
    draw_guide_lines(frame, &GUIDES);
    if let Some(mut canvas) = Canvas::new(frame) {
        let line = line_px(size);
        for &bounds in &room.boxes {
            let [x0, y0, x1, y1] = edges(bounds);
            for side in [
                [x0, y0, x1, y0 + line],
                [x0, y1 - line, x1, y1],
                [x0, y0 + line, x0 + line, y1 - line],
                [x1 - line, y0 + line, x1, y1 - line],
            ] {
                canvas.fill(side, FREE_U8, 1.0);
            }
        }
        for label in labels(room, &GUIDES, &out_of_reach(room), 1.0) {
            draw_label(&mut canvas, &label);
        }
    }
}

fn draw_label(canvas: &mut Canvas<'_>, label: &Label) {
    #[expect(clippy::cast_possible_truncation, reason = "a height in pixels")]
    let Some(words) = Words::new(&label.words, letters_px(canvas.size()) as f32) else {
        return;
    };
    canvas.fill(label.place, GROUND_U8, GROUND_OPACITY);
    let [left, top, ..] = label.place;
    let pad = PAD_SHARE * f64::from(words.height_px());
    #[expect(
        clippy::cast_possible_truncation,
        reason = "positions within the picture"
    )]
    let at = [(left + pad) as f32, (top + pad / 2.0) as f32];
    canvas.draw(&words, at, label.color);
}

/// The same as SVG, in pixels of the output.
pub fn template_svg(room: &Room) -> String {
    let size = room.kept_clear.size();
    let (width, height) = (size.width(), size.height());
    let period = stripe_px(size);
    let stripe = period / STRIPE_FILL;
    let [clear, free, reach, ground] = [CLEAR_U8, FREE_U8, REACH_U8, GROUND_U8].map(css);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\">\n\
         <title>Room for slides and writing</title>\n\
         <defs><pattern id=\"stripes\" width=\"{period}\" height=\"{period}\" \
         patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
         <rect width=\"{period}\" height=\"{period}\" fill=\"{clear}\" fill-opacity=\"{CLEAR_OPACITY}\"/>\
         <rect width=\"{stripe}\" height=\"{period}\" fill=\"{clear}\" fill-opacity=\"{STRIPE_OPACITY}\"/>\
         </pattern></defs>\n"
    );
    for area in out_of_reach(room) {
        svg.push_str(&rectangle(
            area,
            &format!("fill=\"{reach}\" fill-opacity=\"{REACH_OPACITY}\""),
        ));
    }
    let mut path = String::new();
    for part in stacked(room.kept_clear.as_slice()) {
        let PixelBox {
            x,
            y,
            width,
            height,
        } = part;
        path.push_str(&format!("M{x} {y}h{width}v{height}h-{width}z"));
    }
    svg.push_str(&format!("<path fill=\"url(#stripes)\" d=\"{path}\"/>\n"));
    let line = line_px(size);
    for guide in GUIDES {
        for shape in guide_shapes(guide, size).shapes {
            if let Shape::Outline { x0, y0, x1, y1 } = shape {
                let color = css(guide.color_u8());
                svg.push_str(&format!(
                    "<rect x=\"{x0}\" y=\"{y0}\" width=\"{}\" height=\"{}\" fill=\"none\" \
                     stroke=\"{color}\" stroke-width=\"{}\"/>\n",
                    x1 - x0,
                    y1 - y0,
                    line / 2.0
                ));
            }
        }
    }
    for &bounds in &room.boxes {
        svg.push_str(&rectangle(
            bounds,
            &format!("fill=\"none\" stroke=\"{free}\" stroke-width=\"{line}\""),
        ));
    }
    let letters = letters_px(size);
    for label in labels(room, &GUIDES, &out_of_reach(room), DRAWING_WIDER) {
        // Words have a dark rim, so that they read on any slide.
        svg.push_str(&format!(
            "<text x=\"{:.1}\" y=\"{:.1}\" font-family=\"sans-serif\" font-size=\"{letters:.1}\" \
             fill=\"{}\" stroke=\"{ground}\" stroke-width=\"{:.1}\" stroke-linejoin=\"round\" \
             paint-order=\"stroke\">{}</text>\n",
            label.place[0] + letters * PAD_SHARE,
            label.place[1] + letters,
            css(label.color),
            letters * 0.2,
            label.words
        ));
    }
    svg.push_str("</svg>\n");
    svg
}

/// Above and below what is within reach.
fn out_of_reach(room: &Room) -> Vec<PixelBox> {
    let whole = PixelBox::of_size(room.kept_clear.size());
    let above = PixelBox {
        height: room.within.y,
        ..whole
    };
    let below = PixelBox {
        y: room.within.bottom(),
        height: whole.height - room.within.bottom(),
        ..whole
    };
    let areas = [above, below].into_iter();
    areas.filter(|area| area.height > 0).collect()
}

/// The parts of a run that diagonal stripes cover: those where `(x + y) mod period` is under the stripe's width.
fn stripes_of(run: Run, period: u32) -> impl Iterator<Item = PixelBox> {
    let width = (period / STRIPE_FILL).max(1);
    // Counted a period further right, so that a stripe may begin left of the picture.
    let first = run.start + period - (run.start + run.y) % period;
    let begins = (0..).map(move |i| first + i * period);
    let reached = begins.take_while(move |&x| x < run.end + period);
    reached.filter_map(move |x| {
        let start = x.saturating_sub(period).max(run.start);
        let end = (x + width).saturating_sub(period).min(run.end);
        (start < end).then(|| PixelBox {
            x: start,
            y: run.y,
            width: end - start,
            height: 1,
        })
    })
}

/// Runs as boxes, those of equal columns in rows on top of each other as one.
fn stacked(runs: &[Run]) -> Vec<PixelBox> {
    let mut done: Vec<PixelBox> = Vec::new();
    let mut open: Vec<PixelBox> = Vec::new();
    for run in runs {
        let same = |b: &PixelBox| b.bottom() == run.y && b.x == run.start && b.right() == run.end;
        match open.iter_mut().find(|b| same(b)) {
            Some(bounds) => bounds.height += 1,
            None => open.push(run.bounds()),
        }
        let (still, closed) = open.into_iter().partition(|b| b.bottom() >= run.y);
        open = still;
        done.extend::<Vec<PixelBox>>(closed);
    }
    done.extend(open);
    done
}

fn rectangle(bounds: PixelBox, style: &str) -> String {
    let PixelBox {
        x,
        y,
        width,
        height,
    } = bounds;
    format!("<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" {style}/>\n")
}

fn css([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Distance of stripes.
fn stripe_px(size: Size) -> u32 {
    whole(STRIPE_SHARE * f64::from(size.height())).max(2 * STRIPE_FILL)
}

/// Whole pixels of a length.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths within a picture, never negative"
)]
fn whole(length_px: f64) -> u32 {
    length_px.round() as u32
}
