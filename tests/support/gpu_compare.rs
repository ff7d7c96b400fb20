//! Compares a picture from the adapter with the truth. The two have different types, so the same
//! side cannot be passed twice; what is judged is the largest difference and a count, never a mean.

use std::fmt::Write as _;
use std::path::PathBuf;

use image::{Rgba, RgbaImage};
use nightglass::pixel::frame::{Frame, Pixels};

/// A picture from `pixel::reference`.
pub(crate) struct Truth(pub(crate) Frame);
/// A picture from the adapter.
pub(crate) struct FromGpu(pub(crate) Frame);

/// How far the two may be apart.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Allowed {
    /// Largest difference of any channel, in codes.
    pub(crate) codes: u8,
    /// Pixels that may differ at all, a share of the picture; one pixel is always granted if `codes` > 0.
    pub(crate) differing_frac: f64,
}

impl Allowed {
    /// Not a code in any pixel.
    pub(crate) const NOTHING: Self = Self {
        codes: 0,
        differing_frac: 0.0,
    };
    /// One code in few pixels, where values differ by `pow` and some lie next to a half code.
    /// Source: the widest error granted, 4e-6 of `pow`, puts 255 * 2 * 4e-6 = 0.2 % of all values
    /// on the other side of a half code, in each of three channels.
    pub(crate) const POW: Self = Self {
        codes: 1,
        differing_frac: 0.006,
    };
    /// One code, where an adapter may round a product and a sum at once.
    /// Source: settings are round numbers, so that exact values fall on half codes, and which way
    /// such a tie goes hangs on the last bit. Over a ramp from 10 to 70 % the matte of grey `v` is
    /// `(10 v - 255) / 6` codes, on a half for every third grey; with the weights of BT.601 and a
    /// softness of 4 % it is a multiple of 1/40, on a half for one colour in 40, or 2.5 %.
    /// Most seen on an H100: 0.8 % of a picture, 2026-11-25.
    pub(crate) const FUSED: Self = Self {
        codes: 1,
        differing_frac: 0.03,
    };

    /// How many pixels of a picture may differ.
    fn pixels(self, of: usize) -> usize {
        if self.codes == 0 {
            0
        } else {
            ((of as f64 * self.differing_frac) as usize).max(1)
        }
    }

    /// Whether differences are within what is allowed.
    pub(crate) fn grants(
        self,
        off_by_one: usize,
        off_by_more: usize,
        largest: &[Largest; 4],
        pixels: usize,
    ) -> bool {
        largest.iter().all(|l| l.codes <= self.codes)
            && off_by_one + off_by_more <= self.pixels(pixels)
    }
}

/// The largest difference in one channel, and where it was first seen.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Largest {
    pub(crate) codes: u8,
    pub(crate) x: usize,
    pub(crate) y: usize,
}

/// What was seen.
#[derive(Clone, Debug, Default)]
pub(crate) struct Comparison {
    pub(crate) pixels: usize,
    /// One for each of R'G'B' and alpha.
    pub(crate) largest: [Largest; 4],
    /// Pixels with a channel off by exactly 1 code and none by more.
    pub(crate) off_by_one: usize,
    /// Pixels with a channel off by more.
    pub(crate) off_by_more: usize,
}

/// Compares, judges, and on failure writes expected, difference and actual side by side.
pub(crate) fn compare(
    name: &str,
    truth: &Truth,
    gpu: &FromGpu,
    allowed: Allowed,
) -> Result<Comparison, String> {
    let comparison = look(truth, gpu)?;
    let Comparison {
        pixels,
        largest,
        off_by_one,
        off_by_more,
    } = &comparison;
    if allowed.grants(*off_by_one, *off_by_more, largest, *pixels) {
        return Ok(comparison);
    }
    let mut message = format!(
        "{name}: of {pixels} pixels {off_by_one} are off by 1 code and {off_by_more} by more; \
         allowed {}, by {}",
        allowed.pixels(*pixels),
        allowed.codes
    );
    for (channel, largest) in ["R'", "G'", "B'", "alpha"].iter().zip(comparison.largest) {
        let Largest { codes, x, y } = largest;
        let _ = write!(message, "; {channel} by {codes} at {x},{y}");
    }
    match write_panels(name, truth, gpu) {
        Ok(path) => {
            let _ = write!(message, "; see `{}`", path.display());
        }
        Err(error) => {
            let _ = write!(message, "; no picture of it: {error}");
        }
    }
    Err(message)
}

/// Counts without judging.
pub(crate) fn look(truth: &Truth, gpu: &FromGpu) -> Result<Comparison, String> {
    let (size, got) = (truth.0.size(), gpu.0.size());
    if size != got {
        return Err(format!("wrong size: expected {size:?}, got {got:?}"));
    }
    let (Pixels::Rgba8(expected), Pixels::Rgba8(actual)) = (truth.0.pixels(), gpu.0.pixels())
    else {
        return Err("both pictures must have 8 bits".to_owned());
    };
    if expected.is_empty() || expected.len() != actual.len() {
        return Err(format!(
            "{} pixels against {}",
            expected.len(),
            actual.len()
        ));
    }
    let mut comparison = Comparison {
        pixels: expected.len(),
        ..Comparison::default()
    };
    for (index, (e, a)) in expected.iter().zip(actual).enumerate() {
        let mut off = 0;
        for channel in 0..4 {
            let codes = e[channel].abs_diff(a[channel]);
            off = off.max(codes);
            if codes > comparison.largest[channel].codes {
                comparison.largest[channel] = Largest {
                    codes,
                    x: index % size.width() as usize,
                    y: index / size.width() as usize,
                };
            }
        }
        match off {
            0 => {}
            1 => comparison.off_by_one += 1,
            _ => comparison.off_by_more += 1,
        }
    }
    Ok(comparison)
}

/// Expected | difference, 16 times stronger | actual.
fn write_panels(name: &str, truth: &Truth, gpu: &FromGpu) -> Result<PathBuf, String> {
    let (Pixels::Rgba8(expected), Pixels::Rgba8(actual)) = (truth.0.pixels(), gpu.0.pixels())
    else {
        return Err("not 8 bits".to_owned());
    };
    let (width, height) = (truth.0.size().width(), truth.0.size().height());
    let picture = RgbaImage::from_fn(3 * width, height, |x, y| {
        let index = (y * width + x % width) as usize;
        match x / width {
            0 => Rgba(expected[index]),
            1 => {
                let off = |c: usize| expected[index][c].abs_diff(actual[index][c]);
                let [r, g, b] = [0, 1, 2].map(|c| off(c).saturating_mul(16));
                Rgba([r, g, b, u8::MAX])
            }
            _ => Rgba(actual[index]),
        }
    });
    let stem: String = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("gpu-{stem}.png"));
    picture.save(&path).map_err(|error| error.to_string())?;
    Ok(path)
}
