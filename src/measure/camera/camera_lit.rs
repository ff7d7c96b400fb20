//! Where a camera frame is clearly brighter than its backdrop: presenter, writing, anything lit.
//! From the frame's own statistics; it does not tell who or what is there.

use crate::measure::raster::runs::Run;
use crate::pixel::color::to_u8;
use crate::pixel::key::luma;
use crate::pixel::settings::Size;

/// Luma over the backdrop that is clearly brighter, 8-bit codes. Source: chosen, 8 % of white.
const CLEARLY_CODES: u32 = 20;
/// Pixels that the backdrop's luma is not above, in thousandths. Source: chosen; a presenter and
/// writing cover less than three quarters of a frame, so a quarter of it is backdrop.
const BACKDROP_PER_MILLE: u64 = 250;
/// Standard deviations of the backdrop's noise. Source: the Gaussian tail above 6 is 1e-9, so not one
/// pixel of a frame of 8 megapixels is expected there.
const NOISE_SIGMAS: f32 = 6.0;
/// Share of a place from which it lies over something lit, percent. Source: chosen.
pub const LIT_SHARE_PERCENT: f64 = 10.0;

/// Lit pixels of a camera frame on the output.
#[derive(Clone, Debug)]
pub struct CameraLit {
    is_lit: Vec<bool>,
    width: usize,
}

impl CameraLit {
    /// Looks at the R'G'B' codes of a camera on the output, row by row, with the key's weights of R' and B'.
    pub fn measure(codes: &[[u8; 4]], output: Size, (kr, kb): (f32, f32)) -> Self {
        let luma_u8 = |&[r, g, b, _]: &[u8; 4]| {
            let color = [r, g, b].map(|v| f32::from(v) / 255.0);
            to_u8(luma(color, kr, kb))
        };
        let lumas: Vec<u8> = codes.iter().map(luma_u8).collect();
        let mut counts = [0_u64; 256];
        for &luma in &lumas {
            counts[usize::from(luma)] += 1;
        }
        let quantile = |per_mille: u64| {
            let mut below = 0;
            let found = (0..256_u32).find(|&luma| {
                below += counts[luma as usize];
                1000 * below >= per_mille * lumas.len() as u64
            });
            found.unwrap_or(255)
        };
        let backdrop = quantile(BACKDROP_PER_MILLE);
        // The lower half of the noise is free of light: from its quarter to its middle are 0.674 sigma.
        let sigma = (backdrop - quantile(BACKDROP_PER_MILLE / 4)) as f32;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "at most six times 255"
        )]
        let above_noise = (NOISE_SIGMAS * sigma) as u32;
        let limit = backdrop + CLEARLY_CODES.max(above_noise);
        Self {
            is_lit: lumas.iter().map(|&luma| u32::from(luma) > limit).collect(),
            width: output.width() as usize,
        }
    }

    /// Percent of these pixels that are lit; 0 where there are none.
    pub fn share_percent(&self, runs: &[Run]) -> f64 {
        let (mut lit, mut all) = (0_usize, 0_usize);
        for run in runs {
            let row = run.y as usize * self.width;
            let pixels = &self.is_lit[row + run.start as usize..row + run.end as usize];
            lit += pixels.iter().filter(|&&is_lit| is_lit).count();
            all += pixels.len();
        }
        100.0 * lit as f64 / all.max(1) as f64
    }
}
