//! Slides on which nothing is wrong, the hard ones among them.

use crate::cameras::{Room, room};
use crate::case::{Case, Slide};
use crate::look::{COOL, Ground, ICE, Look, MINT, QUIET, SILVER, WARM, WHITE, YELLOW};
use crate::noise::mix;
use crate::pages::Page;
use crate::photographs::{Photograph, board, lay};
use crate::sheet::{Code, Fault, Raster, Sheet, around};
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, BlendSpace, Key};

/// A way to draw over an empty slide.
type Drawing = fn(&mut Sheet, &Look) -> Result<(), Fault>;

/// All clean slides.
pub(crate) fn clean() -> Vec<Case> {
    let mut cases = Vec::new();
    for (p, page) in Page::ALL.into_iter().enumerate() {
        for k in 0..9 {
            let look = Look::numbered(p * 5 + k * 4 + k / 3);
            let name = format!("clean-{}-{k}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || Ok(Slide::clean(page.draw(&look)?))));
        }
    }
    let drawings: [(&str, Drawing); 14] = [
        ("dots", |sheet, look| {
            dots(sheet, look);
            Ok(())
        }),
        ("ruler", ruler),
        ("rings", |sheet, look| {
            rings(sheet, look);
            Ok(())
        }),
        ("counters", counters),
        ("boats", |sheet, look| {
            boats(sheet, look);
            Ok(())
        }),
        ("plates", plates),
        ("light-plate", light_plate),
        ("gradient-bars", gradient_bars),
        ("portrait", portrait),
        ("galaxies", galaxies),
        ("sail", sail),
        ("quiet", quiet),
        ("curves", |sheet, look| {
            curves(sheet, look);
            Ok(())
        }),
        ("low-but-solid", low_but_solid),
    ];
    for (d, (name, drawing)) in drawings.into_iter().enumerate() {
        for k in 0..4 {
            let look = Look::numbered(d * 3 + k * 7 + 1);
            let name = format!("clean-{name}-{k}-{}", look.label());
            cases.push(Case::new(name, move || {
                let mut sheet = look.sheet()?;
                drawing(&mut sheet, &look)?;
                Ok(Slide::clean(sheet))
            }));
        }
    }
    cases.extend(other_keys());
    cases.extend(over_cameras());
    cases
}

/// Pages under keys that are not the default, on backgrounds that these drop.
fn other_keys() -> Vec<Case> {
    let mut cases = Vec::new();
    let grounds = [
        Ground::Flat([22, 22, 22]),
        Ground::Dither(20),
        Ground::Fall([24, 24, 26], [4, 4, 6]),
        Ground::Cloud(17.0, 6.0),
    ];
    for (k, ground) in grounds.into_iter().enumerate() {
        let page = Page::ALL[k];
        let look = Look {
            colors: if k % 2 == 0 { COOL } else { WARM },
            ..Look::numbered(k * 5 + 2).on(ground)
        };
        let name = format!("clean-key-12-{}-{k}", page.name());
        cases.push(Case::new(name, move || {
            let mut key = Key::default().with_threshold(12.0)?.with_softness(8.0)?;
            if k % 2 == 0 {
                key.ramp = Ramp::Smooth;
            }
            Ok(Slide::clean(page.draw(&look)?).under(key))
        }));
    }
    cases
}

/// Pages over camera frames whose bright places they leave alone.
fn over_cameras() -> Vec<Case> {
    let mut cases = Vec::new();
    let pages = [Page::Text, Page::Chart, Page::Table, Page::Plot, Page::Rose];
    for (k, page) in pages.into_iter().enumerate() {
        // Premultiplied, all that is not black adds light, however dark.
        let is_premultiplied = k == 4;
        let look = Look::numbered(k * 3);
        let look = Look {
            raster: Raster::HD,
            colors: [COOL, WARM][k % 2],
            ground: if is_premultiplied {
                Ground::Flat([0; 3])
            } else {
                look.ground
            },
            ..look
        };
        let rooms = [Room::WhiteShirt, Room::BlueShirt, Room::GreyWall];
        let camera = rooms[k % 2];
        cases.push(Case::new(
            format!("clean-over-{}", page.name()),
            move || {
                let mut key = Key::default();
                if is_premultiplied {
                    key.alpha = Alpha::Premultiplied;
                }
                if k == 3 {
                    key.blend_space = BlendSpace::Linear;
                }
                Ok(Slide::clean(page.draw(&look)?)
                    .over(room(camera))
                    .under(key))
            },
        ));
    }
    cases.push(Case::new("clean-over-board-plate".to_owned(), || {
        let look = Look::numbered(0);
        let mut sheet = look.sheet()?;
        sheet.plate([110.0, 800.0, 1000.0, 1000.0], [44, 60, 92]);
        sheet.text(look.face, "Height of tide", (150.0, 930.0), 56.0, WHITE)?;
        Ok(Slide::clean(sheet).over(board()?.clone()))
    }));
    cases.push(Case::new("clean-over-shirt-plate".to_owned(), || {
        let look = Look::numbered(1);
        let mut sheet = look.sheet()?;
        sheet.plate([1180.0, 760.0, 1800.0, 960.0], [36, 48, 74]);
        sheet.text(look.face, "Polaris 52", (1230.0, 890.0), 60.0, YELLOW)?;
        Ok(Slide::clean(sheet).over(room(Room::WhiteShirt)))
    }));
    cases
}

/// Rows of dots and dashes, which are no lines of text.
fn dots(sheet: &mut Sheet, look: &Look) {
    let [left, top, right, bottom] = sheet.raster.area();
    for k in 0..40 {
        let x = mix(left + 10.0, right - 10.0, k as f32 / 39.0);
        sheet.disc(
            (x, top + 60.0),
            5.0 + (k % 3) as f32 * 2.0,
            look.colors.accent,
        );
        let wave = 60.0 * (k as f32 * 0.4).sin();
        sheet.disc((x, top + 300.0 + wave), 9.0, look.colors.body);
    }
    for (row, dash) in [8.0, 14.0, 24.0].into_iter().enumerate() {
        let y = top + 470.0 + 60.0 * row as f32;
        sheet.line(&[(left, y), (right, y)], 4.0, look.colors.line, Some(dash));
    }
    for k in 0..60 {
        let place = |seed: i32| crate::noise::unit(k, seed, 21);
        let x = mix(left + 12.0, right - 12.0, place(1));
        let y = mix(top + 680.0, bottom - 12.0, place(2));
        sheet.disc((x, y), 3.0 + 7.0 * place(3), WHITE);
    }
}

/// Scales with short ticks.
fn ruler(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    for (row, (step, tall)) in [(12.0, 14.0), (20.0, 20.0), (36.0, 28.0)]
        .into_iter()
        .enumerate()
    {
        let y = top + 150.0 + 240.0 * row as f32;
        sheet.line(&[(left, y), (right, y)], 4.0, look.colors.line, None);
        let count = ((right - left) / step) as usize;
        for k in 0..=count {
            let x = left + step * k as f32;
            let long = if k % 5 == 0 { 2.0 * tall } else { tall };
            sheet.line(&[(x, y), (x, y - long)], 3.0, look.colors.line, None);
        }
    }
    let at = (left, top + 860.0);
    sheet.text(
        look.face,
        "one division is a degree",
        at,
        44.0,
        look.colors.body,
    )
}

/// Rings, outlined shapes and a thick ring whose middle is wider than its body.
fn rings(sheet: &mut Sheet, look: &Look) {
    let [left, top, ..] = sheet.raster.area();
    let at = |x: f32, y: f32| (left + x, top + y);
    sheet.ring(at(200.0, 220.0), 150.0, 40.0, look.colors.accent);
    sheet.ring(at(620.0, 220.0), 160.0, 8.0, look.colors.body);
    sheet.ring(at(620.0, 220.0), 110.0, 8.0, look.colors.line);
    sheet.ring(at(1040.0, 220.0), 150.0, 90.0, look.colors.line);
    let triangle = [at(60.0, 880.0), at(340.0, 880.0), at(200.0, 560.0)];
    sheet.outline(&triangle, 10.0, look.colors.accent);
    sheet.outline(&around(at(620.0, 720.0), 170.0, 5), 6.0, look.colors.body);
    let frame = [
        at(880.0, 560.0),
        at(1240.0, 560.0),
        at(1240.0, 880.0),
        at(880.0, 880.0),
    ];
    sheet.outline(&frame, 24.0, look.colors.accent);
    sheet.disc(at(1060.0, 720.0), 90.0, look.colors.body);
}

/// Large letters with counters.
fn counters(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, ..] = sheet.raster.area();
    let words = [("ABDOPQR", 120.0), ("bdegopq 0689", 90.0), ("80", 210.0)];
    for ((word, tall), y) in words.into_iter().zip([200.0, 430.0, 820.0]) {
        sheet.text(look.face, word, (left, top + y), tall, look.colors.title)?;
    }
    Ok(())
}

