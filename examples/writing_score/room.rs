//! The room behind the glass: a black backdrop, reflections, smears.

use crate::decoy::Decoy;
use crate::noise::{layered, smooth};
use crate::random::Random;
use crate::sheet::Picture;

/// A black cloth, unevenly lit.
pub(crate) fn backdrop(width: usize, height: usize, random: &mut Random) -> Picture {
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
pub(crate) fn reflection(room: &mut Picture, decoys: &mut [u8], random: &mut Random) {
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
pub(crate) fn smear(room: &mut Picture, decoys: &mut [u8], random: &mut Random) {
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
