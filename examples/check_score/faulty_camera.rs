//! What goes wrong only over a camera: contrast, dark edges, and losses where someone stands.

use crate::cameras::{HEAD, Room, room};
use crate::case::{Case, Planted, Slide, contrast};
use crate::look::{COOL, Ground, Look, SILVER, WHITE, YELLOW};
use crate::noise::{mix, ramp};
use crate::pages::Page;
use crate::photographs::board;
use crate::sheet::{Code, Fault, Raster, Sheet};
use image::RgbImage;
use nightglass::measure::finding::{Kind, Severity};

/// All of them.
pub(crate) fn faulty() -> Vec<Case> {
    let mut cases = low_contrast();
    cases.extend(dark_edges());
    cases.extend(lost_over_someone());
    cases
}

/// An HD look on black.
fn look(k: usize) -> Look {
    Look {
        raster: Raster::HD,
        colors: COOL,
        ..Look::numbered(k)
    }
    .on(Ground::Flat([0, 0, 0]))
}

/// Light writing over a light shirt, wall or face.
fn low_contrast() -> Vec<Case> {
    let mut cases = Vec::new();
    let rows: [(Room, &str, Code); 6] = [
        (Room::WhiteShirt, "white", WHITE),
        (Room::WhiteShirt, "yellow", YELLOW),
        (Room::WhiteShirt, "silver", SILVER),
        (Room::BlueShirt, "blue-grey", [150, 170, 200]),
        (Room::GreyWall, "white", WHITE),
        (Room::GreyWall, "mint", [130, 240, 170]),
    ];
    for (k, (place, name, code)) in rows.into_iter().enumerate() {
        for figure in [false, true] {
            let ratio = contrast(code, place.cloth());
            // A figure is judged against 3, text against 4.5.
            if figure && ratio > 2.7 {
                continue;
            }
            let look = look(k * 3);
            let sort = if figure { "figure" } else { "text" };
            let name = format!("contrast-{sort}-{name}-over-{place:?}-{k}").to_lowercase();
            cases.push(Case::new(name, move || {
                let mut sheet = look.sheet()?;
                sheet.text(look.face, "Leading lights", (140.0, 200.0), 64.0, WHITE)?;
                let [left, top, ..] = place.filled();
                let box_found = sheet.planted(|sheet| {
                    if figure {
                        sheet.ring((left + 200.0, top + 190.0), 120.0, 12.0, code);
                        sheet.arrow(
                            (left + 40.0, top + 340.0),
                            (left + 380.0, top + 30.0),
                            10.0,
                            code,
                        );
                        return Ok(());
                    }
                    sheet.text(
                        look.face,
                        "steer 042",
                        (left + 24.0, top + 160.0),
                        54.0,
                        code,
                    )
                })?;
                let planted = Planted::new(Kind::Contrast, Severity::Warn, box_found);
                let mut slide = Slide::clean(sheet)
                    .with(planted.measuring(ratio, 0.35))
                    .over(room(place));
                if place == Room::GreyWall {
                    // The title crosses the wall as well.
                    slide.allowed.push(Kind::Contrast);
                }
                Ok(slide)
            }));
        }
    }
    for (k, code) in [WHITE, YELLOW].into_iter().enumerate() {
        let look = look(k * 4 + 1);
        cases.push(Case::new(
            format!("contrast-face-of-board-{k}"),
            move || {
                let mut sheet = look.sheet()?;
                let found = sheet
                    .planted(|sheet| sheet.text(look.face, "east", (1330.0, 480.0), 60.0, code))?;
                let planted = Planted::new(Kind::Contrast, Severity::Warn, found);
                Ok(Slide::clean(sheet).with(planted).over(board()?.clone()))
            },
        ));
    }
    cases
}

/// Lays a soft disc of light over the slide: full inside `radius`, black after `soft` more.
fn glow(sheet: &mut Sheet, (cx, cy): (f32, f32), (radius, soft): (f32, f32), code: Code) {
    sheet.repaint(|was, (x, y), _| {
        let t = ((radius + soft - (x - cx).hypot(y - cy)) / soft).clamp(0.0, 1.0);
        std::array::from_fn(|c| {
            let light = mix(0.0, f32::from(code[c]), t).round() as u8;
            was[c].max(light)
        })
    });
}