/// Sailing boats, filled and outlined.
fn boats(sheet: &mut Sheet, look: &Look) {
    let [left, top, ..] = sheet.raster.area();
    for k in 0..3 {
        let (x, y) = (left + 40.0 + 430.0 * k as f32, top + 700.0);
        let hull = [
            (x, y),
            (x + 330.0, y),
            (x + 270.0, y + 90.0),
            (x + 60.0, y + 90.0),
        ];
        let main = [
            (x + 150.0, y - 24.0),
            (x + 150.0, y - 460.0),
            (x + 10.0, y - 24.0),
        ];
        let jib = [
            (x + 172.0, y - 24.0),
            (x + 172.0, y - 400.0),
            (x + 310.0, y - 24.0),
        ];
        if k == 1 {
            sheet.outline(&hull, 6.0, look.colors.line);
            sheet.outline(&main, 4.0, look.colors.body);
            sheet.outline(&jib, 4.0, look.colors.body);
        } else {
            sheet.shape(&hull, look.colors.line);
            sheet.shape(&main, look.colors.body);
            sheet.shape(&jib, look.colors.accent);
        }
        let mast = [(x + 161.0, y), (x + 161.0, y - 500.0)];
        sheet.line(&mast, 6.0, look.colors.title, None);
    }
    let [_, _, right, _] = sheet.raster.area();
    let wave = |x: f32| top + 830.0 + 14.0 * (x / 60.0).sin();
    sheet.curve((left, right), 6.0, ICE, wave);
}

