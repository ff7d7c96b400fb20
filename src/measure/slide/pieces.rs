//! What is on a slide: its content, in pieces. Compression noise is not content.

use super::ground::Ground;
use super::slide_raster::SlideRaster;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::pixel::settings::Size;

/// Content this near to content is the same piece, px. Source: chosen; an i and its dot are one piece
/// from small sizes on, words and lines are not.
pub const JOINED_WITHIN_PX: u32 = 4;
/// Pixels that a piece has at least. Source: chosen; a full stop of the smallest legible text has more.
pub const LEAST_PIECE_PX: u64 = 16;
/// What rounding adds to a difference of whole codes at most. Source: `Background::TOLERANCE`.
const ROUNDING_CODES: f32 = 255.0 / 262_144.0;
/// How far a block of a lossy file spreads what is in it, px. Source: ITU-T T.81, blocks of 8 x 8 samples.
const BLOCK_PX: u32 = 8;
/// Share of an edge's height that compression may leave beside it. Source: chosen; JPEG of quality 90
/// with halved chroma leaves up to a fifth beside saturated text.
const SPREAD_SHARE: u8 = 4;
/// Heights of edges that are looked at, 8-bit codes; each is half the one before. Source: chosen.
const EDGE_CODES: [u8; 4] = [192, 96, 48, 24];
/// Differences over this are content whatever the noise, 8-bit codes. Source: chosen.
const MOST_NOISE_CODES: u8 = 16;
/// Standard deviations that noise does not exceed in a frame. Source: Gaussian tail, 0.6 of the pixels
/// of 1920 x 1080 are expected above 5, and a piece needs 16 of them.
const NOISE_SIGMAS: f32 = 5.0;
/// Standard deviation per median of the absolute difference. Source: normal distribution.
const SIGMA_PER_MEDIAN: f32 = 1.4826;

/// One piece of content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The smallest box around it.
    pub bounds: PixelBox,
    /// Its pixels of content.
    pub area: u64,
}

/// A slide's content.
#[derive(Clone, Debug)]
pub struct Content {
    differences: Vec<u8>,
    tolerance: u8,
    mask: Runs,
    components: Components,
    pieces: Vec<Piece>,
}

impl Content {
    /// Finds what differs from a background, R'G'B' 0 to 1 as it reaches the key.
    ///
    /// `lossy` slides have noise of their own, which is measured where nothing is near, and remains of
    /// their edges within a block, which are not content unless they are more than a quarter of the edge.
    pub fn measure(raster: &SlideRaster, background: [f32; 3], lossy: bool) -> Self {
        Self::on_ground(raster, &Ground::flat(background), lossy)
    }

    /// Finds what differs from a background that may change from place to place.
    pub fn on_ground(raster: &SlideRaster, ground: &Ground, lossy: bool) -> Self {
        let size = raster.size();
        let differences = differences(raster, ground);
        let (found, tolerance) = if lossy {
            found_in_lossy(
                size,
                raster.inside(),
                &differences,
                ground.tolerance_codes(),
            )
        } else {
            let tolerance = ground.tolerance_codes();
            let over = |d| d > tolerance;
            (Runs::of_bytes(size, &differences, over), tolerance)
        };
        let neighbours = Neighbours::Within(JOINED_WITHIN_PX);
        let all = Components::of(&found, neighbours);
        let is_piece = |i: usize| all.list()[all.label_of_run(i)].area >= LEAST_PIECE_PX;
        let mask = found.filtered(|i, _| is_piece(i));
        let components = Components::of(&mask, neighbours);
        let piece = |c: &crate::measure::raster::components::Component| Piece {
            bounds: c.bounds,
            area: c.area,
        };
        let pieces = components.list().iter().map(piece).collect();
        Self {
            differences,
            tolerance,
            mask,
            components,
            pieces,
        }
    }

    /// All content.
    pub fn mask(&self) -> &Runs {
        &self.mask
    }

    /// The pieces, in the order of their first pixels, row by row.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The runs of a piece, by row.
    pub fn runs_of(&self, piece: usize) -> &[Run] {
        self.components.runs_of(piece)
    }

    /// The piece that a run of [`Content::mask`] belongs to, by the run's place among all runs.
    pub fn piece_of_run(&self, run: usize) -> usize {
        self.components.label_of_run(run)
    }

