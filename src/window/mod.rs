//! The window: picture, panels and the clean output.

pub mod action;
mod control;
mod controls;
mod deck_strip;
mod files_group;
mod guides_group;
pub mod histogram_axis;
mod histogram_panel;
pub mod history;
mod key_group;
mod key_sheet;
pub mod keys;
pub mod look;
pub mod message;
mod message_strip;
pub mod mixer_codes;
mod more_group;
mod number_field;
pub mod number_text;
mod output_group;
pub mod panels;
pub mod picture;
mod placement_group;
pub mod read_out;
pub mod state;
mod top_bar;
