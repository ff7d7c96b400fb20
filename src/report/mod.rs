//! What was found, as text, JSON, pictures and pages: strings and bytes. Commands write them.

pub mod before_after;
pub mod key_plot;
pub mod palette_sheet;
