//! What is on disk: pictures, decks, the setup file, the embedded demonstration.

pub mod atomic;
pub mod deck;
pub mod demonstration;
pub mod documents;
mod file_stamp;
pub mod jpeg_grid;
pub mod office;
pub mod page_output;
pub mod page_raster;
pub mod pages;
pub mod pdf;
pub mod picture_file;
pub mod picture_output;
pub mod picture_pdf;
mod setup_accepted;
pub mod setup_error;
mod setup_field;
pub mod setup_field_error;
pub mod setup_file;
mod setup_section;
mod setup_syntax;
mod setup_table;
mod setup_value;
mod setup_zones;
pub mod slide_file;
pub mod watch;
mod whole_file;
