//! What a camera frame has before anything in it is found: its raster, luma, noise, backdrop and spots.

pub mod backdrop;
pub mod black_bars;
pub mod camera_lit;
pub mod camera_luma;
pub mod camera_noise;
pub mod camera_raster;
pub mod cell_means;
pub mod flat_profile;
pub mod glass_edges;
pub mod spots;
