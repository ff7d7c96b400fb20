//! See and measure what a luma key does to slides that are laid over a writing-glass camera picture.

pub mod commands;
pub mod files;
pub mod gpu;
pub mod measure;
pub mod pixel;
pub mod report;
pub mod window;
