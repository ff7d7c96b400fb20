//! Checks that run anywhere: no adapter, no display.

#[path = "../support/compare.rs"]
mod compare;
mod cpu_engine;
#[path = "../support/frames.rs"]
mod frames;
mod published;
