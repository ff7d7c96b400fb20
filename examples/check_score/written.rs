//! Slides and words for looking.

use crate::case::Slide;
use crate::coding::Coding;
use crate::judge::Judged;
use crate::sheet::Fault;
use image::imageops::{self, FilterType};
use image::{Rgb, RgbImage};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Width and height of a picture on a contact sheet.
const THUMB: (u32, u32) = (480, 270);
/// Pictures across and down a contact sheet.
const SHEET: (usize, usize) = (4, 6);

/// Writes a slide in every coding, and its camera.
pub(crate) fn write(
    folder: &Path,
    name: &str,
    slide: &Slide,
    picture: &RgbImage,
) -> Result<(), Fault> {
    for coding in Coding::ALL {
        let mut file = File::create(folder.join(format!("{name}.{}", coding.ending())))?;
        file.write_all(&coding.encode(picture)?)?;
    }
    if let Some(camera) = &slide.camera {
        let mut file = File::create(folder.join(format!("{name}.camera.png")))?;
        file.write_all(&Coding::Png.encode(camera)?)?;
    }
    Ok(())
}

/// Writes sheets of small pictures of the slides that were written, their names in `contact.txt`.
pub(crate) fn contact_sheets(folder: &Path, names: &[&str]) -> Result<(), Fault> {
    let mut list = File::create(folder.join("contact.txt"))?;
    for (number, page) in names.chunks(SHEET.0 * SHEET.1).enumerate() {
        let (width, height) = (THUMB.0 + 4, THUMB.1 + 4);
        let grey = Rgb([60, 60, 70]);
        let mut sheet = RgbImage::from_pixel(width * SHEET.0 as u32, height * SHEET.1 as u32, grey);
        for (k, name) in page.iter().enumerate() {
            let bytes = fs::read(folder.join(format!("{name}.png")))?;
            let picture = image::load_from_memory(&bytes)?.to_rgb8();
            let wide = THUMB.1 * picture.width() / picture.height();
            let small = imageops::resize(&picture, wide, THUMB.1, FilterType::Triangle);
            let (column, row) = ((k % SHEET.0) as u32, (k / SHEET.0) as u32);
            let (x, y) = (i64::from(column * width + 2), i64::from(row * height + 2));
            imageops::replace(&mut sheet, &small, x, y);
            writeln!(list, "{:02} {} {} {name}", number + 1, row + 1, column + 1)?;
        }
        let mut file = File::create(folder.join(format!("contact-{:02}.png", number + 1)))?;
        file.write_all(&Coding::Png.encode(&sheet)?)?;
    }
    Ok(())
}

/// Prints what was looked for and what was found on a slide.
pub(crate) fn explain(out: &mut impl Write, name: &str, slide: &[Judged]) -> io::Result<()> {
    writeln!(out, "{name}")?;
    for judged in slide {
        writeln!(out, "  {}", judged.coding.name())?;
        for looked in &judged.looked {
            writeln!(
                out,
                "    planted {}: {:?}, {:?} at {:?}, measuring {:?}",
                looked.planted.kind.name(),
                looked.outcome,
                looked.planted.severities,
                looked.planted.place.map(<[u32; 4]>::from),
                looked.planted.value,
            )?;
        }
        for finding in &judged.findings {
            writeln!(
                out,
                "    found {} {:?} at {:?}: {:.3}, limit {} {:?}. {}",
                finding.kind.name(),
                finding.severity,
                finding.bounds.map(<[u32; 4]>::from),
                finding.measured,
                finding.limit,
                finding.unit,
                finding.advice
            )?;
        }
    }
    writeln!(out)
}
