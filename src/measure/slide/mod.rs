//! What is on a slide: background, content, marks, text, photographs, and what the key makes of each pixel.

pub mod background;
pub(crate) mod continuous_tone;
pub mod fates;
pub(crate) mod flat_regions;
pub mod ground;
pub mod marks;
pub mod photographs;
pub mod pieces;
pub mod slide_cores;
pub mod slide_raster;
pub(crate) mod smooth_ground;
pub mod strokes;
pub mod text_lines;
mod texture;
pub mod tiles;