    /// The largest difference of a channel to the background at each pixel, 8-bit codes, row by row.
    /// A fraction counts as a whole; 0 beside the slide.
    pub fn differences(&self) -> &[u8] {
        &self.differences
    }

    /// Up to which difference a pixel is background, 8-bit codes: 3, and the file's own noise if that is more.
    pub fn tolerance_codes(&self) -> u8 {
        self.tolerance
    }
}

/// The largest difference of a channel to the background, in whole codes, rounded up.
fn differences(raster: &SlideRaster, ground: &Ground) -> Vec<u8> {
    let mut differences = vec![0; raster.codes().len()];
    let Some(inside) = raster.inside() else {
        return differences;
    };
    let differs = |[r, g, b, _]: [u8; 4], background: [f32; 3]| {
        let channel = |c: usize, code: u8| (f32::from(code) - background[c]).abs();
        let largest = channel(0, r).max(channel(1, g)).max(channel(2, b));
        whole_codes(largest - ROUNDING_CODES)
    };
    let mut colors = Vec::new();
    for y in inside.y..inside.bottom() {
        let start = raster.index(inside.x, y);
        let row = start..start + inside.width as usize;
        let codes = &raster.codes()[row.clone()];
        let differences = &mut differences[row];
        if ground.is_flat() {
            let background = ground.color(inside.x, y);
            let mut last = None;
            for (difference, &code) in differences.iter_mut().zip(codes) {
                *difference = match last {
                    Some((same, difference)) if same == code => difference,
                    _ => differs(code, background),
                };
                last = Some((code, *difference));
            }
        } else {
            ground.fill_row(y, inside.x..inside.right(), &mut colors);
            for ((difference, &code), &background) in differences.iter_mut().zip(codes).zip(&colors)
            {
                *difference = differs(code, background);
            }
        }
    }
    differences
}

/// A difference in whole codes, rounded up.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to 0..=255 before"
)]
fn whole_codes(difference: f32) -> u8 {
    difference.ceil().clamp(0.0, 255.0) as u8
}

/// The content of a lossy slide, and up to which difference the rest is background.
fn found_in_lossy(
    size: Size,
    inside: Option<PixelBox>,
    differences: &[u8],
    tolerance: u8,
) -> (Runs, u8) {
    let over = |limit: u8| Runs::of_bytes(size, differences, |d| d > limit);
    let beside: Vec<(u8, Runs)> = EDGE_CODES
        .iter()
        .map(|&edge| (edge / SPREAD_SHARE, over(edge).grown(BLOCK_PX)))
        .collect();
    let noise = noise_codes(
        differences,
        inside,
        size,
        beside.last().map(|(_, near)| near),
    );
    let tolerance = tolerance.max(noise);
    let mut found = over(tolerance);
    for (spread, near) in &beside {
        let weak = Runs::of_bytes(size, differences, |d| d <= *spread);
        found = found.without(&near.intersection(&weak));
    }
    (found, tolerance)
}

/// What the file's own noise reaches where no edge is near, 8-bit codes.
fn noise_codes(
    differences: &[u8],
    inside: Option<PixelBox>,
    size: Size,
    near: Option<&Runs>,
) -> u8 {
    let mut counts = [0_u64; MOST_NOISE_CODES as usize + 1];
    let mut count = |row: &[u8]| {
        for &difference in row {
            if let Some(count) = counts.get_mut(usize::from(difference)) {
                *count += 1;
            }
        }
    };
    let Some(inside) = inside else { return 0 };
    for y in inside.y..inside.bottom() {
        let row = &differences[y as usize * size.width() as usize..];
        let mut x = inside.x;
        for run in near.map_or(&[][..], |near| near.row(y)) {
            count(&row[x as usize..run.start.clamp(x, inside.right()) as usize]);
            x = run.end.clamp(x, inside.right());
        }
        count(&row[x as usize..inside.right() as usize]);
    }
    let all: u64 = counts.iter().sum();
    let mut below = 0;
    let median = (0..=MOST_NOISE_CODES).find(|&d| {
        below += counts[usize::from(d)];
        2 * below >= all
    });
    let noise = NOISE_SIGMAS * SIGMA_PER_MEDIAN * f32::from(median.unwrap_or(0));
    whole_codes(noise).min(MOST_NOISE_CODES)
}
