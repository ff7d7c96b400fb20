//! Numbers from many: middles, fits, courses, counts, and what noise hardly exceeds.

pub(crate) mod affine;
pub mod least_squares;
pub mod level_counts;
pub(crate) mod middle;
pub mod noise_ceiling;
pub(crate) mod slow_course;
