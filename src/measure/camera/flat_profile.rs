//! Whether a frame is recorded in a flat or log camera profile: raised black, lowered white, little colour.

use super::black_bars::BlackBars;
use super::camera_luma::luma_codes;
use super::camera_raster::CameraRaster;

/// Luma of the darkest hundredth from which black is raised on purpose, codes. Source: chosen, 6 % of white; log curves put
/// black at 7 to 13 %, and a veil that is no profile keeps its whites or its colours.
const RAISED_CODES: f32 = 15.0;
/// Codes that the brightest pixels stay under. Source: chosen, 78 % of white; log curves put a lit face and white ink at 50
/// to 75 %.
const LOWERED_CODES: u8 = 200;
/// How far the channels of the most colourful pixels are apart, codes. Source: chosen, half of white; fluorescent ink in a
/// usual profile has 60 % and more.
const COLOUR_CODES: u8 = 128;
/// How much brighter than black something has to be for a frame to show anything, codes. Source: chosen, a quarter of white.
const LEAST_SPAN_CODES: u8 = 64;
/// Share of pixels that are left out as the most extreme. Source: chosen; specks and glints are less.
const EXTREMES: f64 = 0.0005;
/// How far compression smears the edge of a black bar, px. Source: ITU-T T.81, the blocks of colour at half of the columns
/// and rows.
const BAR_EDGE_PX: u32 = 16;

/// Whether all three are so, between black bars.
pub fn is_flat_profile(camera: &CameraRaster) -> bool {
    let mut luma = [0_u64; 256];
    let (mut most, mut colour) = (luma, luma);
    let Some(picture) = BlackBars::of(camera).inside(camera, BAR_EDGE_PX) else {
        return false;
    };
    let rows = camera.codes().chunks(camera.size().width() as usize);
    let rows = rows.skip(picture.y as usize).take(picture.height as usize);
    for &code in rows.flat_map(|row| &row[picture.x as usize..picture.right() as usize]) {
        let [r, g, b, _] = code;
        let (high, low) = (r.max(g).max(b), r.min(g).min(b));
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 255"
        )]
        let own = luma_codes(code).round() as usize;
        luma[own.min(255)] += 1;
        most[usize::from(high)] += 1;
        colour[usize::from(high - low)] += 1;
    }
    let dark = under(&luma, 0.01);
    let bright = under(&most, 1.0 - EXTREMES);
    let colourful = under(&colour, 1.0 - EXTREMES);
    f32::from(dark) >= RAISED_CODES
        && bright <= LOWERED_CODES
        && bright - dark.min(bright) >= LEAST_SPAN_CODES
        && colourful <= COLOUR_CODES
}

/// The code that a share of the pixels does not exceed.
fn under(counts: &[u64; 256], share: f64) -> u8 {
    let wanted = share * counts.iter().sum::<u64>() as f64;
    let mut sum = 0;
    (0..=u8::MAX)
        .zip(counts)
        .find_map(|(code, &count)| {
            sum += count;
            (sum as f64 >= wanted).then_some(code)
        })
        .unwrap_or(u8::MAX)
}
