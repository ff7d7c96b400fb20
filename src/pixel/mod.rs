//! Per-pixel mathematics: the signal model, its plain truth and its fast engine. No input or output.

pub mod canvas;
pub mod chain;
pub mod color;
pub mod composite;
pub mod cpu_engine;
mod cpu_kernel;
mod cpu_light;
mod cpu_planes;
mod cpu_rows;
pub mod frame;
pub mod guide_drawing;
pub mod guide_labels;
pub mod guides;
pub mod key;
pub mod knobs;
pub mod label_room;
pub mod matte_shares;
pub mod mixer_codes;
pub mod placement;
pub mod plan;
pub mod reference;
pub mod sample;
pub mod seen_detail;
pub mod settings;
pub mod views;
