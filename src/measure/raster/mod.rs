//! Masks and planes of pixels: runs, components, outlines, distances, boxes, means.

pub(crate) mod bits;
pub(crate) mod box_mean;
pub mod byte_plane;
pub mod components;
pub mod contours;
pub mod distance;
pub mod free_space;
pub mod hull;
pub(crate) mod links;
pub mod pixel_box;
pub(crate) mod places;
pub mod runs;
pub(crate) mod side;
pub(crate) mod sides;
