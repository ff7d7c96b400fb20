//! Thin dashed lines around masks, light and dark by turns, so that they are seen on any picture.

use std::collections::VecDeque;

use crate::measure::raster::runs::Runs;
use crate::pixel::frame::Frame;

/// The tones of a line. Source: chosen, white and black, 21:1.
const TONES_U8: [[u8; 4]; 2] = [[255; 4], [0, 0, 0, 255]];
/// How far off the mask the line runs, px. Source: chosen by eye; the edge itself stays in sight.
const GAP_PX: u32 = 1;

/// Draws a line of one pixel around a mask, in dashes of `dash_px`. The picture is the mask's output, scaled.
pub fn draw_outline(picture: &mut Frame, mask: &Runs, dash_px: u32) {
    let size = picture.size();
    let (width, height) = (size.width(), size.height());
    let across = f64::from(mask.size().width()) / f64::from(width);
    let down = f64::from(mask.size().height()) / f64::from(height);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place in the picture"
    )]
    let source = |at: usize, scale: f64| ((at as f64 + 0.5) * scale) as u32;
    let columns: Vec<u32> = (0..width as usize).map(|x| source(x, across)).collect();
    let mut bytes = vec![0_u8; size.area()];
    for (y, row) in bytes.chunks_mut(width as usize).enumerate() {
        let y = source(y, down);
        for (byte, &x) in row.iter_mut().zip(&columns) {
            *byte = u8::from(mask.contains(x, y));
        }
    }
    let scaled = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let line = scaled.grown(GAP_PX + 1).without(&scaled.grown(GAP_PX));
    let steps = steps_along(&line);
    let Some(pixels) = picture.rgba8_mut() else {
        return;
    };
    for (pixel, step) in pixels.iter_mut().zip(steps) {
        if let Some(step) = step {
            *pixel = TONES_U8[(step / dash_px.max(1) % 2) as usize];
        }
    }
}

/// For every pixel of thin lines, how many steps it is from where its line was met first.
fn steps_along(line: &Runs) -> Vec<Option<u32>> {
    const NOT_YET: u32 = u32::MAX;
    let size = line.size();
    let (width, height) = (size.width() as usize, size.height() as usize);
    let mut steps = vec![None; size.area()];
    for run in line.as_slice() {
        let row = run.y as usize * width;
        steps[row + run.start as usize..row + run.end as usize].fill(Some(NOT_YET));
    }
    let mut queue = VecDeque::new();
    for start in 0..steps.len() {
        if steps[start] != Some(NOT_YET) {
            continue;
        }
        steps[start] = Some(0);
        queue.push_back((start, 0));
        while let Some((at, step)) = queue.pop_front() {
            let (x, y) = (at % width, at / width);
            for v in y.saturating_sub(1)..=(y + 1).min(height - 1) {
                for u in x.saturating_sub(1)..=(x + 1).min(width - 1) {
                    let next = v * width + u;
                    if steps[next] == Some(NOT_YET) {
                        steps[next] = Some(step + 1);
                        queue.push_back((next, step + 1));
                    }
                }
            }
        }
    }
    steps
}
