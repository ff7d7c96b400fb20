//! What was found, as text for a terminal, as JSON and as a page: strings and bytes. Commands write them.

pub mod check_document;
pub mod check_page;
pub mod check_table;
pub mod embedded_picture;
pub mod marked;
pub mod words;
