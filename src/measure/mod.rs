//! Frames in, numbers and findings out.

pub mod accepted;
mod affine;
pub mod background;
pub mod calibration;
mod capture;
pub mod chain_finding;
pub mod chain_line;
pub mod chain_noise;
pub mod chart;
pub mod chart_code;
pub mod chart_drawing;
pub mod chart_edges;
mod chart_markers;
pub mod chart_reading;
pub mod finding;
pub mod histogram;
pub mod jpeg_noise;
pub mod key_fit;
pub mod keyed_curve;
pub mod knob_fit;
pub mod limits;
pub mod patch_reading;
pub mod range_mistake;
pub mod slide_check;
