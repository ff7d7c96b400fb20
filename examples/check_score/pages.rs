//! Pages as a course has them. Each leaves the spare part of its area free.

use crate::lettering::Face;
use crate::look::Look;
use crate::photographs::{Photograph, lay};
use crate::sheet::{Fault, Raster, Sheet, Spot, around};
use crate::sky::{CASSIOPEIA, PLOUGH, PLOUGH_LINES, View};

/// A kind of page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Page {
    Text,
    Chart,
    Boxes,
    Table,
    Plot,
    Rose,
    Photo,
}

/// Height of a title's tallest letters.
const TITLE: f32 = 62.0;
/// Height of the tallest letters of everything else: 3.7 % of the output.
const BODY: f32 = 40.0;

impl Page {
    pub(crate) const ALL: [Self; 7] = [
        Self::Text,
        Self::Chart,
        Self::Boxes,
        Self::Table,
        Self::Plot,
        Self::Rose,
        Self::Photo,
    ];

    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Chart => "chart",
            Self::Boxes => "boxes",
            Self::Table => "table",
            Self::Plot => "plot",
            Self::Rose => "rose",
            Self::Photo => "photo",
        }
    }

    /// Draws the page.
    pub(crate) fn draw(self, look: &Look) -> Result<Sheet, Fault> {
        let mut sheet = look.sheet()?;
        match self {
            Self::Text => text(&mut sheet, look)?,
            Self::Chart => chart(&mut sheet, look)?,
            Self::Boxes => boxes(&mut sheet, look)?,
            Self::Table => table(&mut sheet, look)?,
            Self::Plot => plot(&mut sheet, look)?,
            Self::Rose => rose(&mut sheet, look)?,
            Self::Photo => photo(&mut sheet, look)?,
        }
        Ok(sheet)
    }
}

/// Writes the page's title.
fn title(sheet: &mut Sheet, look: &Look, words: &str) -> Result<(), Fault> {
    let [left, top, ..] = sheet.raster.area();
    let at = (left, top + 70.0);
    // The widest face just fits on the narrowest slide.
    let tall = if sheet.raster == Raster::NARROW {
        0.72 * TITLE
    } else {
        TITLE
    };
    sheet.text(look.face, words, at, tall, look.colors.title)
}

/// Lines of text under a title; those beside the spare part are short.
fn text(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "Find your way by the stars")?;
    let [left, top, right, _] = sheet.raster.area();
    sheet.line(
        &[(left, top + 104.0), (right, top + 104.0)],
        4.0,
        look.colors.line,
        None,
    );
    let lines = [
        "The Plough points at Polaris;",
        "Cassiopeia lies across from it.",
        "Height of Polaris = your latitude.",
        "Hold a fist at arm's length:",
        "that is ten degrees.",
        "Check it by the log.",
        "Then plot the line.",
    ];
    let count = if sheet.raster == Raster::NARROW { 4 } else { 7 };
    for (k, line) in lines.into_iter().take(count).enumerate() {
        let y = top + 196.0 + 112.0 * k as f32;
        let center = (left + 12.0, y - 16.0);
        sheet.disc(center, 9.0, look.colors.accent);
        sheet.text(look.face, line, (left + 48.0, y), BODY, look.colors.body)?;
    }
    Ok(())
}

/// Stars around the pole, joined by lines.
fn chart(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "The sky at ten o'clock")?;
    let [left, top, ..] = sheet.raster.area();
    let view = View {
        pole: (left + 420.0, top + 520.0),
        degree: 9.2,
        hour: 6.4,
    };
    let colors = look.colors;
    let place = |(x, y): Spot| (x, y);
    let plough = PLOUGH.map(|star| place(view.place(star)));
    let queen = CASSIOPEIA.map(|star| place(view.place(star)));
    sheet.ring(view.pole, 180.0, 3.0, colors.line);
    sheet.line(&[plough[1], view.pole], 4.0, colors.line, Some(14.0));
    for (a, b) in PLOUGH_LINES {
        sheet.line(&[plough[a], plough[b]], 4.0, colors.body, None);
    }
    sheet.line(&queen, 4.0, colors.body, None);
    for (k, &star) in plough.iter().chain(&queen).enumerate() {
        sheet.disc(star, 6.0 + (k % 4) as f32 * 1.5, colors.accent);
    }
    sheet.disc(view.pole, 12.0, colors.accent);
    let label = (view.pole.0 + 30.0, view.pole.1 - 26.0);
    sheet.text(look.face, "Polaris", label, BODY, colors.accent)?;
    let label = (left, top + 940.0);
    sheet.text(look.face, "looking north", label, BODY, colors.body)
}

/// Boxes joined by arrows.
fn boxes(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "From sight to position")?;
    let [left, top, right, _] = sheet.raster.area();
    let step = (right - left) / 3.0;
    let words = ["Sight", "Time", "Line"];
    for (k, word) in words.into_iter().enumerate() {
        let x = left + step * k as f32;
        let wide = step - 130.0;
        let y = top + 200.0;
        let corners = [(x, y), (x + wide, y), (x + wide, y + 150.0), (x, y + 150.0)];
        if k == 1 {
            sheet.shape(&corners, [44, 60, 96]);
        } else {
            sheet.outline(&corners, 5.0, look.colors.line);
        }
        let at = (x + 36.0, y + 96.0);
        sheet.text(look.face, word, at, BODY + 4.0, look.colors.body)?;
        if k < 2 {
            let from = (x + wide + 14.0, y + 75.0);
            let to = (x + step - 14.0, y + 75.0);
            sheet.arrow(from, to, 6.0, look.colors.accent);
        }
    }
    let (x, y) = (left + 60.0, top + 520.0);
    sheet.arrow((x, y + 300.0), (x, y), 5.0, look.colors.line);
    sheet.arrow(
        (x, y + 300.0),
        (x + 520.0, y + 300.0),
        5.0,
        look.colors.line,
    );
    sheet.text(
        look.face,
        "height",
        (x + 40.0, y + 40.0),
        BODY,
        look.colors.body,
    )?;
    sheet.disc((x + 300.0, y + 160.0), 70.0, look.colors.accent);
    sheet.ring((x + 300.0, y + 160.0), 100.0, 4.0, look.colors.line);
    Ok(())
}

