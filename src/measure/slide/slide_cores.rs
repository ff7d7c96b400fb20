//! Which pixels of a slide tell what its background and its content really are: no soft edges, no specks.

use super::pieces::Content;
use super::slide_raster::SlideRaster;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::Size;

/// How far anti-aliasing and scaling reach from the colour that they soften, px.
/// Source: chosen; bilinear enlarging and overlap averages mix neighbours, so an edge is two pixels wide.
const EDGE_REACH_PX: u32 = 2;
/// How far the edges of a lossy file reach, px. Source: ITU-T T.81, blocks of 8 x 8 samples.
const LOSSY_EDGE_REACH_PX: u32 = 8;
/// Step between neighbours, 8-bit codes of a channel, that belongs to a gradient and to no edge.
/// Source: chosen; 2 codes a pixel go from black to white in 128 pixels.
const GRADIENT_STEP_CODES: u8 = 2;
/// Share of the output that a gradient has to cover to be background and not a glow.
/// Source: chosen; a twentieth is a disc of a quarter of the picture's width.
const LEAST_GRADIENT_SHARE: f64 = 0.05;

/// What a pixel tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Core {
    /// Nothing: a soft edge, a glow, a speck.
    None = 0,
    /// What the background is.
    Background = 1,
    /// What the content around it is.
    Content = 2,
}

/// What each pixel tells, row by row.
///
/// Content: as different from the background as anything within 2 px, so that it is no mixture of
/// the two. Background: no content within 2 px, 8 in a lossy file; and gradients that lead away
/// from the background without an edge, where they cover a twentieth of the output and reach the
/// slide's border: a glow in the middle is content.
pub fn slide_cores(raster: &SlideRaster, content: &Content, lossy: bool) -> Vec<Core> {
    let size = raster.size();
    let differences = content.differences();
    let tolerance = content.tolerance_codes();
    // As found: content, or background up to the tolerance. Then gradients change sides.
    let mut cores: Vec<Core> = differences
        .iter()
        .map(|&d| {
            if d <= tolerance {
                Core::Background
            } else {
                Core::None
            }
        })
        .collect();
    for run in content.mask().as_slice() {
        cores[raster.index(run.start, run.y)..raster.index(run.end, run.y)].fill(Core::Content);
    }
    for pixel in gradient_pixels(raster, &cores) {
        cores[pixel] = Core::Background;
    }
    let bytes: Vec<u8> = cores.iter().map(|&core| core as u8).collect();
    let reach = if lossy {
        LOSSY_EDGE_REACH_PX
    } else {
        EDGE_REACH_PX
    };
    let beside = Runs::of_bytes(size, &bytes, |byte| byte == Core::Content as u8).grown(reach);
    for run in beside.as_slice() {
        for core in &mut cores[raster.index(run.start, run.y)..raster.index(run.end, run.y)] {
            if *core == Core::Background {
                *core = Core::None;
            }
        }
    }
    let strongest = strongest_near(differences, size);
    for ((core, &here), &near) in cores.iter_mut().zip(differences).zip(&strongest) {
        if *core == Core::Content && here < near.saturating_sub(tolerance) {
            *core = Core::None;
        }
    }
    cores
}

/// The largest difference within [`EDGE_REACH_PX`] of each pixel.
fn strongest_near(differences: &[u8], size: Size) -> Vec<u8> {
    let (width, reach) = (size.width() as usize, EDGE_REACH_PX as usize);
    let mut across = vec![0; differences.len()];
    for (to, row) in across.chunks_mut(width).zip(differences.chunks(width)) {
        to.copy_from_slice(row);
        for away in (1..=reach).filter(|away| *away < width) {
            let take = |to: &mut u8, from: &u8| *to = (*to).max(*from);
            to.iter_mut()
                .zip(&row[away..])
                .for_each(|(to, from)| take(to, from));
            to[away..]
                .iter_mut()
                .zip(row)
                .for_each(|(to, from)| take(to, from));
        }
    }
    let mut strongest = across.clone();
    for (y, to) in strongest.chunks_mut(width).enumerate() {
        let last = size.height() as usize - 1;
        for near in (y.saturating_sub(reach)..=(y + reach).min(last)).filter(|near| *near != y) {
            let row = &across[near * width..(near + 1) * width];
            to.iter_mut()
                .zip(row)
                .for_each(|(to, from)| *to = (*to).max(*from));
        }
    }
    strongest
}

/// Pixels of content that are reached from the background in steps that no edge has, out to the border.
fn gradient_pixels(raster: &SlideRaster, cores: &[Core]) -> Vec<usize> {
    let size = raster.size();
    let (width, height) = (size.width() as usize, size.height() as usize);
    let codes = raster.codes();
    let is_step = |a: usize, b: usize| {
        (0..3).all(|c| codes[a][c].abs_diff(codes[b][c]) <= GRADIENT_STEP_CODES)
    };
    let neighbours = |i: usize| {
        let (x, y) = (i % width, i / width);
        [
            (x > 0).then(|| i - 1),
            (x + 1 < width).then(|| i + 1),
            (y > 0).then(|| i - width),
            (y + 1 < height).then(|| i + width),
        ]
        .into_iter()
        .flatten()
    };
    let mut is_reached = vec![false; cores.len()];
    let mut gradients = Vec::new();
    let is_at_border = |i: &usize| {
        let (x, y) = (i % width, i / width);
        x == 0 || y == 0 || x + 1 == width || y + 1 == height
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of the pixels there are"
    )]
    let least = (LEAST_GRADIENT_SHARE * size.area() as f64) as usize;
    for start in 0..cores.len() {
        let begins = cores[start] == Core::Content
            && !is_reached[start]
            && neighbours(start).any(|n| cores[n] == Core::Background && is_step(start, n));
        if !begins {
            continue;
        }
        let mut reached = vec![start];
        is_reached[start] = true;
        let mut next = 0;
        while let Some(&pixel) = reached.get(next) {
            next += 1;
            for n in neighbours(pixel) {
                if cores[n] == Core::Content && !is_reached[n] && is_step(pixel, n) {
                    is_reached[n] = true;
                    reached.push(n);
                }
            }
        }
        if reached.iter().any(is_at_border) {
            gradients.extend(reached);
        }
    }
    if gradients.len() < least {
        gradients.clear();
    }
    gradients
}
