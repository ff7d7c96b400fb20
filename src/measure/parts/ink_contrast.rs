//! What is narrower than a marker's stroke and stands out from all around it, in brightness or in colour.

use rayon::prelude::*;

use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::raster::byte_plane::BytePlane;

/// Widest stroke, a share of the frame's height. Source: chosen; a marker of 15 mm on a glass of which
/// 35 cm fill the frame's height is as wide.
const WIDEST_STROKE: f64 = 0.05;

/// The ways in which ink can stand out: as brightness, as white, or as one channel over another.
///
/// Each is a difference of two of `[r, g, b, most, least, 0]`, not under 0.
const WAYS: [(usize, usize); 7] = [(3, 5), (4, 5), (0, 1), (1, 0), (1, 2), (2, 1), (2, 0)];

/// How much each pixel stands out.
#[derive(Clone, Debug)]
pub struct InkContrast {
    /// The largest white top-hat of all ways, codes.
    pub strength: Vec<u8>,
    /// The brightest channel without narrow things, at half size: what is behind strokes.
    pub behind: BytePlane,
    /// Half the widest stroke, px.
    pub reach_px: usize,
}

impl InkContrast {
    /// Measures a frame.
    pub fn measure(camera: &CameraRaster) -> Self {
        let size = camera.size();
        let (width, height) = (size.width() as usize, size.height() as usize);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a height"
        )]
        let reach = ((WIDEST_STROKE * height as f64 / 4.0).round() as usize).max(1);
        let way = |[a, b]: [usize; 2]| {
            let bytes = camera.map(|[r, g, b_, _]| {
                let parts = [r, g, b_, r.max(g).max(b_), r.min(g).min(b_), 0];
                parts[a].saturating_sub(parts[b])
            });
            BytePlane::new(size, bytes)
        };
        let mut strength = vec![0_u8; size.area()];
        let mut behind = None;
        for (a, b) in WAYS {
            let plane = way([a, b]);
            let opened = plane.halved().opened(reach);
            strength
                .par_chunks_mut(width)
                .zip(plane.bytes().par_chunks(width))
                .enumerate()
                .for_each(|(y, (strength, plane))| {
                    let open = opened.row(y / 2);
                    let both = strength.iter_mut().zip(plane);
                    for (x, (strength, &code)) in both.enumerate() {
                        *strength = (*strength).max(code.saturating_sub(open[x / 2]));
                    }
                });
            behind.get_or_insert(opened);
        }
        Self {
            strength,
            behind: behind.unwrap_or_else(|| BytePlane::new(size, Vec::new())),
            reach_px: 2 * reach,
        }
    }
}
