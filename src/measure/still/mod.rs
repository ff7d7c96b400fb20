//! Two stills of one rig: the map between what stands still in both.

pub(crate) mod still_fit;
mod still_luma;
pub mod still_map;
pub mod still_pair;
pub(crate) mod still_plane;
pub(crate) mod still_search;
pub mod way_round;
