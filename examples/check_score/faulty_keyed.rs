//! Content that the key drops whole, in part, or in a patch inside something solid.

use crate::case::{Case, Planted, Slide, contrast, losses, luma_percent};
use crate::look::{Ground, Look, WHITE};
use crate::pages::Page;
use crate::pages::other_face;
use crate::photographs::{Photograph, lay, shade};
use crate::sheet::{Code, Fault, Sheet, around, box_of};
use nightglass::measure::finding::{Kind, Severity};
use nightglass::pixel::settings::Key;

/// How far compression moves the luma of an area of one colour, percent of white. Source: measured, 0.4 for plum.
const COMPRESSED_PERCENT: f64 = 0.5;

/// All of them.
pub(crate) fn faulty() -> Vec<Case> {
    let mut cases = Vec::new();
    // Luma under 6 percent, the default threshold.
    let dropped: [(&str, Code); 8] = [
        ("navy-112", [0, 0, 112]),
        ("navy-160", [0, 0, 160]),
        ("blue-204", [0, 0, 204]),
        ("dark-red", [70, 0, 0]),
        ("plum", [50, 0, 60]),
        ("brown", [38, 8, 4]),
        ("grey-14", [14, 14, 14]),
        ("deep-sea", [0, 12, 90]),
    ];
    for (c, (name, code)) in dropped.into_iter().enumerate() {
        lost(&mut cases, Kind::KeyedOut, name, code, c, 3);
    }
    // Luma between 6 and 10 percent, the default ramp.
    let ramp: [(&str, Code); 9] = [
        ("blue-255", [0, 0, 255]),
        ("blue-230", [0, 0, 230]),
        ("red-90", [90, 0, 0]),
        ("grey-20", [20, 20, 20]),
        ("grey-24", [24, 24, 24]),
        ("green-32", [0, 32, 0]),
        ("violet", [50, 8, 70]),
        ("umber", [46, 16, 6]),
        ("steel", [10, 22, 60]),
    ];
    for (c, (name, code)) in ramp.into_iter().enumerate() {
        lost(&mut cases, Kind::HalfKeyed, name, code, c + 3, 3);
    }
    other_keys(&mut cases);
    cases.extend(holes());
    cases
}

/// What stands in the spare part of a page in a colour that does not survive.
fn draw(sheet: &mut Sheet, manner: usize, code: Code) -> Result<(), Fault> {
    let [left, top, right, bottom] = sheet.raster.spare();
    let at = |x: f32, y: f32| (left + x, top + y);
    match manner {
        0 => sheet.text(other_face(0), "Beacon", at(10.0, 120.0), 72.0, code),
        1 => sheet.text(other_face(2), "42 miles", at(10.0, 200.0), 46.0, code),
        2 => {
            let wave = |x: f32| top + 160.0 + 90.0 * ((x - left) / 80.0).sin();
            sheet.curve((left + 10.0, right - 10.0), 7.0, code, wave);
            Ok(())
        }
        3 => {
            sheet.disc(at(200.0, 190.0), 120.0, code);
            Ok(())
        }
        4 => {
            sheet.outline(&around(at(200.0, 190.0), 150.0, 6), 10.0, code);
            Ok(())
        }
        5 => {
            sheet.arrow(at(20.0, 260.0), at(360.0, 60.0), 9.0, code);
            Ok(())
        }
        6 => {
            let corner = [
                at(20.0, bottom - top - 20.0),
                at(20.0, 40.0),
                at(330.0, 380.0),
            ];
            sheet.shape(&corner, code);
            Ok(())
        }
        _ => {
            for k in 0..4 {
                let y = top + 60.0 + 60.0 * k as f32;
                sheet.line(&[(left, y), (left + 420.0, y)], 4.0, code, None);
            }
            Ok(())
        }
    }
}

