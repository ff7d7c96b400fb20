//! The key for a deck, from what its slides need.

pub mod histogram;
pub mod key_compromise;
pub mod key_suggestion;
pub mod slide_levels;
