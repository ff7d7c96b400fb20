//! Checks that run anywhere: no adapter, no display.

#[path = "../support/gpu_probe.rs"]
mod gpu_probe;
mod published;
mod shader_contract;
