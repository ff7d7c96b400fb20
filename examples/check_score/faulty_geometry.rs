//! Content that is too thin, too small, or too far out.

use crate::case::{Case, Planted, Slide};
use crate::lettering::Face;
use crate::look::{ICE, Look, WHITE, YELLOW};
use crate::pages::{Page, SMALL_LINES};
use crate::sheet::{Code, Fault, OUTPUT_HEIGHT, OUTPUT_WIDTH, Raster, Sheet, around};
use nightglass::measure::finding::{Kind, Severity};
use nightglass::pixel::guides::Guide;

/// All of them.
pub(crate) fn faulty() -> Vec<Case> {
    let mut cases = hairlines();
    cases.extend(small_text());
    cases.extend(outside());
    cases
}

/// Strokes of one to one and a half output pixels.
fn hairlines() -> Vec<Case> {
    let mut cases = Vec::new();
    let colors: [Code; 3] = [WHITE, YELLOW, ICE];
    for manner in 0..8 {
        for (k, code) in colors.into_iter().enumerate() {
            let page = Page::ALL[(manner + 3 * k) % Page::ALL.len()];
            let look = Look::numbered(manner * 3 + k * 5);
            let name = format!("hairline-{manner}-{}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || {
                let mut sheet = page.draw(&look)?;
                // A line of the file's own pixel where that is larger than one of the output.
                let one = (1.0 / look.raster.scale()).max(1.0);
                let place = sheet.planted(|sheet| {
                    thin(sheet, manner, one, code);
                    Ok(())
                })?;
                let planted = Planted::new(Kind::Hairline, Severity::Warn, place);
                Ok(Slide::clean(sheet).with(planted.measuring(f64::from(one), 0.6)))
            }));
        }
    }
    cases
}

/// Thin things in the spare part of a page.
fn thin(sheet: &mut Sheet, manner: usize, wide: f32, code: Code) {
    let [left, top, right, _] = sheet.raster.spare();
    let at = |x: f32, y: f32| (left + x, top + y);
    // Half a pixel aside a straight line fills whole pixels.
    match manner {
        0 => sheet.line(&[at(0.5, 100.5), (right, top + 100.5)], wide, code, None),
        1 => sheet.line(&[at(200.5, 20.0), at(200.5, 380.0)], wide, code, None),
        2 => sheet.line(&[at(20.0, 40.0), at(380.0, 330.0)], 1.2 * wide, code, None),
        3 => sheet.ring(at(200.0, 190.0), 150.0, 1.2 * wide, code),
        4 => {
            let wave = |x: f32| top + 190.0 + 120.0 * ((x - left) / 70.0).sin();
            sheet.curve((left, right), 1.3 * wide, code, wave);
        }
        5 => {
            for k in 0..7 {
                let d = 50.0 * k as f32 + 0.5;
                sheet.line(&[at(d, 0.5), at(d, 300.5)], wide, code, None);
                sheet.line(&[at(0.5, d), at(300.5, d)], wide, code, None);
            }
        }
        6 => sheet.outline(&around(at(200.0, 190.0), 160.0, 4), 1.4 * wide, code),
        _ => sheet.arrow(at(10.0, 200.0), at(400.0, 120.0), 1.5 * wide, code),
    }
}

/// Lines of text under three and under two percent of the output's height.
fn small_text() -> Vec<Case> {
    let mut cases = Vec::new();
    let heights = [
        ("2.8", 30.2, Severity::Warn),
        ("2.5", 27.0, Severity::Warn),
        ("2.2", 23.8, Severity::Warn),
        ("1.8", 19.4, Severity::Fail),
        ("1.5", 16.2, Severity::Fail),
        ("1.1", 12.0, Severity::Fail),
    ];
    for (h, (percent, tall, severity)) in heights.into_iter().enumerate() {
        for k in 0..6 {
            let look = Look::numbered(h * 2 + k * 5);
            let page = Page::ALL[(h + k) % Page::ALL.len()];
            let manner = k % 3;
            let name = format!(
                "small-text-{percent}-{manner}-{}-{}",
                page.name(),
                look.label()
            );
            cases.push(Case::new(name, move || {
                let mut sheet = page.draw(&look)?;
                let (place, one) = small(&mut sheet, &look, manner, tall)?;
                let percent = 100.0 * f64::from(one) / f64::from(OUTPUT_HEIGHT);
                let planted = Planted::new(Kind::SmallText, severity, place);
                // Small letters have thin strokes.
                Ok(Slide::clean(sheet)
                    .with(planted.measuring(percent, 0.2))
                    .allowing(&[Kind::Hairline]))
            }));
        }
    }
    cases
}

