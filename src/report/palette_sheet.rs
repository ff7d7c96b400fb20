//! The palette as a sheet: every colour over black and over a bright shirt, with its code and contrasts.

use crate::measure::dark_slide::palette::{PaletteColor, PaletteRow, SHIRT};
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// Width of the names at the left, px.
const NAME_PX: u32 = 150;
/// Width of one colour's cell, px.
const CELL_PX: u32 = 520;
/// Height of a row, px.
const ROW_PX: u32 = 84;
/// Height of the heading, px.
const HEAD_PX: u32 = 110;
/// Space around what stands in a cell, px.
const PAD_PX: u32 = 10;
/// R'G'B' codes of the sheet and of words on it. Source: chosen, 15 to 1.
const SHEET: [u8; 3] = [24, 24, 24];
const INK: [u8; 3] = [230, 230, 230];
/// Contrast that graphics and large text need. Source: WCAG 2.2, success criteria 1.4.3 and 1.4.11.
const ENOUGH: f64 = 3.0;

/// What stands over the three columns.
const HEADINGS: [(&str, &str); 3] = [
    ("darkest that stays solid", "fills and plates"),
    ("reads over both", "lines, shapes, large text"),
    ("bright", "text; over a shirt put a dark plate behind"),
];

/// Draws the palette; none only where it has no row.
pub fn palette_sheet(rows: &[PaletteRow]) -> Option<Frame> {
    let count = u32::try_from(rows.len()).ok().filter(|&n| n > 0)?;
    let width = NAME_PX + 3 * CELL_PX + PAD_PX;
    let size = Size::new(width, HEAD_PX + count * ROW_PX + PAD_PX).ok()?;
    let mut sheet = Frame::from_fn(size, |_, _| SHEET);
    let mut canvas = Canvas::new(&mut sheet)?;
    for (column, (heading, use_for)) in (0..).zip(HEADINGS) {
        let x = (NAME_PX + column * CELL_PX) as f32;
        write(&mut canvas, heading, 30.0, [x, 14.0], INK);
        write(&mut canvas, use_for, 20.0, [x, 50.0], INK);
        write(&mut canvas, "over black", 18.0, [x + 8.0, 82.0], INK);
        let shirt_x = x + (CELL_PX / 2) as f32;
        write(
            &mut canvas,
            "over a bright shirt",
            18.0,
            [shirt_x, 82.0],
            INK,
        );
    }
    for (index, row) in (0..).zip(rows) {
        let y = HEAD_PX + index * ROW_PX;
        write(&mut canvas, row.name, 26.0, [16.0, y as f32 + 22.0], INK);
        for (column, color) in (0..).zip([row.darkest, row.between, row.bright]) {
            draw_cell(&mut canvas, color, NAME_PX + column * CELL_PX, y);
        }
    }
    Some(sheet)
}

/// One colour: on black at the left, on the shirt at the right, each with a word in the colour itself.
fn draw_cell(canvas: &mut Canvas<'_>, color: PaletteColor, x: u32, y: u32) {
    let half = (CELL_PX - PAD_PX) / 2;
    let [r, g, b] = color.codes;
    let sides = [
        (x, [0; 3], INK, color.over_black),
        (x + half, SHIRT, [0; 3], color.over_shirt),
    ];
    for (left, ground, ink, ratio) in sides {
        let rect = |x0: u32, y0: u32, x1: u32, y1: u32| [x0, y0, x1, y1].map(f64::from);
        canvas.fill(rect(left, y, left + half, y + ROW_PX - PAD_PX), ground, 1.0);
        let patch = rect(
            left + PAD_PX,
            y + PAD_PX,
            left + PAD_PX + 70,
            y + ROW_PX - 2 * PAD_PX,
        );
        canvas.fill(patch, color.codes, 1.0);
        let words_x = (left + PAD_PX + 80) as f32;
        let code = format!("#{r:02X}{g:02X}{b:02X}");
        write(canvas, &code, 28.0, [words_x, (y + 8) as f32], color.codes);
        // Rounded down, so that what is printed as enough is enough.
        let shown = (ratio * 10.0).floor() / 10.0;
        let mark = if ratio < ENOUGH { ", too little" } else { "" };
        let contrast = format!("{shown:.1} : 1{mark}");
        write(canvas, &contrast, 20.0, [words_x, (y + 42) as f32], ink);
    }
}

fn write(canvas: &mut Canvas<'_>, words: &str, scale_px: f32, at: [f32; 2], color: [u8; 3]) {
    if let Some(words) = Words::new(words, scale_px) {
        canvas.draw(&words, at, color);
    }
}
