//! Checks that run anywhere: no adapter, no display.

mod gpu_layout;
#[path = "../support/gpu_probe.rs"]
mod gpu_probe;
mod published;
mod shader_contract;
