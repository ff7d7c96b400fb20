//! Frames in, numbers and findings out.

pub mod accepted;
pub mod background;
pub mod camera_lit;
pub mod components;
pub mod contrast;
pub mod dark_color;
pub mod distance;
pub mod finding;
pub mod ground;
mod haze;
pub mod histogram;
mod hole;
pub mod key_colors;
pub mod limits;
mod lost_content;
pub mod pieces;
mod places;
pub mod runs;
pub mod slide_check;
pub mod slide_raster;
pub mod tiles;