/// Small writing; its box and the height of one line's tallest letters.
fn small(
    sheet: &mut Sheet,
    look: &Look,
    manner: usize,
    tall: f32,
) -> Result<(nightglass::measure::raster::pixel_box::PixelBox, f32), Fault> {
    let [left, top, right, _] = sheet.raster.spare();
    let code = look.colors.body;
    let face = match look.face {
        // Not to be slanted or bold beyond what the size can carry.
        Face::Paged("Times-BoldItalic") if tall < 20.0 => Face::Paged("Times-Roman"),
        face => face,
    };
    let mut first = None;
    let place = sheet.planted(|sheet| {
        match manner {
            // A paragraph.
            0 => {
                for (k, line) in SMALL_LINES.into_iter().enumerate() {
                    let y = top + 60.0 + 1.9 * tall * k as f32;
                    let drawn =
                        sheet.planted(|sheet| sheet.text(face, line, (left, y), tall, code))?;
                    first.get_or_insert(drawn.height as f32);
                }
            }
            // A line alone.
            1 => {
                let line = "drawn for the latitude of 54";
                let drawn = sheet
                    .planted(|sheet| sheet.text(face, line, (left, top + 200.0), tall, code))?;
                first = Some(drawn.height as f32);
            }
            // Numbers under an axis.
            _ => {
                let y = top + 180.0;
                sheet.line(&[(left, y), (right, y)], 4.0, look.colors.line, None);
                for k in 0..5 {
                    let x = left + (right - left - 70.0) * k as f32 / 4.0;
                    sheet.line(&[(x + 20.0, y), (x + 20.0, y + 14.0)], 4.0, code, None);
                    let number = format!("{}", 120 + 30 * k);
                    let at = (x, y + 32.0 + tall);
                    let drawn = sheet.planted(|sheet| sheet.text(face, &number, at, tall, code))?;
                    first.get_or_insert(drawn.height as f32);
                }
            }
        }
        Ok(())
    })?;
    Ok((place, first.unwrap_or(tall)))
}

/// Content beyond graphics safe, in the captions' area, or cut by the edge.
fn outside() -> Vec<Case> {
    let mut cases = Vec::new();
    for manner in 0..8 {
        for k in 0..2 {
            let look = Look {
                raster: if manner % 3 == 2 && k == 1 {
                    Raster::LARGE
                } else {
                    Raster::HD
                },
                ..Look::numbered(manner * 3 + k * 5)
            };
            let page = Page::ALL[(manner + 2 * k) % Page::ALL.len()];
            let name = format!("outside-safe-{manner}-{}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || {
                let mut sheet = page.draw(&look)?;
                let severity = if manner < 4 {
                    Severity::Info
                } else {
                    Severity::Fail
                };
                let place = sheet.planted(|sheet| far_out(sheet, &look, manner))?;
                Ok(Slide::clean(sheet).with(Planted::new(Kind::OutsideSafe, severity, place)))
            }));
        }
    }
    for k in 0..3 {
        let look = Look {
            raster: Raster::HD,
            ..Look::numbered(k * 4 + 1)
        };
        let name = format!("outside-safe-captions-{k}-{}", look.label());
        cases.push(Case::new(name, move || {
            let mut sheet = look.sheet()?;
            sheet.text(
                look.face,
                "Anchor watch",
                (140.0, 240.0),
                64.0,
                look.colors.title,
            )?;
            let place = sheet.planted(|sheet| {
                let at = (300.0 + 200.0 * k as f32, 1004.0);
                sheet.text(look.face, "low water at 0340", at, 44.0, look.colors.body)
            })?;
            let mut slide = Slide::clean(sheet);
            slide.reserved = vec![Guide::Captions];
            Ok(slide.with(Planted::new(Kind::OutsideSafe, Severity::Info, place)))
        }));
    }
    cases
}

/// Things near an edge (the first four manners) or cut by it.
fn far_out(sheet: &mut Sheet, look: &Look, manner: usize) -> Result<(), Fault> {
    let code = look.colors.accent;
    match manner {
        0 => sheet.text(look.face, "Ebb", (1500.0, 1066.0), 40.0, code),
        1 => {
            sheet.disc((1884.0, 760.0), 22.0, code);
            Ok(())
        }
        2 => sheet.text(look.face, "Page 12", (1300.0, 1064.0), 36.0, code),
        3 => {
            sheet.line(&[(1300.0, 1052.0), (1880.0, 1052.0)], 8.0, code, None);
            Ok(())
        }
        4 => sheet.text(look.face, "Northwards", (1640.0, 800.0), 70.0, code),
        5 => {
            sheet.disc((OUTPUT_WIDTH - 30.0, 800.0), 90.0, code);
            Ok(())
        }
        6 => sheet.text(look.face, "Flood tide", (1300.0, 1096.0), 60.0, code),
        _ => {
            sheet.arrow((1300.0, 900.0), (1990.0, 760.0), 10.0, code);
            Ok(())
        }
    }
}