/// Slides with content of one colour that the default key loses, drawn in several manners.
fn lost(cases: &mut Vec<Case>, kind: Kind, name: &str, code: Code, seed: usize, count: usize) {
    for k in 0..count {
        let page = Page::ALL[(seed + 2 * k) % Page::ALL.len()];
        let ground: Code = if k == 1 { [6, 7, 8] } else { [0, 0, 0] };
        let look = Look::numbered(seed * 3 + k * 5).on(Ground::Flat(ground));
        let manner = (seed + k * 3) % 8;
        let name = format!(
            "{}-{name}-{manner}-{}-{}",
            kind.name(),
            page.name(),
            look.label()
        );
        cases.push(Case::new(name, move || {
            let mut sheet = page.draw(&look)?;
            let place = sheet.planted(|sheet| draw(sheet, manner, code))?;
            let is_at_threshold = (luma_percent(code) - Key::default().threshold_percent()).abs()
                < COMPRESSED_PERCENT;
            let or_compressed = match kind {
                Kind::KeyedOut if is_at_threshold => vec![Kind::HalfKeyed],
                Kind::HalfKeyed if is_at_threshold => vec![Kind::KeyedOut],
                _ => Vec::new(),
            };
            Ok(Slide::clean(sheet).with(Planted {
                kind,
                or_kinds: Vec::new(),
                or_compressed,
                severities: losses(code, ground),
                place: Some(place),
                value: Some((contrast(code, ground), 0.15)),
            }))
        }));
    }
}

/// The same under a key of 12 and 8 percent.
fn other_keys(cases: &mut Vec<Case>) {
    let colors: [(Kind, &str, Code); 6] = [
        (Kind::KeyedOut, "grey-28", [28, 28, 28]),
        (Kind::KeyedOut, "green", [0, 40, 0]),
        (Kind::KeyedOut, "earth", [60, 18, 10]),
        (Kind::HalfKeyed, "grey-40", [40, 40, 42]),
        (Kind::HalfKeyed, "wine", [110, 20, 40]),
        (Kind::HalfKeyed, "royal", [30, 30, 200]),
    ];
    for (k, (kind, name, code)) in colors.into_iter().enumerate() {
        let page = Page::ALL[(k + 3) % 5];
        let look = Look {
            colors: crate::look::COOL,
            ..Look::numbered(k * 4).on(Ground::Flat([0, 0, 0]))
        };
        let name = format!("{}-key-12-{name}-{}", kind.name(), page.name());
        cases.push(Case::new(name, move || {
            let mut sheet = page.draw(&look)?;
            let place = sheet.planted(|sheet| draw(sheet, k, code))?;
            let key = Key::default().with_threshold(12.0)?.with_softness(8.0)?;
            let planted = Planted {
                kind,
                or_kinds: Vec::new(),
                or_compressed: Vec::new(),
                severities: losses(code, [0, 0, 0]),
                place: Some(place),
                value: Some((contrast(code, [0, 0, 0]), 0.15)),
            };
            Ok(Slide::clean(sheet).with(planted).under(key))
        }));
    }
}

/// Slides with holes.
fn holes() -> Vec<Case> {
    let mut cases = Vec::new();
    let skin: Code = [236, 196, 150];
    for (k, (radius, code)) in [(14.0, [8, 6, 6]), (20.0, [0, 0, 0]), (28.0, [12, 10, 12])]
        .into_iter()
        .enumerate()
    {
        for j in 0..2 {
            let look = Look::numbered(k * 5 + j * 3);
            let page = Page::ALL[(k + j) % 6];
            let name = format!("hole-pupils-{radius}-{}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || {
                let mut sheet = page.draw(&look)?;
                let [left, top, ..] = sheet.raster.spare();
                let middle = (left + 220.0, top + 210.0);
                sheet.disc(middle, 200.0, skin);
                let mouth = |x: f32| middle.1 + 110.0 - 0.004 * (x - middle.0).powi(2);
                sheet.curve(
                    (middle.0 - 70.0, middle.0 + 70.0),
                    9.0,
                    [150, 60, 50],
                    mouth,
                );
                let mut places = Vec::new();
                for side in [-70.0, 70.0] {
                    let eye = (middle.0 + side, middle.1 - 50.0);
                    sheet.disc(eye, radius + 16.0, WHITE);
                    places.push(sheet.planted(|sheet| {
                        sheet.disc(eye, radius, code);
                        Ok(())
                    })?);
                }
                let mut slide = Slide::clean(sheet);
                for place in places {
                    slide = slide.with(Planted::new(Kind::Hole, Severity::Warn, place));
                }
                Ok(slide)
            }));
        }
    }
    photograph_holes(&mut cases);
    solid_holes(&mut cases);
    cases
}

