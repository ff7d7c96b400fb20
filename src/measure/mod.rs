//! Frames in, numbers out.

pub mod background;
pub mod histogram;
