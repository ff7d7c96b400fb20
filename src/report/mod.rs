//! What was found, as text, JSON, pictures and pages: strings and bytes. Commands write them.

pub mod before_after;
pub mod camera_numbers;
pub mod check_document;
pub mod check_page;
pub mod check_table;
pub mod embedded_picture;
pub mod inspect_document;
pub mod inspect_page;
pub mod inspect_text;
pub mod inspect_words;
pub mod key_plot;
pub mod like_json;
pub mod marked;
pub mod marked_camera;
pub mod outline;
mod page;
pub mod palette_sheet;
pub mod paragraph;
pub mod repeated;
mod template_labels;
pub mod template_picture;
pub mod words;
