//! Light slides turned into dark ones that key, and colours that stay solid.

mod cut_out;
pub mod dark_color;
pub mod darken;
pub mod palette;
mod plates;