/// A ruled table.
fn table(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "Stars to steer by")?;
    let [left, top, ..] = sheet.raster.area();
    let rows = [
        ("Dubhe", "+61"),
        ("Caph", "+59"),
        ("Vega", "+38"),
        ("Altair", "+08"),
        ("Rigel", "-08"),
        ("Sirius", "-16"),
    ];
    let split = if look.raster == Raster::NARROW {
        360.0
    } else {
        480.0
    };
    for (k, (star, height)) in rows.into_iter().enumerate() {
        let y = top + 220.0 + 110.0 * k as f32;
        sheet.text(look.face, star, (left + 20.0, y), BODY, look.colors.body)?;
        let at = (left + split + 30.0, y);
        sheet.text(look.face, height, at, BODY, look.colors.accent)?;
        let y = y + 36.0;
        let end = left + split + 210.0;
        sheet.line(&[(left, y), (end, y)], 3.0, look.colors.line, None);
    }
    let x = left + split;
    sheet.line(
        &[(x, top + 150.0), (x, top + 806.0)],
        3.0,
        look.colors.line,
        None,
    );
    Ok(())
}

/// A curve over a thin grid.
fn plot(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "Tide at the harbour mouth")?;
    let [left, top, right, _] = sheet.raster.area();
    let (x0, y0) = (left + 40.0, top + 150.0);
    let (x1, y1) = (left + 0.52 * (right - left), top + 860.0);
    let thin: [u8; 3] = [100, 112, 126];
    for k in 1..=8 {
        let x = x0 + (x1 - x0) * k as f32 / 8.0;
        sheet.line(&[(x, y0), (x, y1)], 2.5, thin, None);
    }
    for k in 0..6 {
        let y = y0 + (y1 - y0) * k as f32 / 6.0;
        sheet.line(&[(x0, y), (x1, y)], 2.5, thin, None);
    }
    sheet.line(&[(x0, y0), (x0, y1), (x1, y1)], 5.0, look.colors.body, None);
    let (middle, swing) = (f32::midpoint(y0, y1), 0.36 * (y1 - y0));
    let f = |x: f32| middle - swing * ((x - x0) / 118.0).sin();
    sheet.curve((x0, x1), 6.0, look.colors.accent, f);
    sheet.text(
        look.face,
        "hours after low tide",
        (x0, y1 + 66.0),
        BODY,
        look.colors.body,
    )
}

/// A compass rose.
fn rose(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "Boxing the compass")?;
    let [left, top, ..] = sheet.raster.area();
    let middle = (left + 400.0, top + 540.0);
    sheet.ring(middle, 300.0, 8.0, look.colors.line);
    sheet.ring(middle, 268.0, 3.0, look.colors.line);
    let outer = around(middle, 292.0, 72);
    for (k, (from, to)) in around(middle, 276.0, 72).into_iter().zip(outer).enumerate() {
        let wide = if k % 9 == 0 { 6.0 } else { 3.0 };
        sheet.line(&[from, to], wide, look.colors.line, None);
    }
    let tips = around(middle, 240.0, 8);
    let necks = around(middle, 60.0, 16);
    for (k, &tip) in tips.iter().enumerate() {
        let light = if k % 2 == 0 {
            look.colors.title
        } else {
            look.colors.accent
        };
        let shade = light.map(|c| (u16::from(c) * 3 / 5) as u8);
        sheet.shape(&[middle, necks[(2 * k + 15) % 16], tip], light);
        sheet.shape(&[middle, necks[(2 * k + 1) % 16], tip], shade);
    }
    let north = (middle.0 - 22.0, middle.1 - 316.0);
    sheet.text(look.face, "N", north, BODY + 6.0, look.colors.accent)?;
    let south = (middle.0 - 18.0, middle.1 + 372.0);
    sheet.text(look.face, "S", south, BODY + 6.0, look.colors.body)
}

/// A photograph with a caption.
fn photo(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    title(sheet, look, "Night watch")?;
    let [left, top, ..] = sheet.raster.area();
    let place = [left, top + 130.0, left + 720.0, top + 810.0];
    lay(sheet, Photograph::Dusk, place, 34)?;
    let at = (left, top + 880.0);
    sheet.text(look.face, "Last light", at, BODY, look.colors.body)
}

/// Only letters without descenders, tall ones among them, so that a line's box has their height.
pub(crate) const SMALL_LINES: [&str; 3] = [
    "Hold a fist at arm's length",
    "read the dial at midnight",
    "note the time and latitude",
];

/// A face that is not the page's own, for what stands beside its text.
pub(crate) fn other_face(k: usize) -> Face {
    Face::ALL[(k * 7 + 2) % Face::ALL.len()]
}
