//! Frames in, numbers and findings out.

pub mod accepted;
pub mod background;
pub mod finding;
pub mod histogram;
pub mod limits;
pub mod slide_check;
