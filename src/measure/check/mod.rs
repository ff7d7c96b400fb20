//! What is wrong with a slide under a key, alone and over camera frames.

pub mod camera_contrast;
mod chain_black;
pub mod dark_edge;
pub mod edge_contact;
pub mod hairline;
mod haze;
mod hole;
pub mod key_colors;
mod lost_content;
pub mod outside_safe;
pub mod over_camera;
pub mod overlap;
pub mod placed_camera;
pub mod placed_slide;
pub mod slide_check;
pub mod slide_geometry;
pub mod small_text;