/// Dark plates that stay solid, with light text on them.
fn plates(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    let colors: [Code; 3] = [[28, 40, 66], [52, 30, 44], [36, 36, 40]];
    let words = ["Before casting off", "On watch", "At anchor"];
    for (k, (code, word)) in colors.into_iter().zip(words).enumerate() {
        let y = top + 40.0 + 290.0 * k as f32;
        sheet.plate([left, y, right - 320.0 * k as f32, y + 200.0], code);
        let at = (left + 60.0, y + 124.0);
        sheet.text(look.face, word, at, 52.0, look.colors.title)?;
    }
    Ok(())
}

/// A light plate whose text is dark but solid.
fn light_plate(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    sheet.plate([left, top + 80.0, right, top + 460.0], [226, 230, 222]);
    let at = (left + 60.0, top + 240.0);
    sheet.text(look.face, "Lights at night", at, 64.0, [42, 62, 118])?;
    let at = (left + 60.0, top + 380.0);
    sheet.text(look.face, "red to port", at, 52.0, [190, 40, 36])?;
    let at = (left, top + 640.0);
    sheet.text(look.face, "green to starboard", at, 52.0, MINT)
}

/// Bars that run from one solid colour into another.
fn gradient_bars(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    let bars: [(Code, Code); 3] = [
        ([40, 52, 90], [200, 224, 255]),
        ([90, 30, 26], [255, 190, 90]),
        ([34, 34, 34], [240, 240, 240]),
    ];
    for (k, (from, to)) in bars.into_iter().enumerate() {
        let (y0, y1) = (
            top + 60.0 + 260.0 * k as f32,
            top + 220.0 + 260.0 * k as f32,
        );
        sheet.repaint(|was, (x, y), _| {
            if x < left || x >= right || y < y0 || y >= y1 {
                return was;
            }
            let t = (x - left) / (right - left);
            std::array::from_fn(|c| mix(f32::from(from[c]), f32::from(to[c]), t).round() as u8)
        });
    }
    let at = (left, top + 900.0);
    sheet.text(
        look.face,
        "from dusk to daylight",
        at,
        46.0,
        look.colors.body,
    )
}

