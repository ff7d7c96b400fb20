//! Judges a frame by the reference's. The two come as different types, so that the same side cannot
//! be passed twice. Asserts on the largest difference, never on a mean.
#![expect(
    clippy::panic,
    clippy::unwrap_used,
    reason = "only tests use this, and a failure is what they are for"
)]

use std::fmt;
use std::path::PathBuf;

use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::plan::Plan;
use nightglass::pixel::reference;

/// What the reference makes of a plan.
pub(crate) struct Truth(Frame);

impl Truth {
    pub(crate) fn of(plan: &Plan<'_>) -> Self {
        Self(reference::compose(plan))
    }
}

/// A frame of an engine that is judged. Each engine has a type of its own; [`Truth`] is not one.
pub(crate) trait Judged {
    /// What the engine is called in a failure.
    const ENGINE: &'static str;
    fn frame(&self) -> &Frame;
}

/// How far a frame is off, in 8-bit codes; alpha counts as a channel.
pub(crate) struct Difference {
    engine: &'static str,
    size: (u32, u32),
    /// Largest difference of any channel.
    pub(crate) largest: u8,
    /// Where that is: x, y and channel.
    pub(crate) at: (usize, usize, usize),
    /// Pixels that differ at all.
    pub(crate) pixels_off: usize,
    /// Pixels that differ by more than one code.
    pub(crate) pixels_off_by_more_than_1: usize,
    /// Pixels compared.
    pub(crate) pixels: usize,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (width, height) = self.size;
        let (x, y, channel) = self.at;
        write!(
            f,
            "{}: {width}x{height}, {} pixels compared, {} off, {} of them by more than 1 code; \
             largest difference {} codes at x {x}, y {y}, channel {channel}",
            self.engine, self.pixels, self.pixels_off, self.pixels_off_by_more_than_1, self.largest,
        )
    }
}

/// How far a frame is off the truth. Frames of other sizes or formats, or without pixels, are failures.
pub(crate) fn compare<J: Judged>(truth: &Truth, judged: &J) -> Difference {
    let (expected, actual) = (eight_bit(&truth.0), eight_bit(judged.frame()));
    let size = truth.0.size();
    assert_eq!(size, judged.frame().size(), "{}: another size", J::ENGINE);
    assert!(!expected.is_empty(), "{}: no pixels compared", J::ENGINE);
    assert_eq!(expected.len(), actual.len(), "{}: pixels", J::ENGINE);
    let width = size.width() as usize;
    let mut difference = Difference {
        engine: J::ENGINE,
        size: (size.width(), size.height()),
        largest: 0,
        at: (0, 0, 0),
        pixels_off: 0,
        pixels_off_by_more_than_1: 0,
        pixels: 0,
    };
    for (index, (expected, actual)) in expected.iter().zip(actual).enumerate() {
        let off = [0, 1, 2, 3].map(|channel| expected[channel].abs_diff(actual[channel]));
        let most = off.into_iter().max().unwrap_or(0);
        difference.pixels += 1;
        difference.pixels_off += usize::from(most > 0);
        difference.pixels_off_by_more_than_1 += usize::from(most > 1);
        if most > difference.largest {
            let channel = off.iter().position(|&o| o == most).unwrap_or(0);
            difference.largest = most;
            difference.at = (index % width, index / width, channel);
        }
    }
    difference
}

/// Fails where any channel of any pixel is off by more than `most_codes`, and leaves a picture of it.
#[track_caller]
pub(crate) fn require_within<J: Judged>(what: &str, truth: &Truth, judged: &J, most_codes: u8) {
    let difference = compare(truth, judged);
    assert!(
        difference.largest <= most_codes,
        "{what}: {difference}, at most {most_codes} allowed; expected | difference | actual: {}",
        write_panels(what, truth, judged).display()
    );
}

/// Fails where the comparer sees nothing between the truth and a frame that was spoiled on purpose.
#[track_caller]
pub(crate) fn require_seen<J: Judged>(what: &str, truth: &Truth, spoiled: &J, most_codes: u8) {
    let difference = compare(truth, spoiled);
    assert!(
        difference.largest > most_codes,
        "{what}: spoiled, and not seen: {difference}"
    );
}

/// The pixels of an 8-bit frame.
fn eight_bit(frame: &Frame) -> &[[u8; 4]] {
    match frame.pixels() {
        Pixels::Rgba8(pixels) => pixels,
        Pixels::Rgba16(_) => panic!("a 16-bit frame cannot be judged"),
    }
}

/// Writes expected, difference and actual side by side; a difference is shown 16 times as large.
fn write_panels<J: Judged>(what: &str, truth: &Truth, judged: &J) -> PathBuf {
    let (expected, actual) = (eight_bit(&truth.0), eight_bit(judged.frame()));
    let (width, height) = (truth.0.size().width(), truth.0.size().height());
    let name: String = what
        .chars()
        .take(100)
        .map(|c| if c.is_alphanumeric() { c } else { '_' })
        .collect();
    let engine = J::ENGINE.replace(' ', "_");
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{engine}_{name}.png"));
    let picture = image::RgbaImage::from_fn(3 * width, height, |x, y| {
        let index = (y * width + x % width) as usize;
        let (expected, actual) = (expected[index], actual[index]);
        image::Rgba(match x / width {
            0 => expected,
            1 => {
                let [r, g, b] =
                    [0, 1, 2].map(|i| expected[i].abs_diff(actual[i]).saturating_mul(16));
                [r, g, b, u8::MAX]
            }
            _ => actual,
        })
    });
    picture.save(&path).unwrap();
    path
}
