//! Frames in, numbers and findings out.

pub mod accepted;
pub mod camera;
pub mod check;
pub mod contrast;
pub mod dark_slide;
pub mod finding;
pub mod inspect;
pub mod key;
pub mod limits;
pub mod parts;
pub mod raster;
pub mod slide;
pub mod space;
pub mod statistics;
pub mod still;
pub mod test_chart;
pub mod told_apart;
