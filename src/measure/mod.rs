//! Frames in, numbers and findings out.

pub mod accepted;
pub mod background;
pub mod camera_contrast;
pub mod components;
pub mod contrast;
pub mod dark_color;
pub mod dark_edge;
pub mod distance;
pub mod finding;
pub mod hairline;
pub mod histogram;
pub mod limits;
mod links;
pub mod marks;
pub mod outside_safe;
pub mod over_camera;
pub mod photographs;
pub mod pieces;
pub mod runs;
pub mod slide_check;
pub mod slide_geometry;
pub mod slide_raster;
pub mod small_text;
pub mod strokes;
pub mod text_lines;
