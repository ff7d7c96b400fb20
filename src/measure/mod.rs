//! Frames in, numbers and findings out.

pub mod accepted;
pub mod background;
pub mod components;
mod continuous_tone;
pub mod contrast;
pub mod dark_color;
pub mod darken;
pub mod distance;
pub mod finding;
pub mod histogram;
pub mod key_compromise;
pub mod key_suggestion;
pub mod level_counts;
pub mod limits;
pub mod noise_ceiling;
pub mod palette;
pub mod pieces;
pub mod runs;
pub mod slide_check;
pub mod slide_cores;
pub mod slide_levels;
pub mod slide_raster;
mod smooth_ground;
