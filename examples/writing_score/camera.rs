//! What a camera makes of light: codes, noise, files with loss.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageFormat};
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::noise::grain;
use crate::random::Random;
use crate::sheet::Picture;

/// How light becomes codes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Camera {
    pub(crate) exposure: f32,
    pub(crate) black: f32,
    pub(crate) sigma: f32,
    pub(crate) quality: Option<u8>,
}

impl Camera {
    /// The code of a light, not yet rounded. The shoulder of a camera: whites are compressed, not cut hard.
    pub(crate) fn code(self, light: f32) -> f32 {
        let code = self.black + self.exposure * light;
        if code > 235.0 {
            235.0 + 20.0 * (1.0 - (-(code - 235.0) / 20.0).exp())
        } else {
            code
        }
    }
}

/// The noise of one take.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Take(i32);

impl Take {
    pub(crate) fn new(random: &mut Random) -> Self {
        Self(random.below(1 << 20) as i32)
    }
}

/// Codes of the room's light, with noise, and through a file with loss where the camera writes such.
pub(crate) fn develop(room: &Picture, camera: Camera, Take(seed): Take) -> Frame {
    let (width, height) = (room.0[0].width, room.0[0].height);
    let shared = 0.6;
    let mut codes = vec![[0_u8, 0, 0, u8::MAX]; width * height];
    for (at, code) in codes.iter_mut().enumerate() {
        let (x, y) = ((at % width) as i32, (at / width) as i32);
        let common = grain(x, y, seed);
        for (c, (code, sheet)) in (1..).zip(code.iter_mut().zip(&room.0)) {
            let own = grain(x, y, seed + c);
            let noise = camera.sigma * (shared * common + 0.8 * own);
            *code = (camera.code(sheet.values[at]) + noise)
                .round()
                .clamp(0.0, 255.0) as u8;
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
