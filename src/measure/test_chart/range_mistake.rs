//! Which mistake of range, if any, a chain's gain and offset are the mark of.

use schemars::JsonSchema;
use serde::Serialize;

/// Width of the full range over that of the video range, `255 / 219`. Source: CTA-861, ITU-R BT.709-6.
const EXPANSION: f64 = 255.0 / 219.0;
/// Video-range black, 8-bit code. Source: ITU-R BT.709-6.
const BLACK: f64 = 16.0;
/// How far gain may be from a mark. Source: chosen, a third of the way to the next mark.
const GAIN_TOLERANCE: f64 = 0.035;
/// How far the offset may be from a mark, codes. Source: chosen.
const OFFSET_TOLERANCE_CODES: f64 = 4.5;
/// How far either may be off for a chain to be called correct: gain, and offset in codes.
/// Source: chosen, one percent of white at either end.
const CORRECT: (f64, f64) = (0.012, 2.6);
/// Sent code under which a crushed black is no mistake worth a name. Source: chosen.
const MIN_CRUSHED_CODE: f64 = 4.0;

/// What a chain does to the range of codes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Range {
    /// Codes come as they were sent.
    Correct,
    /// Codes come as sent, but the darkest are cut off.
    BlacksClipped,
    /// A full-range signal was taken for a video-range one: darks are crushed, brights clipped.
    Expanded,
    /// The same, twice.
    ExpandedTwice,
    /// A full-range signal was squeezed into video range and not stretched again: black is grey.
    Compressed,
    /// The same, twice.
    CompressedTwice,
    /// Neither: a control for brightness, contrast or gain is not at neutral.
    Other,
}

impl Range {
    /// The range behind a gain, an offset in codes, and the sent code up to which black is crushed.
    pub fn of(gain: f64, offset_codes: f64, crushed_to_code: f64) -> Self {
        let is_near = |mark: (f64, f64), tolerance: (f64, f64)| {
            (gain - mark.0).abs() <= tolerance.0 && (offset_codes - mark.1).abs() <= tolerance.1
        };
        if is_near((1.0, 0.0), CORRECT) {
            return if crushed_to_code >= MIN_CRUSHED_CODE {
                Self::BlacksClipped
            } else {
                Self::Correct
            };
        }
        let marks = Self::MARKED.map(|range| (range, range.mark()));
        marks
            .into_iter()
            .find(|&(_, mark)| is_near(mark, (GAIN_TOLERANCE, OFFSET_TOLERANCE_CODES)))
            .map_or(Self::Other, |(range, _)| range)
    }

    /// Those with a mark of their own.
    const MARKED: [Self; 4] = [
        Self::Expanded,
        Self::ExpandedTwice,
        Self::Compressed,
        Self::CompressedTwice,
    ];

    /// Gain, and offset in codes: of `(v - 16) 255 / 219`, of `16 + v 219 / 255`, and of each done twice.
    pub fn mark(self) -> (f64, f64) {
        let expanded = (EXPANSION, -BLACK * EXPANSION);
        let compressed = (1.0 / EXPANSION, BLACK);
        let twice = |(gain, offset): (f64, f64)| (gain * gain, gain * offset + offset);
        match self {
            Self::Expanded => expanded,
            Self::ExpandedTwice => twice(expanded),
            Self::Compressed => compressed,
            Self::CompressedTwice => twice(compressed),
            Self::Correct | Self::BlacksClipped | Self::Other => (1.0, 0.0),
        }
    }

    /// Its name in a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::Correct => "correct",
            Self::BlacksClipped => "correct, but blacks are cut off",
            Self::Expanded => "wrongly expanded",
            Self::ExpandedTwice => "wrongly expanded twice",
            Self::Compressed => "wrongly compressed",
            Self::CompressedTwice => "wrongly compressed twice",
            Self::Other => "neither range fits",
        }
    }
}
