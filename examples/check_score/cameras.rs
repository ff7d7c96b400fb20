//! Camera frames: a lecturer of plain shapes before a black backdrop, with writing.

use crate::noise::{grain, layered, mix, ramp};
use crate::sheet::Code;
use image::{Rgb, RgbImage};

/// Who stands there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Room {
    WhiteShirt,
    BlueShirt,
    /// No backdrop: a wall that is lit all over.
    GreyWall,
}

impl Room {
    /// The shirt's or the wall's colour.
    pub(crate) fn cloth(self) -> Code {
        match self {
            Self::WhiteShirt => [222, 224, 228],
            Self::BlueShirt => [96, 132, 190],
            Self::GreyWall => [150, 150, 146],
        }
    }

    /// A rectangle that the cloth fills: left, top, right, bottom.
    pub(crate) fn filled(self) -> [f32; 4] {
        match self {
            Self::GreyWall => [1100.0, 620.0, 1810.0, 1014.0],
            _ => [1400.0, 640.0, 1810.0, 1014.0],
        }
    }
}

/// Middle of the head.
pub(crate) const HEAD: (f32, f32) = (1610.0, 380.0);

/// The frame.
pub(crate) fn room(room: Room) -> RgbImage {
    RgbImage::from_fn(1920, 1080, |column, row| {
        let (x, y) = (column as f32 + 0.5, row as f32 + 0.5);
        let mut tone = [8.0, 8.5, 10.0];
        let mut lay = |code: [f32; 3], cover: f32| {
            for c in 0..3 {
                tone[c] = mix(tone[c], code[c], cover);
            }
        };
        let cloth = room.cloth().map(f32::from);
        if room == Room::GreyWall {
            lay(cloth, 1.0);
        }
        // Shoulders slope from the neck and reach the lower edge.
        let shoulder = 560.0 + 60.0 * ((x - HEAD.0) / 190.0).powi(2).min(1.3);
        let aside = (x - HEAD.0).abs();
        let fold = 1.0 - 0.05 * layered(x * 0.012, y * 0.006, 4.0, 3);
        let body = ramp(shoulder - 2.0, shoulder + 2.0, y) * ramp(252.0, 248.0, aside);
        lay(cloth.map(|c| c * fold), body);
        lay(
            [176.0, 124.0, 98.0],
            ramp(64.0, 60.0, aside) * ramp(600.0, 560.0, y) * ramp(420.0, 440.0, y),
        );
        let face = ((x - HEAD.0) / 104.0).hypot((y - HEAD.1) / 138.0);
        let light = 1.0 - 0.12 * ((x - HEAD.0) / 104.0);
        lay(
            [206.0, 152.0, 124.0].map(|c| c * light),
            ramp(1.01, 0.99, face),
        );
        let hair = ((x - HEAD.0) / 112.0).hypot((y - HEAD.1 + 40.0) / 120.0);
        lay(
            [38.0, 28.0, 24.0],
            ramp(1.0, 0.98, hair) * ramp(HEAD.1 - 48.0, HEAD.1 - 52.0, y),
        );
        lay([120.0, 255.0, 70.0], writing(x, y));
        let noise = 1.2 * grain(column as i32, row as i32, 14);
        Rgb(tone.map(|t| (t + noise).round().clamp(0.0, 255.0) as u8))
    })
}

/// How much ink lies at a place: three wavy lines of a marker.
fn writing(x: f32, y: f32) -> f32 {
    let line = |k: f32| {
        let middle = 700.0 + 90.0 * k + 16.0 * ((x + 31.0 * k) / 17.0).sin();
        ramp(7.0, 5.0, (y - middle).abs())
    };
    let ends = ramp(1128.0, 1132.0, x) * ramp(1332.0, 1328.0, x);
    ends * line(0.0).max(line(1.0)).max(line(2.0))
}
