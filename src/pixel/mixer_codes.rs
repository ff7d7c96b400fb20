//! Threshold and softness in the numbers that mixers are set in.

/// Steps of full range with 8 bits. Source: ITU-T H.264, full range, `2^n - 1`.
const FULL_8_SPAN: f64 = 255.0;
/// Black and the span to white in 8-bit video range. Source: ITU-R BT.709-6, quantization levels.
const VIDEO_8_BLACK_AND_SPAN: [f64; 2] = [16.0, 219.0];
/// Black and the span to white in 10-bit video range. Source: ITU-R BT.709-6, quantization levels.
const VIDEO_10_BLACK_AND_SPAN: [f64; 2] = [64.0, 876.0];

/// A value in three ways of counting, unrounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixerCodes {
    /// 8 bits, black 0, white 255.
    pub full_8: f64,
    /// 8 bits, black 16, white 235.
    pub video_8: f64,
    /// 10 bits, black 64, white 940.
    pub video_10: f64,
}

/// The codes at which a luma lies: `2.55 p`, `16 + 2.19 p`, `64 + 8.76 p`.
pub fn codes_of_luma(percent: f64) -> MixerCodes {
    let share = percent / 100.0;
    let [black_8, span_8] = VIDEO_8_BLACK_AND_SPAN;
    let [black_10, span_10] = VIDEO_10_BLACK_AND_SPAN;
    MixerCodes {
        full_8: FULL_8_SPAN * share,
        video_8: black_8 + span_8 * share,
        video_10: black_10 + span_10 * share,
    }
}

/// How many codes wide a part of the luma range is: `2.55 p`, `2.19 p`, `8.76 p`.
pub fn codes_of_width(percent: f64) -> MixerCodes {
    let share = percent / 100.0;
    MixerCodes {
        full_8: FULL_8_SPAN * share,
        video_8: VIDEO_8_BLACK_AND_SPAN[1] * share,
        video_10: VIDEO_10_BLACK_AND_SPAN[1] * share,
    }
}

/// How steep the ramp is: `1 / softness`, white being 1. None for a hard step.
pub fn slope_of_softness(percent: f64) -> Option<f64> {
    (percent > 0.0).then(|| 100.0 / percent)
}
