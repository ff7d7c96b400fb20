//! How many pixels a slide has at each luma, finely and small enough to keep for a whole deck.

/// Levels from black to white. Source: chosen; 16 to an 8-bit code, so that greys are exact, and
/// 0.025 percent of white each, finer than any knob.
const LEVELS_TO_WHITE: u16 = 16 * 255;
/// How far a luma may be off its level through rounding to `f32`, in levels.
/// Source: `f32` has 24 bits, so 4080 levels are off by 0.0005 at most after gain and offset.
const ROUNDING_LEVELS: f64 = 0.001;

/// A luma in steps of a sixteenth of an 8-bit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Level(u16);

impl Level {
    /// White, the highest.
    pub const WHITE: Self = Self(LEVELS_TO_WHITE);

    /// Every level, from black to white.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..=LEVELS_TO_WHITE).map(Self)
    }

    /// The nearest level that is not under this luma, 0 to 1.
    pub fn at_or_over(luma: f32) -> Self {
        Self::whole((steps(luma) - ROUNDING_LEVELS).ceil())
    }

    /// The nearest level that is not over this luma, 0 to 1.
    pub fn at_or_under(luma: f32) -> Self {
        Self::whole((steps(luma) + ROUNDING_LEVELS).floor())
    }

    /// The luma, percent of white.
    pub fn percent(self) -> f64 {
        100.0 * f64::from(self.0) / f64::from(LEVELS_TO_WHITE)
    }

    /// The luma, 0 to 1.
    pub fn luma(self) -> f32 {
        f32::from(self.0) / f32::from(LEVELS_TO_WHITE)
    }

    /// From 0, black, to the index of [`Level::WHITE`].
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the levels there are"
    )]
    fn whole(steps: f64) -> Self {
        Self(steps.clamp(0.0, f64::from(LEVELS_TO_WHITE)) as u16)
    }
}

fn steps(luma: f32) -> f64 {
    f64::from(luma) * f64::from(LEVELS_TO_WHITE)
}

/// Pixels at each level; levels without any take no memory.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LevelCounts {
    /// From the lowest level up, each with at least one pixel.
    counts: Vec<(Level, u32)>,
}

impl LevelCounts {
    /// Pixels at each level and how many, from the lowest up.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (Level, u64)> {
        self.counts
            .iter()
            .map(|&(level, pixels)| (level, u64::from(pixels)))
    }

    /// All pixels.
    pub fn total(&self) -> u64 {
        self.iter().map(|(_, pixels)| pixels).sum()
    }

    /// The level that at least `pixels` pixels reach or exceed; none where there are fewer.
    pub fn reached_by(&self, pixels: u64) -> Option<Level> {
        first_with(self.iter().rev(), pixels)
    }

    /// The level that at least `pixels` pixels stay at or under; none where there are fewer.
    pub fn undercut_by(&self, pixels: u64) -> Option<Level> {
        first_with(self.iter(), pixels)
    }
}

/// The level at which `pixels` pixels have been met.
fn first_with(counts: impl Iterator<Item = (Level, u64)>, pixels: u64) -> Option<Level> {
    let mut met = 0;
    for (level, here) in counts {
        met += here;
        if met >= pixels {
            return Some(level);
        }
    }
    None
}

impl FromIterator<(Level, u32)> for LevelCounts {
    /// Adds up pixels by level, which may come in any order and more than once.
    fn from_iter<T: IntoIterator<Item = (Level, u32)>>(counts: T) -> Self {
        let mut dense = vec![0_u32; Level::WHITE.index() + 1];
        for (level, pixels) in counts {
            dense[level.index()] = dense[level.index()].saturating_add(pixels);
        }
        let counts = Level::all().zip(dense);
        Self {
            counts: counts.filter(|(_, pixels)| *pixels > 0).collect(),
        }
    }
}
