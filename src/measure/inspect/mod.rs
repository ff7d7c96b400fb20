//! What is found in a camera frame, alone and beside another of the same rig.

pub mod backdrop_level;
pub mod camera_exposure;
pub mod camera_finding;
pub mod camera_look;
pub mod camera_masks;
pub mod camera_note;
pub mod camera_parts;
pub mod camera_report;
pub mod camera_verdict;
pub mod chart_way;
pub mod dark_clothes;
pub mod double_image;
pub mod edge_widths;
pub mod empty_still;
pub mod ink_loss;
pub mod like_frame;
pub mod like_light;
pub mod like_report;
mod nothing_seen;
pub mod reflections;
pub mod seen_backdrop;
pub mod seen_like;
pub mod stroke_light;
