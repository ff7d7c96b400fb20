//! Checks that run anywhere: no adapter, no display.

mod published;
