//! What the key makes of each pixel of a slide on the output: dropped, in the ramp, or solid.
//! Decided on the unrounded signal, so a grey exactly at the threshold is dropped.

use crate::measure::raster::runs::Runs;
use crate::pixel::cpu_engine::for_each_matte_row;
use crate::pixel::plan::Plan;
use crate::pixel::settings::Size;
use crate::pixel::views::{MATTE_DROPPED_BELOW, MATTE_SOLID_ABOVE};

/// What the key makes of a pixel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Fate {
    /// Matte under 0.02: the camera alone shows.
    Dropped = 0,
    /// Matte from 0.02 to 0.98: both show.
    InTheRamp = 1,
    /// Matte over 0.98: the slide alone shows.
    Solid = 2,
}

impl Fate {
    /// The fate of a matte from 0 to 1.
    pub fn of(matte: f32) -> Self {
        if matte < MATTE_DROPPED_BELOW {
            Self::Dropped
        } else if matte > MATTE_SOLID_ABOVE {
            Self::Solid
        } else {
            Self::InTheRamp
        }
    }

    fn of_byte(byte: u8) -> Self {
        match byte {
            0 => Self::Dropped,
            1 => Self::InTheRamp,
            _ => Self::Solid,
        }
    }
}

/// What becomes of every pixel.
#[derive(Clone, Debug)]
pub struct Fates {
    size: Size,
    fates: Vec<u8>,
}

impl Fates {
    /// Asks the key of a plan, on this thread.
    pub fn new(plan: &Plan<'_>) -> Self {
        let mut fates = Vec::with_capacity(plan.output.area());
        for_each_matte_row(plan, |mattes| {
            fates.extend(mattes.iter().map(|&matte| Fate::of(matte) as u8));
        });
        Self {
            size: plan.output,
            fates,
        }
    }

    /// Row by row, each a [`Fate`] as a byte. Beside the slide too, where the signal is black.
    pub fn as_slice(&self) -> &[u8] {
        &self.fates
    }

    /// The pixels of this fate.
    pub fn mask_of(&self, fate: Fate) -> Runs {
        self.mask_where(|other| other == fate)
    }

    /// The pixels with a fate that is chosen.
    pub fn mask_where(&self, is_chosen: impl Fn(Fate) -> bool) -> Runs {
        Runs::of_bytes(self.size, &self.fates, |byte| {
            is_chosen(Fate::of_byte(byte))
        })
    }

    /// What becomes of a pixel.
    pub fn at(&self, x: u32, y: u32) -> Fate {
        Fate::of_byte(self.fates[y as usize * self.size.width() as usize + x as usize])
    }
}
