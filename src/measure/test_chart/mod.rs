//! The test chart, and what a capture of it tells of the chain and of its key.

pub mod calibration;
pub(crate) mod capture;
pub mod chain_finding;
pub mod chain_line;
pub mod chain_noise;
pub mod chart;
pub mod chart_code;
pub mod chart_drawing;
pub mod chart_edges;
mod chart_fit;
mod chart_markers;
pub mod chart_reading;
pub mod chart_reading_error;
pub mod jpeg_noise;
pub mod key_fit;
pub mod keyed_curve;
pub mod knob_fit;
pub mod patch_reading;
pub mod range_mistake;
