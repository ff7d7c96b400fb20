//! What was found, as pictures and pages. Commands write them.

pub mod key_plot;
