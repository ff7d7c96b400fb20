//! How much of the output is dropped, in the ramp and solid.

use serde::Serialize;

use super::cpu_engine::sum_matte_rows;
use super::plan::Plan;
use super::views::{MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE};

/// Shares of the output's pixels, percent; they add up to 100.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MatteShares {
    /// Matte under 0.02: the camera alone shows.
    pub dropped: f64,
    /// Matte from 0.02 to 0.98: both show.
    pub in_the_ramp: f64,
    /// Matte over 0.98: the slide alone shows.
    pub solid: f64,
}

/// Counts the output pixels of a plan by their matte.
pub fn measure_matte(plan: &Plan<'_>) -> MatteShares {
    let [dropped, solid] = sum_matte_rows(plan, |mattes| {
        let count = |keep: fn(f32) -> bool| mattes.iter().filter(|&&m| keep(m)).count() as u64;
        [
            count(|m| m < MATTE_DROPPED_BELOW),
            count(|m| m > MATTE_SOLID_ABOVE),
        ]
    });
    let all = plan.output.area() as u64;
    let percent = |pixels: u64| 100.0 * pixels as f64 / all as f64;
    MatteShares {
        dropped: percent(dropped),
        in_the_ramp: percent(all - dropped - solid),
        solid: percent(solid),
    }
}
