//! Repeatable chance.

/// A stream of numbers. Source: `SplitMix64`, Steele, Lea and Flood 2014.
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    /// The stream of a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x51_7CC1)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to 1.
    pub(crate) fn unit(&mut self) -> f32 {
        (self.next() >> 40) as f32 / 16_777_216.0
    }

    /// From `low` to `high`.
    pub(crate) fn between(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit()
    }

    /// True in this share of cases.
    pub(crate) fn chance(&mut self, share: f32) -> bool {
        self.unit() < share
    }

    /// One of these.
    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[(self.next() % of.len() as u64) as usize]
    }

    /// A whole number below `end`.
    pub(crate) fn below(&mut self, end: u32) -> u32 {
        (self.next() % u64::from(end)) as u32
    }

    /// A colour moved by up to `most` codes a channel.
    pub(crate) fn near(&mut self, color: [f32; 3], most: f32) -> [f32; 3] {
        color.map(|code| (code + self.between(-most, most)).clamp(0.0, 255.0))
    }
}