/// Dark places in photographs.
fn photograph_holes(cases: &mut Vec<Case>) {
    let photographs = [
        (Photograph::Dusk, "dusk"),
        (Photograph::Sail, "sail"),
        (Photograph::Portrait, "portrait"),
    ];
    for (p, (photograph, name)) in photographs.into_iter().enumerate() {
        for (k, radius) in [16.0, 34.0, 70.0].into_iter().enumerate() {
            let look = Look::numbered(p * 4 + k * 5);
            let name = format!("hole-shadow-{name}-{radius}-{}", look.label());
            cases.push(Case::new(name, move || {
                let mut sheet = look.sheet()?;
                let [left, top, ..] = sheet.raster.area();
                let photo = [left, top + 20.0, left + 800.0, top + 820.0];
                lay(&mut sheet, photograph, photo, 40)?;
                let at = (left, top + 900.0);
                sheet.text(look.face, "Under the mainsail", at, 44.0, look.colors.body)?;
                let middle = (left + 330.0 + 60.0 * k as f32, top + 300.0);
                shade(&mut sheet, middle, radius, 14.0, [5, 5, 7]);
                let reach = radius + 3.0;
                let place = box_of([
                    middle.0 - reach,
                    middle.1 - reach,
                    middle.0 + reach,
                    middle.1 + reach,
                ]);
                // The soft rim lies in the ramp.
                Ok(Slide::clean(sheet)
                    .with(Planted::new(Kind::Hole, Severity::Warn, place))
                    .allowing(&[Kind::HalfKeyed]))
            }));
        }
    }
    for (k, photograph) in [Photograph::Portrait, Photograph::Galaxies]
        .into_iter()
        .enumerate()
    {
        for j in 0..2 {
            let look = Look::numbered(k * 3 + j * 7);
            let name = format!("hole-untouched-{photograph:?}-{}", look.label());
            cases.push(Case::new(name.to_lowercase(), move || {
                let mut sheet = look.sheet()?;
                let [left, top, ..] = sheet.raster.area();
                let photo = [left, top + 20.0, left + 820.0, top + 840.0];
                lay(&mut sheet, photograph, photo, 0)?;
                let at = (left, top + 910.0);
                sheet.text(look.face, "As it was taken", at, 44.0, look.colors.body)?;
                let planted = Planted::new(Kind::Hole, Severity::Warn, box_of(photo));
                // A sky that is about as dark as the threshold all over is nothing solid with holes in it.
                let planted = match photograph {
                    Photograph::Galaxies => planted.or(
                        &[Kind::KeyedOut, Kind::HalfKeyed],
                        &[Severity::Warn, Severity::Info],
                    ),
                    _ => planted,
                };
                Ok(Slide::clean(sheet)
                    .with(planted)
                    .allowing(&[Kind::HalfKeyed, Kind::KeyedOut]))
            }));
        }
    }
}

/// Dark places in flat solids.
fn solid_holes(cases: &mut Vec<Case>) {
    for k in 0..4 {
        let look = Look::numbered(k * 5 + 2);
        let name = format!("hole-words-on-plate-{k}-{}", look.label());
        cases.push(Case::new(name, move || {
            let mut sheet = look.sheet()?;
            let [left, top, right, _] = sheet.raster.area();
            sheet.plate([left, top + 300.0, right, top + 640.0], [228, 230, 222]);
            let code: Code = [[0, 0, 0], [14, 14, 14], [10, 12, 30], [0, 0, 0]][k];
            let at = (left + 80.0, top + 510.0);
            let place =
                sheet.planted(|sheet| sheet.text(look.face, "Keep clear", at, 74.0, code))?;
            Ok(Slide::clean(sheet).with(Planted::new(Kind::Hole, Severity::Warn, place)))
        }));
        let look = Look::numbered(k * 7 + 1);
        let name = format!("hole-shadow-in-box-{k}-{}", look.label());
        cases.push(Case::new(name, move || {
            let mut sheet = Page::ALL[k].draw(&look)?;
            let [left, top, right, bottom] = sheet.raster.spare();
            let code: Code = [[90, 130, 190], [200, 90, 60], [60, 80, 70], [150, 150, 150]][k];
            sheet.plate([left, top, right, bottom], code);
            let middle = (left + 240.0, top + 200.0);
            let radius = 24.0 + 14.0 * k as f32;
            shade(&mut sheet, middle, radius, 30.0, [3, 3, 3]);
            let reach = radius + 5.0;
            let place = box_of([
                middle.0 - reach,
                middle.1 - reach,
                middle.0 + reach,
                middle.1 + reach,
            ]);
            Ok(Slide::clean(sheet)
                .with(Planted::new(Kind::Hole, Severity::Warn, place))
                .allowing(&[Kind::HalfKeyed]))
        }));
    }
}
