//! The window: picture, panels and the clean output.

pub mod action;
pub mod history;
pub mod message;
pub mod state;