fn portrait(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, ..] = sheet.raster.area();
    let place = [left, top + 40.0, left + 760.0, top + 800.0];
    lay(sheet, Photograph::Portrait, place, 36)?;
    let at = (left, top + 880.0);
    sheet.text(
        look.face,
        "Dressed for the night",
        at,
        44.0,
        look.colors.body,
    )
}

fn galaxies(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, ..] = sheet.raster.area();
    let place = [left, top + 20.0, left + 920.0, top + 820.0];
    lay(sheet, Photograph::Galaxies, place, 38)?;
    let at = (left, top + 900.0);
    sheet.text(
        look.face,
        "Far behind the stars",
        at,
        44.0,
        look.colors.title,
    )
}

fn sail(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    let middle = f32::midpoint(left, right);
    let place = [left, top + 60.0, middle - 20.0, top + 700.0];
    lay(sheet, Photograph::Sail, place, 40)?;
    let place = [middle + 20.0, top + 60.0, right, top + 700.0];
    lay(sheet, Photograph::Dusk, place, 30)?;
    let at = (left, top + 820.0);
    sheet.text(
        look.face,
        "Sail trim after dark",
        at,
        50.0,
        look.colors.accent,
    )
}

/// Subdued text that is still solid.
fn quiet(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, ..] = sheet.raster.area();
    let codes: [Code; 5] = [
        [60, 60, 64],
        [84, 40, 36],
        [30, 70, 60],
        [70, 60, 140],
        QUIET.body,
    ];
    for (k, code) in codes.into_iter().enumerate() {
        let y = top + 130.0 + 180.0 * k as f32;
        sheet.text(look.face, "Moonrise after midnight", (left, y), 54.0, code)?;
    }
    Ok(())
}

/// Many curves that cross.
fn curves(sheet: &mut Sheet, look: &Look) {
    let [left, top, right, _] = sheet.raster.area();
    for k in 0..6 {
        let lift = 70.0 * k as f32;
        let wave = |x: f32| top + 320.0 + lift + (180.0 - lift * 0.2) * (x / (90.0 + lift)).sin();
        let code = [WHITE, YELLOW, ICE, MINT, SILVER, look.colors.accent][k];
        sheet.curve((left, right), 3.0 + k as f32, code, wave);
    }
    for k in 0..5 {
        let radius = 60.0 + 50.0 * k as f32;
        sheet.ring((left + 330.0, top + 600.0), radius, 3.0, look.colors.line);
    }
}

/// Shapes and lines barely over the key's ramp.
fn low_but_solid(sheet: &mut Sheet, look: &Look) -> Result<(), Fault> {
    let [left, top, right, _] = sheet.raster.area();
    sheet.plate([left, top + 40.0, left + 500.0, top + 340.0], [29, 29, 29]);
    sheet.disc((left + 760.0, top + 190.0), 150.0, [20, 32, 60]);
    sheet.line(
        &[(left, top + 460.0), (right, top + 460.0)],
        8.0,
        [48, 28, 20],
        None,
    );
    sheet.shape(
        &around((left + 1100.0, top + 190.0), 150.0, 6),
        [30, 28, 38],
    );
    let at = (left, top + 640.0);
    sheet.text(
        look.face,
        "Red light saves your night",
        at,
        60.0,
        [150, 0, 0],
    )?;
    let at = (left, top + 820.0);
    sheet.text(look.face, "blue fades first", at, 70.0, [60, 60, 255])
}
