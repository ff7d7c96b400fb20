//! Photographs that take the place of what is drawn: people, and pictures printed on clothes.

use std::path::Path;

use image::imageops::{FilterType, flip_horizontal, resize};
use image::{ImageReader, ImageResult, RgbaImage};
use tiny_skia::{IntSize, Pixmap};

use crate::decoy::Decoy;
use crate::figure::Person;
use crate::random::Random;
use crate::sheet::{Picture, Sheet};

/// Pictures of a folder. Those with transparency are people cut out of photographs, the others are prints.
#[derive(Debug, Default)]
pub(crate) struct Album {
    people: Vec<RgbaImage>,
    prints: Vec<RgbaImage>,
}

impl Album {
    /// Reads every picture of a folder, in order of their names.
    pub(crate) fn read(folder: &Path) -> ImageResult<Self> {
        let mut paths = std::fs::read_dir(folder)?
            .map(|entry| Ok(entry?.path()))
            .collect::<std::io::Result<Vec<_>>>()?;
        paths.sort();
        let mut album = Self::default();
        for path in paths {
            let picture = ImageReader::open(path)?.decode()?.to_rgba8();
            let is_cut_out = picture.pixels().any(|pixel| pixel.0[3] < u8::MAX);
            let to = if is_cut_out {
                &mut album.people
            } else {
                &mut album.prints
            };
            to.push(picture);
        }
        Ok(album)
    }

    /// Somebody of the album at the lower edge of a frame, in light and size of chance. None where it has no people.
    pub(crate) fn person(
        &self,
        (width, height): (usize, usize),
        random: &mut Random,
    ) -> Option<Person> {
        let whole = self.people.get(pick(self.people.len(), random)?)?;
        let whole = if random.chance(0.5) {
            flip_horizontal(whole)
        } else {
            whole.clone()
        };
        let scale = height as f32 * random.between(0.6, 1.2) / whole.height() as f32;
        let (w, h) = (
            (whole.width() as f32 * scale) as u32,
            (whole.height() as f32 * scale) as u32,
        );
        let cut = resize(&whole, w.max(1), h.max(1), FilterType::CatmullRom);
        let left = width as f32 * random.between(0.3, 0.7) - w as f32 / 2.0;
        let top = (height as f32 - h as f32).max(height as f32 * random.between(0.02, 0.12));
        let (gain, gamma, below) = (
            random.between(0.6, 1.1),
            random.between(0.85, 1.3),
            random.between(0.0, 0.45),
        );
        let (mut light, mut cover) = (Picture::new(width, height), Sheet::new(width, height));
        let mut decoys = vec![0; width * height];
        for (x, y, pixel) in cut.enumerate_pixels() {
            let (u, v) = (left as i64 + i64::from(x), top as i64 + i64::from(y));
            if u < 0 || v < 0 || u >= width as i64 || v >= height as i64 || pixel.0[3] == 0 {
                continue;
            }
            let at = v as usize * width + u as usize;
            let kept = f32::from(pixel.0[3]) / 255.0;
            cover.values[at] = kept;
            decoys[at] = Decoy::Photograph as u8;
            let shade = gain * (1.0 - below * y as f32 / h as f32);
            for (sheet, code) in light.0.iter_mut().zip(pixel.0) {
                let tone = (f32::from(code) / 255.0).powf(gamma);
                sheet.values[at] = 255.0 * tone * shade * kept;
            }
        }
        let focus = random.between(0.0, 1.4);
        let (face, chest) = places(&cut, (left, top));
        Some(Person {
            light: light.blurred(focus),
            cover: cover.blurred(focus),
            decoys,
            face,
            chest,
            hand: None,
        })
    }

    /// A picture to print, none where the album has none.
    pub(crate) fn print(&self, random: &mut Random) -> Option<Pixmap> {
        let print = self.prints.get(pick(self.prints.len(), random)?)?;
        Pixmap::from_vec(
            print.as_raw().clone(),
            IntSize::from_wh(print.width(), print.height())?,
        )
    }
}

fn pick(count: usize, random: &mut Random) -> Option<usize> {
    (count > 0).then(|| random.below(count as u32) as usize)
}

/// Middle of the face and half its width, and middle of the chest, as far as an outline tells them.
fn places(cut: &RgbaImage, (left, top): (f32, f32)) -> ((f32, f32, f32), (f32, f32)) {
    let height = cut.height() as f32;
    let row = |share: f32| {
        let y = ((height * share) as u32).min(cut.height() - 1);
        let inside: Vec<u32> = (0..cut.width())
            .filter(|&x| cut.get_pixel(x, y).0[3] > 127)
            .collect();
        let (first, last) = (
            inside.first().copied().unwrap_or(0) as f32,
            inside.last().copied().unwrap_or(cut.width()) as f32,
        );
        (left + f32::midpoint(first, last), (last - first) / 2.0)
    };
    let ((face_x, half), (chest_x, _)) = (row(0.12), row(0.6));
    (
        (face_x, top + 0.16 * height, half.min(0.15 * height)),
        (chest_x, top + 0.6 * height),
    )
}
