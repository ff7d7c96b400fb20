//! Frames in, numbers and findings out.

pub mod accepted;
pub mod background;
pub mod components;
pub mod contrast;
pub mod dark_color;
pub mod distance;
pub mod finding;
pub mod histogram;
pub mod limits;
pub mod pieces;
pub mod runs;
pub mod slide_check;
pub mod slide_raster;
