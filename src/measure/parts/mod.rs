//! Writing and presenter: what is weighed to find each in a camera frame.

mod backings;
pub mod brightest;
mod company_tree_table;
pub mod fabric;
pub(crate) mod figure_edge;
pub(crate) mod glow_corners;
pub mod ink_colors;
pub mod ink_company;
pub mod ink_contrast;
pub mod ink_figures;
pub mod ink_glow;
pub mod ink_pieces;
mod ink_tree_table;
pub mod ink_trees;
pub mod likely_line;
pub mod lone_marks;
mod loose_light;
pub mod piece_rim;
pub mod piece_shape;
pub mod presenter;
pub mod soft_light;
pub mod steep_edge;
pub mod symmetry;
pub mod writing;
pub mod written_lines;
