//! Room on the output: zones, areas of guides, what is free of writing and presenter, the glass.

pub mod clear_shift;
pub mod glass;
pub(crate) mod guide_area;
pub mod room;
pub mod zone;
