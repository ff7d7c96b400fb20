//! Whole frames: backdrop, person, glass and faults, developed and compressed, with the truth.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageFormat};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::figure::{Clothes, Decoy, Person, person};
use crate::noise::{grain, layered, smooth};
use crate::random::Random;
use crate::sheet::Picture;
use crate::writing::{Glass, INKS, Manner, figure};

/// What a frame is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Plain,
    Dim,
    Bright,
    Noisy,
    Compressed,
    Streaky,
    Smeared,
    Reflections,
    OverFace,
    OverHand,
    OverWhite,
    OverColoured,
    OverStriped,
    Touching,
    DarkClothes,
    RaisedBlack,
    PaleInk,
    ThinPen,
    ThickPen,
    Everything,
    Nobody,
    NothingWritten,
    Empty,
}

impl Kind {
    pub(crate) const ALL: [(Self, &'static str); 23] = [
        (Self::Plain, "plain"),
        (Self::Dim, "dim"),
        (Self::Bright, "bright"),
        (Self::Noisy, "noisy"),
        (Self::Compressed, "compressed"),
        (Self::Streaky, "streaky"),
        (Self::Smeared, "smeared"),
        (Self::Reflections, "reflections"),
        (Self::OverFace, "over face"),
        (Self::OverHand, "over hand"),
        (Self::OverWhite, "over white"),
        (Self::OverColoured, "over coloured"),
        (Self::OverStriped, "over striped"),
        (Self::Touching, "touching inks"),
        (Self::DarkClothes, "dark clothes"),
        (Self::RaisedBlack, "raised black"),
        (Self::PaleInk, "pale ink"),
        (Self::ThinPen, "thin pen"),
        (Self::ThickPen, "thick pen"),
        (Self::Everything, "everything"),
        (Self::Nobody, "nobody there"),
        (Self::NothingWritten, "nothing written"),
        (Self::Empty, "empty"),
    ];
}

/// A frame and what is known about it.
#[derive(Debug)]
pub(crate) struct Scene {
    pub(crate) frame: Frame,
    /// The same rig with nobody there and nothing written, noise of its own.
    pub(crate) empty: Frame,
    /// The same with the person, before anything was written.
    pub(crate) before: Frame,
    pub(crate) writing: Vec<bool>,
    pub(crate) presenter: Vec<bool>,
    /// A [`Decoy`] a pixel, 0 for none.
    pub(crate) decoys: Vec<u8>,
}

/// How light becomes codes.
#[derive(Clone, Copy, Debug)]
struct Camera {
    exposure: f32,
    black: f32,
    sigma: f32,
    quality: Option<u8>,
}

/// Makes the frame of a kind and number.
pub(crate) fn scene(kind: Kind, seed: u64) -> Option<Scene> {
    let mut random = Random::new(seed);
    let random = &mut random;
    let (width, height) = match random.below(8) {
        0 => (1280, 720),
        1 => (1600, 900),
        _ => (1920, 1080),
    };
    let wild = kind == Kind::Everything;
    let camera = Camera {
        exposure: match kind {
            Kind::Dim => random.between(0.4, 0.55),
            Kind::Bright => random.between(1.25, 1.5),
            Kind::Everything => random.between(0.4, 1.5),
            _ => random.between(0.75, 1.15),
        },
        black: if kind == Kind::RaisedBlack {
            random.between(12.0, 32.0)
        } else {
            random.between(1.0, 8.0)
        },
        sigma: match kind {
            Kind::Noisy => random.between(3.0, 4.0),
            Kind::Everything => random.between(0.5, 4.0),
            _ => random.between(0.5, 2.2),
        },
        quality: match kind {
            Kind::Compressed => Some(60),
            _ if random.chance(0.35) => Some(random.pick(&[60, 75, 90])),
            _ => None,
        },
    };
    let mut room = backdrop(width, height, random);
    let mut decoys = vec![0; width * height];
    if matches!(kind, Kind::Reflections | Kind::Everything | Kind::Empty) || random.chance(0.3) {
        for _ in 0..=random.below(4) {
            reflection(&mut room, &mut decoys, random);
        }
    }
    if matches!(kind, Kind::Smeared) || (wild && random.chance(0.7)) || random.chance(0.15) {
        smear(&mut room, &mut decoys, random);
    }
    let clothes = match kind {
        Kind::DarkClothes => random.pick(&[Clothes::Dark, Clothes::Suit]),
        Kind::OverWhite => Clothes::White,
        Kind::OverColoured => Clothes::Coloured,
        Kind::OverStriped => Clothes::Striped,
        _ => random.pick(&[
            Clothes::Dark,
            Clothes::Suit,
            Clothes::White,
            Clothes::Coloured,
            Clothes::Striped,
        ]),
    };
    let somebody = !matches!(kind, Kind::Nobody | Kind::Empty);
    let person = if somebody {
        Some(person((width, height), clothes, 8.0, random)?)
    } else {
        None
    };
    let empty = develop(&room, camera, random);
    let mut presenter = vec![false; width * height];
    if let Some(person) = &person {
        for at in 0..width * height {
            let kept = 1.0 - person.cover.values[at];
            for (to, from) in room.0.iter_mut().zip(&person.light.0) {
                to.values[at] = to.values[at] * kept + from.values[at];
            }
            presenter[at] = kept < 0.5;
            if person.decoys[at] > 0 && presenter[at] {
                decoys[at] = person.decoys[at];
            }
        }
    }
    let before = develop(&room, camera, random);
    let mut glass = Glass::new(width, height);
    if !matches!(kind, Kind::NothingWritten | Kind::Empty) {
        write(kind, &mut glass, &room, person.as_ref(), random);
    }
    lay(&glass, &mut room, random);
    let frame = develop(&room, camera, random);
    for (decoy, &written) in decoys.iter_mut().zip(&glass.written) {
        if written {
            *decoy = 0;
        }
    }
    Some(Scene {
        frame,
        empty,
        before,
        writing: glass.written,
        presenter,
        decoys,
    })
}

/// A black cloth, unevenly lit.
fn backdrop(width: usize, height: usize, random: &mut Random) -> Picture {
    let mut room = Picture::new(width, height);
    let (level, uneven, seed) = (
        random.between(2.0, 7.0),
        random.between(0.0, 4.0),
        random.between(0.0, 900.0),
    );
    let tint = random
        .near([1.0; 3], 0.0)
        .map(|one| one + random.between(-0.12, 0.12));
    for y in 0..height {
        for x in 0..width {
            let fold = layered(x as f32 * 0.003, y as f32 * 0.0015, seed, 2);
            for (sheet, tint) in room.0.iter_mut().zip(tint) {
                sheet.values[y * width + x] = (level + uneven * fold) * tint;
            }
        }
    }
    room
}

/// A lamp, a monitor, a streak: a soft spot of light.
fn reflection(room: &mut Picture, decoys: &mut [u8], random: &mut Random) {
    let (width, height) = (room.0[0].width as f32, room.0[0].height as f32);
    let (x, y) = (width * random.unit(), height * random.unit());
    let tint = random.pick(&[
        [1.0, 1.0, 1.0],
        [1.0, 0.8, 0.55],
        [0.6, 0.8, 1.0],
        [0.8, 1.0, 0.9],
    ]);
    let shape = random.below(4);
    let (a, b) = match shape {
        0 => (random.between(2.0, 8.0), random.between(2.0, 8.0)),
        1 => (random.between(60.0, 200.0), random.between(6.0, 14.0)),
        2 => (random.between(6.0, 14.0), random.between(60.0, 160.0)),
        _ => (random.between(30.0, 120.0), random.between(25.0, 90.0)),
    };
    let peak = random.between(8.0, if shape == 0 { 180.0 } else { 70.0 });
    let side = room.0[0].width;
    for (at, decoy) in decoys.iter_mut().enumerate() {
        let (dx, dy) = (((at % side) as f32 - x) / a, ((at / side) as f32 - y) / b);
        let square = dx * dx + dy * dy;
        if square < 12.0 {
            let light = peak * (-0.5 * square).exp();
            for (sheet, tint) in room.0.iter_mut().zip(tint) {
                sheet.values[at] += light * tint;
            }
            if light > 2.0 {
                *decoy = Decoy::Reflection as u8;
            }
        }
    }
}

/// Wiped glass: threads of grey.
fn smear(room: &mut Picture, decoys: &mut [u8], random: &mut Random) {
    let (width, height) = (room.0[0].width as f32, room.0[0].height as f32);
    let (x, y) = (
        width * random.between(0.1, 0.9),
        height * random.between(0.1, 0.9),
    );
    let (a, b, turn) = (
        random.between(120.0, 320.0),
        random.between(50.0, 120.0),
        random.between(-0.7, 0.7),
    );
    let (sine, cosine) = f32::sin_cos(turn);
    let (strength, fine, seed) = (
        random.between(8.0, 34.0),
        random.between(0.08, 0.3),
        random.between(0.0, 900.0),
    );
    let side = room.0[0].width;
    for (at, decoy) in decoys.iter_mut().enumerate() {
        let (dx, dy) = ((at % side) as f32 - x, (at / side) as f32 - y);
        let (u, v) = (dx * cosine + dy * sine, dy * cosine - dx * sine);
        let inside = 1.0 - (u / a).powi(2) - (v / b).powi(2);
        if inside > 0.0 {
            let thread = (2.0 * smooth(u * 0.012, v * fine, seed) - 0.6).clamp(0.0, 1.0);
            let light = strength * thread * inside.min(0.5) * 2.0;
            room.0
                .iter_mut()
                .for_each(|sheet| sheet.values[at] += light);
            if light > 2.0 {
                *decoy = Decoy::Smear as u8;
            }
        }
    }
}

/// Writes what the kind asks for, and something else besides.
fn write(
    kind: Kind,
    glass: &mut Glass,
    room: &Picture,
    person: Option<&Person>,
    random: &mut Random,
) {
    let (width, height) = (room.0[0].width as f32, room.0[0].height as f32);
    let unit = height / 1080.0;
    let mut places: Vec<(f32, f32)> = Vec::new();
    if let Some(person) = person {
        let (x, y, a) = person.face;
        match kind {
            Kind::OverFace => places.push((
                x - random.between(0.2, 1.2) * a,
                y + random.between(-0.5, 1.0) * a,
            )),
            Kind::OverHand => places.extend(
                person
                    .hand
                    .map(|(x, y)| (x - 0.4 * a, y + random.between(0.0, 0.5) * a)),
            ),
            Kind::OverWhite | Kind::OverColoured | Kind::OverStriped | Kind::DarkClothes => {
                let (x, y) = person.chest;
                places.push((
                    x - random.between(0.3, 1.6) * a,
                    y + random.between(-0.4, 0.8) * a,
                ));
            }
            _ if random.chance(0.3) => places.push((
                person.chest.0 + random.between(-1.5, 0.5) * a,
                person.chest.1,
            )),
            _ => {}
        }
    }
    for _ in 0..2 + random.below(4) {
        places.push((
            width * random.between(0.03, 0.8),
            height * random.between(0.12, 0.95),
        ));
    }
    let mut last: Option<(f32, f32)> = None;
    for (index, place) in places.into_iter().enumerate() {
        let size = unit * random.between(55.0, 150.0);
        let width_px = unit
            * match kind {
                Kind::ThinPen => random.between(2.5, 4.5),
                Kind::ThickPen => random.between(20.0, 32.0),
                _ => random.between(4.0, 17.0),
            };
        let place = match (kind, last) {
            (Kind::Touching, Some(last)) if index % 2 == 1 => (
                last.0 + 0.5 * size,
                last.1 + random.between(-0.3, 0.3) * size,
            ),
            _ => place,
        };
        last = Some(place);
        let strokes = figure(random.below(10), place, size, random);
        let manner = Manner {
            ink: ink_for(kind, &strokes, room, random),
            width_px: width_px.min(size * 0.3),
            streaks: match kind {
                Kind::Streaky => random.between(0.45, 0.8),
                Kind::Everything => random.between(0.0, 0.7),
                _ => random.between(0.0, 0.35),
            },
            sheer: random.between(0.0, 0.22),
        };
        glass.draw(&strokes, manner, random);
    }
}

/// An ink that can be told from what is behind the strokes: over 110 codes away in colour.
fn ink_for(
    kind: Kind,
    strokes: &[Vec<(f32, f32)>],
    room: &Picture,
    random: &mut Random,
) -> [f32; 3] {
    let points: Vec<(f32, f32)> = strokes.iter().flatten().copied().collect();
    let mut ink = random.pick(&INKS);
    for _ in 0..30 {
        let pale = [INKS[4], INKS[7]];
        ink = if kind == Kind::PaleInk {
            random.pick(&pale)
        } else {
            random.pick(&INKS)
        };
        ink = random.near(ink, 10.0);
        let near = |&&(x, y): &&(f32, f32)| {
            let square: f32 = room
                .0
                .iter()
                .zip(ink)
                .map(|(sheet, ink)| (sheet.at(x, y) - ink).powi(2))
                .sum();
            square < 110.0 * 110.0
        };
        if points.iter().filter(near).count() * 5 < points.len().max(1) {
            break;
        }
    }
    ink
}

/// Lays the glass over the room, with the glow of its ink and the softness of the lens.
fn lay(glass: &Glass, room: &mut Picture, random: &mut Random) {
    let soft = random.between(0.4, 1.3);
    let (cover, light) = (glass.cover.blurred(soft), glass.light.blurred(soft));
    for (to, from) in room.0.iter_mut().zip(&light.0) {
        for at in 0..to.values.len() {
            to.values[at] = to.values[at] * (1.0 - cover.values[at]) + from.values[at];
        }
    }
    let (near, wide) = (random.between(3.0, 8.0), random.between(18.0, 50.0));
    room.add(&glass.light.blurred(near), random.between(0.03, 0.25));
    room.add(&glass.light.blurred(wide), random.between(0.0, 0.06));
}

/// Codes of the room's light, with noise, and through a file with loss where the camera writes such.
fn develop(room: &Picture, camera: Camera, random: &mut Random) -> Frame {
    let (width, height) = (room.0[0].width, room.0[0].height);
    let seed = random.below(1 << 20) as i32;
    let shared = 0.6;
    let mut codes = vec![[0_u8, 0, 0, u8::MAX]; width * height];
    for (at, code) in codes.iter_mut().enumerate() {
        let (x, y) = ((at % width) as i32, (at / width) as i32);
        let common = grain(x, y, seed);
        for (c, (code, sheet)) in (1..).zip(code.iter_mut().zip(&room.0)) {
            let own = grain(x, y, seed + c);
            let noise = camera.sigma * (shared * common + 0.8 * own);
            let light = camera.black + camera.exposure * sheet.values[at];
            // The shoulder of a camera: whites are compressed, not cut hard.
            let light = if light > 235.0 {
                235.0 + 20.0 * (1.0 - (-(light - 235.0) / 20.0).exp())
            } else {
                light
            };
            *code = (light + noise).round().clamp(0.0, 255.0) as u8;
        }
    }
    if let Some(quality) = camera.quality {
        compress(&mut codes, width, height, quality);
    }
    let size = Size::new(width as u32, height as u32).unwrap_or(Size::HD);
    Frame::new(size, Pixels::Rgba8(codes))
        .unwrap_or_else(|_| Frame::from_fn(Size::HD, |_, _| [0; 3]))
}

/// JPEG with colour at half resolution (4:2:0): differences to luma are averaged over squares of two
/// pixels first, because the encoder writes colour at full resolution.
/// Source: ITU-T T.871, 7: `Y = 0.299 R + 0.587 G + 0.114 B`.
fn compress(codes: &mut [[u8; 4]], width: usize, height: usize, quality: u8) {
    let luma = |code: [u8; 4]| {
        0.299 * f32::from(code[0]) + 0.587 * f32::from(code[1]) + 0.114 * f32::from(code[2])
    };
    for y in (0..height - 1).step_by(2) {
        for x in (0..width - 1).step_by(2) {
            let square = [
                y * width + x,
                y * width + x + 1,
                (y + 1) * width + x,
                (y + 1) * width + x + 1,
            ];
            let lumas = square.map(|at| luma(codes[at]));
            for c in [0, 1, 2] {
                let mean: f32 = square
                    .iter()
                    .zip(lumas)
                    .map(|(&at, y)| 0.25 * (f32::from(codes[at][c]) - y))
                    .sum();
                for (at, y) in square.into_iter().zip(lumas) {
                    codes[at][c] = (y + mean).round().clamp(0.0, 255.0) as u8;
                }
            }
        }
    }
    let rgb: Vec<u8> = codes
        .iter()
        .flat_map(|code| [code[0], code[1], code[2]])
        .collect();
    let mut bytes = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut bytes, quality);
    if encoder
        .write_image(&rgb, width as u32, height as u32, ExtendedColorType::Rgb8)
        .is_err()
    {
        return;
    }
    let Ok(read) = image::load(Cursor::new(bytes), ImageFormat::Jpeg) else {
        return;
    };
    for (code, pixel) in codes.iter_mut().zip(read.to_rgb8().pixels()) {
        *code = [pixel.0[0], pixel.0[1], pixel.0[2], u8::MAX];
    }
}
