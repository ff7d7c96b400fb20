//! A source's value at an output pixel: read, expand, flatten, scale.
//! Twin: `shaders/sample.wgsl`, held together by the frame parity in `tests/gpu/parity.rs`.

use super::color::expand_video;
use super::frame::Frame;
use super::placement::{Placed, Tap};
use super::settings::CodeRange;

/// A frame together with how its pixels are to be read.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// The picture.
    pub frame: &'a Frame,
    /// Which codes mean black and white.
    pub range: CodeRange,
    /// Whether alpha is laid over black (the slide) or ignored (the camera).
    pub flattened: bool,
}

/// R'G'B' of one source pixel: expanded from video range and flattened over black, unrounded.
pub fn fetch(source: &Source<'_>, index: usize) -> [f32; 3] {
    let [r, g, b, a] = source.frame.rgba_frac(index);
    let mut rgb = [r, g, b];
    if source.range == CodeRange::Video {
        rgb = rgb.map(expand_video);
    }
    if source.flattened {
        rgb = rgb.map(|v| v * a);
    }
    rgb
}

/// R'G'B' at an output pixel: the weighted sum over a column tap and a row tap, columns first.
pub fn sample(source: &Source<'_>, placed: &Placed, column: Tap, row: Tap) -> [f32; 3] {
    let mut sum = [0.0; 3];
    for j in 0..row.count {
        let mut line = [0.0; 3];
        for i in 0..column.count {
            let index = (row.first + j) as usize * placed.row_stride as usize
                + (column.first + i) as usize * placed.column_stride as usize;
            let rgb = fetch(source, index);
            let weight = column.weight(i);
            line = [0, 1, 2].map(|c| line[c] + weight * rgb[c]);
        }
        let weight = row.weight(j);
        sum = [0, 1, 2].map(|c| sum[c] + weight * line[c]);
    }
    sum
}