/// Soft shapes whose rims come out darker than the shirt behind them.
fn dark_edges() -> Vec<Case> {
    let mut cases = Vec::new();
    let rooms = [Room::WhiteShirt, Room::GreyWall, Room::BlueShirt];
    for (k, place) in rooms.into_iter().enumerate() {
        for (j, soft) in [10.0, 24.0, 60.0].into_iter().enumerate() {
            let look = look(k * 2 + j);
            let name = format!("dark-edge-{soft}-{place:?}").to_lowercase();
            cases.push(Case::new(name, move || {
                let mut sheet = look.sheet()?;
                sheet.text(look.face, "Loom of the light", (140.0, 200.0), 64.0, WHITE)?;
                let [left, top, right, bottom] = place.filled();
                let middle = (f32::midpoint(left, right), f32::midpoint(top, bottom));
                let found = sheet.planted(|sheet| {
                    glow(sheet, middle, (70.0, soft), YELLOW);
                    Ok(())
                })?;
                // What lies in the soft rim is half-keyed, and the light barely differs from the shirt.
                Ok(Slide::clean(sheet)
                    .with(Planted::new(Kind::DarkEdge, Severity::Warn, found))
                    .allowing(&[Kind::HalfKeyed, Kind::KeyedOut, Kind::Contrast])
                    .over(room(place)))
            }));
        }
    }
    for k in 0..3 {
        let look = look(k * 3 + 2);
        cases.push(Case::new(format!("dark-edge-bar-{k}"), move || {
            let mut sheet = look.sheet()?;
            let (x0, x1, y) = (1440.0, 1780.0, 720.0 + 70.0 * k as f32);
            let soft = 8.0 + 8.0 * k as f32;
            let found = sheet.planted(|sheet| {
                sheet.repaint(|was, (x, row), _| {
                    if x < x0 || x > x1 {
                        return was;
                    }
                    let t = ramp(30.0 + soft, 30.0, (row - y).abs());
                    was.map(|c| c.max((255.0 * t).round() as u8))
                });
                Ok(())
            })?;
            Ok(Slide::clean(sheet)
                .with(Planted::new(Kind::DarkEdge, Severity::Warn, found))
                .allowing(&[Kind::HalfKeyed, Kind::KeyedOut, Kind::Contrast])
                .over(room(Room::WhiteShirt)))
        }));
    }
    cases
}

/// Content that the key loses right over the lecturer, who shows through.
fn lost_over_someone() -> Vec<Case> {
    let mut cases = Vec::new();
    let rows: [(Kind, &str, Code); 4] = [
        (Kind::KeyedOut, "dark-red", [70, 0, 0]),
        (Kind::KeyedOut, "grey-14", [14, 14, 14]),
        (Kind::HalfKeyed, "grey-22", [22, 22, 22]),
        (Kind::HalfKeyed, "blue", [0, 0, 255]),
    ];
    for (k, (kind, name, code)) in rows.into_iter().enumerate() {
        for (j, place) in [Room::WhiteShirt, Room::BlueShirt].into_iter().enumerate() {
            let look = look(k * 3 + j);
            let name = format!("{}-over-{place:?}-{name}", kind.name()).to_lowercase();
            cases.push(Case::new(name, move || {
                let mut sheet = Page::ALL[k].draw(&look)?;
                let [left, top, ..] = place.filled();
                let found = sheet.planted(|sheet| {
                    sheet.disc((left + 190.0, top + 190.0), 130.0, code);
                    Ok(())
                })?;
                Ok(Slide::clean(sheet)
                    .with(Planted::new(kind, Severity::Fail, found))
                    .allowing(&[Kind::Contrast])
                    .over(room(place)))
            }));
        }
    }
    cases.push(hole_over("hole-over-face", HEAD, || {
        Ok(room(Room::WhiteShirt))
    }));
    cases.push(hole_over("hole-over-writing", (1230.0, 790.0), || {
        Ok(room(Room::BlueShirt))
    }));
    cases.push(hole_over("hole-over-board", (1400.0, 520.0), || {
        Ok(board()?.clone())
    }));
    cases
}

/// A light disc with a dark pupil right over something.
fn hole_over(
    name: &str,
    at: (f32, f32),
    camera: impl Fn() -> Result<RgbImage, Fault> + Send + Sync + 'static,
) -> Case {
    Case::new(name.to_owned(), move || {
        let look = look(5);
        let mut sheet = look.sheet()?;
        sheet.disc(at, 110.0, [240, 236, 210]);
        let found = sheet.planted(|sheet| {
            sheet.disc(at, 34.0, [4, 4, 6]);
            Ok(())
        })?;
        Ok(Slide::clean(sheet)
            .with(Planted::new(Kind::Hole, Severity::Fail, found))
            .allowing(&[Kind::Contrast])
            .over(camera()?))
    })
}
